package cli

import (
	"bytes"
	"slices"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/render"
	"boltback/internal/reversal"
)

func reversalVerb() *verb {
	return &verb{
		name: "reversal", args: "[CAR]", most: 1,
		purpose: "say what it would take to put the car back, and list the work",
		more: `The statement has three lines, the worst on top, with the records for and against each; then the
work order, run through the same replay as the work itself, with a box to tick at each step. As pdf it is for
the bench, the work order on sheets of its own, with the statement as JSON inside the file; html prints as well.
--for prints what a requirement set says of the law on going back; without it those that the car pins are asked.
Exit status 1 says that it cannot be said, or that the car cannot be fully put back on the records.`,
		examples: []string{"reversal tern", "reversal tern --format pdf --out tern-back.pdf", "reversal tern --to 'before conversion' --statement tern-reversal.json",
			"reversal tern --suppose parts/carburettor=gone", "reversal tern --for it", "reversal tern --recheck tern-reversal.json"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "to", Usage: "restore the baseline called `NAME` instead of the root one"},
			&cli.StringSliceFlag{Name: "suppose", Usage: "assume what is not recorded: `PART=gone`"},
			&cli.StringFlag{Name: "statement", Usage: "store the statement with its steps in `FILE`"},
			&cli.StringFlag{Name: "recheck", Usage: "replay the steps of a statement stored in `FILE` and say what differs"},
			forFlag(), outFlag(), formatFlag("text"), paperFlag(),
			onFlag(), atFlag(), jsonFlag(),
		},
		run: runReversal, words: carNames,
	}
}

// reversalFormat reads --format, of which --json is the short form, and refuses what does not go together.
func reversalFormat(c *cli.Context, env Env) (string, error) {
	format := c.String("format")
	switch {
	case !slices.Contains([]string{"text", "html", "pdf", "json"}, format):
		return "", &app.Usage{Message: "there is no format " + format, Hint: "--format text, html, pdf or json"}
	case c.Bool("json") && c.IsSet("format") && format != "json":
		return "", &app.Usage{Message: "--json and --format " + format + " ask for two things", Hint: "--json is --format json"}
	case c.Bool("json"):
		format = "json"
	case format == "pdf" && c.String("recheck") == "":
		return format, forPaper(c, env)
	}
	if c.String("recheck") != "" && format != "text" && format != "json" {
		return "", &app.Usage{Message: "a recheck is printed as text or json", Hint: "leave --format out, or --format json"}
	}
	return format, nil
}

func runReversal(c *cli.Context, env Env) error {
	format, err := reversalFormat(c, env)
	if err != nil {
		return err
	}
	paper, err := paperNamed(c.String("paper"))
	if err != nil {
		return err
	}
	day, car, err := dayAndCar(c, env, c.Args().First())
	if err != nil {
		return err
	}
	if kept := c.String("recheck"); kept != "" {
		return recheck(c, env, car, kept, format)
	}
	answer, err := env.App.Reversal(car, app.ReversalRequest{At: c.String("at"), To: c.String("to"), On: day, Suppose: c.StringSlice("suppose"), For: c.StringSlice("for")})
	if err != nil {
		return err
	}
	if file := c.String("statement"); file != "" {
		if err := env.App.StoreStatement(file, answer.Statement); err != nil {
			return err
		}
	}
	if err := env.deliverStatement(c, car, answer, format, paper); err != nil {
		return err
	}
	if answer.Statement.Outcome >= reversal.NotFully {
		return errFound
	}
	return nil
}

// deliverStatement writes a statement in a format. A PDF file holds the statement as JSON too, so that its steps can be rechecked.
func (env Env) deliverStatement(c *cli.Context, car app.Car, answer app.Answer, format string, paper render.Paper) (err error) {
	var stored bytes.Buffer
	if err := answer.Statement.Encode(&stored); err != nil {
		return err
	}
	switch {
	case format == "json":
		return env.deliver(c, stored.Bytes())
	case format == "pdf" && paper == "":
		if paper, err = env.habitualPaper(car); err != nil {
			return err
		}
	}
	return env.deliverAs(c, answer.Document, format, render.PDFOptions{Paper: paper, Attachments: []render.PDFAttachment{{
		Name: car.Name + "-reversal.json", Description: "the statement with its steps, for reversal --recheck", MediaType: "application/json", Data: stored.Bytes(),
	}}})
}

func recheck(c *cli.Context, env Env, car app.Car, kept, format string) error {
	changes, err := env.App.Recheck(car, c.String("at"), kept)
	if err != nil {
		return err
	}
	if format == "json" {
		if changes == nil {
			changes = []reversal.Change{}
		}
		err = finding.WriteJSON(env.Stdout, recheckAnswer{"1", changes})
	} else {
		err = env.print(dossier.Rechecked(changes).Blocks...)
	}
	if err == nil && len(changes) > 0 {
		return errFound
	}
	return err
}

// recheckAnswer is the shape of reversal --recheck --json.
type recheckAnswer struct {
	Edition string            `json:"edition"`
	Changes []reversal.Change `json:"changes"`
}
