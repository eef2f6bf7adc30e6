package cli

import (
	"fmt"
	"io"
	"strings"
)

const purpose = `boltback keeps the record of a classic car that is made electric and can be put back:
what was on it, what was taken off and where it is, what was tightened, measured and signed.`

const statuses = `Exit status: 0 clean, 1 findings, 2 the command's words do not fit,
3 the environment failed, 70 a fault of the program, 130 interrupted.`

// help prints the daily verbs, all of them, or one.
func help(w io.Writer, args []string) error {
	switch {
	case len(args) == 0:
		return helpAll(w, false)
	case args[0] == "all":
		return helpAll(w, true)
	}
	v := verbNamed(args[0])
	if v == nil {
		return unknownVerb(args[0])
	}
	return helpVerb(w, v)
}

func helpAll(w io.Writer, all bool) error {
	var b strings.Builder
	fmt.Fprintf(&b, "%s\n\nUse: boltback VERB [words] [--flags]\n\n", purpose)
	for _, v := range verbs() {
		if all || v.daily {
			fmt.Fprintf(&b, "  %-11s %s\n", v.name, v.purpose)
		}
	}
	if all {
		fmt.Fprintf(&b, "\n%s\n", statuses)
	} else {
		b.WriteString("\nhelp all shows every verb, help VERB one of them with examples.\n")
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func helpVerb(w io.Writer, v *verb) error {
	var b strings.Builder
	fmt.Fprintf(&b, "boltback %s\n\n%s.\n", strings.TrimSpace(v.name+" "+v.args), upper(v.purpose))
	if v.more != "" {
		fmt.Fprintf(&b, "%s\n", v.more)
	}
	if len(v.flags) > 0 {
		b.WriteString("\n")
	}
	for _, f := range v.flags {
		name, use := flagText(f)
		fmt.Fprintf(&b, "  %-18s %s\n", name, use)
	}
	b.WriteString("\nFor example:\n\n")
	for _, e := range v.examples {
		fmt.Fprintf(&b, "  boltback %s\n", e)
	}
	_, err := io.WriteString(w, b.String())
	return err
}

func upper(s string) string { return strings.ToUpper(s[:1]) + s[1:] }
