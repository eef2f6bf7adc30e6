package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
)

func sheetVerb() *verb {
	return &verb{
		name: "sheet", args: "JOB [CAR]", daily: true, least: 1, most: 2,
		purpose: "print a sheet for the bench, to be filled in with a pen",
		more: `JOB is strip-down, fitting, tightening, dead-test, weighing, hole-survey, stock-take, or clock: the page
that is photographed beside the bench clock with each camera. What the records know is printed in its
box, with the cautions of the job and a code by which a picture of the sheet is recognised. A PDF file is
written; a day named with --on is printed in its box too. On a fitting sheet stand new parts, and those
taken off for another purpose than the conversion. Print at full size.
With --table a table is written for whoever types at a desk, of a strip-down or a stock-take: what the
records know is filled in, and the numbers of the tags that come next. Mark in the first column what came
off, name what is new (4m8 under Fasteners is 4 × M8), and record --csv takes the file; other rows are left out.`,
		examples: []string{"sheet strip-down tern --zone 'boot floor' --out strip-down.pdf", "sheet tightening tern --unit lbf.ft --out tightening.pdf",
			"sheet stock-take tern --store loft --who Ines --on 2026-03-02 --out loft.pdf", "sheet strip-down tern --table --blank 80 --who ines --on 2026-03-02 --out strip-down.csv", "sheet clock --out clock.pdf"},
		flags: []cli.Flag{
			outFlag(), paperFlag(),
			&cli.BoolFlag{Name: "table", Usage: "write a CSV file to fill in at a desk instead of a page"},
			&cli.StringFlag{Name: "zone", Usage: "only what is in this `ZONE` of the car"},
			&cli.StringFlag{Name: "store", Usage: "the `STORE` meant, by the end of its name"},
			&cli.StringFlag{Name: "session", Usage: "name the session `NAME` in the code, such as 2025-09-16-ines-tank-out"},
			&cli.StringFlag{Name: "who", Usage: "print `NAME` as who does the work"},
			&cli.StringFlag{Name: "unit", Usage: "boxes in this `UNIT`: N·m or lbf·ft for tightening, kg or lb for weighing"},
			&cli.IntFlag{Name: "blank", Usage: "print `N` empty rows after the known ones; without it they fill the page"},
			onFlag(), atFlag(),
		},
		run: runSheet,
		words: func(env Env) []string {
			return append(append(app.SheetJobs(), clockSheet), carNames(env)...)
		},
	}
}

// clockSheet is the name of the sheet that is of no car.
const clockSheet = "clock"

func runSheet(c *cli.Context, env Env) error {
	if err := forPaper(c, env); err != nil && !c.Bool("table") {
		return err
	}
	if c.Args().First() == clockSheet {
		return runClock(c, env)
	}
	if err := env.App.SheetJob(c.Args().First()); err != nil {
		return err
	}
	day, car, err := dayAndCar(c, env, c.Args().Get(1))
	if err != nil {
		return err
	}
	o := app.SheetOrder{
		Job: c.Args().First(), Paper: c.String("paper"), Zone: c.String("zone"), Store: c.String("store"), Session: c.String("session"),
		Who: c.String("who"), Unit: c.String("unit"), Day: day, DayGiven: c.IsSet("on"), At: c.String("at"), Blank: -1,
	}
	if c.IsSet("blank") {
		if o.Blank = c.Int("blank"); o.Blank < 0 || o.Blank > mostBlank {
			return &app.Usage{Message: "that many empty rows cannot be printed", Hint: "--blank takes a number from 0 to 500"}
		}
	}
	write := env.App.Sheet
	if c.Bool("table") {
		write = env.App.SheetTable
	}
	p, err := write(car, o)
	if err != nil {
		return err
	}
	return env.hand(c, p)
}

// mostBlank is how many empty rows are printed at once.
const mostBlank = 500

// runClock prints the page of the bench clock, on which nothing of a car can stand.
func runClock(c *cli.Context, env Env) error {
	if c.NArg() > 1 {
		return &app.Usage{Message: "the clock's page is of no car", Hint: "boltback sheet clock --out clock.pdf"}
	}
	for _, name := range []string{"zone", "store", "session", "who", "unit", "blank", "at", "table"} {
		if c.IsSet(name) {
			return &app.Usage{Message: "--" + name + " says nothing on the clock's page", Hint: "boltback sheet clock takes --on, --paper and --out"}
		}
	}
	day, err := today(c, env)
	if err != nil {
		return err
	}
	p, err := env.App.ClockSheet(c.String("paper"), day)
	if err != nil {
		return err
	}
	return env.hand(c, p)
}
