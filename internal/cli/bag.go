package cli

import (
	"strconv"
	"strings"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/bag"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/finding"
)

func bagVerb() *verb {
	return &verb{
		name: "bag", args: "check PATH", least: 1, most: 2,
		purpose: "check a bag (RFC 8493) whole: every file against every list, before anything is unpacked",
		more: `PATH is a folder, a .zip or a .tar.gz. Nothing is unpacked, followed or fetched. A bag that is whole shows that its
files are as its lists have them; who made it, it does not show. The exit status is 1 where it is not whole.`,
		examples: []string{"bag check grey-tern.zip", "bag check /media/stick/grey-tern --json"},
		flags:    []cli.Flag{jsonFlag(), strictFlag()},
		run:      runBag, words: func(Env) []string { return []string{"check"} },
	}
}

func runBag(c *cli.Context, env Env) error {
	if c.Args().First() != "check" || c.NArg() != 2 {
		return &app.Usage{Message: "bag takes the word check and the bag", Hint: "boltback bag check grey-tern.zip"}
	}
	name := c.Args().Get(1)
	report, err := env.App.CheckBag(c.Context, name)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		err = finding.WriteJSON(env.Stdout, bagChecked(report))
	} else {
		err = env.sayBag(name, report)
	}
	if err != nil {
		return err
	}
	return verdict(report.Findings, c.Bool("strict"))
}

// sayBag prints what was found, and what was held against what.
func (env Env) sayBag(name string, r *bag.Report) error {
	if len(r.Findings) > 0 {
		if err := env.print(dossier.Findings(r.Findings).Blocks...); err != nil {
			return err
		}
	}
	version := r.Version
	if version == "" {
		version = "of no known version"
	}
	says := "This bag is not whole"
	if r.Valid() {
		says = "This bag is whole"
	}
	return env.print(doc.Lead("{}: {} (BagIt {}; {} with {} bytes, held against {}). Who made it, that does not show.",
		says, name, version, files(r.Files), r.Bytes, orNothing(strings.Join(r.Algorithms, ", "))))
}

func orNothing(s string) string {
	if s == "" {
		return "nothing"
	}
	return s
}

// checkedBag is the shape of bag check --json.
type checkedBag struct {
	Edition    string            `json:"edition"`
	Whole      bool              `json:"whole"`
	Version    string            `json:"version"`
	Encoding   string            `json:"encoding"`
	Files      int               `json:"files"`
	Bytes      int64             `json:"bytes"`
	Algorithms []string          `json:"algorithms"`
	Info       []bag.Field       `json:"info"`
	Findings   []finding.Finding `json:"findings"`
}

func bagChecked(r *bag.Report) checkedBag {
	c := checkedBag{"1", r.Valid(), r.Version, r.Encoding, r.Files, r.Bytes, r.Algorithms, r.Info, r.Findings}
	if c.Algorithms == nil {
		c.Algorithms = []string{}
	}
	if c.Info == nil {
		c.Info = []bag.Field{}
	}
	if c.Findings == nil {
		c.Findings = []finding.Finding{}
	}
	return c
}

func files(n int) string {
	if n == 1 {
		return "1 file"
	}
	return strconv.Itoa(n) + " files"
}
