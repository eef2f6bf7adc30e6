package cli

import (
	"context"
	"errors"
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
all of it with stock tools. Without OUT it is the car's handle with the day. The car is marked as handed over, and what comes into
this copy from then on is a finding. --keeper and --keeper-key let the next keeper's key in, so that their commits count from the
receipt on; yours count until then. --copy gives out a full copy at any stage, and the records go on where they are.
Private values go as digests unless --with-private names their record; originals of titles, invoices, licences and
letters stay behind unless it names the paper. Parts off the car that may hold asbestos are kept off the receipt: struck where a requirement
set named with --for, or pinned by the car, says that the law bars them, and else to be asked about first. Secrets are in no record, and are handed over by hand.`,
		examples: []string{
			"handover tern-1500 tern-bag --to 'the owner' --with-private papers/registration-document",
			"handover tern-1500 tern.tar.gz --to Quayside --keeper people/quayside/odile --keeper-key odile.pub",
			"handover tern-1500 --copy --to 'the owner'",
			"handover tern-1500 --to 'the next owner' --for uk",
		},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "to", Usage: "`KEEPER` gets the car, as the papers shall call them"},
			&cli.StringSliceFlag{Name: "with-private", Usage: "disclose the private values of the record `REF`, or the original of that paper; may be given again"},
			&cli.BoolFlag{Name: "copy", Usage: "a full copy for `--to`, while the records go on here: no mark, no receipt"},
			&cli.StringFlag{Name: "keeper", Usage: "`PERSON` whose key counts from the receipt on, as they sign: people/WORKSHOP/NAME"},
			&cli.StringFlag{Name: "keeper-key", Usage: "their public key, the `FILE` that ends in .pub"},
			&cli.BoolFlag{Name: "no-questions", Usage: "ask nothing, even at a terminal"},
			forFlag(), asFlag(), paperFlag(), onFlag(),
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
	r := app.HandoverRequest{
		To: c.String("to"), Out: c.Args().Get(1), Copy: c.Bool("copy"), As: record.Ref(c.String("as")),
		Keeper: app.Keeper{Person: record.Ref(c.String("keeper")), Key: c.String("keeper-key")}, On: day, Press: env.press(paper),
		For: c.StringSlice("for"),
	}
	if env.Ask && !c.Bool("no-questions") {
		r.Choose = newAsker(env).disclosed
	}
	for _, ref := range c.StringSlice("with-private") {
		r.Private = append(r.Private, record.Ref(ref))
	}
	done, err := env.App.Handover(c.Context, car, r)
	if errors.Is(err, errNoMore) {
		return &app.Usage{Message: "no more answers came, so nothing was handed over", Hint: "--with-private REF names what goes along, and --no-questions asks nothing"}
	}
	if err != nil {
		return err
	}
	return env.sayHandover(done, r)
}

// disclosed asks about one record of which something would stay behind.
func (ask asker) disclosed(w app.Withholding) (bool, error) {
	what := fmt.Sprintf("%d private values", w.Values)
	switch {
	case w.Values == 1:
		what = "1 private value"
	case w.Values == 0:
		what = "the original, a " + w.Class
	}
	if w.Values > 0 && w.Class != "" {
		what += " and the original, a " + w.Class
	}
	answer, err := ask.line("%s: give %s along? [y/N]", w.Record, what)
	return answer == "y" || answer == "yes", err
}

// press renders the documents of a handover.
func (env Env) press(paper render.Paper) app.Press {
	return app.Press{
		Text: func(_ context.Context, w io.Writer, d *doc.Document) error {
			return render.Text(w, d, render.TextOptions{})
		},
		Plain: func(ctx context.Context, w io.Writer, d *doc.Document) error {
			return render.HTML(ctx, w, d, render.HTMLOptions{})
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
func (env Env) sayHandover(done app.HandedOver, r app.HandoverRequest) error {
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
		barred(h),
		kept(done, r),
		doc.Para("Keys, codes and passwords are handed over by hand; handover.pdf in the bag lists where they are held, and has room for two names."),
	)
}

// barred says which parts are kept off the receipt.
func barred(h dossier.Handing) doc.Block {
	n := len(h.MayHoldAsbestos())
	switch {
	case n == 0 || h.Copy:
		return doc.Para("No part is kept off the receipt.")
	case len(h.Barred) > 0:
		return doc.Para("Struck from the receipt, for the asbestos they may hold: {} off the car. The law that bars them is named there.", parts(n))
	case len(h.Silent) > 0:
		return doc.Para("Kept off the receipt, for the asbestos they may hold: {} off the car. The requirement sets that were asked say nothing of such parts, which allows nothing.", parts(n))
	}
	return doc.Para("Kept off the receipt until the law where the car goes was asked, for the asbestos they may hold: {} off the car. --for SET names it.", parts(n))
}

func parts(n int) string {
	if n == 1 {
		return "1 part"
	}
	return fmt.Sprintf("%d parts", n)
}

// kept says where the records go on, and whose key counts for them.
func kept(done app.HandedOver, r app.HandoverRequest) doc.Block {
	keeper := finding.Printable(string(r.Keeper.Person))
	switch {
	case r.Copy:
		return doc.Para("This is a copy: the records go on here, and the next copy brings it up to date.")
	case done.Before:
		return doc.Para("{} was marked as handed over before, and nothing came in since: this is the same handover once more.", done.Handing.Car)
	case keeper == "":
		return doc.Para("{} is marked as handed over. No key of the next keeper was named, so their commits will not count in verify: --keeper with --keeper-key lets one in.", done.Handing.Car)
	case done.LetIn:
		return doc.Para("{} is marked as handed over. The key of {} counts from now on, and the keys of this workshop until the receipt.", done.Handing.Car, keeper)
	}
	return doc.Para("{} is marked as handed over. That is not signed with a key that counts here, so the key of {} does not count either.", done.Handing.Car, keeper)
}
