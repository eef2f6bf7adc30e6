package cli

import (
	"bufio"
	"context"
	"errors"
	"fmt"
	"io"
	"strconv"
	"strings"

	"boltback/internal/app"
	"boltback/internal/code"
	"boltback/internal/finding"
	"boltback/internal/roll"
)

// asker asks questions on the terminal, one line each.
type asker struct {
	in  *bufio.Reader
	out io.Writer
}

func newAsker(env Env) asker { return asker{bufio.NewReader(env.Stdin), env.Stderr} }

// awaited is a reader that somebody may be asked on: whoever interrupts the program while it waits for an answer ends the wait.
// The reading itself cannot be ended and goes on until the program does.
type awaited struct {
	ctx  context.Context
	from io.Reader
}

// Read implements io.Reader.
func (a awaited) Read(p []byte) (int, error) {
	type answer struct {
		n   int
		err error
	}
	came, into := make(chan answer, 1), make([]byte, len(p))
	go func() {
		n, err := a.from.Read(into)
		came <- answer{n, err}
	}()
	select {
	case <-a.ctx.Done():
		return 0, a.ctx.Err()
	case got := <-came:
		return copy(p, into[:got.n]), got.err
	}
}

// errNoMore says that no more answers come: the terminal was closed.
var errNoMore = errors.New("no more answers")

// line asks for one line. What comes in is cut of spaces; an empty one is an answer too.
func (a asker) line(question string, args ...any) (string, error) {
	fmt.Fprint(a.out, finding.Printable(fmt.Sprintf(question, args...))+" ")
	answer, err := a.in.ReadString('\n')
	if err != nil && answer == "" {
		if errors.Is(err, io.EOF) {
			err = errNoMore
		}
		return "", err
	}
	return strings.TrimSpace(answer), nil
}

// until asks until take has no objection; an empty answer leaves the question open.
func (a asker) until(take func(answer string) error, question string, args ...any) error {
	for {
		answer, err := a.line(question, args...)
		if err != nil || answer == "" {
			return err
		}
		err = take(answer)
		var usage *app.Usage
		if !errors.As(err, &usage) {
			return err
		}
		fmt.Fprintf(a.out, "%s\n  %s\n", finding.Printable(usage.Message), finding.Printable(usage.Hint))
	}
}

// questions asks what only a person can say, each thing once: the clocks first, since the order of all else follows from them.
func (i *inbox) questions() error {
	asked := map[string]bool{}
	for _, kinds := range [][]roll.Asked{{roll.WhichTime}, {roll.WhichTag}, {roll.WhichPart}} {
		for _, q := range i.plan.Questions {
			key := fmt.Sprint(q.Asked, q.Tag, i.roll.Pictures[q.Picture].Name)
			if q.Asked == roll.WhichPart {
				key = fmt.Sprint(q.Asked, q.Tag)
			}
			if q.Asked != kinds[0] || asked[key] {
				continue
			}
			asked[key] = true
			if err := i.question(q); err != nil {
				return i.stopped(err)
			}
		}
		if err := i.again(); err != nil {
			return err
		}
	}
	return nil
}

// again sorts anew with what was said.
func (i *inbox) again() (err error) {
	i.plan, err = i.desk.PlanRoll(i.roll, i.order)
	return err
}

// question asks one thing, and has the answer on disk before the next is asked.
func (i *inbox) question(q roll.Question) error {
	p := i.roll.Pictures[q.Picture]
	sort, of, value := app.OfClock, "", ""
	take, asks := func(answer string) error {
		was, err := i.env.App.ReadClock(answer, p)
		if err == nil {
			i.order.Answers.Clocks[p.Name], value = was, was.Format(app.ClockForm)
		}
		return err
	}, fmt.Sprintf("%s shows the bench clock. Its camera (%s, %d pictures) wrote %s. What does the clock show?", p.Name, cameraOf(p), q.Waiting, p.Facts.Taken)
	switch q.Asked {
	case roll.WhichTag:
		sort, take = app.OfTag, func(answer string) error {
			tag, err := i.chosen(answer, q.Likely)
			if err == nil {
				i.order.Answers.Tags[p.Name], value = tag, orDash(tag)
			}
			return err
		}
		asks = fmt.Sprintf("%s (%s) shows a code that cannot be read. Its number%s, - for no tag, empty to leave its %d pictures aside?", p.Name, i.clock(q.Picture), offered(q.Likely), q.Waiting)
	case roll.WhichPart:
		sort, of, take = app.OfTwice, string(q.Tag), func(answer string) error {
			word, err := app.Spoken(answer)
			if err == nil {
				i.order.Answers.Twice[q.Tag], value = word, string(word)
			}
			return err
		}
		asks = fmt.Sprintf("%s was photographed before, and again in %s (%s). s: the same part, t: two parts bear this number, empty to leave %d pictures aside?", q.Tag, p.Name, i.clock(q.Picture), q.Waiting)
	}
	if err := i.ask.until(take, "%s", asks); err != nil || value == "" {
		return err
	}
	return i.answered.Say(sort, q.Picture, of, value)
}

// chosen reads a number, or the place of one that was offered.
func (i *inbox) chosen(answer string, likely []code.Tag) (code.Tag, error) {
	if n, err := strconv.Atoi(answer); err == nil && n >= 1 && n <= len(likely) {
		return likely[n-1], nil
	}
	return app.ReadTag(answer, likely)
}

func (i *inbox) clock(picture int) string { return i.plan.Moments[picture].Time.Format("15:04:05") }

func cameraOf(p roll.Picture) string {
	if p.Facts.Maker == "" {
		return "unnamed"
	}
	return p.Facts.Maker
}

func orDash(tag code.Tag) string {
	if tag == "" {
		return "-"
	}
	return string(tag)
}

// offered names the numbers that no picture shows, for choosing by their places.
func offered(likely []code.Tag) string {
	var words []string
	for n, tag := range likely {
		words = append(words, fmt.Sprintf("%d = %s", n+1, tag))
	}
	if len(words) == 0 {
		return ""
	}
	return " (no picture shows: " + strings.Join(words, ", ") + ")"
}

// confirm asks whether the list is to be taken, and mends it line by line before.
func (i *inbox) confirm() (taken bool, err error) {
	for {
		answer, err := i.ask.line("Take this? y: yes; 12 NAME: line 12 is called so; 12 -: leave line 12 out; ?: show it again; empty: no")
		switch {
		case err == nil && (answer == "" || strings.EqualFold(answer, "n")):
			return false, i.stopped(errNoMore)
		case err != nil:
			return false, i.stopped(err)
		case strings.EqualFold(answer, "y") || strings.EqualFold(answer, "yes"):
			return true, nil
		case answer == "?":
			if err := i.show(); err != nil {
				return false, err
			}
		default:
			if err := i.mend(answer); err != nil {
				return false, err
			}
		}
	}
}

// mend gives a line another name, or leaves it out.
func (i *inbox) mend(answer string) error {
	place, name, _ := strings.Cut(answer, " ")
	n, err := strconv.Atoi(place)
	if name = strings.TrimSpace(name); err != nil || n < 1 || n > len(i.plan.Lines) || name == "" {
		fmt.Fprintf(i.ask.out, "%s is no line and no name; lines are 1 to %d\n", finding.Printable(answer), len(i.plan.Lines))
		return nil
	}
	key := app.Key(i.plan.Lines[n-1])
	before := i.order.Called[key]
	i.order.Called[key] = name
	err = i.again()
	var usage *app.Usage
	if errors.As(err, &usage) {
		i.order.Called[key] = before
		fmt.Fprintf(i.ask.out, "%s\n  %s\n", finding.Printable(usage.Message), finding.Printable(usage.Hint))
		return i.again()
	}
	if err == nil {
		row := i.plan.Rows[n-1]
		err = i.answered.Say(app.OfLine, i.plan.Lines[n-1].Pictures[0], key, name)
		fmt.Fprintf(i.ask.out, "%d: %s\n", n, finding.Printable(row.Called+outWord(row)))
	}
	return err
}

func outWord(r app.Row) string {
	if r.Out {
		return "left out"
	}
	return ""
}

// stopped says how to go on later.
func (i *inbox) stopped(err error) error {
	if !errors.Is(err, errNoMore) {
		return err
	}
	fmt.Fprintln(i.ask.out, "nothing was taken")
	if n := i.answered.Len(); n > 0 {
		fmt.Fprintf(i.ask.out, "kept for the next run (answers: %d): it goes on from there\n", n)
	}
	return errFound
}
