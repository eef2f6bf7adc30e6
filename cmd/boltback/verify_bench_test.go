package main

import (
	"bytes"
	"crypto/sha1"
	"fmt"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/attest"
)

// BenchmarkVerifyAgainstGit tells what the verification of a history of signed commits costs beside listing the same
// objects, which checks nothing, and beside git verify-commit, which starts two processes a commit and so is asked for a
// hundredth of them: all 5,000 take it minutes.
func BenchmarkVerifyAgainstGit(b *testing.B) {
	w := newBench(b)
	signer := attest.DemoSigner("tallow-lane", "maud-pellerin")
	for _, commits := range []int{500, 5_000} {
		yard := filepath.Join(b.TempDir(), "yard")
		w.run(w.home, w.program, "demo", yard)
		car := filepath.Join(yard, "cars", "tern-1500")
		w.growSigned(car, commits, signer)
		verify := func(int) { w.run(car, w.program, "verify", "--json", "--pin", signer.Public().Fingerprint()) }
		b.Run(fmt.Sprintf("commits=%d/rev-list", commits), func(b *testing.B) {
			inTurns(b, verify, func(int) { w.run(car, "git", "rev-list", "--objects", "HEAD") })
		})
		w.run(car, "git", "config", "gpg.ssh.allowedSignersFile", "allowed_signers")
		some := strings.Fields(string(w.run(car, "git", "rev-list", "-n", fmt.Sprint(commits/100), "HEAD")))
		b.Run(fmt.Sprintf("commits=%d/verify-commit-of-a-hundredth", commits), func(b *testing.B) {
			inTurns(b, verify, func(int) { w.run(car, "git", append([]string{"verify-commit"}, some...)...) })
		})
	}
}

// growSigned adds commits whose trees come from Git's own importer and whose signatures are made here.
func (b *bench) growSigned(car string, commits int, signer attest.Signer) {
	b.Helper()
	b.feed(car, unsignedCommits(commits), "fast-import", "--quiet")
	parent := strings.TrimSpace(string(b.run(car, "git", "rev-parse", "HEAD")))
	trees := strings.Fields(string(b.run(car, "git", "log", "--reverse", "--format=%T", "HEAD..grown")))
	folder := b.TempDir()
	var paths strings.Builder
	for i, tree := range trees {
		who := fmt.Sprintf("Maud Pellerin <maud-pellerin@tallow-lane.invalid> %d +0000", 1_790_000_000+i*60)
		head, message := fmt.Sprintf("tree %s\nparent %s\nauthor %s\ncommitter %s\n", tree, parent, who, who), "\nA clip\n"
		armored, err := attest.Sign(signer, attest.Commits, []byte(head+message))
		if err != nil {
			b.Fatal(err)
		}
		object := head + "gpgsig " + strings.ReplaceAll(strings.TrimSpace(string(armored)), "\n", "\n ") + "\n" + message
		parent = fmt.Sprintf("%x", sha1.Sum([]byte(fmt.Sprintf("commit %d\x00%s", len(object), object))))
		path := filepath.Join(folder, fmt.Sprint(i))
		write(b, path, object)
		fmt.Fprintln(&paths, path)
	}
	b.feed(car, []byte(paths.String()), "hash-object", "-t", "commit", "-w", "--stdin-paths")
	b.run(car, "git", "branch", "-q", "-D", "grown")
	b.run(car, "git", "reset", "-q", "--hard", parent)
	b.run(car, "git", "gc", "-q", "--prune=now")
}

func unsignedCommits(n int) []byte {
	var in bytes.Buffer
	in.WriteString("reset refs/heads/grown\nfrom refs/heads/main^0\n\n")
	for i := range n {
		text := fmt.Sprintf("{\n  \"kind\": \"part\",\n  \"name\": \"Clip %d\"\n}\n", i)
		fmt.Fprintf(&in, "commit refs/heads/grown\ncommitter M <m@x.invalid> %d +0000\ndata 1\nx\nM 100644 inline parts/clip-%d.json\ndata %d\n%s\n", 1_790_000_000+i*60, i%500, len(text), text)
	}
	return in.Bytes()
}

// feed runs git with something on its standard input.
func (b *bench) feed(car string, in []byte, args ...string) {
	b.Helper()
	cmd := exec.Command("git", args...)
	cmd.Dir, cmd.Env, cmd.Stdin = car, b.env, bytes.NewReader(in)
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("git %q: %v\n%s", args, err, out)
	}
}
