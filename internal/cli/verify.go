package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/signoff"
)

func verifyVerb() *verb {
	return &verb{
		name: "verify", args: "[CAR | FILE [RECORD]]", most: 2,
		purpose: "check who recorded what, and that it is unaltered, through the whole history",
		more: `Every commit is judged by the keys that counted before it. Where the history begins is held against
fingerprints that you got by another way: with --pin, or in your own configuration under
"pins": {"CAR or first commit": ["SHA256:..."]}. Exit status 0 only when nothing is wrong and the origin
is established. What can be recognised only against something kept is said to be so.
A FILE is judged by itself, without the ledger: a dossier, a sign-off with its .sig beside it, a stamp as stamp --save
writes it, or a photo or document against the RECORD of its paper. What it cannot show alone is said. Exit status 0 then
means that a key you pinned, an authority you trust, or that record bears it out.`,
		examples: []string{"verify dossier.pdf", "verify signoffs/2026-06-02-ines-tank.json --pin SHA256:...", "verify scan.jpg papers/brake-sheet.json", "verify tern", "verify tern --pin SHA256:...", "verify tern --kept 3f2a91c04be7", "verify tern --against /media/stick/tern"},
		flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "pin", Usage: "expect the key with `FINGERPRINT`, or the first commit with that id, at the beginning"},
			&cli.StringSliceFlag{Name: "kept", Usage: "look for what somebody `KEPT`: a commit's id, a stamp's digest, a dossier or a stamp as a file"},
			authoritiesFlag(),
			&cli.StringFlag{Name: "against", Usage: "compare with the copy in the folder `CLONE`"},
			onFlag(), jsonFlag(),
		},
		run: runVerify, words: carNames,
	}
}

// verified is the shape of verify --json.
type verified struct {
	Edition string          `json:"edition"`
	Cars    []signoff.Shape `json:"cars"`
}

func runVerify(c *cli.Context, env Env) error {
	day, err := today(c, env)
	if err != nil {
		return err
	}
	want := app.VerifyRequest{Pins: c.StringSlice("pin"), Kept: c.StringSlice("kept"), Against: c.String("against"), Roots: c.String("authorities"), On: day}
	if env.App.IsFile(c.Args().First()) {
		return env.verifyFile(c, want)
	}
	if c.NArg() > 1 {
		return &app.Usage{Message: c.Args().First() + " is no file that could be held against another", Hint: "boltback verify FILE RECORD, or boltback verify CAR"}
	}
	cars, err := env.App.Find(c.Args().First())
	if err != nil {
		return err
	}
	if len(cars) != 1 && (len(want.Pins) > 0 || len(want.Kept) > 0 || want.Against != "") {
		return &app.Usage{Message: "--pin, --kept and --against are about one car", Hint: "name it: boltback verify CAR --pin FINGERPRINT"}
	}
	clean, answer := true, verified{signoff.ReportEdition, []signoff.Shape{}}
	for _, car := range cars {
		s, report, err := env.App.Verify(car, want)
		if err != nil {
			return err
		}
		clean = clean && report.Clean()
		if c.Bool("json") {
			answer.Cars = append(answer.Cars, report.Shape())
		} else if err := env.print(dossier.Verification(s, report)); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		err = finding.WriteJSON(env.Stdout, answer)
	}
	if err == nil && !clean {
		return errFound
	}
	return err
}

// verifyFile judges a file by itself.
func (env Env) verifyFile(c *cli.Context, want app.VerifyRequest) error {
	if len(want.Kept) > 0 || want.Against != "" {
		return &app.Usage{Message: "--kept and --against hold a history against something, and a file has none", Hint: "boltback verify CAR --kept FILE"}
	}
	a, err := env.App.VerifyFile(c.Args().First(), c.Args().Get(1), want)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		err = finding.WriteJSON(env.Stdout, a.Shape())
	} else {
		err = env.print(dossier.Alone(a))
	}
	if err == nil && !a.Clean() {
		return errFound
	}
	return err
}
