package cli

import (
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/history"
)

func historyVerb() *verb {
	return &verb{
		name: "history", args: "[RECORD]", most: 1,
		purpose: "tell who recorded what, when, and how many days after the work",
		more: `Without a record it tells the commits of the car, newest first. Whether signatures hold is not
checked here.`,
		examples: []string{"history --car tern", "history parts/fuel-tank", "history --last 5 --json"},
		flags: []cli.Flag{
			carFlag(), jsonFlag(),
			&cli.IntFlag{Name: "last", Usage: "tell only the last `N` commits; 0 tells all", Value: 20},
		},
		run: runHistory,
	}
}

func runHistory(c *cli.Context, env Env) error {
	car, err := env.App.OneOrBook(c.String("car"), "", "")
	if err != nil {
		return err
	}
	subject := car.Name
	var entries []history.Entry
	if word := c.Args().First(); word != "" {
		r, told, err := env.App.RecordHistory(car, word)
		if err != nil {
			return err
		}
		subject, entries = r.Name(), told
	} else if entries, err = env.App.CarHistory(car, c.Int("last")); err != nil {
		return err
	}
	if c.Bool("json") {
		return history.EncodeEntries(env.Stdout, entries)
	}
	return env.print(dossier.History(subject, entries, app.LateAfter))
}

func diffVerb() *verb {
	return &verb{
		name: "diff", args: "[A [B]]", most: 2,
		purpose: "say what differs between two states of a car, by what the records say",
		more: `A and B are commits, branches, tags or days. Without B it is the folder as it lies; without A, the
last commit. Measures are compared by value, lines of work by what they say.`,
		examples: []string{"diff", "diff 2026-03-01", "diff 2026-01-01 2026-03-01 --car tern --json"},
		flags:    []cli.Flag{carFlag(), jsonFlag()},
		run:      runDiff,
	}
}

func runDiff(c *cli.Context, env Env) error {
	car, err := env.App.One(c.String("car"))
	if err != nil {
		return err
	}
	old, now := c.Args().First(), c.Args().Get(1)
	changes, err := env.App.Diff(car, old, now)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return history.Encode(env.Stdout, changes)
	}
	return env.print(dossier.Differences(stateName(old, "the last commit"), stateName(now, "the folder as it lies"), changes))
}

func stateName(word, otherwise string) string {
	if strings.TrimSpace(word) == "" {
		return otherwise
	}
	return word
}
