package cli

import (
	"slices"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// dueWithin is how many days ahead is looked where nobody says.
const dueWithin = 60

func dueVerb() *verb {
	return &verb{
		name: "due", args: "[CAR]", most: 1,
		purpose: "tell what is overdue or falls due soon, in a car or in all cars of a yard",
		more: `Fuel tanks off the car that were not read gas-free, what is to be read before anything comes off, open concerns, parts that are out, found parts that nobody has seen for too long or that a stock-take
missed, preservation, calibrations and licences, joints to be tightened again by the odometer, and stamps of an outside clock that have
to be covered by another before the certificates behind them end. The exit status is 1 where something is overdue.`,
		examples: []string{"due", "due tern --within 90", "due --on 2026-06-01 --json"},
		flags:    []cli.Flag{&cli.IntFlag{Name: "within", Usage: "look `DAYS` days ahead; without it 60"}, onFlag(), atFlag(), jsonFlag()},
		run:      runDue, words: carNames,
	}
}

func runDue(c *cli.Context, env Env) error {
	day, err := today(c, env)
	if err != nil {
		return err
	}
	days := dueWithin
	if c.IsSet("within") {
		days = c.Int("within")
	}
	if days < 0 || days > 36500 {
		return &app.Usage{Message: "that many days ahead cannot be looked", Hint: "--within takes a number from 0 to 36500"}
	}
	cars, err := env.App.Find(c.Args().First())
	if err != nil {
		return err
	}
	all, err := env.App.Due(cars, c.String("at"), day, days)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		err = finding.WriteJSON(env.Stdout, dueAnswer{"1", day.String(), dueThings(all)})
	} else {
		for _, one := range all {
			if err = env.print(dossier.Due(one.Work, one.List, day, days, one.Car.Name)); err != nil {
				return err
			}
		}
	}
	late := func(one app.CarDue) bool {
		return slices.ContainsFunc(one.List, func(d replay.Due) bool { return d.Overdue })
	}
	if err == nil && slices.ContainsFunc(all, late) {
		return errFound
	}
	return err
}

// dueAnswer is the shape of due --json.
type dueAnswer struct {
	Edition string     `json:"edition"`
	On      string     `json:"on"`
	Due     []dueThing `json:"due"`
}

// dueThing is one thing that is due.
type dueThing struct {
	Car     string         `json:"car"`
	Sort    replay.DueSort `json:"sort"`
	Thing   record.Ref     `json:"thing"`
	By      string         `json:"by,omitempty"`
	Overdue bool           `json:"overdue"`
	Why     string         `json:"why,omitempty"`
	Record  record.Ref     `json:"record,omitempty"`
}

func dueThings(all []app.CarDue) []dueThing {
	things := []dueThing{}
	for _, one := range all {
		for _, d := range one.List {
			thing := dueThing{Car: one.Car.Name, Sort: d.Sort, Thing: d.Thing, Overdue: d.Overdue, Why: d.Why, Record: d.Record}
			if !d.On.IsZero() {
				thing.By = d.On.String()
			}
			things = append(things, thing)
		}
	}
	return things
}
