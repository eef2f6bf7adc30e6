package cli

import (
	"fmt"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/record"
)

func whereVerb() *verb {
	return &verb{
		name: "where", args: "[CAR] TAG", daily: true, least: 1, most: 2,
		purpose: "say what a tag, bag or crate is on, where that is now, and when it was last seen",
		more: `It looks in the car one stands in, or in all cars of the yard. TAG is what is written: 0147, 0147-8,
'crate 3'. A tag that does not add up is answered with the character that is perhaps mistyped, and with
what the tag so meant is on; the exit status is 1 then, and where nothing is found.`,
		examples: []string{"where 0109", "where tern 0109-8", "where 'crate 3'", "where 0109 --on 2025-12-31 --json"},
		flags:    []cli.Flag{jsonFlag(), onFlag(), atFlag()},
		run:      runWhere, words: carNames,
	}
}

func runWhere(c *cli.Context, env Env) error {
	day, err := today(c, env)
	if err != nil {
		return err
	}
	word, typed := carAndWord(c)
	cars, err := env.App.Find(word)
	if err != nil {
		return err
	}
	w, err := env.App.Where(cars, typed, c.String("at"), day)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		err = finding.WriteJSON(env.Stdout, whereFound(typed, w))
	} else {
		err = env.sayWhere(typed, w)
	}
	if err == nil && (len(w.Found) == 0 || len(w.Meant) > 0) {
		return errFound
	}
	return err
}

func (env Env) sayWhere(typed string, w app.Whereabouts) error {
	switch {
	case len(w.Found) == 0 && w.Wrong != "":
		fmt.Fprintf(env.Stderr, "%s is on nothing here; %s\n", finding.Printable(typed), finding.Printable(w.Wrong))
	case len(w.Found) == 0:
		fmt.Fprintf(env.Stderr, "%s is on nothing here\n", finding.Printable(typed))
	case len(w.Meant) > 0:
		fmt.Fprintf(env.Stderr, "%s is on nothing here; perhaps meant:\n", finding.Printable(typed))
		for _, guess := range w.Meant {
			fmt.Fprintf(env.Stderr, "  %s\n", finding.Printable(guess.String()))
		}
	}
	for _, l := range w.Found {
		if err := env.print(dossier.Where(l.Work, l.State, l.Car.Name, l.Tagged)); err != nil {
			return err
		}
	}
	return nil
}

// whereAnswer is the shape of where --json.
type whereAnswer struct {
	Edition string       `json:"edition"`
	Asked   string       `json:"asked"`
	Perhaps []whereMeant `json:"perhaps"`
	Found   []whereThing `json:"found"`
}

// whereMeant is a tag that was perhaps meant.
type whereMeant struct {
	Tag  string `json:"tag"`
	Slip string `json:"slip"`
}

// whereThing is one thing that bears the tag.
type whereThing struct {
	Car    string          `json:"car"`
	On     string          `json:"on"`
	Tag    string          `json:"tag"`
	Joints []record.Ref    `json:"joints,omitempty"`
	Parts  []app.PartPlace `json:"parts,omitempty"`
}

func whereFound(typed string, w app.Whereabouts) whereAnswer {
	answer := whereAnswer{"1", typed, []whereMeant{}, []whereThing{}}
	for _, guess := range w.Meant {
		answer.Perhaps = append(answer.Perhaps, whereMeant{string(guess.Tag), guess.String()})
	}
	for _, l := range w.Found {
		answer.Found = append(answer.Found, whereThing{l.Car.Name, l.On, l.Tag, l.Joints, l.Places()})
	}
	return answer
}
