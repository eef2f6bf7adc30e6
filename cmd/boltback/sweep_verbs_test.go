package main

import (
	"bytes"
	"context"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"boltback/internal/attest"
	"boltback/internal/cli"
)

// use is the use of a yard under a sweep.
type use struct {
	t     *testing.T
	sweep *sweep
	yard  string
	out   string // a folder for what is written
}

// words are the words of a verb, parted by |. They may name $CAR, $NAME, $TRANSFER, a transfer with private values, and $OUT, a file
// or folder of this car for what is written.
type words string

// shownOfACar are the verbs that show something of a car, in every form that they have.
var shownOfACar = []words{
	"check|$CAR|--on|2026-11-01", "check|$CAR|--on|2026-11-01|--json", "check|$CAR|--deep|--on|2026-11-01", "list|$CAR", "list|$CAR|--json", "list|$CAR|transfer",
	"show|$CAR|$TRANSFER", "show|$CAR|$TRANSFER|--json", "show|$CAR|car", "history|--car|$CAR", "history|--car|$CAR|--json",
	"history|transfers/$TRANSFER|--car|$CAR", "history|transfers/$TRANSFER|--car|$CAR|--json", "diff|HEAD~12|HEAD|--car|$CAR", "diff|HEAD~12|HEAD|--car|$CAR|--json",
	"state|$CAR|--on|2026-11-01", "stale|$CAR", "due|$CAR", "due|$CAR|--json", "stock-take|$CAR", "stock-take|$CAR|--json",
	"reversal|$CAR|--on|2026-11-01|--statement|$OUT.json", "reversal|$CAR|--json", "reversal|$CAR|--format|pdf|--out|$OUT-back.pdf", "reversal|$CAR|--format|html|--out|$OUT-back.html",
	"wording|$CAR", "wording|$CAR|--json", "workings|$CAR|--on|2026-11-01", "workings|$CAR|--on|2026-11-01|--json", "workings|$CAR|custody",
	"requirements|--car|$CAR", "assess|$CAR|--for|heritage", "assess|$CAR|--for|us-virginia|--json", "assess|$CAR|--for|insurer-disclosure|--json",
	"paperwork|$CAR|--for|us-virginia|--format|text", "paperwork|$CAR|--for|us-virginia|--out|$OUT-papers.pdf|--format|pdf", "paperwork|$CAR|--for|insurer-disclosure|--format|html|--out|$OUT-papers.html",
	"keys|$CAR", "keys|$CAR|--json", "keys|$CAR|--allowed-signers", "verify|$CAR", "where|$CAR|0147|--json",
	"sheet|strip-down|$CAR|--out|$OUT-strip.pdf", "sheet|fitting|$CAR|--out|$OUT-fit.pdf", "sheet|stock-take|$CAR|--store|loft|--out|$OUT-loft.pdf",
	"export|$CAR|--as|csv|--out|$OUT-tables", "export|$CAR|--as|jsonl", "export|$CAR|--as|jsonl|--at|HEAD~12|--out|$OUT.jsonl",
	"handover|$CAR|$OUT-bag|--copy|--to|the next keeper", "handover|$CAR|$OUT-bag.zip|--copy|--to|the next keeper", "handover|$CAR|$OUT-bag.tar.gz|--copy|--to|the next keeper",
	"bag|check|$OUT-bag.zip", "dossier|$CAR|--format|json|--out|$OUT.records.json", "stamp|$CAR|--print|--out|$OUT-stamp.pdf", "verify|$CAR|--json",
}

// shownOfAYard are those over all cars.
var shownOfAYard = []words{
	"check|.|--on|2026-11-01", "check|.|--on|2026-11-01|--json", "list|.|--json", "due", "due|--json", "workings|--store|loft|--on|2026-06-15", "labels|part|--out|$OUT-tags.pdf",
	"where|0109", "show|workshop|people/tallow-lane/maud-pellerin", "list|workshop|--json",
}

// writtenBy is a verb that writes, with what is typed at it.
type writtenBy struct {
	words words
	stdin string
}

// writes bring private values and pictures in, leave work half told and answers waiting, and take some of it back.
var writes = []writtenBy{
	{"record|part|spare|--car|$CAR|found=no|value=6180 GBP", ""},
	{"record|parts/spare|--car|$CAR|value=6240 GBP", ""},
	{"rename|parts/spare|spare-one|--car|$CAR", ""},
	{"correct|parts/radiator|--car|$CAR|value=6240 GBP|--reason|priced anew", ""},
	{"withdraw|parts/spare-one|--car|$CAR|--reason|it was none", ""},
	{"record|transfer|lent|--car|$CAR|from.name=Nadia Faltenwurf-Invented|from.address=17 Bindery Steps, Lower Hallow", ""},
	{"record|people/tallow-lane/bram-ostler|telephone=+44 1632 960555", ""},
	{"record|paper|shot|--car|$CAR|--file|originals/telephone/one.jpg|class=photo", ""},
	{"record|paper|letter|--car|$CAR|--file|originals/telephone/two.jpg|class=letter", ""},
	{"inbox|originals/telephone|--car|$CAR|--yes|--tag|three.jpg=9902-1|--line|9902-1=lamp", ""},
	{"show|$CAR|transfers/2024-06-03-x", ""},
	{"record|part|other|--car|$CAR|found=no|note=priced at 6180 GBP", ""},
}

// left is what is told and not ended, so that it waits in the inbox when the yard is looked through.
var left = []writtenBy{
	{"record|--steps|--car|$CAR", "off 9901 horn, loft\nundo\noff 9903 lamp, loft, # of Nadia Faltenwurf-Invented\nnote priced at 6180 GBP\noff 9904 mirror, loft\nstop\n"},
	{"record|--car|$CAR|--note|to be looked at", ""},
}

// unswept are the verbs that no row above calls, with the reason.
var unswept = map[string]string{
	"init": "there is no private value yet", "intake": "it is tried with one in TestNoWritingVerbLetsAPrivateValueIn", "commit": "as intake", "sign": "signed calls it, and stamp", "receive": "as intake",
	"demo": "the yard is made by it", "completion": "it prints names and digests of nothing else than list and export do", "schema": "it knows no car",
}

func TestEveryVerbIsSweptOrHasAReason(t *testing.T) {
	swept := map[string]bool{}
	for _, w := range slices.Concat(shownOfACar, shownOfAYard) {
		verb, _, _ := strings.Cut(string(w), "|")
		swept[verb] = true
	}
	for _, w := range writes {
		verb, _, _ := strings.Cut(string(w.words), "|")
		swept[verb] = true
	}
	for _, verb := range everyVerb(t) {
		if swept[verb] == (unswept[verb] != "") {
			t.Errorf("%s is both swept and excused, or neither", verb)
		}
	}
}

// swept are the cars that are used, and for each a transfer with private values. One is enough for the race detector, which makes
// the looking slow.
func sweptCars() map[string]string {
	all := map[string]string{"courser": "2024-06-03-bought", "sesta-700": "2021-05-01-sold", "tern-1500": "2025-09-08-brought-in"}
	if raced {
		return map[string]string{"courser": all["courser"]}
	}
	return all
}

// everything calls every verb and looks at what it prints.
func (u *use) everything() {
	if err := os.MkdirAll(u.out, 0o755); err != nil {
		u.t.Fatal(err)
	}
	for i, name := range []string{"one.jpg", "two.jpg", "three.jpg", "four.jpg"} {
		file, err := snap{seed: uint64(80 + i), camera: camera, taken: "2026:06:01 08:0" + string(rune('0'+i)) + ":00"}.file()
		if err != nil {
			u.t.Fatal(err)
		}
		write(u.t, filepath.Join(u.yard, "originals", "telephone", name), string(file))
	}
	for _, w := range writes {
		u.run(u.fill(w.words, "courser", ""), w.stdin)
	}
	u.killed()
	for _, w := range shownOfAYard {
		u.run(u.fill(w, "yard", ""), "")
	}
	for name, transfer := range sweptCars() {
		u.signed(u.fill("stamp|$CAR|--no-tsa", name, ""))
		u.signed(u.fill("sign|$CAR|--covers|car|--meaning|as it stood|--no-questions", name, ""))
		for _, w := range shownOfACar {
			u.run(u.fill(w, name, transfer), "")
		}
		for _, reader := range []string{"keeper", "buyer", "insurer", "inspector", "mechanic", "responder"} {
			for _, format := range []string{"text", "html", "pdf"} {
				if !raced || reader == "keeper" || format == "text" {
					u.run(u.fill(words("dossier|$CAR|--on|2026-11-01|--for|"+reader+"|--format|"+format+"|--out|$OUT-"+reader+"."+format), name, transfer), "")
				}
			}
		}
	}
	for _, w := range left {
		u.run(u.fill(w.words, "courser", ""), w.stdin)
	}
}

// signed calls a verb with the key of somebody of the sample.
func (u *use) signed(args []string) {
	u.t.Helper()
	var said bytes.Buffer
	env := world()
	env.Stdout, env.Stderr = &said, &said
	env.App.Signer = func() (attest.Signer, error) { return attest.DemoSigner("tallow-lane", "ines-okafor"), nil }
	if status := cli.Run(context.Background(), args, env); status != cli.StatusClean {
		u.t.Errorf("%q: status %d: %s", args, status, said.String())
	}
	u.sweep.look(args[0], said.Bytes())
}

// killed ends a run that seals a value at several moments, and leaves what lies there then.
func (u *use) killed() {
	for _, after := range []time.Duration{8, 16, 24, 32} {
		cmd := u.command(u.fill("record|part|killed|--car|$CAR|found=no|value=6240 GBP", "courser", ""))
		if err := cmd.Start(); err != nil {
			u.t.Fatal(err)
		}
		time.Sleep(after * time.Millisecond)
		_ = cmd.Process.Kill() // it may be done already
		_ = cmd.Wait()
		u.sweep.files(filepath.Join(u.yard, "cars", "courser"))
	}
}

func (u *use) fill(w words, car, transfer string) []string {
	return strings.Split(strings.NewReplacer("$CAR", filepath.Join(u.yard, "cars", car), "$TRANSFER", transfer, "$OUT", filepath.Join(u.out, car)).Replace(string(w)), "|")
}

func (u *use) command(args []string) *exec.Cmd {
	cmd := exec.Command(built, args...)
	cmd.Dir = u.yard
	return cmd
}

// run calls a verb and looks at what it prints and at its errors.
func (u *use) run(args []string, stdin string) {
	u.t.Helper()
	var stdout, stderr bytes.Buffer
	cmd := u.command(args)
	cmd.Stdin, cmd.Stdout, cmd.Stderr = strings.NewReader(stdin), &stdout, &stderr
	_ = cmd.Run()
	about := strings.Join(args, " ")
	if status := cmd.ProcessState.ExitCode(); status > 1 && !strings.Contains(stderr.String(), "shows a private value") && !strings.HasSuffix(about, "-x") {
		u.t.Errorf("%s: status %d: %s", about, status, stderr.String())
	}
	u.sweep.look(about, stdout.Bytes())
	u.sweep.look(about+", errors", stderr.Bytes())
}
