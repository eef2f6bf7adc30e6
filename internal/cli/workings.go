package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/workings"
)

func workingsVerb() *verb {
	return &verb{
		name: "workings", args: "[CAR] [SUBJECT]", most: 2,
		purpose: "do the sums and show them so that they can be redone by hand",
		more: `Mass, insulation, joints, pack, restraint, brakes, distance, driving, custody. Each sum shows its steps with the
numbers put in, where each number is recorded, the formula and its source, and what it lacks: a sum
without its input is not computed and never zero. They are sums for an engineer, not an approval.`,
		examples: []string{"workings tern mass", "workings tern --on 2026-06-15", "workings insulation --json"},
		flags:    []cli.Flag{onFlag(), atFlag(), jsonFlag()},
		run:      runWorkings, words: carNames,
	}
}

func runWorkings(c *cli.Context, env Env) error {
	word, subjectWord := c.Args().First(), c.Args().Get(1)
	if c.NArg() == 1 {
		if _, err := app.Subject(word); err == nil { // a lone word may be a subject: then the car is the one stood in
			word, subjectWord = "", word
		}
	}
	var subject workings.Subject
	if subjectWord != "" {
		s, err := app.Subject(subjectWord)
		if err != nil {
			return err
		}
		subject = s
	}
	day, car, err := dayAndCar(c, env, word)
	if err != nil {
		return err
	}
	sums, err := env.App.Workings(car, c.String("at"), day, subject)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return workings.Encode(env.Stdout, sums.Heading, sums.Workings)
	}
	for _, section := range dossier.Workings(sums.Workings, sums.Car.Pictures) {
		if err := env.print(section); err != nil {
			return err
		}
	}
	return nil
}
