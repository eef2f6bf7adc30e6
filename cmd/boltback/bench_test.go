package main

import (
	"bytes"
	"crypto/ed25519"
	"encoding/pem"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"

	"golang.org/x/crypto/ssh"
)

// Each benchmark runs the program itself and stock Git in turns, and reports how long ours takes against Git's, by their
// medians. Quote the ratio, not the milliseconds:
//
//	go test ./cmd/boltback -run '^$' -bench . -benchtime 15x

// bench is a program built for timing, and a world of its own for it and for Git.
type bench struct {
	testing.TB
	program string
	env     []string
	home    string
}

func newBench(tb testing.TB) *bench {
	tb.Helper()
	for _, tool := range []string{"git", "go"} {
		if _, err := exec.LookPath(tool); err != nil {
			tb.Skip(tool + " is not here")
		}
	}
	b := &bench{TB: tb, home: tb.TempDir()}
	b.program = filepath.Join(b.home, "boltback")
	if out, err := exec.Command("go", "build", "-o", b.program, ".").CombinedOutput(); err != nil {
		tb.Fatalf("%v: %s", err, out)
	}
	b.env = append(os.Environ(), "HOME="+b.home, "XDG_CONFIG_HOME="+filepath.Join(b.home, "config"), "TZ=UTC",
		"BOLTBACK_CACHE="+filepath.Join(b.home, "cache"), "BOLTBACK_PERSON=people/quayside/odile",
		"GIT_CONFIG_NOSYSTEM=1", "GIT_AUTHOR_NAME=Odile", "GIT_AUTHOR_EMAIL=odile@quayside.invalid",
		"GIT_COMMITTER_NAME=Odile", "GIT_COMMITTER_EMAIL=odile@quayside.invalid")
	return b
}

// run runs a program in a folder and gives what it prints.
func (b *bench) run(dir string, program string, args ...string) []byte {
	b.Helper()
	cmd := exec.Command(program, args...)
	cmd.Dir, cmd.Env = dir, b.env
	out, err := cmd.CombinedOutput()
	if err != nil {
		b.Fatalf("%s %q: %v\n%s", program, args, err, out)
	}
	return out
}

// repositories puts each car under Git.
func (b *bench) repositories(cars []string) {
	b.Helper()
	for _, car := range cars {
		b.run(car, "git", "init", "-q", "-b", "main")
		b.run(car, "git", "config", "gc.auto", "0")
		b.run(car, "git", "add", "-A")
		b.run(car, "git", "commit", "-q", "-m", "begin")
	}
}

// inTurns times ours and Git's in turns and reports the medians.
func inTurns(b *testing.B, ours, peer func(i int)) {
	b.Helper()
	byTurns(b, []turn{{"ours", ours}, {"git", peer}})
}

// turn is one way of doing what is timed.
type turn struct {
	name string
	do   func(i int)
}

// byTurns times several ways in turns and reports their medians, and how long each takes against the last: by the clock, and by
// the time that processors were busy with the programs it starts, which other work on the machine disturbs less.
func byTurns(b *testing.B, turns []turn) {
	b.Helper()
	clock, busy := make([][]time.Duration, len(turns)), make([][]time.Duration, len(turns))
	for i := 0; b.Loop(); i++ {
		for k, t := range turns {
			before, start := childrenBusy(), time.Now()
			t.do(i)
			clock[k], busy[k] = append(clock[k], time.Since(start)), append(busy[k], childrenBusy()-before)
		}
	}
	b.ReportMetric(0, "ns/op")
	last := len(turns) - 1
	for k, t := range turns {
		b.ReportMetric(median(clock[k]), t.name+"-ms")
		if k == last {
			continue
		}
		b.ReportMetric(median(clock[k])/median(clock[last]), t.name+"/"+turns[last].name)
		if peer := median(busy[last]); peer > 0 {
			b.ReportMetric(median(busy[k])/peer, t.name+"/"+turns[last].name+"-busy")
		}
	}
}

func median(list []time.Duration) (milliseconds float64) {
	slices.Sort(list)
	return float64(list[len(list)/2]) / float64(time.Millisecond)
}

// sizes are the numbers of records at which a cost is told.
var sizes = []int{300, 3_000, 30_000}

func BenchmarkCheckAgainstGitStatus(b *testing.B) {
	w := newBench(b)
	for _, cars := range []int{1, 40} {
		for _, records := range sizes {
			m := makeYard(b, cars, records)
			w.repositories(m.cars)
			time.Sleep(2100 * time.Millisecond) // what changed later is read again in the next check
			check := func(int) { w.run(m.yard, w.program, "check", "--on", "2026-11-01") }
			status := func(int) {
				for _, car := range m.cars {
					w.run(car, "git", "status", "--porcelain")
				}
			}
			check(0)
			status(0) // and so does Git
			name := fmt.Sprintf("cars=%d/records=%d/", cars, records)
			b.Run(name+"unchanged", func(b *testing.B) { inTurns(b, check, status) })
			parts, err := filepath.Glob(filepath.Join(m.cars[0], "parts/*.json"))
			if err != nil || len(parts) == 0 {
				b.Fatal("no part", err)
			}
			changed := parts[len(parts)-1] // the first is one that every joint clamps
			b.Run(name+"one-changed", func(b *testing.B) {
				set := []string{`"mass": "1.2 kg"`, `"mass": "1.3 kg"`}
				inTurns(b, func(i int) {
					edit(b, changed, set[0], set[1])
					slices.Reverse(set)
					check(i)
				}, status)
			})
		}
	}
}

func BenchmarkVersionAgainstGit(b *testing.B) {
	w := newBench(b)
	inTurns(b, func(int) { w.run(w.home, w.program, "--version") }, func(int) { w.run(w.home, "git", "--version") })
}

// key writes a private key that guards nothing, for both programs.
func (b *bench) key() {
	b.Helper()
	block, err := ssh.MarshalPrivateKey(ed25519.NewKeyFromSeed([]byte("a key that guards nothing at all")), "")
	if err != nil {
		b.Fatal(err)
	}
	path := filepath.Join(b.home, "key")
	if err := os.WriteFile(path, pem.EncodeToMemory(block), 0o600); err != nil {
		b.Fatal(err)
	}
	write(b, filepath.Join(b.home, "config/boltback/config.json"), fmt.Sprintf("{\n  \"key\": %q\n}\n", path))
	b.run(b.home, "git", "config", "--global", "gpg.format", "ssh")
	b.run(b.home, "git", "config", "--global", "user.signingKey", path)
}

func BenchmarkRecordAgainstGitCommit(b *testing.B) {
	w := newBench(b)
	w.key()
	for _, records := range sizes {
		m := makeYard(b, 1, records)
		w.repositories(m.cars)
		car := m.cars[0]
		b.Run(fmt.Sprintf("records=%d", records), func(b *testing.B) {
			inTurns(b, func(i int) {
				w.run(car, w.program, "record", "part", fmt.Sprintf("plate-%d-%d", b.N, i), "name=Plate")
			}, func(i int) {
				path := "parts/bracket-00001.json"
				write(b, filepath.Join(car, path), fmt.Sprintf("{\n  \"kind\": \"part\",\n  \"name\": \"Bracket %d %d\"\n}\n", b.N, i))
				w.run(car, "git", "commit", "-q", "-S", "-m", "stock", "--", path)
			})
			w.signed(car, "stock")
			w.signed(car, "Plate")
		})
	}
}

// signed insists that the last commit with a word in its message is signed.
func (b *bench) signed(car, word string) {
	b.Helper()
	id := strings.TrimSpace(string(b.run(car, "git", "log", "-1", "--format=%H", "--grep", word)))
	if commit := b.run(car, "git", "cat-file", "-p", id); !bytes.Contains(commit, []byte("BEGIN SSH SIGNATURE")) {
		b.Fatalf("this commit is not signed:\n%s", commit)
	}
}

func BenchmarkHistoryAgainstGitLog(b *testing.B) {
	w := newBench(b)
	const every = 50
	for _, records := range sizes {
		m := makeYard(b, 1, records)
		w.repositories(m.cars)
		car := m.cars[0]
		w.grow(car, 2000, every)
		w.run(m.yard, w.program, "check", "--on", "2026-11-01") // from which history knows what corrects what
		b.Run(fmt.Sprintf("records=%d/commits=2000", records), func(b *testing.B) {
			inTurns(b,
				func(int) { w.run(car, w.program, "history", "parts/bracket-00001") },
				func(int) { w.run(car, "git", "log", "-p", "--", "parts/bracket-00001.json") })
		})
	}
}

// grow adds commits through Git's own importer; every so many changes parts/bracket-00001.json, the others one of 50 parts.
func (b *bench) grow(car string, commits, every int) {
	b.Helper()
	var in bytes.Buffer
	for c := range commits {
		part := 2 + c%50
		if c%every == 0 {
			part = 1
		}
		text := fmt.Sprintf("{\n  \"kind\": \"part\",\n  \"name\": \"Bracket %d\",\n  \"note\": \"state %d\"\n}\n", part, c)
		fmt.Fprintf(&in, "commit refs/heads/main\ncommitter Odile <odile@quayside.invalid> %d +0000\ndata 6\nchange\n", 1_700_000_000+c*60)
		if c == 0 {
			in.WriteString("from refs/heads/main^0\n")
		}
		fmt.Fprintf(&in, "M 100644 inline parts/bracket-%05d.json\ndata %d\n%s\n", part, len(text), text)
	}
	cmd := exec.Command("git", "fast-import", "--quiet")
	cmd.Dir, cmd.Env, cmd.Stdin = car, b.env, &in
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("%v: %s", err, out)
	}
	b.run(car, "git", "reset", "-q", "--hard")
	b.run(car, "git", "gc", "-q")
}
