package cli

import (
	"bytes"
	"fmt"
	"strings"

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
			&cli.StringFlag{Name: "paper", Usage: "ask a printer for `SHEET`: a4 or letter; without it the printer decides"},
			onFlag(), atFlag(),
		},
		run: runDossier, words: carNames,
	}
}

func runDossier(c *cli.Context, env Env) error {
	format := c.String("format")
	if format != "html" && format != "text" {
		return &app.Usage{Message: "there is no format " + format, Hint: "--format html or --format text"}
	}
	paper, err := paperNamed(c.String("paper"))
	if err != nil {
		return err
	}
	day, err := today(c, env)
	if err != nil {
		return err
	}
	car, err := env.App.One(c.Args().First())
	if err != nil {
		return err
	}
	document, err := env.App.Dossier(car, c.String("at"), day)
	if err != nil {
		return err
	}
	page, err := renderAs(c, env, document, format, paper)
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

func renderAs(c *cli.Context, env Env, document *doc.Document, format string, paper render.Paper) ([]byte, error) {
	var page bytes.Buffer
	var err error
	if format == "text" {
		err = render.Text(&page, document, render.TextOptions{Width: env.Width})
	} else {
		err = render.HTML(c.Context, &page, document, render.HTMLOptions{Paper: paper})
	}
	return page.Bytes(), err
}

func paperNamed(word string) (render.Paper, error) {
	switch strings.ToLower(word) {
	case "":
		return "", nil
	case "a4":
		return render.A4, nil
	case "letter":
		return render.Letter, nil
	}
	return "", &app.Usage{Message: "there is no paper " + word, Hint: "--paper a4 or --paper letter"}
}
