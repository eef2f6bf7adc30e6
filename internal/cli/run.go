// Package cli is the command line: it turns flags into calls of package app, prints the answer through the text renderer,
// and turns what went wrong into an exit status. Run is the whole program; package main only hands it the world.
package cli

import (
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"runtime/debug"
	"slices"
	"strings"
	"time"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/edtf"
	"boltback/internal/finding"
)

// The exit statuses of the program; no other is ever given.
const (
	StatusClean       = 0   // done, nothing to say against it (warnings alone included)
	StatusFindings    = 1   // findings, not met, cannot be said
	StatusUsage       = 2   // the words of the command do not fit
	StatusEnvironment = 3   // the environment failed: a file, a disk, Git
	StatusBug         = 70  // a fault of the program
	StatusInterrupted = 130 // interrupted
)

// Env is the world of one run, as package main finds it.
type Env struct {
	App            app.Env
	Stdin          io.Reader
	Stdout, Stderr io.Writer
	Version        string
	// Ask says that a person sits at a terminal who can be asked.
	Ask bool
	// Lines reads lines from that terminal with a prompt, and completes what is typed; nil where there is none.
	Lines func(prompt string, complete func(line string) []string) (LineReader, error)
	// Width is the number of columns of the terminal, 0 where standard output is none.
	Width int
}

// found says that the run ended as asked and its answer is not clean.
var errFound = errors.New("findings")

// Run runs the program with its arguments, the program's own name left out, and gives the exit status.
func Run(ctx context.Context, args []string, env Env) (status int) {
	json := slices.Contains(args, "--json")
	defer func() {
		if p := recover(); p != nil {
			fmt.Fprintf(env.Stderr, "boltback: this is a fault of the program: %v\n%s", p, debug.Stack())
			status = StatusBug
		}
	}()
	env.Stdin = awaited{ctx, env.Stdin}
	err := dispatch(ctx, args, env)
	if ctx.Err() != nil {
		fmt.Fprintln(env.Stderr, "boltback: interrupted")
		return StatusInterrupted
	}
	return report(err, env.Stderr, json)
}

// dispatch finds the verb, puts its flags before its arguments, and runs it.
func dispatch(ctx context.Context, args []string, env Env) error {
	switch {
	case len(args) == 0 || isHelp(args[0]):
		return help(env.Stdout, nil)
	case args[0] == "help":
		return help(env.Stdout, args[1:])
	case args[0] == "--version" || args[0] == "-v" || args[0] == "version":
		_, err := fmt.Fprintf(env.Stdout, "boltback %s\n", env.Version)
		return err
	case strings.HasPrefix(args[0], "-") && args[0] != completionFlag:
		return &app.Usage{Message: "a verb comes first, not " + args[0], Hint: "boltback --help shows the verbs"}
	}
	if args[0] != completionFlag {
		v := verbNamed(args[0])
		if v == nil {
			return unknownVerb(args[0])
		}
		if slices.ContainsFunc(beforeDashes(args[1:]), isHelp) {
			return help(env.Stdout, args[:1])
		}
		ordered, err := flagsFirst(v, args[1:])
		if err != nil {
			return err
		}
		args = append([]string{args[0]}, ordered...)
	}
	return application(env).RunContext(ctx, append([]string{"boltback"}, args...))
}

// application builds the library's view of the verbs. It never exits, prints no usage of its own, and splits no commas.
func application(env Env) *cli.App {
	a := &cli.App{
		Name: "boltback", Writer: env.Stdout, ErrWriter: io.Discard,
		HideHelp: true, HideVersion: true, EnableBashCompletion: true,
		DisableSliceFlagSeparator: true,
		ExitErrHandler:            func(*cli.Context, error) {},
		OnUsageError:              usageError,
		Action:                    func(c *cli.Context) error { return help(env.Stdout, nil) },
	}
	for _, v := range verbs() {
		a.Commands = append(a.Commands, v.command(env))
	}
	return a
}

func usageError(_ *cli.Context, err error, _ bool) error {
	return &app.Usage{Message: strings.TrimPrefix(err.Error(), "flag provided but not defined: ")}
}

// report prints what went wrong, once, and gives the exit status.
func report(err error, w io.Writer, json bool) int {
	var usage *app.Usage
	var broken *app.Broken
	status := StatusEnvironment
	hint := ""
	switch {
	case err == nil:
		return StatusClean
	case errors.Is(err, errFound):
		return StatusFindings
	case errors.As(err, &usage):
		status, hint = StatusUsage, usage.Hint
	case errors.As(err, &broken):
		status, hint = StatusFindings, broken.Finding.Hint
	}
	message := finding.Printable(plainError(err))
	if json {
		finding.WriteJSON(w, failure{Edition: "1", Status: status, Error: message, Hint: finding.Printable(hint)})
		return status
	}
	fmt.Fprintln(w, "boltback: "+message)
	if hint != "" {
		fmt.Fprintln(w, "hint: "+finding.Printable(hint))
	}
	return status
}

// plainError says a file error the way a person would.
func plainError(err error) string {
	var pe *fs.PathError
	if errors.As(err, &pe) && errors.Is(err, fs.ErrNotExist) {
		return strings.Replace(err.Error(), pe.Error(), pe.Path+" is not there", 1)
	}
	return err.Error()
}

// failure is the shape of an error under --json.
type failure struct {
	Edition string `json:"edition"`
	Status  int    `json:"status"`
	Error   string `json:"error"`
	Hint    string `json:"hint,omitempty"`
}

// today gives the day that --on names, or the clock's.
func today(c *cli.Context, env Env) (edtf.Day, error) {
	text := c.String("on")
	if text == "" {
		return dayOf(env.App.Now().In(env.App.Zone)), nil
	}
	day, err := edtf.ParseDay(text)
	if err != nil {
		return edtf.Day{}, &app.Usage{Message: fmt.Sprintf("--on %s: %v", text, err), Hint: "write the day as 2026-03-02"}
	}
	return day, nil
}

func dayOf(t time.Time) edtf.Day { return edtf.DayOf(t) }
