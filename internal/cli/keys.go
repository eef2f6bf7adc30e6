package cli

import (
	"github.com/urfave/cli/v2"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/finding"
	"boltback/internal/record"
	"boltback/internal/signoff"
)

func keysVerb() *verb {
	return &verb{
		name: "keys", args: "[CAR]", most: 1,
		purpose: "list whose keys count, and add a public key",
		more: `A key is an entry that never changes. It counts if it stood in the first commit, or if the commit
that added it was signed with a key that counted already. --add writes it into the car and into the
workshop's address book, with the list that stock ssh-keygen reads; in a yard where no car is named,
into the address book alone, from which a car takes it at intake. Private keys stay where they are.`,
		examples: []string{"keys tern", "keys tern --allowed-signers > allowed_signers", "keys --add ~/.ssh/id_ed25519.pub --person ines-okafor"},
		flags: []cli.Flag{
			&cli.BoolFlag{Name: "allowed-signers", Usage: "print the list that follows from the entries, for ssh-keygen and git"},
			&cli.StringFlag{Name: "add", Usage: "record the public key in `FILE`"},
			&cli.StringFlag{Name: "person", Usage: "whose key it is: `PERSON`"},
			&cli.StringFlag{Name: "valid-from", Usage: "valid from `DAY`; today if not given"},
			&cli.StringFlag{Name: "valid-until", Usage: "valid until `DAY`"},
			asFlag(), onFlag(), jsonFlag(),
		},
		run: runKeys, words: carNames,
	}
}

func runKeys(c *cli.Context, env Env) error {
	if c.String("add") != "" {
		return addKey(c, env)
	}
	if c.String("person") != "" || c.String("valid-from") != "" || c.String("valid-until") != "" {
		return &app.Usage{Message: "--person, --valid-from and --valid-until are about a key to add", Hint: "boltback keys --add FILE.pub --person PERSON"}
	}
	day, car, err := dayAndCar(c, env, c.Args().First())
	if err != nil {
		return err
	}
	if c.Bool("allowed-signers") {
		list, err := env.App.SignersFile(car)
		if err != nil {
			return err
		}
		_, err = env.Stdout.Write(list)
		return err
	}
	s, rows, err := env.App.Keys(car, day)
	if err != nil {
		return err
	}
	if c.Bool("json") {
		return finding.WriteJSON(env.Stdout, keyList(rows))
	}
	return env.print(dossier.Keys(s, car.Name, day, rows))
}

func addKey(c *cli.Context, env Env) error {
	day, err := today(c, env)
	if err != nil {
		return err
	}
	if c.String("person") == "" {
		return &app.Usage{Message: "--add needs to know whose key it is", Hint: "--person people/WORKSHOP/NAME, or the end of it"}
	}
	w, err := env.App.AddKey(c.Context, c.Args().First(), record.Ref(c.String("as")), app.NewKey{
		File: c.String("add"), Person: record.Ref(c.String("person")), Today: day,
		From: record.Date(c.String("valid-from")), Until: record.Date(c.String("valid-until")),
	})
	return env.written(w, err)
}

// keysAnswer is the shape of keys --json.
type keysAnswer struct {
	Edition string      `json:"edition"`
	Keys    []keyAnswer `json:"keys"`
}

type keyAnswer struct {
	Record      record.Ref `json:"record"`
	Person      record.Ref `json:"person"`
	Principal   string     `json:"principal"`
	Fingerprint string     `json:"fingerprint"`
	Algorithm   string     `json:"algorithm"`
	From        string     `json:"from,omitempty"`
	Until       string     `json:"until,omitempty"`
	Standing    string     `json:"standing"`
	EndedBy     record.Ref `json:"ended-by,omitempty"`
}

func keyList(rows []signoff.KeyRow) keysAnswer {
	answer := keysAnswer{"1", []keyAnswer{}}
	for _, r := range rows {
		one := keyAnswer{
			Record: r.Ref, Person: r.Person, Principal: signoff.Principal(r.Person), Fingerprint: r.Key.Fingerprint(),
			Algorithm: r.Key.Algorithm(), Standing: string(r.Worth), EndedBy: r.Ending.Ref,
		}
		if !r.After.IsZero() {
			one.From = r.After.UTC().Format("2006-01-02T15:04:05Z")
		}
		if !r.Before.IsZero() {
			one.Until = r.Before.UTC().Format("2006-01-02T15:04:05Z")
		}
		answer.Keys = append(answer.Keys, one)
	}
	return answer
}
