package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/reversal"
)

func reversalVerb() *verb {
	return &verb{
		name: "reversal", args: "[CAR]", most: 1,
		purpose: "say what it would take to put the car back, and list the work",
		more: `The statement has three lines, the worst on top, with the records for and against each; then the
work order, run through the same replay as the work itself. --for prints what a requirement set says of
the law on going back; without it those that the car pins are asked. Exit status 1 says that it cannot be
said, or that the car cannot be fully put back on the records.`,
		examples: []string{"reversal tern", "reversal tern --to 'before conversion' --statement tern-reversal.json",
			"reversal tern --suppose parts/carburettor=gone", "reversal tern --for it", "reversal tern --recheck tern-reversal.json"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "to", Usage: "restore the baseline called `NAME` instead of the root one"},
			&cli.StringSliceFlag{Name: "suppose", Usage: "assume what is not recorded: `PART=gone`"},
			&cli.StringFlag{Name: "statement", Usage: "store the statement with its steps in `FILE`"},
			&cli.StringFlag{Name: "recheck", Usage: "replay the steps of a statement stored in `FILE` and say what differs"},
			forFlag(), onFlag(), atFlag(), jsonFlag(),
		},
		run: runReversal, words: carNames,
	}
}

func runReversal(c *cli.Context, env Env) error {
	car, err := env.App.One(c.Args().First())
	if err != nil {
		return err
	}
	if kept := c.String("recheck"); kept != "" {
		return recheck(c, env, car, kept)
	}
	day, err := today(c, env)
	if err != nil {
		return err
	}
	answer, err := env.App.Reversal(car, app.ReversalRequest{At: c.String("at"), To: c.String("to"), On: day, Suppose: c.StringSlice("suppose"), For: c.StringSlice("for")})
	if err != nil {
		return err
	}
	statement := answer.Statement
	if file := c.String("statement"); file != "" {
		if err := env.App.StoreStatement(file, statement); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		err = statement.Encode(env.Stdout)
	} else {
		err = env.print(dossier.Reversal(answer.Snapshot, statement, answer.Drawings), dossier.Originality(answer.Originality))
	}
	if err == nil && statement.Outcome >= reversal.NotFully {
		return errFound
	}
	return err
}

func recheck(c *cli.Context, env Env, car app.Car, kept string) error {
	changes, err := env.App.Recheck(car, c.String("at"), kept)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		if changes == nil {
			changes = []reversal.Change{}
		}
		err = writeJSON(env.Stdout, recheckAnswer{"1", changes})
	} else {
		err = env.print(dossier.Rechecked(changes).Blocks...)
	}
	if err == nil && len(changes) > 0 {
		return errFound
	}
	return err
}

// recheckAnswer is the shape of reversal --recheck --json.
type recheckAnswer struct {
	Edition string            `json:"edition"`
	Changes []reversal.Change `json:"changes"`
}
