package cli

import (
	"fmt"
	"slices"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
)

const completionFlag = "--generate-bash-completion"

func isHelp(arg string) bool { return arg == "--help" || arg == "-h" || arg == "-help" }

// beforeDashes gives the arguments before "--", after which nothing is a flag.
func beforeDashes(args []string) []string {
	if i := slices.Index(args, "--"); i >= 0 {
		return args[:i]
	}
	return args
}

// flagsFirst puts the flags of a verb before its arguments, since the library takes a flag that follows an argument for an
// argument without a word. A flag the verb does not have is refused here, by name.
func flagsFirst(v *verb, args []string) ([]string, error) {
	if len(args) > 0 && args[len(args)-1] == completionFlag {
		return args, nil
	}
	var flags, words []string
	for i := 0; i < len(args); i++ {
		arg := args[i]
		if arg == "--" {
			words = append(words, args[i+1:]...)
			break
		}
		if !strings.HasPrefix(arg, "-") || arg == "-" {
			words = append(words, arg)
			continue
		}
		name, _, joined := strings.Cut(strings.TrimLeft(arg, "-"), "=")
		flag := flagNamed(v, name)
		if flag == nil {
			return nil, &app.Usage{Message: fmt.Sprintf("%s has no flag %s", v.name, strings.SplitN(arg, "=", 2)[0]), Hint: flagHint(v)}
		}
		flags = append(flags, arg)
		if _, isSwitch := flag.(*cli.BoolFlag); !isSwitch && !joined {
			if i+1 == len(args) {
				return nil, &app.Usage{Message: fmt.Sprintf("--%s needs a value", name)}
			}
			i++
			flags = append(flags, args[i])
		}
	}
	if v.most >= 0 && len(words) > v.most {
		return nil, &app.Usage{Message: fmt.Sprintf("%s is one word too many", words[v.most]), Hint: "boltback " + strings.TrimSpace(v.name+" "+v.args)}
	}
	if len(words) < v.least {
		return nil, &app.Usage{Message: v.name + " needs more words", Hint: "boltback " + v.name + " " + v.args}
	}
	return append(append(flags, "--"), words...), nil
}

func flagNamed(v *verb, name string) cli.Flag {
	for _, f := range v.flags {
		if slices.Contains(f.Names(), name) {
			return f
		}
	}
	return nil
}

func flagHint(v *verb) string {
	var names []string
	for _, f := range v.flags {
		names = append(names, "--"+f.Names()[0])
	}
	if len(names) == 0 {
		return "it takes none"
	}
	return "it has: " + strings.Join(names, " ")
}
