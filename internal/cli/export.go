package cli

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/finding"
	"boltback/internal/record"
)

func exportVerb() *verb {
	return &verb{
		name: "export", args: "[CAR] --as csv|jsonl", most: 1,
		purpose: "give out the records as tables for a spreadsheet, or line by line for a script",
		more: `csv is a table of one --kind, or with --out FOLDER a table of each kind; jsonl is every record in a line, exactly as it
was written. Records that were corrected or withdrawn are in it and marked. A private value is withheld: its digest
stands there. What a spreadsheet would compute as a formula gets an apostrophe before it, and each such cell is named;
record --csv takes the table of parts back, and the apostrophe off. A spreadsheet that guesses drops the zeros of a tag like 0147:
have it take all columns as text.`,
		examples: []string{"export tern --as csv --kind part --out parts.csv", "export tern --as csv --out tern-tables", "export tern --as jsonl --kind reading", "export tern --as jsonl --at 2026-03-02 --out tern.jsonl"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "as", Usage: "`FORM` is csv or jsonl"},
			&cli.StringFlag{Name: "kind", Usage: "the records of one `KIND`, as boltback schema lists them"},
			outFlag(), atFlag(),
		},
		run: runExport, words: carNames,
	}
}

func runExport(c *cli.Context, env Env) error {
	form, folder := c.String("as"), false
	switch {
	case form != "csv" && form != "jsonl":
		return &app.Usage{Message: "--as is csv or jsonl", Hint: "boltback export CAR --as csv --kind part"}
	case form == "csv" && c.String("kind") == "":
		if folder = true; c.String("out") == "" || c.String("out") == "-" {
			return &app.Usage{Message: "a csv file holds one kind of record", Hint: "name it with --kind part, or name a new folder for all of them with --out FOLDER"}
		}
	}
	var kind record.Kind
	if word := c.String("kind"); word != "" {
		k, err := app.KindNamed(word)
		if err != nil {
			return err
		}
		kind = k
	}
	car, err := env.App.One(c.Args().First())
	if err != nil {
		return err
	}
	x, err := env.App.Export(car, c.String("at"), form, kind)
	if err != nil {
		return err
	}
	if folder {
		err = env.App.SaveExport(x, c.String("out"))
	} else {
		err = env.deliver(c, x.Files[0].Content)
	}
	if err != nil {
		return err
	}
	return env.sayExport(x)
}

// mostNamed is how many cells are named one by one.
const mostNamed = 20

// sayExport says what is not in the files as it stands in the records.
func (env Env) sayExport(x app.Exported) error {
	for _, f := range x.Files {
		var places []string
		for _, spot := range f.Changed {
			places = append(places, fmt.Sprintf("row %d, %s", spot.Row, spot.Column))
		}
		if n := len(places); n > mostNamed {
			places = append(places[:mostNamed], fmt.Sprintf("and %d more", n-mostNamed))
		}
		if len(places) > 0 {
			env.note("%s: cells that would have been taken for a formula, or steered a terminal, are text now: %s", f.Name, strings.Join(places, "; "))
		}
	}
	if x.Withheld > 0 {
		env.note("private values withheld: %d; each can be shown by its disclosure in private/", x.Withheld)
	}
	for _, path := range x.Unread {
		env.note("%s cannot be read as a record and is not in it: boltback check says why", path)
	}
	if len(x.Unread) > 0 {
		return errFound
	}
	return nil
}

// note says something beside the product.
func (env Env) note(format string, args ...any) {
	fmt.Fprintln(env.Stderr, "note: "+finding.Printable(fmt.Sprintf(format, args...)))
}
