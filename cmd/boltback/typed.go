package main

import (
	"io"
	"os"
	"strings"

	"golang.org/x/term"

	"boltback/internal/cli"
)

// typedLines opens the terminal for lines. What is printed meanwhile goes past it, so the terminal is raw only while a line
// is typed.
func typedLines(prompt string, complete func(string) []string) (cli.LineReader, error) {
	in := int(os.Stdin.Fd())
	return &rawWhileTyping{keys: newKeyboard(os.Stdin, os.Stderr, prompt, complete), raw: func() (func() error, error) {
		state, err := term.MakeRaw(in)
		if err != nil {
			return nil, err
		}
		return func() error { return term.Restore(in, state) }, nil
	}}, nil
}

// rawWhileTyping makes the terminal raw for each line and gives it back after it.
type rawWhileTyping struct {
	keys *term.Terminal
	raw  func() (restore func() error, err error)
}

// ReadLine implements cli.LineReader.
func (r *rawWhileTyping) ReadLine() (line string, err error) {
	restore, err := r.raw()
	if err != nil {
		return "", err
	}
	defer func() {
		if e := restore(); err == nil {
			err = e
		}
	}()
	return r.keys.ReadLine()
}

// Close implements cli.LineReader.
func (*rawWhileTyping) Close() error { return nil }

// newKeyboard is a line editor whose Tab key completes: as far as all candidates agree, and lists them where they do not.
func newKeyboard(in io.Reader, out io.Writer, prompt string, complete func(string) []string) *term.Terminal {
	t := term.NewTerminal(struct {
		io.Reader
		io.Writer
	}{in, out}, prompt)
	t.AutoCompleteCallback = func(line string, pos int, key rune) (string, int, bool) {
		if key != '\t' || pos != len(line) {
			return "", 0, false
		}
		candidates := complete(line)
		longer := agreed(candidates)
		if len(candidates) > 1 && len(longer) <= len(line) {
			_, _ = io.WriteString(out, "\r\n"+strings.Join(candidates, "\r\n")+"\r\n") // a list that cannot be shown is no loss
		}
		if len(longer) <= len(line) {
			return line, pos, true
		}
		return longer, len(longer), true
	}
	return t
}

// agreed is what all candidates begin with.
func agreed(candidates []string) string {
	if len(candidates) == 0 {
		return ""
	}
	begin := candidates[0]
	for _, c := range candidates[1:] {
		for !strings.HasPrefix(c, begin) {
			begin = begin[:len(begin)-1]
		}
	}
	return begin
}
