package cli

import (
	"fmt"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
)

// csvFlags are the flags of record that are about tables.
func csvFlags() []cli.Flag {
	return []cli.Flag{
		&cli.StringFlag{Name: "csv", Usage: "take a table from `FILE`, or from standard input (-)"},
		&cli.BoolFlag{Name: "faulty-to-inbox", Usage: "save rows that cannot be taken to the inbox, and take the others"},
		&cli.StringFlag{Name: "date-shift", Usage: "add `DAYS` to every date of a table: 1462, -1462, or 0 to take them as they stand"},
		dryRunFlag(),
	}
}

// csvHelp says what tables are taken.
const csvHelp = `
With --csv a table is taken: parts, joints, strip-down, tightening, readings, or stock-take. What it lists is made out from
its columns, or said: record --csv FILE strip-down. Columns may stand in any order, under the words of the trade: Tag, Part,
Where it sat, Side, Fasteners, Size, Bag, Store, Crate; a unit stands in the cell, in the header (Mass (kg)) or in a row under
it. How the file is written is made out and said. What a spreadsheet damaged is refused at its line: lost zeros, numbers in
scientific form, numbers turned into dates, 1,234 that reads two ways. Formulas are text. Each row's fate is shown first;
then all rows are one commit, or none is written. The columns, by the first of several words each:
`

// csvWords lists the columns of each kind of table.
func csvWords() string {
	var b strings.Builder
	for _, kind := range app.TableKinds() {
		fmt.Fprintf(&b, "  %-11s %s\n", kind, strings.Join(app.TableWords(kind), " · "))
	}
	return strings.TrimSuffix(b.String(), "\n")
}

func runCSV(c *cli.Context, env Env) error {
	o := app.TableOrder{File: c.String("csv"), FaultyToInbox: c.Bool("faulty-to-inbox"), Message: c.String("message"), Kind: c.Args().First()}
	if c.NArg() > 1 {
		return &app.Usage{Message: "a table takes one word more at most: what it lists", Hint: "boltback record --csv FILE strip-down"}
	}
	if text := c.String("date-shift"); text != "" {
		days, err := strconv.Atoi(text)
		if err != nil || days < -40000 || days > 40000 {
			return &app.Usage{Message: "--date-shift " + text + " is no number of days", Hint: "--date-shift 1462, --date-shift=-1462, or 0"}
		}
		o.Shift, o.Asked = days, true
	}
	var err error
	if o.Text, err = env.readInput(o.File); err != nil {
		return err
	}
	if o.File == "-" {
		o.File = "table.csv"
	}
	d, err := desk(c, env)
	if err != nil {
		return err
	}
	plan, err := d.Table(o)
	if err != nil {
		return err
	}
	env.sayTable(o.File, plan)
	if err := env.print(dossier.Beside(hazardsOf(plan))...); err != nil {
		return err
	}
	if c.Bool("dry-run") {
		if plan.Faults() > 0 {
			return errFound
		}
		return nil
	}
	w, err := d.TakeTable(c.Context, o, plan)
	if err != nil {
		return err
	}
	return env.written(w, nil)
}

// hazardsOf are the hazards of all rows.
func hazardsOf(plan app.TablePlan) []string {
	var words []string
	for _, f := range plan.Fates {
		words = append(words, f.Hazards...)
	}
	return words
}

// sayTable shows how the file was understood, and the fate of each row.
func (env Env) sayTable(file string, plan app.TablePlan) {
	say := func(format string, args ...any) {
		fmt.Fprintln(env.Stderr, finding.Printable(fmt.Sprintf(format, args...)))
	}
	say("%s: %s; a table of %s; rows: %d, not taken: %d", file, plan.Table.Dialect, plan.Kind, len(plan.Fates), plan.Faults())
	for _, s := range plan.Table.Skipped {
		say("%s:%d: left out: %s", file, s.Line, s.Why)
	}
	for _, n := range append(plan.Table.Notes, plan.Notes...) {
		say("note: %s", n)
	}
	for _, f := range plan.Fates {
		if f.Fault == "" {
			say("%s:%d: %s", file, f.Line, f.Says)
		} else {
			say("%s:%d: not taken: %s", file, f.Line, f.Fault)
		}
		for _, n := range f.Notes {
			say("  note: %s", n)
		}
		if f.Fault != "" && f.Hint != "" {
			say("  %s", f.Hint)
		}
	}
}
