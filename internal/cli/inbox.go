package cli

import (
	"context"
	"fmt"
	"path"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/code"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/roll"
)

func inboxVerb() *verb {
	return &verb{
		name: "inbox", args: "FOLDER|ZIP", daily: true, least: 1, most: 1,
		purpose: "take a day's pictures from a telephone or camera, and propose the session they tell of",
		more: `A picture of a tag heads all that follow, up to the next tag; a picture of a sheet says which job and
car they are of. A picture of the bench clock (boltback sheet clock) sets the clock of the camera that took
it, so that the pictures of several cameras come into one order. A code that cannot be read is shown and
not guessed at: what follows it is left aside until somebody says its number. The list can be mended line by
line; then session, parts, photos and previews become one commit, and the pictures themselves lie among the
yard's originals. Every answer is kept as it is given: who stops half way is not asked the same again, and
what was answered is forgotten once the pictures are taken. What is here already is not taken twice, so the same folder can be named again. The
exit status is 1 where pictures were left aside.`,
		examples: []string{
			"inbox ~/pictures/monday --car tern",
			"inbox monday.zip --dry-run",
			"inbox monday.zip --yes --clock IMG_0001.jpg=8:04 --tag IMG_0042.jpg=0105-2 --twice 0147-3=same --into loft",
		},
		flags: []cli.Flag{
			carFlag(), asFlag(), onFlag(), dryRunFlag(),
			&cli.BoolFlag{Name: "yes", Usage: "ask nothing and take what is certain"},
			&cli.StringSliceFlag{Name: "clock", Usage: "what the clock in a picture shows: `FILE=TIME`; again for more"},
			&cli.StringSliceFlag{Name: "tag", Usage: "the number on a tag that cannot be read, or - for no tag: `FILE=TAG`; again for more"},
			&cli.StringSliceFlag{Name: "twice", Usage: "what one tag in two places is: `TAG=same` or two; again for more"},
			&cli.StringSliceFlag{Name: "line", Usage: "what the part of a line is called, or - to leave it out: `TAG=NAME`; again for more"},
			&cli.StringFlag{Name: "act", Usage: "what was done to the parts: `removal`, fitting or sighting"},
			&cli.StringFlag{Name: "into", Usage: "the `STORE` that the parts went into, by the end of its name"},
			&cli.BoolFlag{Name: "apart", Usage: "take each camera for a bench of its own"},
			&cli.BoolFlag{Name: "afresh", Usage: "forget what was answered about these pictures in a run that was not ended"},
		},
		run: runInbox,
	}
}

// dryRunFlag is of verbs that show first what they would write.
func dryRunFlag() cli.Flag {
	return &cli.BoolFlag{Name: "dry-run", Usage: "show what it would come to, and write nothing"}
}

// inbox is one run of the verb.
type inbox struct {
	env   Env
	desk  *app.Desk
	roll  *app.Roll
	order app.RollOrder
	plan  app.Plan
	ask   asker
	// answered are the answers given so far, each on disk.
	answered *app.Answered
}

func runInbox(c *cli.Context, env Env) error {
	dry, yes := c.Bool("dry-run"), c.Bool("yes")
	if !dry && !yes && !env.Ask {
		return &app.Usage{Message: "nobody is there to be asked", Hint: "--yes takes what is certain, --dry-run only shows it"}
	}
	if err := carryOn(c, env, dry); err != nil {
		return err
	}
	d, err := desk(c, env)
	if err != nil {
		return err
	}
	if env.Ask {
		fmt.Fprintln(env.Stderr, "looking at the pictures; a few hundred large ones take some minutes")
	}
	seen, err := d.LookAt(c.Context, c.Args().First())
	if err != nil {
		return err
	}
	defer seen.Close()
	i := &inbox{env: env, desk: d, roll: seen, ask: newAsker(env)}
	if i.order, err = orderOf(c, env, seen); err != nil {
		return err
	}
	i.saySeen()
	if err := i.takeUp(c, dry); err != nil {
		return err
	}
	if i.plan, err = d.PlanRoll(seen, i.order); err != nil {
		return err
	}
	if env.Ask && !yes && !dry {
		if err := i.questions(); err != nil {
			return err
		}
	}
	if err := i.show(); err != nil {
		return err
	}
	if !dry && !yes {
		taken, err := i.confirm()
		if err != nil || !taken {
			return err
		}
	}
	if !dry {
		if err := i.take(c.Context); err != nil {
			return err
		}
	}
	if i.aside() > 0 {
		return errFound
	}
	return nil
}

// takeUp fills in what was answered in a run that was not ended.
func (i *inbox) takeUp(c *cli.Context, dry bool) (err error) {
	if i.answered, err = i.desk.Answered(i.roll); err != nil {
		return err
	}
	if c.Bool("afresh") {
		if dry {
			return nil
		}
		return i.answered.Forget(c.Context)
	}
	if n := i.answered.Apply(&i.order); n > 0 {
		fmt.Fprintf(i.env.Stderr, "taken up from a run that was not ended (answers: %d); --afresh forgets them\n", n)
	}
	return nil
}

// take writes the list into the ledger; then nobody needs the answers any more.
func (i *inbox) take(ctx context.Context) error {
	w, err := i.desk.TakeRoll(ctx, i.roll, i.plan, i.order)
	if err := i.written(w, err); err != nil {
		return err
	}
	return i.answered.Forget(ctx)
}

// carryOn ends what an earlier run was cut short in, unless nothing is to be written.
func carryOn(c *cli.Context, env Env, dry bool) error {
	car, err := env.App.One(c.String("car"))
	if err != nil || dry {
		return err
	}
	return env.App.CarryOn(c.Context, car)
}

// orderOf reads the flags that answer what would be asked.
func orderOf(c *cli.Context, env Env, seen *app.Roll) (app.RollOrder, error) {
	o := app.RollOrder{Act: c.String("act"), Store: c.String("into"), Called: map[string]string{}, Answers: roll.Answers{
		Clocks: map[string]time.Time{}, Tags: map[string]code.Tag{}, Twice: map[code.Tag]roll.Twice{}, Apart: c.Bool("apart")}}
	if o.Act != "" && o.Act != "removal" && o.Act != "fitting" && o.Act != "sighting" {
		return o, &app.Usage{Message: "--act " + o.Act + " is nothing that pictures of tags tell", Hint: "removal, fitting or sighting"}
	}
	err := eachPair(c, "clock", func(file, typed string) error {
		p, err := pictureCalled(seen, file)
		if err == nil {
			o.Answers.Clocks[p.Name], err = env.App.ReadClock(typed, p)
		}
		return err
	})
	if err == nil {
		err = eachPair(c, "tag", func(file, typed string) error {
			p, err := pictureCalled(seen, file)
			if err == nil {
				o.Answers.Tags[p.Name], err = app.ReadTag(typed, nil)
			}
			return err
		})
	}
	if err == nil {
		err = eachPair(c, "twice", func(typed, word string) error {
			tag, err := app.ReadTag(typed, nil)
			if err == nil {
				o.Answers.Twice[tag], err = app.Spoken(word)
			}
			return err
		})
	}
	if err == nil {
		err = eachPair(c, "line", func(key, name string) error {
			o.Called[key] = name
			return nil
		})
	}
	return o, err
}

// eachPair hands over the two sides of each value of a flag.
func eachPair(c *cli.Context, flag string, do func(left, right string) error) error {
	for _, pair := range c.StringSlice(flag) {
		left, right, ok := strings.Cut(pair, "=")
		if !ok || left == "" || right == "" {
			return &app.Usage{Message: fmt.Sprintf("--%s %s has no two sides", flag, pair), Hint: "see boltback help inbox"}
		}
		if err := do(left, right); err != nil {
			return err
		}
	}
	return nil
}

// pictureCalled finds a picture by its name, or by the end of its path where that is enough.
func pictureCalled(seen *app.Roll, name string) (roll.Picture, error) {
	var hits []roll.Picture
	for _, p := range seen.Pictures {
		if p.Name == name {
			return p, nil
		}
		if path.Base(p.Name) == name {
			hits = append(hits, p)
		}
	}
	switch len(hits) {
	case 1:
		return hits[0], nil
	case 0:
		return roll.Picture{}, &app.Usage{Message: "no picture is called " + name, Hint: "names are those of the files"}
	}
	return roll.Picture{}, &app.Usage{Message: "several pictures are called " + name, Hint: "name one with its folder: " + hits[0].Name}
}

// saySeen says what was in the folder.
func (i *inbox) saySeen() {
	const few = 5
	all, fresh := len(i.roll.Pictures), i.roll.New()
	fmt.Fprintf(i.env.Stderr, "%d pictures, %d of them not here yet\n", all, fresh)
	if i.roll.Repeated > 0 {
		fmt.Fprintf(i.env.Stderr, "files that are there twice count once: %d\n", i.roll.Repeated)
	}
	for n, s := range i.roll.Skipped {
		if n == few {
			fmt.Fprintf(i.env.Stderr, "not taken: %d more\n", len(i.roll.Skipped)-few)
			break
		}
		fmt.Fprintf(i.env.Stderr, "not taken: %s: %s\n", finding.Printable(s.Name), finding.Printable(s.Why))
	}
	blind := 0
	for n, s := range i.roll.Seen {
		if blind++; s.Blind == "" {
			blind--
		} else if blind <= few {
			fmt.Fprintf(i.env.Stderr, "kept, and no code looked for: %s: %s\n", finding.Printable(i.roll.Pictures[n].Name), finding.Printable(s.Blind))
		}
	}
	if blind > few {
		fmt.Fprintf(i.env.Stderr, "kept, and no code looked for: %d more\n", blind-few)
	}
}

// show prints the list.
func (i *inbox) show() error {
	rows := make([]dossier.RollRow, len(i.plan.Rows))
	for n, r := range i.plan.Rows {
		rows[n] = dossier.RollRow{Part: r.Called}
		switch {
		case r.Out:
			rows[n].Remark = "left out"
		case r.Done != "":
			rows[n].Remark = "is in " + string(r.Done) + " already"
		case r.New:
			rows[n].Remark = "new: " + string(r.Part)
		}
	}
	return i.env.print(dossier.Roll(i.plan.Proposal, i.roll.Pictures, rows)...)
}

// written says what was taken: the session on standard output, the many files of its pictures as a number.
func (i *inbox) written(w app.Written, err error) error {
	brief := app.Written{Commit: w.Commit, Notes: w.Notes}
	papers, parts := 0, 0
	for _, p := range w.Paths {
		switch folder, _, _ := strings.Cut(p, "/"); folder {
		case "papers":
			papers++
		case "parts":
			parts++
		case "previews":
		default:
			brief.Paths = append(brief.Paths, p)
		}
	}
	if err == nil && w.Commit != "" {
		fmt.Fprintf(i.env.Stderr, "taken: photos %d, new parts %d\n", papers, parts)
	}
	return i.env.written(brief, err)
}

// aside counts the pictures that wait for somebody to say more.
func (i *inbox) aside() (n int) {
	for _, l := range i.plan.Loose {
		if !l.Cause.Settled() {
			n++
		}
	}
	return n
}
