package cli

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/finding"
)

func outFlag() cli.Flag {
	return &cli.StringFlag{Name: "out", Usage: "write to `FILE` instead of standard output"}
}

// formatFlag chooses how a document is written; each verb has its own usual form.
func formatFlag(usual string) cli.Flag {
	return &cli.StringFlag{Name: "format", Usage: "`FORMAT` is text, html or pdf; of a dossier and a reversal also json", Value: usual}
}

func paperFlag() cli.Flag {
	return &cli.StringFlag{Name: "paper", Usage: "for `SHEET`s of a4 or letter; without it as the yard is used to"}
}

// forPaper refuses to write a PDF file to a terminal, before any work is done for it.
func forPaper(c *cli.Context, env Env) error {
	if out := c.String("out"); env.Width > 0 && (out == "" || out == "-") {
		return &app.Usage{Message: "a PDF file is not for a terminal to show", Hint: "--out FILE, or send standard output to a file or a printer"}
	}
	return nil
}

// deliver writes a whole file to where --out says, or to standard output.
func (env Env) deliver(c *cli.Context, file []byte) error {
	out := c.String("out")
	if out == "" || out == "-" {
		_, err := env.Stdout.Write(file)
		return err
	}
	path, err := env.App.Files.Absolute(out)
	if err != nil {
		return err
	}
	if _, err := env.App.Files.Replace(path, file); err != nil {
		return fmt.Errorf("write %s: %w", out, err)
	}
	return nil
}

// hand gives out what was printed for the bench, and says what the reader of the paper could not know.
func (env Env) hand(c *cli.Context, p app.Printed) error {
	if err := env.deliver(c, p.File); err != nil {
		return err
	}
	for _, n := range p.Notes {
		fmt.Fprintln(env.Stderr, "note: "+finding.Printable(n))
	}
	env.sayLacking(p.Lacking)
	return nil
}

// sayLacking names the characters that no typeface of the program has.
func (env Env) sayLacking(lacking []rune) {
	if len(lacking) == 0 {
		return
	}
	var list []string
	for _, r := range lacking {
		list = append(list, fmt.Sprintf("%s (U+%04X)", finding.Printable(string(r)), r))
	}
	fmt.Fprintln(env.Stderr, "note: no typeface here has these characters, which are printed by their code points: "+strings.Join(list, ", "))
}
