package cli

import (
	"errors"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/record"
)

// waysOver are how a car goes from one keeper to the next, as a transfer says it.
var waysOver = []string{"sale", "gift", "inheritance", "for work", "back from work", "loan", "not stated"}

func receiveVerb() *verb {
	return &verb{
		name: "receive", args: "BAG", least: 1, most: 1,
		purpose: "take the car of a bag into the yard, with its whole history",
		more: `BAG is the folder of a bag as handover writes it, or the .zip or .tar.gz that it is packed into. It is checked whole before anything is written, the id of every object
of the history is worked out anew, and the plain files are held against it; what does not hold is refused with the
reason. No hook and no configuration comes along. That the car came
is written as the next commit: the day, the distance, who has it, and which parts the records leave off the car; say of
those with boltback correct or a stock-take what came. People and keys of the workshop before stay theirs, and its keys count until
this commit. Received once more, a bag adds nothing; a newer bag of a car that is here, such as one that comes back, brings it up to
date; where both copies went on, it is refused and the commit named at which they part. A bag made with --copy is taken without a
receipt: the records go on where it came from.`,
		examples: []string{"receive tern-bag --distance '61540 mi' --by odile --how sale"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "by", Usage: "`PERSON` by whom: who signed in ink, or who of this workshop receives it"},
			&cli.StringFlag{Name: "distance", Usage: "the odometer as `READ`, with its unit"},
			&cli.StringFlag{Name: "how", Usage: "`HOW` it came: " + strings.Join(waysOver, ", ")},
			&cli.StringFlag{Name: "name", Usage: "the car's `HANDLE` here, where it is to be another"},
			onFlag(),
		},
		run: runReceive,
	}
}

func runReceive(c *cli.Context, env Env) error {
	day, err := today(c, env)
	if err != nil {
		return err
	}
	if how := c.String("how"); how != "" && !slices.Contains(waysOver, how) {
		return &app.Usage{Message: "a car does not come by " + c.String("how"), Hint: "--how takes one of: " + strings.Join(waysOver, ", ")}
	}
	done, err := env.App.Receive(c.Context, app.ReceiveRequest{
		Bag: c.Args().First(), Name: c.String("name"), By: record.Ref(c.String("by")), Distance: c.String("distance"), How: c.String("how"), On: day, Press: env.press(""),
	})
	var doubtful *app.Doubtful
	switch {
	case errors.As(err, &doubtful):
		return errors.Join(env.print(doc.Lead("The bag is refused, and nothing was written: {}.", doubtful.Error())), errFound)
	case err != nil:
		return err
	case done.Refused:
		list := append(dossier.Findings(done.Report.Findings).Blocks, doc.Lead("The bag is refused, and nothing was written."))
		return errors.Join(env.print(list...), errFound)
	case done.Again:
		return env.print(doc.Lead("{} is here already, with all of the bag's history. Nothing was added.", finding.Printable(done.Car.Name)))
	}
	return env.sayReceived(done)
}

// sayReceived says what came, and whether the receipt counts.
func (env Env) sayReceived(done app.Received) error {
	if len(done.Report.Findings) > 0 {
		if err := env.print(dossier.Findings(done.Report.Findings).Blocks...); err != nil {
			return err
		}
	}
	for _, doubt := range done.Doubts {
		env.note("%s", doubt)
	}
	name := finding.Printable(done.Car.Name)
	came := "{} is in the yard."
	if done.Newer {
		came = "{} was here, and is up to date now."
	}
	if done.Copy {
		return env.print(doc.Lead(came+" It is a copy: the records go on where it came from, so no receipt was written.", name))
	}
	if err := env.written(done.Written, nil); err != nil {
		return err
	}
	counts := "The receipt is signed with a key that counts, so the records go on without a break."
	if !done.Counts {
		counts = "The receipt does not count in verify (" + done.Standing.String() + "): nobody whose key counted let in a key that signed it, so it is the word of this workshop alone. " +
			"The keys of the workshop before count on: bring them up to date with a copy (handover --copy), have them let yours in (keys --add), and receive their copy."
	}
	return env.print(doc.Lead(came+" Next: {} and {}.", name, doc.Literal("boltback verify "+name), doc.Literal("boltback stock-take "+name)), doc.Para(counts))
}
