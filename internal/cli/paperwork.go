package cli

import (
	"slices"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/render"
)

func paperworkVerb() *verb {
	return &verb{
		name: "paperwork", args: "[CAR]", most: 1,
		purpose: "make the papers that go to an authority: cover sheet, components, tests, masses, numbers, declarations",
		more: `In the authority's order, with the annexes numbered. Whoever must sign finds blanks: nothing is filled in
that the records do not carry. The authority's own form is named and has to be got from the authority.`,
		examples: []string{"paperwork tern --for us-virginia --out papers.pdf --format pdf", "paperwork tern --for heritage --format text"},
		flags: []cli.Flag{&cli.StringFlag{Name: "for", Usage: "the requirement `SET`; assess, reversal and handover take several"}, outFlag(),
			formatFlag("html"), paperFlag(), onFlag(), atFlag()},
		run: runPaperwork, words: carNames,
	}
}

func runPaperwork(c *cli.Context, env Env) error {
	format := c.String("format")
	if !slices.Contains([]string{"html", "pdf", "text"}, format) {
		return &app.Usage{Message: "there is no format " + format, Hint: "--format html, pdf or text"}
	}
	if c.String("for") == "" {
		return &app.Usage{Message: "--for is needed", Hint: "boltback requirements lists the sets"}
	}
	paper, err := paperNamed(c.String("paper"))
	if err != nil {
		return err
	}
	if format == "pdf" {
		if err := forPaper(c, env); err != nil {
			return err
		}
	}
	day, car, err := dayAndCar(c, env, c.Args().First())
	if err != nil {
		return err
	}
	if format == "pdf" && paper == "" {
		if paper, err = env.habitualPaper(car); err != nil {
			return err
		}
	}
	document, err := env.App.Paperwork(car, c.String("at"), day, c.String("for"))
	if err != nil {
		return err
	}
	return env.deliverAs(c, document, format, render.PDFOptions{Paper: paper})
}
