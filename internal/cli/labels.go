package cli

import (
	"math"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
)

func labelsVerb() *verb {
	return &verb{
		name: "labels", args: "KIND", least: 1, most: 1,
		purpose: "print numbered tags and labels for parts, bags, crates and wires",
		more: `KIND is part, bag, crate or wire. Each label has a number with a check character, a code and room for a
word; nothing need be known of what it will hang on. All kinds share one series of numbers. In a yard or a
car the series goes on after the largest number in use there, and a number in use is refused. The sheets
are a4-2x7, a4-3x7, a4-3x8, a4-4x10, letter-2x5, letter-3x10, and a4-plain and letter-plain, which are plain
paper with lines to cut along. A PDF file is written; print it at full size.`,
		examples: []string{"labels part --out tags.pdf", "labels bag --from 240 --count 40 --grid a4-3x7 --skip 6 --out bags.pdf",
			"labels wire --words 'horn; left head lamp, blue' --out wires.pdf", "labels part --from 109 --count 1 --again --out lost.pdf", "labels bag --grid a4-3x7 --right 1.5 --down=-0.8 --out bags.pdf"},
		flags: []cli.Flag{
			&cli.IntFlag{Name: "from", Usage: "begin with number `N`; without it with the next one not in use"},
			&cli.IntFlag{Name: "count", Usage: "print `N` labels; without it one sheet full"},
			&cli.StringFlag{Name: "grid", Usage: "labels that lie on the sheet as `GRID` has them"},
			&cli.IntFlag{Name: "skip", Usage: "leave out the first `N` labels of the sheet, which are used up"},
			&cli.StringFlag{Name: "words", Usage: "print these `WORDS` on the labels in order, parted by semicolons"},
			&cli.BoolFlag{Name: "again", Usage: "print numbers that are in use already, for labels that were lost"},
			&cli.StringFlag{Name: "right", Usage: "shift the print by `MM` millimetres to the right, for a printer that is off; -1.5 is to the left"},
			&cli.StringFlag{Name: "down", Usage: "shift it by `MM` millimetres down; -2 is up"},
			paperFlag(), outFlag(),
		},
		run:   runLabels,
		words: func(Env) []string { return app.LabelKinds() },
	}
}

func runLabels(c *cli.Context, env Env) error {
	if err := forPaper(c, env); err != nil {
		return err
	}
	o := app.LabelOrder{
		Kind: c.Args().First(), From: -1, Count: c.Int("count"), Skip: c.Int("skip"),
		Grid: c.String("grid"), Paper: c.String("paper"), Again: c.Bool("again"),
	}
	if c.IsSet("from") {
		if o.From = c.Int("from"); o.From < 0 {
			return &app.Usage{Message: "a number below 0 is on no label", Hint: "--from takes a number from 0"}
		}
	}
	if c.IsSet("count") && o.Count < 1 {
		return &app.Usage{Message: "no label is left to print", Hint: "--count takes a number from 1 to 2000"}
	}
	var err error
	if o.Right, err = millimetres(c, "right"); err != nil {
		return err
	}
	if o.Down, err = millimetres(c, "down"); err != nil {
		return err
	}
	if words := c.String("words"); words != "" {
		for _, w := range strings.Split(words, ";") {
			o.Words = append(o.Words, strings.TrimSpace(w))
		}
	}
	p, err := env.App.Labels(o)
	if err != nil {
		return err
	}
	return env.hand(c, p)
}

// millimetres reads a shift; both 1.5 and 1,5 are one and a half.
func millimetres(c *cli.Context, name string) (float64, error) {
	text := c.String(name)
	if text == "" {
		return 0, nil
	}
	mm, err := strconv.ParseFloat(strings.Replace(text, ",", ".", 1), 64)
	if err != nil || math.IsNaN(mm) {
		return 0, &app.Usage{Message: "--" + name + " " + text + " is no number of millimetres", Hint: "measure on a printed sheet how far off it is: --" + name + " 1.5"}
	}
	return mm, nil
}
