package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
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
--move works out what moving a mass or a part along the car would do to the axles before it is moved.`,
		examples: []string{"workings tern mass", "workings tern --on 2026-06-15", "workings insulation --json", "workings tern custody --private",
			"workings tern mass --move '51 kg by 1.90 m'", "workings tern mass --move 'rear-pack to 2050 mm'"},
		flags: []cli.Flag{onFlag(), atFlag(), jsonFlag(), privateFlag(),
			&cli.StringFlag{Name: "move", Usage: "work out one `MOVE` instead: a mass or part, \"by\" a length (rearward unless it says forward), or \"to\" a place behind the front axle"}},
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
	day, car, err := dayAndCar(c, env, word)
	if err != nil {
		return err
	}
	sums, err := sumsAsked(c, env, car, day, subject)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return workings.Encode(env.Stdout, sums.Heading, sums.Workings)
	}
	pictures := sums.Car.Pictures
	if c.IsSet("move") {
		pictures = nil // they show the car as it is
	}
	for _, section := range dossier.Workings(sums.Workings, pictures) {
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
