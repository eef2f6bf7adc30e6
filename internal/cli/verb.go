package cli

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/doc"
	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/render"
)

// verb is one command of the program.
type verb struct {
	name, args string
	// purpose is one line for lists; more is for the verb's own help.
	purpose, more string
	examples      []string
	flags         []cli.Flag
	// least and most bound the number of words; most is -1 where there is no bound.
	least, most int
	daily       bool
	run         func(*cli.Context, Env) error
	// words gives what may stand as an argument, for completion.
	words func(Env) []string
}

// verbs is the one list of commands, in the order in which help shows them.
func verbs() []*verb {
	return []*verb{
		recordVerb(), inboxVerb(), checkVerb(), sheetVerb(), whereVerb(), dossierVerb(), labelsVerb(),
		initVerb(), intakeVerb(), commitVerb(), correctVerb(), withdrawVerb(), renameVerb(),
		listVerb(), showVerb(), stateVerb(), staleVerb(), dueVerb(), stockTakeVerb(), reversalVerb(), wordingVerb(), workingsVerb(), requirementsVerb(), assessVerb(), paperworkVerb(), historyVerb(), diffVerb(),
		keysVerb(), signVerb(), stampVerb(), verifyVerb(), handoverVerb(), receiveVerb(), bagVerb(), exportVerb(),
		schemaVerb(), demoVerb(), completionVerb(),
	}
}

func verbNamed(name string) *verb {
	for _, v := range verbs() {
		if v.name == name {
			return v
		}
	}
	return nil
}

func unknownVerb(name string) error {
	var names []string
	for _, v := range verbs() {
		names = append(names, v.name)
	}
	hint := "boltback help all shows every verb"
	if near := finding.Nearest(name, names); near != "" {
		hint = fmt.Sprintf("did you mean %s?", near)
	}
	return &app.Usage{Message: "there is no verb " + name, Hint: hint}
}

func (v *verb) command(env Env) *cli.Command {
	return &cli.Command{
		Name: v.name, Usage: v.purpose, ArgsUsage: v.args, Flags: v.flags, HideHelp: true,
		OnUsageError: usageError,
		Action:       func(c *cli.Context) error { return v.run(c, env) },
		BashComplete: func(*cli.Context) { v.complete(env) },
	}
}

// complete prints what may follow the verb.
func (v *verb) complete(env Env) {
	for _, f := range v.flags {
		fmt.Fprintln(env.Stdout, "--"+f.Names()[0])
	}
	if v.words != nil {
		for _, w := range v.words(env) {
			fmt.Fprintln(env.Stdout, w)
		}
	}
}

// Flags that several verbs share: the same name always means the same.
// privateFlag asks for private values, by choice and each time.
func privateFlag() cli.Flag {
	return &cli.BoolFlag{Name: "private", Usage: "show private values too, those whose files lie in private/ beside the cars"}
}

func jsonFlag() cli.Flag {
	return &cli.BoolFlag{Name: "json", Usage: "print the answer as JSON for other programs"}
}

func onFlag() cli.Flag {
	return &cli.StringFlag{Name: "on", Usage: "take `DAY` for today (2026-03-02)"}
}

func atFlag() cli.Flag {
	return &cli.StringFlag{Name: "at", Usage: "read the ledger as it was at `REVISION`: a commit, a branch, a tag, a day"}
}

func asFlag() cli.Flag {
	return &cli.StringFlag{Name: "as", Usage: "write as `PERSON`: people/WORKSHOP/NAME, or the end of it"}
}

func carFlag() cli.Flag {
	return &cli.StringFlag{Name: "car", Usage: "the `CAR`, where you do not stand in it"}
}

func strictFlag() cli.Flag {
	return &cli.BoolFlag{Name: "strict", Usage: "let warnings alone give exit status 1 too"}
}

// dayAndCar reads --on and finds the one car that a word means.
func dayAndCar(c *cli.Context, env Env, word string) (edtf.Day, app.Car, error) {
	day, err := today(c, env)
	if err != nil {
		return day, app.Car{}, err
	}
	car, err := env.App.One(word)
	return day, car, err
}

// carNames offers the cars one could name, for completion.
func carNames(env Env) []string {
	cars, err := env.App.Find("")
	if err != nil {
		return nil
	}
	var names []string
	for _, c := range cars {
		names = append(names, c.Name)
	}
	return names
}

// print writes blocks to standard output through the text renderer.
func (env Env) print(blocks ...doc.Block) error {
	return render.TextBlocks(env.Stdout, blocks, render.TextOptions{Width: env.Width, Bold: env.Width > 0})
}

// flagText is a flag as help shows it: name, placeholder, what it does.
func flagText(f cli.Flag) (name, use string) {
	name = "--" + f.Names()[0]
	switch f := f.(type) {
	case *cli.BoolFlag:
		return name, f.Usage
	case *cli.StringFlag:
		placeholder, plain := unquote(f.Usage)
		return name + " " + placeholder, plain
	case *cli.StringSliceFlag:
		placeholder, plain := unquote(f.Usage)
		return name + " " + placeholder, plain
	case *cli.IntFlag:
		placeholder, plain := unquote(f.Usage)
		return name + " " + placeholder, plain
	}
	return name, ""
}

// unquote takes the placeholder out of a usage text: "take `DAY` for today" gives DAY.
func unquote(usage string) (placeholder, plain string) {
	before, rest, ok := strings.Cut(usage, "`")
	if !ok {
		return "VALUE", usage
	}
	placeholder, after, _ := strings.Cut(rest, "`")
	return placeholder, before + placeholder + after
}
