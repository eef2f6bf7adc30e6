package cli

import (
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

func showVerb() *verb {
	return &verb{
		name: "show", args: "[CAR] RECORD", least: 1, most: 2,
		purpose: "show one record in words, and what refers to it",
		more: `A record is named by its path without .json; the end of the name will do where it is enough.
A private value is withheld. With --private it is shown if its file lies in private/<car>/ and is the one whose digest stands in
the record; without that file nobody can read it, so destroying the file, wherever it was copied to, is enough to forget.`,
		examples: []string{"show parts/fuel-tank", "show tern fuel-tank", "show tern work/2025-10-06-ines-tank-out --json", "show tern 2025-09-08-brought-in --private", "show workshop people/tallow-lane/maud-pellerin"},
		flags:    []cli.Flag{jsonFlag(), atFlag(), privateFlag()},
		run:      runShow, words: carNames,
	}
}

func runShow(c *cli.Context, env Env) error {
	word, name := carAndWord(c)
	car, err := env.App.OneToShow(word, name)
	if err != nil {
		return err
	}
	s, _, err := env.App.At(car, c.String("at"))
	if err != nil {
		return err
	}
	r, err := app.Record(s, name)
	if err != nil {
		return err
	}
	if c.Bool("json") && c.Bool("private") {
		return &app.Usage{Message: "as JSON a record is its own file, which holds no private value", Hint: "--private without --json"}
	}
	if c.Bool("json") {
		_, err := env.Stdout.Write(finding.InJSON(r.Doc.Source)) // a record's JSON is the record itself
		return err
	}
	var disclosed dossier.Disclosed
	if c.Bool("private") {
		disclosed = env.App.Disclosed(car, s)
	}
	return env.print(dossier.Show(s, r, disclosed))
}

// carAndWord splits "[CAR] WORD": with one word there is no car.
func carAndWord(c *cli.Context) (car, word string) {
	if c.NArg() > 1 {
		return c.Args().First(), c.Args().Get(1)
	}
	return "", c.Args().First()
}

func listVerb() *verb {
	return &verb{
		name: "list", args: "[CAR] [KIND]", most: 2,
		purpose:  "list the records of a car, all or of one kind",
		examples: []string{"list", "list tern", "list tern parts", "list tern reading --json"},
		flags:    []cli.Flag{jsonFlag(), atFlag()},
		run:      runList, words: carNames,
	}
}

func runList(c *cli.Context, env Env) error {
	word, kindWord := c.Args().First(), c.Args().Get(1)
	if c.NArg() == 1 {
		if _, err := app.Kind(word); err == nil { // a lone word may be a kind: then the car is the one stood in
			word, kindWord = "", word
		}
	}
	var kind record.Kind
	if kindWord != "" {
		k, err := app.Kind(kindWord)
		if err != nil {
			return err
		}
		kind = k
	}
	cars, err := env.App.FindOrBook(word)
	if err != nil {
		return err
	}
	rows := []listed{}
	for _, car := range cars {
		s, _, err := env.App.At(car, c.String("at"))
		if err != nil {
			return err
		}
		if c.Bool("json") {
			rows = append(rows, listing(car, s, kind)...)
		} else if err := printList(env, s, car, kind, len(cars) > 1); err != nil {
			return err
		}
	}
	if c.Bool("json") {
		return finding.WriteJSON(env.Stdout, listedRecords{"1", rows})
	}
	return nil
}

func printList(env Env, s *ledger.Snapshot, car app.Car, kind record.Kind, several bool) error {
	section := dossier.List(s, kinds(kind)...)
	if several {
		section.Title += " of " + car.Name
		return env.print(section)
	}
	return env.print(section.Blocks...)
}

func kinds(kind record.Kind) []record.Kind {
	if kind == "" {
		return nil
	}
	return []record.Kind{kind}
}

// listedRecords is the shape of list --json.
type listedRecords struct {
	Edition string   `json:"edition"`
	Records []listed `json:"records"`
}

// listed is one record under list --json.
type listed struct {
	Car      string `json:"car"`
	Record   string `json:"record"`
	Kind     string `json:"kind"`
	Name     string `json:"name"`
	Standing string `json:"standing"`
	Digest   string `json:"digest"`
}

func listing(car app.Car, s *ledger.Snapshot, kind record.Kind) []listed {
	rows := []listed{}
	for _, r := range s.Records() {
		if kind == "" || r.Kind == kind {
			standing, _ := s.StandingOf(r)
			rows = append(rows, listed{car.Name, string(r.ID), string(r.Kind), strings.TrimSpace(r.Body.Heading().Name), standing.String(), string(r.Digest)})
		}
	}
	return rows
}
