package cli

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/record"
)

func initVerb() *verb {
	return &verb{
		name: "init", args: "DIR", least: 1, most: 1,
		purpose:  "make a yard: the workshop's address book and room for its cars",
		more:     "originals/ and private/ lie beside the repositories. A Git remote alone does not back them up.",
		examples: []string{"init yard --workshop tallow-lane --name 'Tallow Lane Motor Works' --person ines-okafor --person-name 'Ines Okafor'"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "workshop", Usage: "the workshop's `HANDLE`"},
			&cli.StringFlag{Name: "name", Usage: "what people call it: `NAME`"},
			&cli.StringFlag{Name: "country", Usage: "where units are read that differ between countries: `CC`"},
			&cli.BoolFlag{Name: "decimal-comma", Usage: "the yard writes 0,5 for a half"},
			&cli.StringFlag{Name: "person", Usage: "the `HANDLE` of the first person"},
			&cli.StringFlag{Name: "person-name", Usage: "what people call that person: `NAME`"},
		},
		run: runInit,
	}
}

func runInit(c *cli.Context, env Env) error {
	for _, flag := range []string{"workshop", "person"} {
		if c.String(flag) == "" {
			return &app.Usage{Message: "--" + flag + " is needed", Hint: "boltback help init shows an example"}
		}
	}
	person, err := env.App.Init(c.Context, app.Founding{
		Path: c.Args().First(), Workshop: c.String("workshop"), Name: c.String("name"), Country: c.String("country"),
		DecimalComma: c.Bool("decimal-comma"), Person: c.String("person"), PersonName: c.String("person-name"),
	})
	if err != nil {
		return err
	}
	_, err = fmt.Fprintf(env.Stderr, "%s: a yard\nnext: BOLTBACK_PERSON=%s, then boltback intake CAR in it\n", c.Args().First(), person)
	return err
}

func intakeVerb() *verb {
	return &verb{
		name: "intake", args: "CAR [field=value ...]", least: 1, most: -1,
		purpose: "take a car in: make its repository and its first records",
		more: `Before the spanners: read and photograph every number now. Makers may confirm only what you already
know, and an engine's number is easiest to read while the engine is in the car.`,
		examples: []string{"intake grey-tern make=Corvane model='Tern 1500' year=1967 numbers.0.what=chassis numbers.0.raw='*TK 40317 R*'"},
		flags:    []cli.Flag{asFlag(), onFlag()},
		run: func(c *cli.Context, env Env) error {
			day, err := today(c, env)
			if err != nil {
				return err
			}
			w, err := env.App.Intake(c.Context, c.Args().First(), c.Args().Tail(), record.Ref(strings.TrimSpace(c.String("as"))), day)
			if len(w.Paths) > 3 {
				w.Paths = []string{"cars/" + c.Args().First()} // the schemas need no line each
			}
			return env.written(w, err)
		},
	}
}
