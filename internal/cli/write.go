package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/entry"
	"boltback/internal/finding"
	"boltback/internal/record"
	"boltback/internal/steps"
)

// desk opens the car that --car means for writing.
func desk(c *cli.Context, env Env) (*app.Desk, error) {
	car, err := env.App.One(c.String("car"))
	if err != nil {
		return nil, err
	}
	return open(c, env, car)
}

// deskFor opens the car that --car means, or the workshop's address book where a kind or a name belongs there.
func deskFor(c *cli.Context, env Env, kind record.Kind, name string) (*app.Desk, error) {
	car, err := env.App.OneOrBook(c.String("car"), kind, name)
	if err != nil {
		return nil, err
	}
	return open(c, env, car)
}

func open(c *cli.Context, env Env, car app.Car) (*app.Desk, error) {
	day, err := today(c, env)
	if err != nil {
		return nil, err
	}
	return env.App.Open(car, record.Ref(c.String("as")), day)
}

// written says what was done: what was saved on standard output, everything else beside it.
func (env Env) written(w app.Written, err error) error {
	for _, n := range w.Notes {
		fmt.Fprintln(env.Stderr, "note: "+finding.Printable(n))
	}
	if err != nil {
		return err
	}
	if len(w.Lacks) > 0 {
		fmt.Fprintln(env.Stderr, "saved to the inbox, not complete; it lacks: "+strings.Join(w.Lacks, ", "))
	}
	for _, p := range w.Paths {
		fmt.Fprintln(env.Stdout, finding.Printable(p))
	}
	if w.Commit == "" {
		fmt.Fprintln(env.Stderr, "nothing had to change")
	}
	return nil
}

func recordVerb() *verb {
	return &verb{
		name: "record", args: "[KIND NAME [field=value ...] | CAR]", daily: true, most: -1,
		purpose: "write something down: a part, a session of work, a reading, a paper",
		more: `Fields inside others are reached with points: lines.0.act=removal lines.0.parts=fuel-tank.
Measures are read the way people write them, and said back the way they are kept.
What is incomplete goes to the inbox and says what it lacks. A record that nobody signed
may be edited the same way for a day; after that, correct it.
People, instruments and stores with their licences, calibrations and revocations go into the workshop's
address book, from anywhere in the yard; cars copy from it what they refer to.
With --file the photo or document itself goes into the yard's originals, read-only and named by its
SHA-256; what its camera wrote is told apart from what is claimed and from the day it came in. A small
picture without any of that travels with the ledger, but for titles, invoices, licences and letters.
With --steps, or with a car and no kind at a terminal, work is told line by line and saved as it goes:

` + steps.Grammar + "\n" + csvHelp + csvWords(),
		examples: []string{
			"record part fuel-tank name='Fuel tank' found=yes tag=0147",
			"record session tank-out by=ines-okafor started=today lines.0.act=removal lines.0.parts=fuel-tank lines.0.store=loft",
			"record reading after what=weighing values.0.of='front axle' values.0.value='412.5 kg'",
			"record part pump --from pump.json",
			"record paper bay-before --file IMG_0412.jpg class=photo caption='engine bay, before any work' shows=parts/engine",
			"record person quill-varden name='Quill Varden' role=technician telephone='+44 1632 960011'",
			"record calibration torque-wrench/calibration-2026-03-09 on=2026-03-09 due=2027-03-09",
			"record --steps --car tern < lines.txt",
			"record --csv strip-down.csv --car tern --dry-run",
			"record --from-inbox 2026-03-02-ines-okafor-tank-out by=ines-okafor",
		},
		flags: append([]cli.Flag{
			carFlag(), asFlag(), onFlag(),
			&cli.StringFlag{Name: "from", Usage: "take a whole record as JSON from `FILE`, or from standard input (-)"},
			&cli.StringFlag{Name: "file", Usage: "for a paper: keep the photo or document `FILE` and describe it"},
			&cli.BoolFlag{Name: "steps", Usage: "tell work line by line, from a terminal or a pipe"},
			&cli.StringFlag{Name: "from-inbox", Usage: "complete `NAME` of the inbox"},
			&cli.StringFlag{Name: "note", Usage: "save `TEXT` to the inbox as it is, to be recorded when there is time"},
			&cli.StringFlag{Name: "message", Usage: "what the history says of it: `TEXT`"},
			&cli.BoolFlag{Name: "no-questions", Usage: "ask nothing, even at a terminal"},
		}, csvFlags()...),
		run: runRecord, words: func(Env) []string { return kindWords() },
	}
}

func runRecord(c *cli.Context, env Env) error {
	if c.IsSet("csv") {
		return runCSV(c, env)
	}
	if car, told := tellsSteps(c, env); told {
		if car != "" {
			if err := c.Set("car", car); err != nil {
				return err
			}
		}
		return runSteps(c, env)
	}
	want, err := wanted(c, env)
	if err != nil {
		return err
	}
	d, err := deskFor(c, env, want.Kind, want.Name)
	if err != nil {
		return err
	}
	if text := c.String("note"); text != "" {
		return env.written(d.Note(c.Context, "note", text))
	}
	return env.written(d.Record(c.Context, want))
}

// tellsSteps says that work is to be told line by line: asked for by its flag, or at a terminal with a car or nothing named.
func tellsSteps(c *cli.Context, env Env) (car string, told bool) {
	if c.Bool("steps") {
		return c.Args().First(), c.NArg() <= 1
	}
	for _, name := range []string{"from", "file", "from-inbox", "note"} {
		if c.IsSet(name) {
			return "", false
		}
	}
	if !env.Ask || c.Bool("no-questions") || c.NArg() > 1 {
		return "", false
	}
	word := c.Args().First()
	if word == "" {
		return "", true
	}
	cars, err := env.App.Find(word)
	return word, err == nil && len(cars) == 1
}

// wanted reads the words of record: KIND NAME, or the whole name of a record that is there, then fields.
func wanted(c *cli.Context, env Env) (app.Entry, error) {
	want := app.Entry{FromInbox: c.String("from-inbox"), Message: c.String("message")}
	var names []string
	for _, word := range c.Args().Slice() {
		if len(want.Words) == 0 && !strings.Contains(word, "=") {
			names = append(names, word)
		} else {
			want.Words = append(want.Words, word)
		}
	}
	switch {
	case len(names) == 2:
		kind, err := app.Kind(names[0])
		if err != nil {
			return want, err
		}
		want.Kind, want.Name = kind, names[1]
	case len(names) == 1:
		want.Name = names[0]
	case len(names) > 2 || want.FromInbox == "" && c.String("note") == "":
		return want, &app.Usage{Message: "record takes a kind and a name, then fields", Hint: "boltback record KIND NAME field=value ..."}
	}
	if name := c.String("file"); name != "" {
		file, err := env.App.ReadPaper(name)
		if err != nil {
			return want, err
		}
		want.File = file
	}
	if from := c.String("from"); from != "" {
		text, err := env.readInput(from)
		if err != nil {
			return want, err
		}
		want.From = text
	}
	if env.Ask && !c.Bool("no-questions") {
		want.Ask = env.ask
	}
	return want, nil
}

// largestInput is how much of a file or of standard input is taken.
const largestInput = 4 << 20

func (env Env) readInput(from string) ([]byte, error) {
	if from == "-" {
		return io.ReadAll(io.LimitReader(env.Stdin, largestInput))
	}
	return env.App.ReadFile(from)
}

// ask asks for each place a record lacks, with the words that may stand there; an empty answer leaves it open.
func (env Env) ask(kind record.Kind, lacks []string) ([]string, error) {
	in := bufio.NewReader(env.Stdin)
	var words []string
	for _, place := range lacks {
		choices := entry.Words(kind, strings.Split(place, "."))
		for i, w := range choices {
			fmt.Fprintf(env.Stderr, "  %2d %s\n", i+1, w)
		}
		fmt.Fprintf(env.Stderr, "%s (empty: leave it open): ", place)
		answer, err := in.ReadString('\n')
		if err != nil && !errors.Is(err, io.EOF) {
			return nil, err
		}
		answer = strings.TrimSpace(answer)
		if n, err := strconv.Atoi(answer); err == nil && n >= 1 && n <= len(choices) {
			answer = choices[n-1]
		}
		if answer != "" {
			words = append(words, place+"="+answer)
		}
	}
	return words, nil
}

func commitVerb() *verb {
	return &verb{
		name: "commit", args: "[CAR]", most: 1,
		purpose: "commit what was changed in the car's folder, or the workshop's, by hand",
		more: `What is incomplete is taken. What cannot be parsed, or contradicts its path, is refused with its
line and column, and then nothing is committed. What you have staged with git stays staged.`,
		examples: []string{"commit", "commit tern --message 'tags written on'", "commit workshop"},
		flags:    []cli.Flag{carFlag(), asFlag(), onFlag(), &cli.StringFlag{Name: "message", Usage: "what the history says of it: `TEXT`"}},
		run:      runCommit, words: carNames,
	}
}

func runCommit(c *cli.Context, env Env) error {
	if c.NArg() == 1 {
		if err := c.Set("car", c.Args().First()); err != nil {
			return err
		}
	}
	d, err := deskFor(c, env, "", "")
	if err != nil {
		return err
	}
	w, refused, err := d.Commit(c.Context, c.String("message"))
	if len(refused) > 0 {
		for _, f := range refused {
			fmt.Fprintln(env.Stderr, f.String())
			if f.Hint != "" {
				fmt.Fprintln(env.Stderr, "  "+finding.Printable(f.Hint))
			}
		}
		return errFound
	}
	return env.written(w, err)
}

func reasonFlag() cli.Flag {
	return &cli.StringFlag{Name: "reason", Usage: "`WHY`"}
}

func correctVerb() *verb {
	return &verb{
		name: "correct", args: "RECORD field=value ...", least: 2, most: -1,
		purpose:  "let a corrected record stand in the place of another, with the reason",
		more:     "The other record is not touched: it still prints, struck through.",
		examples: []string{"correct readings/2026-02-10-ines-okafor-insulation values.0.value='>500 MΩ' --reason 'read from the wrong range'"},
		flags:    []cli.Flag{carFlag(), asFlag(), onFlag(), reasonFlag()},
		run: func(c *cli.Context, env Env) error {
			d, err := deskFor(c, env, "", c.Args().First())
			if err != nil {
				return err
			}
			return env.written(d.Correct(c.Context, c.Args().First(), c.Args().Tail(), c.String("reason")))
		},
	}
}

func withdrawVerb() *verb {
	return &verb{
		name: "withdraw", args: "RECORD", least: 1, most: 1,
		purpose:  "take a record out of account, with the reason",
		more:     "The record is not touched: it still prints, struck through.",
		examples: []string{"withdraw work/2026-02-10-bram-ostler-mount --reason 'entered twice'"},
		flags:    []cli.Flag{carFlag(), asFlag(), onFlag(), reasonFlag()},
		run: func(c *cli.Context, env Env) error {
			d, err := deskFor(c, env, "", c.Args().First())
			if err != nil {
				return err
			}
			return env.written(d.Withdraw(c.Context, c.Args().First(), c.String("reason")))
		},
	}
}

func renameVerb() *verb {
	return &verb{
		name: "rename", args: "RECORD NAME", least: 2, most: 2,
		purpose:  "give a record another name and every reference to it too",
		more:     "What is covered by a sign-off keeps its name.",
		examples: []string{"rename parts/pump parts/fuel-pump"},
		flags:    []cli.Flag{carFlag(), asFlag(), onFlag()},
		run: func(c *cli.Context, env Env) error {
			d, err := desk(c, env)
			if err != nil {
				return err
			}
			return env.written(d.Rename(c.Context, c.Args().First(), c.Args().Get(1)))
		},
	}
}
