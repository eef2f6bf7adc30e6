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

func stockTakeVerb() *verb {
	return &verb{
		name: "stock-take", args: "[CAR]", most: 1,
		purpose: "tell what should lie where, and what the last stock-takes saw, missed and found too much",
		more: `A sealed crate whose seal was found unbroken was not opened, and that is said. What a stock-take missed is
not called lost. A stock-take is written down with "seen" on the fast line (record CAR), or as a table
(record --csv FILE); a place where nothing was is "seen nothing, loft crate 3", or a row without a part that
says nothing. "sheet stock-take" prints the page for it. The exit status is 1 where a part was missed
and has not been seen since.`,
		examples: []string{"stock-take", "stock-take tern --store loft", "stock-take tern --on 2026-06-01 --json"},
		flags: []cli.Flag{&cli.StringFlag{Name: "store", Usage: "the `STORE` meant, by the end of its name"},
			onFlag(), atFlag(), jsonFlag()},
		run: runStockTake, words: carNames,
	}
}

func runStockTake(c *cli.Context, env Env) error {
	day, err := today(c, env)
	if err != nil {
		return err
	}
	cars, err := env.App.Find(c.Args().First())
	if err != nil {
		return err
	}
	all, err := env.App.StockTake(cars, c.String("store"), c.String("at"), day)
	if err != nil {
		return err
	}
	answer := stockAnswer{"1", day.String(), []stockPlace{}}
	for _, one := range all {
		state := one.Work.On(day)
		for _, shelf := range one.Shelves {
			answer.Places = append(answer.Places, stockPlaceOf(one, shelf, state))
		}
		if c.Bool("json") {
			continue
		}
		if err := env.print(dossier.StockTakes(one.Work, one.Shelves, day, one.Car.Name)); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		err = finding.WriteJSON(env.Stdout, answer)
	}
	if err == nil && slices.ContainsFunc(answer.Places, func(p stockPlace) bool { return len(p.NotSeenSince) > 0 }) {
		return errFound
	}
	return err
}

// stockAnswer is the shape of stock-take --json.
type stockAnswer struct {
	Edition string       `json:"edition"`
	On      string       `json:"on"`
	Places  []stockPlace `json:"places"`
}

// stockPlace is a place with what should lie there and what its last stock-take found.
type stockPlace struct {
	Car      string       `json:"car"`
	Store    record.Ref   `json:"store,omitempty"`
	Place    string       `json:"place,omitempty"`
	Holds    []record.Ref `json:"holds"`
	Sealed   bool         `json:"sealed"`
	LookedAt string       `json:"looked-at,omitempty"`
	Unopened bool         `json:"unopened,omitempty"`
	// Nothing says that it was opened and nothing was there.
	Nothing     bool         `json:"nothing,omitempty"`
	Seen        []record.Ref `json:"seen,omitempty"`
	Missed      []record.Ref `json:"missed,omitempty"`
	NotExpected []record.Ref `json:"not-expected,omitempty"`
	// NotSeenSince are those missed that no line has seen since.
	NotSeenSince []record.Ref `json:"not-seen-since,omitempty"`
}

func stockPlaceOf(one app.CarStores, shelf replay.Shelf, state *replay.State) stockPlace {
	p := stockPlace{Car: one.Car.Name, Store: shelf.Store, Place: shelf.Place, Holds: shelf.Holds, Sealed: shelf.Sealed != replay.NoStep}
	if p.Holds == nil {
		p.Holds = []record.Ref{}
	}
	take := shelf.Last
	if take == nil {
		return p
	}
	p.LookedAt, p.Unopened, p.Seen, p.Missed = one.Work.DayOf(take.Step).String(), take.Sealed, take.Seen, take.Missed
	p.Nothing = take.Nothing()
	for _, stray := range take.Strange {
		p.NotExpected = append(p.NotExpected, stray.Part)
	}
	for _, part := range take.Missed {
		if state.MissedBy(part) != replay.NoStep {
			p.NotSeenSince = append(p.NotSeenSince, part)
		}
	}
	return p
}
