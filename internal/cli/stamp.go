package cli

import (
	"fmt"
	"time"

	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/finding"
)

func stampVerb() *verb {
	return &verb{
		name: "stamp", args: "[CAR]", most: 1,
		purpose: "stamp the history as it stands, by an outside clock or for somebody to keep on paper",
		more: `A stamp is a signed tag over the SHA-256 digests of all files of the last commit; it names the stamp
before it. With --tsa a time-stamping authority (RFC 3161) is asked over the network, by an address that
you give here or in your own configuration ("authority": "https://..."), never by one in a ledger; it sees
a digest and nothing else. Its answer is checked against the certificates that you trust (--authorities, or
"authorities" in your configuration) before anything is written. Without a network, --request FILE writes
what to ask, and --tsa ANSWER takes the answer in. A stamp shows that these bytes existed by then, no more.
--print makes a page of the last stamp with check digits and a code, for somebody outside to keep;
--save writes the last stamp itself. Neither makes a new one. verify says what stamps show, and by which
day one should be made again, while the certificates of the last are still valid.`,
		examples: []string{"stamp tern --tsa https://clock.example/tsr --authorities clock-root.pem", "stamp tern --request ask.tsq", "stamp tern --tsa answer.tsr", "stamp tern --print --out keep-this.pdf", "stamp tern --save stamp.txt"},
		flags: []cli.Flag{
			&cli.StringFlag{Name: "tsa", Usage: "ask the authority at `URL`, or take its answer from a file"},
			&cli.BoolFlag{Name: "no-tsa", Usage: "ask nobody, whatever the configuration says"},
			authoritiesFlag(),
			&cli.StringFlag{Name: "request", Usage: "write the request for an authority to `FILE`, and stamp nothing yet"},
			&cli.BoolFlag{Name: "print", Usage: "print the last stamp as a PDF file"},
			&cli.StringFlag{Name: "save", Usage: "write the last stamp to `FILE`, for somebody to keep"},
			paperFlag(), outFlag(), carFlag(), asFlag(), onFlag(),
		},
		run: runStamp, words: carNames,
	}
}

func authoritiesFlag() cli.Flag {
	return &cli.StringFlag{Name: "authorities", Usage: "trust the time-stamping authorities whose certificates (PEM) are in `FILE`"}
}

func runStamp(c *cli.Context, env Env) error {
	if c.NArg() == 1 {
		if err := c.Set("car", c.Args().First()); err != nil {
			return err
		}
	}
	modes := 0
	for _, name := range []string{"tsa", "no-tsa", "request", "print", "save"} {
		if c.IsSet(name) {
			modes++
		}
	}
	if modes > 1 {
		return &app.Usage{Message: "--tsa, --no-tsa, --request, --print and --save each do something else", Hint: "give one of them"}
	}
	if c.Bool("print") || c.String("save") != "" {
		return keepStamp(c, env)
	}
	d, err := desk(c, env)
	if err != nil {
		return err
	}
	done, err := d.Stamp(c.Context, app.StampRequest{
		Authority: c.String("tsa"), NoAuthority: c.Bool("no-tsa"), Roots: c.String("authorities"), Request: c.String("request"),
	})
	if err != nil {
		return err
	}
	for _, n := range done.Notes {
		fmt.Fprintln(env.Stderr, "note: "+finding.Printable(n))
	}
	if done.Tag == "" {
		fmt.Fprintln(env.Stdout, c.String("request"))
		return nil
	}
	fmt.Fprintf(env.Stdout, "%s %s\n", done.Tag, done.Digest)
	if t := done.Token; t != nil {
		fmt.Fprintf(env.Stderr, "note: %s saw these bytes at %s; its certificates are valid until %s\n", finding.Printable(t.Authority), t.Time.Format(time.RFC3339), t.Expires.Format(time.DateOnly))
	}
	return nil
}

// keepStamp hands out the last stamp, on paper or as it is.
func keepStamp(c *cli.Context, env Env) error {
	car, err := env.App.One(c.String("car"))
	if err != nil {
		return err
	}
	if name := c.String("save"); name != "" {
		text, _, err := env.App.StampSaved(car)
		if err != nil {
			return err
		}
		path, err := env.App.Files.Absolute(name)
		if err != nil {
			return err
		}
		if err := env.App.Files.Create(path, text); err != nil {
			return fmt.Errorf("write %s: %w", name, err)
		}
		_, err = fmt.Fprintln(env.Stdout, name)
		return err
	}
	if err := forPaper(c, env); err != nil {
		return err
	}
	p, err := env.App.StampPage(car, c.String("paper"), c.String("authorities"))
	if err != nil {
		return err
	}
	return env.hand(c, p)
}
