package cli

import (
	"context"
	"fmt"
	"io"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/record"
	"boltback/internal/render"
)

func handoverVerb() *verb {
	return &verb{
		name: "handover", args: "CAR [OUT]", least: 1, most: 2,
		purpose: "put a car's records, with their whole history, into a bag for the next keeper",
		more: `OUT becomes a BagIt bag (RFC 8493), a folder, or packed if its name ends in .zip or .tar.gz: the repository as one file that git clones, the same records as
plain files, originals, a dossier, a paper to go through together and sign, and a README with steps to check
all of it with stock tools. Without OUT it is the car's handle with the day. The car itself is not changed.
Private values go as digests unless --with-private names their record; originals of titles, invoices, licences and
letters stay behind unless it names the paper. Secrets are in no record, and are handed over by hand.`,
		examples: []string{"handover tern-1500 --to 'the owner'", "handover tern-1500 tern-bag --to 'the owner' --with-private papers/registration-document"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "to", Usage: "`KEEPER` gets the car, as the papers shall call them"},
			&cli.StringSliceFlag{Name: "with-private", Usage: "disclose the private values of the record `REF`, or the original of that paper; may be given again"},
			paperFlag(), onFlag(),
		},
		run: runHandover, words: carNames,
	}
}

func runHandover(c *cli.Context, env Env) error {
	paper, err := paperNamed(c.String("paper"))
	if err != nil {
		return err
	}
	day, car, err := dayAndCar(c, env, c.Args().First())
	if err != nil {
		return err
	}
	if paper == "" {
		if paper, err = env.habitualPaper(car); err != nil {
			return err
		}
	}
	r := app.HandoverRequest{To: c.String("to"), Out: c.Args().Get(1), On: day, Press: env.press(paper)}
	for _, ref := range c.StringSlice("with-private") {
		r.Private = append(r.Private, record.Ref(ref))
	}
	done, err := env.App.Handover(c.Context, car, r)
	if err != nil {
		return err
	}
	return env.sayHandover(done)
}

// press renders the documents of a handover.
func (env Env) press(paper render.Paper) app.Press {
	return app.Press{
		Text: func(_ context.Context, w io.Writer, d *doc.Document) error {
			return render.Text(w, d, render.TextOptions{})
		},
		Page: func(ctx context.Context, w io.Writer, d *doc.Document) error {
			return render.HTML(ctx, w, d, render.HTMLOptions{Paper: paper})
		},
		Paper: func(ctx context.Context, w io.Writer, d *doc.Document, name string, records []byte) error {
			o := render.PDFOptions{Paper: paper}
			if name != "" {
				o.Attachments = []render.PDFAttachment{{
					Name: name, Description: "the records that this dossier was computed from", MediaType: "application/json", Data: records,
				}}
			}
			lacking, err := render.PDF(ctx, w, d, o)
			env.sayLacking(lacking)
			return err
		},
	}
}

// sayHandover names the bag, and says what stays behind.
func (env Env) sayHandover(done app.HandedOver) error {
	h := done.Handing
	along, behind, missing := 0, 0, 0
	for _, o := range h.Originals {
		switch o.Goes {
		case dossier.GoesAlong:
			along++
		case dossier.StaysBehind:
			behind++
		default:
			missing++
		}
	}
	if _, err := fmt.Fprintln(env.Stdout, finding.Printable(done.Path)); err != nil {
		return err
	}
	return env.print(
		doc.Lead("The records of {} as of commit {} are ready for {}. README.txt in the bag says how to check them without this program.", h.Car, doc.Literal(h.Commit), h.To),
		doc.FactsOf(
			doc.Is("Originals", "{} go along, {} withheld, {} not here", along, behind, missing),
			doc.Is("Private values", "{} disclosed, {} withheld", len(h.Given), len(h.Withheld)),
		),
		doc.Para("Keys, codes and passwords are handed over by hand; handover.pdf in the bag lists where they are held, and has room for two names."),
	)
}
