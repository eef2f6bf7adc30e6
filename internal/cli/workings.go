package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/workings"
)

func workingsVerb() *verb {
	return &verb{
		name: "workings", args: "[CAR] [SUBJECT]", most: 2,
		purpose: "do the sums and show them so that they can be redone by hand",
		more: `Mass, insulation, joints, pack, restraint, brakes, distance, driving, custody. Each sum shows its steps with the
numbers put in, where each number is recorded, the formula and its source, and what it lacks: a sum
without its input is not computed and never zero. They are sums for an engineer, not an approval.
--move works out what moving a mass or a part along the car would do to the axles before it is moved.
--store adds up what a store holds on that day, of one car or of all cars of the yard, never mixing currencies;
what a part is worth is a private value, so without --private there is only a count.`,
		examples: []string{"workings tern mass", "workings tern --on 2026-06-15", "workings insulation --json", "workings tern custody --private",
			"workings tern mass --move '51 kg by 1.90 m'", "workings tern mass --move 'rear-pack to 2050 mm'",
			"workings --store loft --private --on 2026-06-15"},
		flags: []cli.Flag{onFlag(), atFlag(), jsonFlag(), privateFlag(),
			&cli.StringFlag{Name: "move", Usage: "work out one `MOVE` instead: a mass or part, \"by\" a length (rearward unless it says forward), or \"to\" a place behind the front axle"},
			&cli.StringFlag{Name: "store", Usage: "the `STORE` meant, by the end of its name"}},
		run: runWorkings, words: carNames,
	}
}

func runWorkings(c *cli.Context, env Env) error {
	word, subjectWord := c.Args().First(), c.Args().Get(1)
	if c.NArg() == 1 {
		if _, err := app.Subject(word); err == nil { // a lone word may be a subject: then the car is the one stood in
			word, subjectWord = "", word
		}
	}
	var subject workings.Subject
	if subjectWord != "" {
		s, err := app.Subject(subjectWord)
		if err != nil {
			return err
		}
		subject = s
	}
	if c.IsSet("move") && subject != "" && subject != workings.Mass {
		return &app.Usage{Message: "--move is about masses, not about " + subjectWord, Hint: "boltback workings CAR mass --move 'MASS by LENGTH'"}
	}
	if c.IsSet("store") {
		return runStoreValue(c, env, word, subject)
	}
	day, car, err := dayAndCar(c, env, word)
	if err != nil {
		return err
	}
	sums, err := sumsAsked(c, env, car, day, subject)
	if err != nil {
		return err
	}
	return env.saySums(c, sums)
}

// runStoreValue adds up what a store holds, over one car or all that are here.
func runStoreValue(c *cli.Context, env Env, word string, subject workings.Subject) error {
	if c.IsSet("move") || subject != "" && subject != workings.Custody {
		return &app.Usage{Message: "--store is a sum by itself, of custody", Hint: "boltback workings --store STORE"}
	}
	day, err := today(c, env)
	if err != nil {
		return err
	}
	cars, err := env.App.Find(word)
	if err != nil {
		return err
	}
	sums, err := env.App.StoreValue(cars, c.String("store"), c.String("at"), day, c.Bool("private"))
	if err != nil {
		return err
	}
	return env.saySums(c, sums)
}

// saySums prints workings as pages or as JSON.
func (env Env) saySums(c *cli.Context, sums app.Sums) error {
	if c.Bool("json") {
		return workings.Encode(env.Stdout, sums.Heading, sums.Workings)
	}
	for _, section := range append([]*doc.Section{dossier.WorkingsOf(sums.Heading)}, dossier.Workings(sums.Workings, sums.Pictures)...) {
		if err := env.print(section); err != nil {
			return err
		}
	}
	return nil
}

// sumsAsked makes the sums of the records, or those of a move that somebody thinks of.
func sumsAsked(c *cli.Context, env Env, car app.Car, day edtf.Day, subject workings.Subject) (app.Sums, error) {
	if c.IsSet("move") {
		return env.App.Move(car, c.String("at"), day, c.String("move"))
	}
	return env.App.Workings(car, c.String("at"), day, subject, c.Bool("private"))
}
