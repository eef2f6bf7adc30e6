package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/wording"
)

func staleVerb() *verb {
	return &verb{
		name: "stale", args: "[CAR]", most: 1,
		purpose: "tell which readings, certificates and sign-offs no longer describe the car",
		more: `Work touches sides of the car: mass, where the mass sits, brakes, circuits, structure. What described a
side before it was touched is stale for that side and still good for the others.`,
		examples: []string{"stale tern", "stale tern --on 2026-04-01"},
		flags:    []cli.Flag{onFlag(), atFlag()},
		run: func(c *cli.Context, env Env) error {
			day, car, err := dayAndCar(c, env, c.Args().First())
			if err != nil {
				return err
			}
			work, err := env.App.Work(car, c.String("at"))
			if err != nil {
				return err
			}
			return env.print(dossier.Stale(work, day))
		},
		words: carNames,
	}
}

func wordingVerb() *verb {
	return &verb{
		name: "wording", args: "[CAR]", most: 1,
		purpose: "tell what an advertisement may say on the records, and what it may not",
		more: `Each sentence is supported, withheld or contradicted, with its records and by whom they were seen.
Nothing here is legal advice.`,
		examples: []string{"wording tern", "wording tern --on 2026-06-15 --json"},
		flags:    []cli.Flag{onFlag(), atFlag(), jsonFlag()},
		run:      runWording, words: carNames,
	}
}

func runWording(c *cli.Context, env Env) error {
	day, car, err := dayAndCar(c, env, c.Args().First())
	if err != nil {
		return err
	}
	s, phrases, err := env.App.Wording(car, c.String("at"), day)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		if phrases == nil {
			phrases = []wording.Phrase{}
		}
		return finding.WriteJSON(env.Stdout, said{"1", phrases})
	}
	return env.print(dossier.Wording(s, phrases))
}

// said is the shape of wording --json.
type said struct {
	Edition string           `json:"edition"`
	Phrases []wording.Phrase `json:"phrases"`
}
