package cli

import (
	"bytes"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/edtf"
	"boltback/internal/render"
)

func dossierVerb() *verb {
	return &verb{
		name: "dossier", args: "[CAR]", daily: true, most: 1,
		purpose: "write the car's dossier as one file that needs nothing else",
		more: `As html it is one page: pictures are in it, nothing is fetched, no script runs; it prints on A4 and Letter
and reads on a phone. As pdf it has bookmarks, links, its structure for readers that speak, and the records
that it was computed from as one JSON file inside it. Without --paper a PDF file is for the paper the yard is
used to, and of a page the printer decides.`,
		examples: []string{"dossier tern --out tern.html", "dossier tern --format pdf --paper letter --out tern.pdf", "dossier tern --format text"},
		flags: []cli.Flag{
			outFlag(),
			&cli.StringFlag{Name: "format", Usage: "`FORMAT` is html, pdf or text", Value: "html"},
			paperFlag(),
			onFlag(), atFlag(),
		},
		run: runDossier, words: carNames,
	}
}

func runDossier(c *cli.Context, env Env) error {
	format := c.String("format")
	if format != "html" && format != "text" && format != "pdf" {
		return &app.Usage{Message: "there is no format " + format, Hint: "--format html, pdf or text"}
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
	if format == "pdf" {
		return dossierPDF(c, env, car, day, paper)
	}
	d, err := env.App.Dossier(car, c.String("at"), day)
	if err != nil {
		return err
	}
	var page bytes.Buffer
	if format == "text" {
		err = render.Text(&page, d.Document, render.TextOptions{Width: env.Width})
	} else {
		err = render.HTML(c.Context, &page, d.Document, render.HTMLOptions{Paper: paper})
	}
	if err != nil {
		return err
	}
	return env.deliver(c, page.Bytes())
}

// dossierPDF writes the dossier with its records inside, and says which characters could not be printed.
func dossierPDF(c *cli.Context, env Env, car app.Car, day edtf.Day, paper render.Paper) error {
	d, err := env.App.DossierForPaper(car, c.String("at"), day)
	if err != nil {
		return err
	}
	if paper == "" {
		if paper, err = paperNamed(d.Paper); err != nil {
			return err
		}
	}
	var file bytes.Buffer
	lacking, err := render.PDF(c.Context, &file, d.Document, render.PDFOptions{Paper: paper, Attachments: []render.PDFAttachment{{
		Name: d.RecordsName, Description: "the records that this dossier was computed from", MediaType: "application/json", Data: d.Records,
	}}})
	if err != nil {
		return err
	}
	if err := env.deliver(c, file.Bytes()); err != nil {
		return err
	}
	env.sayLacking(lacking)
	return nil
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
