package main

import (
	"fmt"
	"maps"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

// keeper is one of the two workshops between which a car goes to and fro, each with a yard and a key of its own.
type keeper struct {
	home, person, pin string
}

func (k keeper) yard() string { return filepath.Join(k.home, "yard") }
func (k keeper) car() string  { return filepath.Join(k.yard(), "cars", "grey-tern") }
func (k keeper) key() string  { return filepath.Join(k.home, "key") }

// does runs the program as this keeper.
func (k keeper) does(t *testing.T, dir string, args ...string) string {
	t.Helper()
	cmd := exec.Command(built, args...)
	cmd.Dir, cmd.Env = dir, k.environment()
	return run(t, cmd)
}

func (k keeper) environment() []string {
	return append(os.Environ(), "XDG_CONFIG_HOME="+k.home, "GIT_CONFIG_NOSYSTEM=1", "GIT_CONFIG_GLOBAL=/dev/null")
}

// commits are the ids of this keeper's copy, the oldest first.
func (k keeper) commits(t *testing.T) []string {
	t.Helper()
	return strings.Fields(stockGit(t, k.car(), "rev-list", "--reverse", "HEAD"))
}

// signer is somebody with a key, and no yard yet.
func signer(t *testing.T, person string) keeper {
	t.Helper()
	k := keeper{home: t.TempDir(), person: person}
	run(t, exec.Command("ssh-keygen", "-q", "-t", "ed25519", "-N", "", "-C", "bench", "-f", k.key()))
	k.pin = strings.Fields(run(t, exec.Command("ssh-keygen", "-lf", k.key()+".pub")))[1]
	write(t, filepath.Join(k.home, "boltback", "config.json"), fmt.Sprintf("{\"person\": %q, \"key\": %q}", k.person, k.key()))
	return k
}

// newKeeper founds a workshop whose one person signs with a key.
func newKeeper(t *testing.T, workshop, person string) keeper {
	t.Helper()
	k := signer(t, "people/"+workshop+"/"+person)
	k.does(t, k.home, "init", "yard", "--workshop", workshop, "--person", person, "--person-name", person)
	k.does(t, k.yard(), "keys", "--add", k.key()+".pub", "--person", person, "--valid-from", "2026-01-01")
	return k
}

// stay is what is done while a car is with one keeper, and how it goes on: which works, in which form of a bag, and whether
// the words of the handover and of the receipt are given twice.
type stay struct {
	Works        []string
	Form         string
	Twice, Again bool
}

// stays draws four rounds there and back.
func stays() *rapid.Generator[[]stay] {
	one := rapid.Custom(func(t *rapid.T) stay {
		return stay{
			Works: rapid.SliceOfN(rapid.SampledFrom([]string{"part", "correction", "withdrawal", "name", "file", "private"}), 1, 2).Draw(t, "works"),
			Form:  rapid.SampledFrom([]string{"", ".zip", ".tar.gz"}).Draw(t, "form"),
			Twice: rapid.Bool().Draw(t, "twice"),
			Again: rapid.Bool().Draw(t, "again"),
		}
	})
	return rapid.SliceOfN(one, 8, 8)
}

// travels is a car that goes to and fro, and what has to be in it.
type travels struct {
	*testing.T
	bags    string
	records map[string]string // what each file under Git holds that was written at a bench
	private []string          // the transfers with a private value
	beside  int               // originals and disclosures
	n       int
}

// TestACarThatGoesToAndFroFourTimesLosesAndDoublesNothing hands a car over and back four times, with work in between. Each
// receipt goes on from the very commits that went away, adds itself alone, and has every original and disclosure with it;
// what is given twice adds nothing. At the end every commit is signed with a key that counted.
func TestACarThatGoesToAndFroFourTimesLosesAndDoublesNothing(t *testing.T) {
	seeds := []int{2, 3, 5} // the first has every work and every form of a bag in it
	if raced {
		seeds = seeds[:1]
	}
	for _, seed := range seeds {
		t.Run(fmt.Sprint(seed), func(t *testing.T) { toAndFro(t, stays().Example(seed)) })
	}
}

func toAndFro(t *testing.T, stays []stay) {
	lane, quay := newKeeper(t, "tallow-lane", "ines"), newKeeper(t, "quayside", "odile")
	lane.does(t, lane.yard(), "intake", "grey-tern", "make=Corvane")
	car := &travels{T: t, bags: t.TempDir(), records: map[string]string{}}
	from, to := lane, quay
	for i, s := range stays {
		t.Logf("stay %d: %+v", i+1, s)
		for _, work := range s.Works {
			car.work(from, work)
		}
		car.goes(from, to, s, filepath.Join(car.bags, fmt.Sprintf("bag-%d%s", i, s.Form)))
		from, to = to, from
	}
	receipts := stockGit(t, lane.car(), "ls-files", "transfers/*-received*")
	if n := len(strings.Fields(receipts)); n != 8 {
		t.Errorf("%d receipts of 8:\n%s", n, receipts)
	}
	said := lane.does(t, lane.car(), "verify", "--pin", lane.pin)
	if strings.Contains(said, "not established") || strings.Contains(said, "Commits that nobody signed") {
		t.Errorf("at the end:\n%s", said)
	}
	lane.does(t, lane.car(), "check")
	stockGit(t, lane.car(), "fsck", "--strict")
}

// work does one thing at a keeper's bench, and keeps in mind what the records have to say from then on.
func (c *travels) work(k keeper, what string) {
	c.Helper()
	c.n++
	name, first := fmt.Sprintf("%s-%02d", what, c.n), fmt.Sprintf("first-%02d", c.n)
	record := func(words ...string) { k.does(c.T, k.car(), append([]string{"record"}, words...)...) }
	switch what {
	case "part":
		record("part", name, fmt.Sprintf("tag=%04d", c.n))
	case "correction", "withdrawal", "name":
		record("part", first, "found=yes")
		c.keep(k)
		words := map[string][]string{
			"correction": {"correct", "parts/" + first, "note=seen again", "--reason", "seen again"},
			"withdrawal": {"withdraw", "parts/" + first, "--reason", "of another car"},
			"name":       {"rename", "parts/" + first, name},
		}[what]
		k.does(c.T, k.car(), words...)
		if what == "name" {
			delete(c.records, "parts/"+first+".json")
		}
	case "file":
		file := filepath.Join(c.bags, name+".txt")
		write(c.T, file, "as drawn at the bench, "+name+"\n")
		record("paper", name, "--file", file, "class=drawing")
		c.beside++
	case "private":
		record("transfer", name, "on=2026-07-01", "how=sale", "from.sort=owner", "to.sort=owner", "to.name=Quillon Marsh-Invented "+name)
		c.private = append(c.private, "transfers/2026-07-01-"+name)
		c.beside++
	}
	c.keep(k)
}

// keep reads what the car's files say, and wants every file that was there before to say what it said.
func (c *travels) keep(k keeper) {
	c.Helper()
	now := map[string]string{}
	for _, name := range strings.Fields(stockGit(c.T, k.car(), "ls-files", "parts", "papers", "transfers")) {
		text, err := os.ReadFile(filepath.Join(k.car(), name))
		if err != nil {
			c.Fatal(err)
		}
		now[name] = string(text)
	}
	for name, text := range c.records {
		if now[name] != text {
			c.Errorf("%s says otherwise, or is gone", name)
		}
	}
	c.records = now
}

// goes hands the car over and receives it, and looks at both copies.
func (c *travels) goes(from, to keeper, s stay, bag string) {
	c.Helper()
	before := from.commits(c.T)
	words := []string{"handover", "grey-tern", bag, "--to", "the other"}
	for _, ref := range c.private {
		words = append(words, "--with-private", ref)
	}
	from.does(c.T, from.yard(), append(words, "--keeper", to.person, "--keeper-key", to.key()+".pub")...)
	if s.Twice {
		words[2] = filepath.Join(c.bags, "twice-"+filepath.Base(bag))
		from.does(c.T, from.yard(), words...)
		bag = words[2]
	}
	receive := []string{"receive", bag, "--how", "for work", "--distance", fmt.Sprintf("%d km", 100+c.n)}
	to.does(c.T, to.yard(), receive...)
	if s.Again {
		to.does(c.T, to.yard(), receive...)
	}
	left, came := from.commits(c.T), to.commits(c.T)
	if len(left) != len(before)+1 || !slices.Equal(left[:len(before)], before) {
		c.Fatalf("handed over, %d commits became %d", len(before), len(left))
	}
	if len(came) != len(left)+1 || !slices.Equal(came[:len(left)], left) {
		c.Fatalf("of %d commits that went away the other yard has %d", len(left), len(came))
	}
	if changed := stockGit(c.T, to.car(), "diff", "--name-status", "--no-renames", "HEAD~", "--", "parts", "papers", "transfers"); strings.Count(changed, "\n") != 1 || !strings.HasPrefix(changed, "A\ttransfers/") {
		c.Errorf("the receipt changes\n%s", changed)
	}
	if dirty := stockGit(c.T, to.car(), "status", "--porcelain"); dirty != "" {
		c.Errorf("received, git sees\n%s", dirty)
	}
	c.keep(to)
	gave, got := c.lying(from), c.lying(to)
	if len(got) != c.beside || !maps.Equal(gave, got) {
		c.Errorf("of %d originals and disclosures %d lie in one yard and %d in the other", c.beside, len(gave), len(got))
	}
}

// lying is what lies beside a keeper's copy, by name.
func (c *travels) lying(k keeper) map[string]string {
	c.Helper()
	files := map[string]string{}
	for _, place := range []string{"originals/*", "private/grey-tern/*"} {
		found, err := filepath.Glob(filepath.Join(k.yard(), place))
		if err != nil {
			c.Fatal(err)
		}
		for _, file := range found {
			text, err := os.ReadFile(file)
			if err != nil {
				c.Fatal(err)
			}
			files[filepath.Base(file)] = string(text)
		}
	}
	return files
}
