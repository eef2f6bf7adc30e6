package cli

import (
	"fmt"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/record"
	"boltback/schema"
)

func schemaVerb() *verb {
	return &verb{
		name: "schema", args: "[KIND]", most: 1,
		purpose:  "explain a kind of record, member by member, with an example",
		examples: []string{"schema", "schema part", "schema session --json"},
		flags:    []cli.Flag{jsonFlag()},
		run:      runSchema, words: func(Env) []string { return kindWords() },
	}
}

func kindWords() []string {
	var words []string
	for _, k := range record.Kinds() {
		words = append(words, string(k))
	}
	return words
}

func runSchema(c *cli.Context, env Env) error {
	word := c.Args().First()
	if word == "" {
		section, err := dossier.Kinds()
		if err != nil {
			return err
		}
		return env.print(section.Blocks...)
	}
	kind := record.Kind(word)
	if word != "common" {
		k, err := app.Kind(word)
		if err != nil {
			return err
		}
		kind = k
	}
	if c.Bool("json") || word == "common" {
		text, err := schema.Text(string(kind))
		if err != nil {
			return err
		}
		_, err = env.Stdout.Write(text)
		return err
	}
	section, err := dossier.Schema(kind)
	if err != nil {
		return err
	}
	return env.print(section)
}

func demoVerb() *verb {
	return &verb{
		name: "demo", args: "DIR", least: 1, most: 1,
		purpose:  "lay out the sample yard in a new folder",
		more:     "The workshop, its people and the make of car are invented.",
		examples: []string{"demo demo-yard"},
		run: func(c *cli.Context, env Env) error {
			name := c.Args().First()
			commits, err := env.App.Demo(c.Context, name)
			if err != nil {
				return err
			}
			_, err = fmt.Fprintf(env.Stderr, "%s: a yard of %d commits\nnext: boltback check %s, then boltback dossier %s --out dossier.html\n", name, commits, name, name)
			return err
		},
	}
}

func completionVerb() *verb {
	return &verb{
		name: "completion", args: "SHELL", least: 1, most: 1,
		purpose:  "print what makes a shell complete verbs, flags and names",
		examples: []string{"completion bash >> ~/.bashrc", "completion zsh >> ~/.zshrc"},
		run:      runCompletion,
		words:    func(Env) []string { return []string{"bash", "zsh"} },
	}
}

const bashCompletion = `_boltback() {
  local words
  words=$("${COMP_WORDS[0]}" "${COMP_WORDS[@]:1:COMP_CWORD-1}" --generate-bash-completion 2>/dev/null)
  COMPREPLY=($(compgen -W "$words" -- "${COMP_WORDS[COMP_CWORD]}"))
}
complete -o default -F _boltback boltback
`

func runCompletion(c *cli.Context, env Env) error {
	var script string
	switch shell := c.Args().First(); shell {
	case "bash":
		script = bashCompletion
	case "zsh":
		script = "autoload -U +X bashcompinit && bashcompinit\n" + bashCompletion
	default:
		return &app.Usage{Message: "there is no completion for " + shell, Hint: "boltback completion bash, or zsh"}
	}
	_, err := fmt.Fprint(env.Stdout, strings.TrimLeft(script, "\n"))
	return err
}
