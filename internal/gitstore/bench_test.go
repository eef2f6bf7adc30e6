package gitstore

import (
	"bytes"
	"crypto/ed25519"
	"encoding/pem"
	"fmt"
	"os"
	"os/exec"
	"path/filepath"
	"testing"
	"time"

	"golang.org/x/crypto/ssh"
)

// Each benchmark runs stock Git in the same run and reports how many times as
// long Git takes ("git/ours"): quote the ratio, not the seconds.

// ratio times ours in the benchmark's loop and git the same number of times.
func ratio(b *testing.B, ours, git func(i int)) {
	b.Helper()
	i := 0
	for b.Loop() {
		ours(i)
		i++
	}
	mine := b.Elapsed()
	start := time.Now()
	rounds := min(i, 20)
	for j := range rounds {
		git(i + j)
	}
	theirs := time.Since(start)
	b.ReportMetric(float64(theirs)/float64(rounds)/(float64(mine)/float64(i)), "git/ours")
}

// grown makes, through Git's own importer, a repository of many records and
// commits. Every 50th commit changes parts/p0000.json.
func grown(tb testing.TB, files, commits int) *bench {
	tb.Helper()
	dir := filepath.Join(tb.TempDir(), "car")
	if r, err := Init(dir); err != nil {
		tb.Fatal(err)
	} else if err := r.Close(); err != nil {
		tb.Fatal(err)
	}
	var in bytes.Buffer
	write := func(name string, n int) {
		content := fmt.Sprintf("{\n  \"name\": %q,\n  \"n\": %d,\n  \"note\": \"%0600d\"\n}\n", name, n, n)
		fmt.Fprintf(&in, "M 100644 inline %s\ndata %d\n%s\n", name, len(content), content)
	}
	name := func(n int) string {
		return fmt.Sprintf("%s/p%04d.json", []string{"parts", "work", "readings", "joints"}[n%4], n)
	}
	for c := range commits {
		fmt.Fprintf(&in, "commit refs/heads/main\ncommitter Odile Brandt <odile@corvane.invalid> %d +0100\ndata 7\nchange\n\n", 1700000000+c*60)
		switch {
		case c == 0:
			for n := range files {
				write(name(n), 0)
			}
		case c%50 == 0:
			write(name(0), c)
		default:
			write(name(1+c%(files-1)), c)
		}
	}
	cmd := exec.Command("git", "fast-import", "--quiet")
	cmd.Dir, cmd.Stdin = dir, &in
	if out, err := cmd.CombinedOutput(); err != nil {
		tb.Fatalf("%v: %s", err, out)
	}
	b := at(tb, dir)
	b.git("reset", "-q", "--hard")
	return b
}

func BenchmarkCommitOfOneSignedRecord(b *testing.B) {
	r := grown(b, 1000, 500)
	sign, _ := signer(b)
	key := filepath.Join(b.TempDir(), "key")
	block, err := ssh.MarshalPrivateKey(ed25519.NewKeyFromSeed([]byte("a key that guards nothing at all")), "")
	if err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(key, pem.EncodeToMemory(block), 0o600); err != nil {
		b.Fatal(err)
	}
	r.git("config", "gpg.format", "ssh")
	r.git("config", "user.signingKey", key)
	r.git("config", "gc.auto", "0")
	ratio(b, func(i int) {
		req := request("ours", "parts/p0000.json", fmt.Sprint("ours ", i))
		req.Signer = sign
		if _, err := r.repo.Commit(b.Context(), req); err != nil {
			b.Fatal(err)
		}
	}, func(i int) {
		r.write("parts/p0000.json", fmt.Sprint("stock ", i))
		r.git("commit", "-q", "-S", "-m", "stock", "--", "parts/p0000.json")
	})
}

func BenchmarkHistoryOfOneRecord(b *testing.B) {
	r := grown(b, 1000, 2000)
	r.git("gc", "-q")
	if err := os.RemoveAll(filepath.Join(r.dir, ".git/objects/info/commit-graph")); err != nil {
		b.Fatal(err)
	}
	ratio(b, func(int) {
		repo := at(b, r.dir).repo
		head, err := repo.Revision("HEAD")
		if err != nil {
			b.Fatal(err)
		}
		n := 0
		for _, err := range repo.History(head, "parts/p0000.json") {
			if err != nil {
				b.Fatal(err)
			}
			n++
		}
		if n != 40 {
			b.Fatalf("%d commits", n)
		}
	}, func(int) { r.git("log", "-p", "--", "parts/p0000.json") })
}

// BenchmarkFirstsOfManyFiles asks what 200 files were when they were first committed, in a history of 2,000 commits. Its peer reads
// the whole history once: git log --raw.
func BenchmarkFirstsOfManyFiles(b *testing.B) {
	r := grown(b, 1000, 2000)
	r.git("gc", "-q")
	var paths []string
	for n := range 200 {
		paths = append(paths, fmt.Sprintf("%s/p%04d.json", []string{"parts", "work", "readings", "joints"}[n%4], n))
	}
	ratio(b, func(int) {
		repo := at(b, r.dir).repo
		head, err := repo.Revision("HEAD")
		if err != nil {
			b.Fatal(err)
		}
		if firsts, err := repo.Firsts(head, paths); err != nil || len(firsts) != len(paths) {
			b.Fatal(len(firsts), err)
		}
	}, func(int) { r.git("log", "--raw", "--no-renames") })
}

func BenchmarkStatus(b *testing.B) {
	r := grown(b, 1000, 2)
	time.Sleep(time.Until(time.Now().Truncate(time.Second).Add(time.Second)))
	r.git("status")
	r.write("parts/p0000.json", "edited")
	r.write("parts/new.json", "new")
	ratio(b, func(int) {
		repo := at(b, r.dir).repo
		if list, err := repo.Status(); err != nil || len(list) != 2 {
			b.Fatal(list, err)
		}
	}, func(int) { r.git("--no-optional-locks", "status", "--porcelain") })
}

// BenchmarkListed is what a check reads of Git beside the records, in a folder of many; its peer goes through the files too.
func BenchmarkListed(b *testing.B) {
	r := grown(b, 30_000, 2)
	r.git("status")
	ratio(b, func(int) {
		if l, err := at(b, r.dir).repo.Listed(); err != nil || len(l.Contested)+len(l.Submodules) != 0 {
			b.Fatal(l, err)
		}
	}, func(int) { r.git("--no-optional-locks", "status", "--porcelain") })
}

func BenchmarkSnapshotReadsEveryRecord(b *testing.B) {
	r := grown(b, 1000, 500)
	r.git("gc", "-q")
	ratio(b, func(int) {
		repo := at(b, r.dir).repo
		head, err := repo.Revision("HEAD")
		if err != nil {
			b.Fatal(err)
		}
		s, err := repo.FS(head)
		if err != nil {
			b.Fatal(err)
		}
		n := 0
		for _, dir := range []string{"parts", "work", "readings", "joints"} {
			list, err := s.ReadDir(dir)
			if err != nil {
				b.Fatal(err)
			}
			for _, e := range list {
				if _, err := s.ReadFile(dir + "/" + e.Name()); err != nil {
					b.Fatal(err)
				}
				n++
			}
		}
		if n != 1000 {
			b.Fatalf("%d records", n)
		}
	}, func(int) { r.git("archive", "--format=tar", "-o", os.DevNull, "HEAD") })
}

func BenchmarkCommitOfAThousandNewRecords(b *testing.B) {
	many := func(i int) []string {
		var files []string
		for n := range 1000 {
			files = append(files, fmt.Sprintf("parts/%d-%04d.json", i, n), fmt.Sprint("record ", i, n))
		}
		return files
	}
	r, stock := newBench(b), newBench(b)
	ratio(b, func(i int) { r.commit("many", many(i)...) }, func(i int) {
		files := many(i)
		for j := 0; j < len(files); j += 2 {
			stock.write(files[j], files[j+1])
		}
		stock.git("add", ".")
		stock.git("commit", "-q", "-m", "many")
	})
}
