package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/requirement"
)

func forFlag() cli.Flag {
	return &cli.StringSliceFlag{Name: "for", Usage: "the requirement `SET`; assess, reversal and handover take several"}
}

func requirementsVerb() *verb {
	return &verb{
		name: "requirements", args: "[SET]", most: 1,
		purpose: "list the requirement sets, or show what one of them asks",
		more: `A set says what an authority, an insurer or good practice asks of a converted car, with clause and test.
Each says how its texts are known: read, second-hand, or recalled. A set whose law was not read lists
questions and judges nothing. They are an aid; the authority decides.`,
		examples: []string{"requirements", "requirements us-virginia", "requirements --facts"},
		flags:    []cli.Flag{&cli.BoolFlag{Name: "facts", Usage: "list the facts that tests of sets may ask for"}, carFlag(), onFlag(), atFlag()},
		run:      runRequirements, words: func(Env) []string { return app.ShippedSets() },
	}
}

func runRequirements(c *cli.Context, env Env) error {
	if c.Bool("facts") {
		return env.print(dossier.FactCatalogue(requirement.Subjects()))
	}
	day, err := today(c, env)
	if err != nil {
		return err
	}
	var car *app.Car
	if one, err := env.App.One(c.String("car")); err == nil {
		car = &one
	} else if c.String("car") != "" {
		return err
	}
	if name := c.Args().First(); name != "" {
		sets, err := env.App.RequirementSets(car, c.String("at"), day, name)
		if err != nil {
			return err
		}
		if err := env.print(dossier.RequirementSet(sets[0])); err != nil {
			return err
		}
		return env.setFaults(sets)
	}
	sets, err := env.App.RequirementSets(car, c.String("at"), day)
	if err != nil {
		return err
	}
	if err := env.print(dossier.RequirementSets(sets)); err != nil {
		return err
	}
	return env.setFaults(sets)
}

// setFaults shows what is wrong with the sets themselves.
func (e Env) setFaults(sets []*requirement.Set) error {
	var err error
	for _, set := range sets {
		for _, f := range set.Findings {
			if _, werr := e.Stderr.Write([]byte(f.String() + "\n")); werr != nil {
				return werr
			}
			if f.Hint != "" {
				_, _ = e.Stderr.Write([]byte("  " + f.Hint + "\n"))
			}
			err = errFound
		}
	}
	return err
}

func assessVerb() *verb {
	return &verb{
		name: "assess", args: "[CAR]", most: 1,
		purpose: "hold a car against requirement sets: is the evidence complete, and do the figures hold",
		more: `Each item is met, not met, too close to call, lacks evidence (and then says what would settle it), is for
the inspector, or does not apply. Without --for the sets that the car pins are asked, or the technical
baseline. --compare takes a day, another set, or the word shipped, and says what flipped and why. Exit
status 1 where anything is not met, too close, missing or faulty. An aid: the authority decides.`,
		examples: []string{"assess tern --for us-virginia", "assess tern --for technical-baseline --compare 2026-03-01", "assess tern --for fr-retrofit --compare technical-baseline --json"},
		flags: []cli.Flag{forFlag(), &cli.StringFlag{Name: "compare", Usage: "say what flips against `WHAT`: a day, another set, or shipped"},
			onFlag(), atFlag(), jsonFlag()},
		run: runAssess, words: carNames,
	}
}

func runAssess(c *cli.Context, env Env) error {
	day, car, err := dayAndCar(c, env, c.Args().First())
	if err != nil {
		return err
	}
	a, err := env.App.Assess(car, c.String("at"), day, c.StringSlice("for"))
	if err != nil {
		return err
	}
	var sets []*requirement.Set
	for _, one := range a.All {
		sets = append(sets, one.Set)
	}
	switch with := c.String("compare"); {
	case with != "":
		return compared(env, a, with, c.Bool("json"))
	case c.Bool("json"):
		err = requirement.Encode(env.Stdout, day.String(), a.All)
	default:
		for _, one := range a.All {
			if err = env.print(dossier.Requirements(one)); err != nil {
				return err
			}
		}
	}
	if err != nil {
		return err
	}
	if err := env.setFaults(sets); err != nil {
		return err
	}
	for _, one := range a.All {
		if one.Worst().Open() {
			return errFound
		}
	}
	return nil
}

// compared prints what flips, and shows the faults of both sets.
func compared(env Env, a app.Assessed, with string, asJSON bool) error {
	before, err := env.App.Against(a, with)
	if err != nil {
		return err
	}
	after := a.All[0]
	flips := requirement.Compare(before, after)
	if asJSON {
		err = requirement.EncodeCompared(env.Stdout, before, after)
	} else {
		err = env.print(dossier.Flipped(before, after, flips, requirement.Divide(before, after)))
	}
	if err != nil {
		return err
	}
	if err := env.setFaults([]*requirement.Set{before.Set, after.Set}); err != nil {
		return err
	}
	if len(flips) > 0 {
		return errFound
	}
	return nil
}
