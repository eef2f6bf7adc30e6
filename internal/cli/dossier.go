package cli

import (
	"bytes"
	"fmt"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/doc"
	"boltback/internal/render"
)

func dossierVerb() *verb {
	return &verb{
		name: "dossier", args: "[CAR]", daily: true, most: 1,
		purpose: "write the car's dossier as one page that needs nothing else",
		more: `The page is one HTML file: pictures are in it, nothing is fetched, no script runs.
It prints on A4 and Letter and reads on a phone.`,
		examples: []string{"dossier tern --out tern.html", "dossier tern --format text"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "out", Usage: "write to `FILE` instead of standard output"},
			&cli.StringFlag{Name: "format", Usage: "`FORMAT` is html or text", Value: "html"},
			onFlag(),
		},
		run: runDossier, words: carNames,
	}
}

func runDossier(c *cli.Context, env Env) error {
	format := c.String("format")
	if format != "html" && format != "text" {
		return &app.Usage{Message: "there is no format " + format, Hint: "--format html or --format text"}
	}
	day, err := today(c, env)
	if err != nil {
		return err
	}
	car, err := env.App.One(c.Args().First())
	if err != nil {
		return err
	}
	document, err := env.App.Dossier(car, day)
	if err != nil {
		return err
	}
	page, err := renderAs(c, env, document, format)
	if err != nil {
		return err
	}
	out := c.String("out")
	if out == "" || out == "-" {
		_, err := env.Stdout.Write(page)
		return err
	}
	path, err := env.App.Files.Absolute(out)
	if err != nil {
		return err
	}
	if _, err := env.App.Files.Replace(path, page); err != nil {
		return fmt.Errorf("write %s: %w", out, err)
	}
	return nil
}

func renderAs(c *cli.Context, env Env, document *doc.Document, format string) ([]byte, error) {
	var page bytes.Buffer
	var err error
	if format == "text" {
		err = render.Text(&page, document, render.TextOptions{Width: env.Width})
	} else {
		err = render.HTML(c.Context, &page, document)
	}
	return page.Bytes(), err
}
