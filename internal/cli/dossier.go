package cli

import (
	"bytes"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/render"
)

func dossierVerb() *verb {
	return &verb{
		name: "dossier", args: "[CAR]", daily: true, most: 1,
		purpose: "write the car's dossier as one file that needs nothing else",
		more: `As html it is one page: pictures are in it, nothing is fetched, no script runs; it prints on A4 and Letter
and reads on a phone. As pdf it has bookmarks, links, its structure for readers that speak, and the records
that it was computed from as one JSON file inside it; as json it is that file alone. A buyer's, an insurer's, an
inspector's or a mechanic's dossier has their questions for chapters, and says which of them the records do not answer. A
responder's is for the fire service, as pdf one sheet to keep in the car: in the order of ISO 17840, with its signs drawn plainly. It says
that it is not valid where records are missing or work has gone past them.
Private values are withheld from every reader unless --private asks for them, and then the first page says so. Without --paper a PDF file is for the paper the yard is
used to, and of a page the printer decides.`,
		examples: []string{"dossier tern --out tern.html", "dossier tern --format pdf --paper letter --out tern.pdf", "dossier tern --for buyer --format pdf --out tern-buyer.pdf", "dossier tern --for buyer --since tern-buyer.pdf --out newer.html", "dossier tern --for responder --format pdf --out on-the-visor.pdf", "dossier tern --for inspector --set us-virginia --format pdf --out tern-inspection.pdf", "dossier tern --for insurer --private --out tern-insurer.html"},
		flags: []cli.Flag{
			outFlag(),
			&cli.StringFlag{Name: "for", Usage: "`READER` is " + readerWords() + "; the keeper's is the complete one", Value: string(dossier.Keeper)},
			formatFlag("html"),
			paperFlag(),
			&cli.StringFlag{Name: "since", Usage: "tell first what is new, changed or withdrawn since the dossier that the reader `KEPT`: its file, or the commit it names"},
			&cli.StringSliceFlag{Name: "set", Usage: "hold the car against the requirement `SET` too; those that it pins are there anyway"},
			onFlag(), atFlag(), privateFlag(),
		},
		run: runDossier, words: carNames,
	}
}

func runDossier(c *cli.Context, env Env) error {
	format := c.String("format")
	if !slices.Contains([]string{"html", "pdf", "text", "json"}, format) {
		return &app.Usage{Message: "there is no format " + format, Hint: "--format html, pdf, text or json"}
	}
	reader := dossier.Reader(c.String("for"))
	if !slices.Contains(dossier.Readers(), reader) {
		return &app.Usage{Message: "there is no reader " + string(reader), Hint: "--for " + readerWords()}
	}
	if err := fitsReader(c, reader); err != nil {
		return err
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
	o := app.DossierOptions{Reader: reader, At: c.String("at"), On: day, Since: c.String("since"), Sets: c.StringSlice("set"), Private: c.Bool("private")}
	switch format {
	case "pdf":
		return dossierPDF(c, env, car, o, paper)
	case "json":
		d, err := env.App.DossierForPaper(car, o)
		if err != nil {
			return err
		}
		return env.deliver(c, d.Records)
	}
	d, err := env.App.Dossier(car, o)
	if err != nil {
		return err
	}
	return env.deliverAs(c, d.Document, format, render.PDFOptions{Paper: paper})
}

// deliverAs writes a document as html, text or pdf; of a PDF file it says which characters could not be printed.
func (env Env) deliverAs(c *cli.Context, d *doc.Document, format string, o render.PDFOptions) (err error) {
	var page bytes.Buffer
	var lacking []rune
	switch format {
	case "pdf":
		lacking, err = render.PDF(c.Context, &page, d, o)
	case "text":
		err = render.Text(&page, d, render.TextOptions{Width: env.Width, Bold: env.Width > 0 && c.String("out") == ""})
	default:
		err = render.HTML(c.Context, &page, d, render.HTMLOptions{Paper: o.Paper})
	}
	if err == nil {
		err = env.deliver(c, page.Bytes())
	}
	if err == nil {
		env.sayLacking(lacking)
	}
	return err
}

// fitsReader refuses what makes no sense on a sheet that hangs in the car for everybody to read.
func fitsReader(c *cli.Context, reader dossier.Reader) error {
	switch {
	case reader != dossier.Responder:
	case c.String("since") != "":
		return &app.Usage{Message: "a sheet for first responders is not held against an older one", Hint: "print it anew, and take the older one off the car; --since serves the other readers"}
	case len(c.StringSlice("set")) > 0:
		return &app.Usage{Message: "a sheet for first responders is held against no requirement set", Hint: "leave --set out; it serves the other readers"}
	case c.Bool("private"):
		return &app.Usage{Message: "a sheet for first responders hangs in the car and shows nothing private", Hint: "leave --private out"}
	}
	return nil
}

// dossierPDF writes the dossier with its records inside, and says which characters could not be printed.
func dossierPDF(c *cli.Context, env Env, car app.Car, o app.DossierOptions, paper render.Paper) error {
	d, err := env.App.DossierForPaper(car, o)
	if err != nil {
		return err
	}
	if paper == "" {
		if paper, err = paperNamed(d.Paper); err != nil {
			return err
		}
	}
	return env.deliverAs(c, d.Document, "pdf", render.PDFOptions{Paper: paper, Attachments: []render.PDFAttachment{{
		Name: d.RecordsName, Description: "the records that this dossier was computed from", MediaType: "application/json", Data: d.Records,
	}}})
}

// habitualPaper is the paper that a car's yard is used to.
func (env Env) habitualPaper(car app.Car) (render.Paper, error) {
	habit, err := env.App.Paper(car)
	if err != nil {
		return "", err
	}
	return paperNamed(habit)
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

// readerWords lists the readers for a sentence.
func readerWords() string {
	var words []string
	for _, r := range dossier.Readers() {
		words = append(words, string(r))
	}
	return strings.Join(words[:len(words)-1], ", ") + " or " + words[len(words)-1]
}
