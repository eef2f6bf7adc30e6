package cli

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
)

func checkVerb() *verb {
	return &verb{
		name: "check", args: "[CAR]", daily: true, most: 1,
		purpose: "say everything that is wrong with the records, at its line and column",
		more: `Without a car it checks the one you stand in, or every car of the yard and the workshop's address book.
Each finding says what is wrong and what would be right. Warnings alone leave the exit status at 0.
With --deep it also says where the order of the work is not stated, or cannot be.`,
		examples: []string{"check", "check tern", "check cars/tern --strict --json", "check workshop", "check tern --fix-layout"},
		flags: []cli.Flag{
			onFlag(), atFlag(), jsonFlag(), strictFlag(),
			&cli.BoolFlag{Name: "deep", Usage: "read the full photos and documents too and check their digests"},
			&cli.BoolFlag{Name: "fix-layout", Usage: "first write records anew whose spaces, escapes or line ends differ"},
		},
		run: runCheck, words: carNames,
	}
}

func runCheck(c *cli.Context, env Env) error {
	day, err := today(c, env)
	if err != nil {
		return err
	}
	cars, err := env.App.FindOrBook(c.Args().First())
	if err != nil {
		return err
	}
	if c.Bool("fix-layout") && c.String("at") != "" {
		return &app.Usage{Message: "what was committed is not laid out anew", Hint: "--fix-layout without --at"}
	}
	if c.Bool("fix-layout") {
		if err := fixLayout(cars, env); err != nil {
			return err
		}
	}
	checked, err := env.App.Check(cars, app.CheckOptions{On: day, At: c.String("at"), Deep: c.Bool("deep")})
	if err != nil {
		return err
	}
	var all []finding.Finding
	for _, car := range checked {
		all = append(all, car.Findings...)
	}
	if c.Bool("json") {
		err = finding.Encode(env.Stdout, all)
	} else {
		err = printChecked(env, checked)
	}
	if err != nil {
		return err
	}
	return verdict(all, c.Bool("strict"))
}

// fixLayout writes records anew and says on standard error which.
func fixLayout(cars []app.Car, env Env) error {
	for _, car := range cars {
		written, err := env.App.FixLayout(car)
		for _, path := range written {
			fmt.Fprintf(env.Stderr, "%s: laid out anew\n", finding.Printable(path))
		}
		if err != nil {
			return err
		}
	}
	return nil
}

func printChecked(env Env, checked []app.Checked) error {
	var all []finding.Finding
	for _, car := range checked {
		for _, f := range car.Findings {
			if len(checked) == 1 {
				f.Car = "" // one car's name would say nothing new
			}
			all = append(all, f)
		}
	}
	return env.print(dossier.Findings(all).Blocks...)
}

// verdict turns findings into errFound where the exit status should say so.
func verdict(all []finding.Finding, strict bool) error {
	worst, any := finding.Worst(all)
	if any && (worst == finding.Error || strict && worst == finding.Warning) {
		return errFound
	}
	return nil
}
