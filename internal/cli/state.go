package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/dossier"
)

func stateVerb() *verb {
	return &verb{
		name: "state", args: "[CAR]", most: 1,
		purpose: "tell where everything is on a day: parts, joints, ends of looms, fills",
		more: `The state is replayed from the records of work up to the day. What they leave open is said first,
and the worse outcome is carried.`,
		examples: []string{"state tern", "state tern --on 2026-01-15", "state --at HEAD~10"},
		flags:    []cli.Flag{onFlag(), atFlag()},
		run: func(c *cli.Context, env Env) error {
			day, car, err := dayAndCar(c, env, c.Args().First())
			if err != nil {
				return err
			}
			work, state, err := env.App.State(car, c.String("at"), day)
			if err != nil {
				return err
			}
			return env.print(dossier.State(work, state))
		},
		words: carNames,
	}
}
