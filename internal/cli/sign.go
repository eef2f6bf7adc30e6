package cli

import (
	"bufio"
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/render"
)

func signVerb() *verb {
	return &verb{
		name: "sign", args: "[CAR]", most: 1,
		purpose: "sign for records as they stand, or transcribe a signature in ink",
		more: `What is about to be signed is shown in words first. The sign-off names each record with its digest,
the key, the licences and calibrations it rests on, the car's numbers and the state of the ledger; its
bytes are signed with your configured key, and record and signature are committed together. A sign-off
over a sign-off is a counter-signature. Ink is transcribed, and never shown as verified.`,
		examples: []string{
			"sign tern --covers readings/2026-05-08-ines-insulation-joined --meaning 'Insulation measured as recorded' --facet 'traction circuit'",
			"sign tern --covers car --meaning 'Inspected as presented' --paper inspection-certificate --by edda-thackwell --seen-by maud-pellerin",
		},
		flags: []cli.Flag{
			&cli.StringSliceFlag{Name: "covers", Usage: "sign for `RECORD`; again for more"},
			&cli.StringFlag{Name: "meaning", Usage: "what the signature says: `TEXT`"},
			&cli.StringSliceFlag{Name: "facet", Usage: "vouch for `FACET` of the car, such as brakes; again for more"},
			&cli.StringSliceFlag{Name: "rests-on", Usage: "name the licence or calibration `ENTRY` that it rests on; again for more"},
			&cli.StringFlag{Name: "name", Usage: "what people call it: `NAME`"},
			&cli.StringFlag{Name: "remark", Usage: "add `TEXT` that is signed with it"},
			&cli.StringFlag{Name: "paper", Usage: "transcribe ink from the scan `PAPER`"},
			&cli.StringFlag{Name: "by", Usage: "`PERSON` by whom: who signed in ink, or who of this workshop receives it"},
			&cli.StringFlag{Name: "seen-by", Usage: "`PERSON` of the workshop who saw the ink"},
			&cli.BoolFlag{Name: "no-questions", Usage: "ask nothing, even at a terminal"},
			carFlag(), asFlag(), onFlag(),
		},
		run: runSign, words: carNames,
	}
}

func runSign(c *cli.Context, env Env) error {
	if c.NArg() == 1 {
		if err := c.Set("car", c.Args().First()); err != nil {
			return err
		}
	}
	if len(c.StringSlice("covers")) == 0 || strings.TrimSpace(c.String("meaning")) == "" {
		return &app.Usage{Message: "a sign-off says what it means and names what it covers", Hint: "--covers RECORD --meaning TEXT"}
	}
	d, err := desk(c, env)
	if err != nil {
		return err
	}
	return env.written(d.Sign(c.Context, app.SignRequest{
		Name: c.String("name"), Meaning: c.String("meaning"), Note: c.String("remark"),
		Facets: c.StringSlice("facet"), Covers: c.StringSlice("covers"), RestsOn: c.StringSlice("rests-on"),
		Paper: c.String("paper"), By: c.String("by"), SeenBy: c.String("seen-by"),
		Show: func(s *ledger.Snapshot, body *record.SignOff, fingerprint string) error {
			return env.showToSign(s, body, fingerprint, env.Ask && !c.Bool("no-questions"))
		},
	}))
}

// showToSign shows what is about to be signed beside the answer, and asks at a terminal.
func (env Env) showToSign(s *ledger.Snapshot, body *record.SignOff, fingerprint string, ask bool) error {
	section := dossier.ToSign(s, body, fingerprint)
	if err := render.TextBlocks(env.Stderr, []doc.Block{section}, render.TextOptions{Width: env.Width}); err != nil || !ask {
		return err
	}
	fmt.Fprint(env.Stderr, "sign this? (yes or no): ")
	answer, err := bufio.NewReader(env.Stdin).ReadString('\n')
	if strings.TrimSpace(strings.ToLower(answer)) == "yes" {
		return nil
	}
	if err != nil {
		return fmt.Errorf("nothing was signed: %w", err)
	}
	return &app.Usage{Message: "nothing was signed", Hint: "answer yes, or give --no-questions"}
}
