package cli

import (
	"bufio"
	"errors"
	"fmt"
	"io"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/steps"
)

// LineReader gives one line after the other, without its end, and io.EOF after the last.
type LineReader interface {
	ReadLine() (string, error)
	// Close gives the terminal back as it was.
	Close() error
}

// longestLine is how many bytes a line may have.
const longestLine = 4096

// pipe reads lines from a pipe or a file.
type pipe struct{ in *bufio.Scanner }

func newPipe(in io.Reader) *pipe {
	s := bufio.NewScanner(io.LimitReader(in, largestInput))
	s.Buffer(nil, longestLine)
	return &pipe{s}
}

// ReadLine implements LineReader.
func (p *pipe) ReadLine() (string, error) {
	if p.in.Scan() {
		return p.in.Text(), nil
	}
	if err := p.in.Err(); err != nil {
		return "", &app.Usage{Message: "a line is longer than 4096 bytes, or cannot be read: " + err.Error()}
	}
	return "", io.EOF
}

// Close implements LineReader.
func (*pipe) Close() error { return nil }

// conversation is work being told line by line.
type conversation struct {
	env     Env
	c       *cli.Context
	telling *app.Telling
	number  int
	refused int
	// warned are the hazards of which the caution was shown: once is read, every time is not.
	warned []string
}

// runSteps takes work line by line, from a terminal or a pipe.
func runSteps(c *cli.Context, env Env) (err error) {
	d, err := desk(c, env)
	if err != nil {
		return err
	}
	telling, err := d.Telling(c.Context)
	if err != nil {
		return err
	}
	talk := &conversation{env: env, c: c, telling: telling}
	talk.greet()
	var in LineReader = newPipe(env.Stdin)
	if env.Ask && env.Lines != nil && !c.Bool("no-questions") {
		if in, err = env.Lines("> ", telling.Complete); err != nil {
			return err
		}
	}
	defer func() { err = errors.Join(err, in.Close()) }()
	for {
		line, err := in.ReadLine()
		switch {
		case errors.Is(err, io.EOF):
			return talk.left()
		case err != nil:
			return err
		}
		if done, err := talk.line(strings.TrimSpace(line)); done || err != nil {
			return err
		}
	}
}

// greet says what is taken up from an earlier run, and on a terminal how to begin.
func (t *conversation) greet() {
	if t.telling.Resumed > 0 {
		fmt.Fprintf(t.env.Stderr, "going on after what was saved (lines: %d); list shows them\n", t.telling.Resumed)
	}
	for _, line := range t.telling.Lost {
		fmt.Fprintln(t.env.Stderr, "can no longer be taken: "+finding.Printable(line))
	}
	if t.env.Ask && t.telling.Resumed == 0 {
		fmt.Fprintln(t.env.Stderr, "one line a step, such as: off 0147 fuel tank, 4x M8, loft\nhelp shows the rest; the Tab key completes names; every line is saved; done writes it into the ledger")
	}
}

// line does what one line says; done ends the conversation.
func (t *conversation) line(line string) (done bool, err error) {
	t.number++
	switch strings.ToLower(line) {
	case "", "#":
		return false, nil
	case "help", "?":
		_, err = fmt.Fprintln(t.env.Stderr, steps.Grammar)
		return false, err
	case "list":
		return false, t.list()
	case "undo":
		return false, t.undo()
	case "stop", "quit", "exit":
		return true, t.left()
	case "drop":
		return true, t.drop()
	case "done":
		if t.refused > 0 && !t.env.Ask {
			return true, &app.Usage{Message: fmt.Sprintf("lines not taken: %d; so nothing is written yet", t.refused), Hint: "the others are saved: tell the rest, then done; or done anyway"}
		}
		return true, t.done()
	case "done anyway":
		return true, t.done()
	}
	if strings.HasPrefix(line, "#") {
		return false, nil
	}
	return false, t.tell(line)
}

func (t *conversation) tell(line string) error {
	told, err := t.telling.Tell(line)
	var usage *app.Usage
	if errors.As(err, &usage) {
		t.refused++
		fmt.Fprintf(t.env.Stderr, "line %d: not taken: %s\n", t.number, finding.Printable(usage.Message))
		if usage.Hint != "" {
			fmt.Fprintln(t.env.Stderr, "  "+finding.Printable(usage.Hint))
		}
		return nil
	}
	if err != nil {
		return err
	}
	if err := t.say(len(t.telling.Told()), told); err != nil {
		return err
	}
	return t.warn(told.Hazards)
}

// warn shows the caution of each hazard that was not shown yet.
func (t *conversation) warn(hazards []string) error {
	fresh := slices.DeleteFunc(slices.Clone(hazards), func(h string) bool { return slices.Contains(t.warned, h) })
	t.warned = append(t.warned, fresh...)
	return t.env.print(dossier.Beside(fresh)...)
}

// say tells how a line was understood.
func (t *conversation) say(n int, told steps.Told) error {
	_, err := fmt.Fprintf(t.env.Stdout, "%3d %s\n", n, finding.Printable(told.Says))
	for _, note := range told.Notes {
		fmt.Fprintln(t.env.Stdout, "    note: "+finding.Printable(note))
	}
	if told.Open != "" {
		fmt.Fprintln(t.env.Stdout, "    open, and will wait in the inbox: "+finding.Printable(told.Open))
	}
	return err
}

func (t *conversation) list() error {
	for i, told := range t.telling.Told() {
		if err := t.say(i+1, told); err != nil {
			return err
		}
	}
	return nil
}

func (t *conversation) undo() error {
	line, err := t.telling.Undo()
	switch {
	case err != nil:
		return err
	case line == "":
		line = "there is nothing to take back"
	default:
		line = "taken back: " + line
	}
	_, err = fmt.Fprintln(t.env.Stdout, "    "+finding.Printable(line))
	return err
}

func (t *conversation) drop() error {
	n := len(t.telling.Told())
	if err := t.telling.Drop(t.c.Context); err != nil {
		return err
	}
	_, err := fmt.Fprintf(t.env.Stderr, "lines dropped: %d\n", n)
	return err
}

func (t *conversation) done() error {
	return t.env.written(t.telling.Done(t.c.Context, t.c.String("message")))
}

// left ends a conversation that was not finished.
func (t *conversation) left() error {
	if len(t.telling.Told()) == 0 {
		return nil
	}
	fmt.Fprintf(t.env.Stderr, "lines saved and not written into the ledger yet: %d; record --steps goes on with them\n", len(t.telling.Told()))
	return errFound
}
