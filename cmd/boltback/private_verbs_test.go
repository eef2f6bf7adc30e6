package main

import (
	"bytes"
	"context"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"

	"boltback/internal/app"
	"boltback/internal/attest"
	"boltback/internal/cli"
	"boltback/internal/record"
)

// sealedElsewhere is a private value of one car of the sample; the rows below try to bring it into another.
const sealedElsewhere = "Ottavio Brancaleone-Invented"

// writing is one way of getting words into a ledger. Args may name $YARD, $CAR and files of the row; VALUE is the value in
// them all, and SLUG what a file's name would make of it.
type writing struct {
	verb  string
	args  string // parted by |
	stdin string
	files map[string]string // put in place before, and taken away after
	// taken says that the verb does what it is asked to and leaves the value out.
	taken bool
}

// writings are all verbs that take words into a ledger, by every flag and place that takes them.
var writings = []writing{
	{verb: "intake", args: "intake|new-car|name=VALUE's car"},
	{verb: "intake", args: "intake|SLUG-car"},
	{verb: "record", args: "record|part|spare|--car|$CAR|note=from VALUE"},
	{verb: "record", args: "record|part|spare|--car|$CAR|name=VALUE"},
	{verb: "record", args: "record|part|SLUG|--car|$CAR|found=no"},
	{verb: "record", args: "record|part|spare|--car|$CAR|found=no|--message|for VALUE"},
	{verb: "record", args: "record|session|talk|--car|$CAR|by=ines-okafor|note=VALUE rang"},
	{verb: "record", args: "record|--car|$CAR|--note|ring VALUE"},
	{verb: "record", args: "record|part|spare|--car|$CAR|--from|$YARD/from.json", files: map[string]string{"from.json": `{"kind": "part", "note": "VALUE"}`}},
	{verb: "record", args: "record|paper|shot|--car|$CAR|--file|$YARD/shot.jpg|class=photo|caption=VALUE in the car", files: map[string]string{"shot.jpg": "PICTURE"}},
	{verb: "record", args: "record|--steps|--car|$CAR", stdin: "off 9901 horn, loft, # of VALUE\nseen engine note VALUE\ndone\n"},
	{verb: "record", args: "record|--csv|$YARD/off.csv|--car|$CAR", files: map[string]string{"off.csv": "tag,part,note\n9901,horn,of VALUE\n"}},
	{verb: "record", args: "record|people/tallow-lane/bram-ostler|note=knows VALUE"},
	{verb: "record", args: "record|store|shed|at=at VALUE's"},
	{verb: "commit", args: "commit|$CAR", files: map[string]string{"cars/tern-1500/parts/spare.json": "{\n  \"kind\": \"part\",\n  \"note\": \"VALUE\"\n}\n"}},
	{verb: "commit", args: "commit|$CAR", files: map[string]string{"cars/tern-1500/inbox/2026-06-01-ines-okafor-x.json": "{\n  \"text\": \"VALUE\",\n  \"lacks\": []\n}\n"}},
	{verb: "commit", args: "commit|$CAR|--message|VALUE's spare", files: map[string]string{"cars/tern-1500/parts/spare.json": "{\n  \"kind\": \"part\"\n}\n"}},
	{verb: "commit", args: "commit|workshop", files: map[string]string{"workshop/stores/tallow-lane/shed/store.json": "{\n  \"kind\": \"store\",\n  \"note\": \"VALUE\"\n}\n"}},
	{verb: "correct", args: "correct|parts/fuel-tank|--car|$CAR|name=Tank of VALUE|--reason|looked"},
	{verb: "correct", args: "correct|parts/fuel-tank|--car|$CAR|name=Tank|--reason|VALUE says so"},
	{verb: "withdraw", args: "withdraw|parts/fuel-tank|--car|$CAR|--reason|VALUE says so"},
	{verb: "rename", args: "rename|parts/spare-fuse|SLUG|--car|$CAR", files: map[string]string{}},
	{verb: "inbox", args: "inbox|$YARD/pictures|--car|$CAR|--yes|--tag|one.jpg=9902-1|--line|9902-1=VALUE", files: map[string]string{"pictures/one.jpg": "PICTURE"}},
	{verb: "sign", args: "sign|$CAR|--covers|parts/fuel-tank|--meaning|as VALUE left it|--no-questions"},
	{verb: "sign", args: "sign|$CAR|--covers|parts/fuel-tank|--meaning|seen|--remark|VALUE stood by|--no-questions"},
	{verb: "keys", args: "keys|$CAR|--add|$YARD/k.pub|--person|bram-ostler|--valid-from|2026-07-01", files: map[string]string{"k.pub": "KEY VALUE"}, taken: true},
	{verb: "receive", args: "receive|$YARD/bag|--name|SLUG-tern"},
}

// wordless are the other verbs, with why no row above is theirs.
var wordless = map[string]string{
	"init": "a new yard has no private value yet", "demo": "it takes no words", "stamp": "what it signs is a list of digests and paths that were committed",
	"handover": "it writes papers for the next keeper, whom --to names, and nothing into a ledger",
	"bag":      "reads", "export": "reads", "schema": "reads", "completion": "reads", "check": "reads; --fix-layout changes spaces alone", "sheet": "reads",
	"where": "reads", "dossier": "reads", "labels": "reads", "list": "reads", "show": "reads", "state": "reads", "stale": "reads", "due": "reads", "stock-take": "reads",
	"reversal": "reads; its file is a statement of records", "wording": "reads", "workings": "reads", "requirements": "reads", "assess": "reads", "paperwork": "reads",
	"history": "reads", "diff": "reads", "verify": "reads",
}

// TestNoWritingVerbLetsAPrivateValueIn tries each way, and looks at what is said, at every object of Git and at every file.
func TestNoWritingVerbLetsAPrivateValueIn(t *testing.T) {
	yard := t.TempDir()
	t.Setenv("BOLTBACK_CACHE", filepath.Join(t.TempDir(), "cache"))
	t.Setenv("BOLTBACK_PERSON", "people/tallow-lane/ines-okafor")
	playSample(t, yard)
	t.Chdir(yard)
	in := &barred{t: t, yard: yard}
	for _, args := range [][]string{{"handover", "courser", filepath.Join(yard, "bag"), "--to", "the owner"}, {"record", "part", "spare-fuse", "--car", "tern-1500", "found=no"}} {
		if status, said := in.run("", args...); status != 0 {
			t.Fatalf("%q: %d\n%s", args, status, said)
		}
	}
	before := in.heads()
	for _, w := range writings {
		in.bar(w)
		if after := in.heads(); !w.taken && after != before {
			t.Errorf("%s: something was committed", w.args)
			before = after
		} else if w.taken {
			before = after
		}
	}
	s := newSweep(t, sealedElsewhere)
	s.files(yard)
	for _, name := range []string{"workshop", "cars/courser", "cars/sesta-700", "cars/tern-1500"} {
		s.objects(t, filepath.Join(yard, filepath.FromSlash(name)))
	}
}

func TestEveryVerbIsTriedForPrivateValuesOrTakesNoWordsIntoALedger(t *testing.T) {
	for _, verb := range everyVerb(t) {
		tried := slices.ContainsFunc(writings, func(w writing) bool { return w.verb == verb })
		if tried == (wordless[verb] != "") {
			t.Errorf("%s stands in both lists, or in none", verb)
		}
	}
}

// everyVerb gives the verbs of the program as its help lists them.
func everyVerb(t *testing.T) (verbs []string) {
	t.Helper()
	var out bytes.Buffer
	env := world()
	env.Stdout = &out
	if status := cli.Run(context.Background(), []string{"help", "all"}, env); status != 0 {
		t.Fatal(status)
	}
	for _, v := range regexp.MustCompile(`(?m)^  ([a-z-]+) `).FindAllStringSubmatch(out.String(), -1) {
		verbs = append(verbs, v[1])
	}
	if len(verbs) < 30 {
		t.Fatalf("only %d verbs were found", len(verbs))
	}
	return verbs
}

// barred is a yard into which a value is not to come.
type barred struct {
	t    *testing.T
	yard string
}

func (b *barred) slug() string {
	return strings.ReplaceAll(strings.ToLower(sealedElsewhere), " ", "-")
}

func (b *barred) fill(text string) string {
	text = strings.NewReplacer("$YARD", b.yard, "$CAR", filepath.Join(b.yard, "cars", "tern-1500"), "VALUE", sealedElsewhere, "SLUG", b.slug()).Replace(text)
	if text == "PICTURE" {
		file, err := snap{seed: 77, camera: "F3", taken: "2026:06:01 08:00:00"}.file()
		if err != nil {
			b.t.Fatal(err)
		}
		return string(file)
	}
	return strings.Replace(text, "KEY", attest.DemoSigner("tallow-lane", "somebody-new").Public().String(), 1)
}

// bar tries one way and looks at what is said of it.
func (b *barred) bar(w writing) {
	b.t.Helper()
	for name, text := range w.files {
		at := filepath.Join(b.yard, filepath.FromSlash(name))
		write(b.t, at, b.fill(text))
		defer os.Remove(at)
	}
	status, said := b.run(b.fill(w.stdin), strings.Split(b.fill(w.args), "|")...)
	refused := regexp.MustCompile(`shows? a private value|private value is shown`).MatchString(said)
	if wrong := status == 0; wrong != w.taken || refused == w.taken {
		b.t.Errorf("%s: exit status %d\n%s", w.args, status, said)
	}
	if newSweep(b.t, sealedElsewhere).shows([]byte(said)) {
		b.t.Errorf("%s repeats the value:\n%s", w.args, said)
	}
}

func (b *barred) run(stdin string, args ...string) (status int, said string) {
	b.t.Helper()
	var out bytes.Buffer
	env := world()
	env.Stdin, env.Stdout, env.Stderr = strings.NewReader(stdin), &out, &out
	env.App.Signer = func() (attest.Signer, error) { return attest.DemoSigner("tallow-lane", "ines-okafor"), nil }
	return cli.Run(context.Background(), args, env), out.String()
}

// heads are what the repositories of the yard stand on.
func (b *barred) heads() string {
	var all strings.Builder
	for _, name := range []string{"workshop", "cars/courser", "cars/sesta-700", "cars/tern-1500"} {
		git := exec.Command("git", "rev-parse", "HEAD")
		git.Dir = filepath.Join(b.yard, filepath.FromSlash(name))
		out, err := git.Output()
		if err != nil {
			b.t.Fatal(err)
		}
		all.Write(out)
	}
	return all.String()
}

// foldersOpened counts how often a folder is opened for reading.
type foldersOpened struct {
	app.Files
	times map[string]int
}

func (f foldersOpened) Folder(path string) fs.FS {
	f.times[path]++
	return f.Files.Folder(path)
}

// TestADeepCheckOfAYardReadsItsPrivateValuesOnce or a yard of many cars would read all of them for each.
func TestADeepCheckOfAYardReadsItsPrivateValuesOnce(t *testing.T) {
	m := makeYard(t, 5, 40)
	value := record.Disclosure{Salt: strings.Repeat("5a", record.SaltBytes), Ledger: "l", Path: "transfers/2026-01-01-a.json", Pointer: "/from/name", Value: "Quillon Marsh-Invented"}
	file, err := value.Encode()
	if err != nil {
		t.Fatal(err)
	}
	write(t, filepath.Join(m.yard, "private", "car-00", string(record.DigestOf(file))+".json"), string(file))
	write(t, filepath.Join(m.cars[3], "parts", "told.json"), "{\n  \"kind\": \"part\",\n  \"note\": \"as quillon marsh invented said\"\n}\n")
	env := world()
	opened := foldersOpened{env.App.Files, map[string]int{}}
	env.App.Files, env.App.Memories = opened, nil
	cars, err := env.App.Find(m.yard)
	if err != nil {
		t.Fatal(err)
	}
	options := checkOn
	options.Deep = true
	checked, err := env.App.Check(cars, options)
	if err != nil {
		t.Fatal(err)
	}
	var shown []string
	for _, one := range checked {
		for _, f := range one.Findings {
			if f.Code == "private-shown" {
				shown = append(shown, one.Car.Name+" "+f.String())
			}
		}
	}
	if len(shown) != 1 || !strings.HasPrefix(shown[0], "car-03 ") || !strings.Contains(shown[0], "parts/told.json:3:15: ") {
		t.Errorf("shown: %q", shown)
	}
	if n := opened.times[filepath.Join(m.yard, "private")]; n != 1 {
		t.Errorf("the private values of the yard were read %d times for %d cars", n, len(cars))
	}
}
