package gitstore

import (
	"context"
	"crypto/ed25519"
	"errors"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"
	"time"

	"github.com/hiddeco/sshsig"
	"golang.org/x/crypto/ssh"
)

// The tests hold this package against stock Git, in an environment of its own:
// no configuration of the machine's or the user's reaches it.

func TestMain(m *testing.M) {
	if _, err := exec.LookPath("git"); err != nil {
		os.Stderr.WriteString("these tests need git\n")
		os.Exit(1)
	}
	home, err := os.MkdirTemp("", "gitstore-home-")
	if err != nil {
		panic(err)
	}
	for k, v := range map[string]string{
		"HOME": home, "XDG_CONFIG_HOME": home, "GIT_CONFIG_NOSYSTEM": "1", "LC_ALL": "C", "TZ": "UTC",
		"GIT_AUTHOR_NAME": "Stock Git", "GIT_AUTHOR_EMAIL": "stock@bench.invalid",
		"GIT_COMMITTER_NAME": "Stock Git", "GIT_COMMITTER_EMAIL": "stock@bench.invalid",
	} {
		if err := os.Setenv(k, v); err != nil {
			panic(err)
		}
	}
	if job := os.Getenv("GITSTORE_TEST_JOB"); job != "" {
		os.Exit(runJob(job))
	}
	code := m.Run()
	_ = os.RemoveAll(home)
	os.Exit(code)
}

// bench is a repository with both programs at it.
type bench struct {
	testing.TB
	dir  string
	repo *Repo
}

func newBench(t testing.TB) *bench {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "car")
	r, err := Init(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = r.Close() })
	return &bench{TB: t, dir: dir, repo: r}
}

// at returns a bench for a repository that exists.
func at(t testing.TB, dir string) *bench {
	t.Helper()
	r, err := Open(dir)
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { _ = r.Close() })
	return &bench{TB: t, dir: dir, repo: r}
}

func gitIn(dir string, args ...string) (string, error) {
	cmd := exec.Command("git", args...)
	cmd.Dir = dir
	out, err := cmd.CombinedOutput()
	if err != nil {
		err = errors.Join(err, errors.New(string(out)))
	}
	return strings.TrimRight(string(out), "\n"), err
}

// git runs stock Git and fails the test if it fails.
func (b *bench) git(args ...string) string {
	b.Helper()
	out, err := gitIn(b.dir, args...)
	if err != nil {
		b.Fatalf("git %s: %v", strings.Join(args, " "), err)
	}
	return out
}

// sound checks that stock Git finds nothing wrong.
func (b *bench) sound() {
	b.Helper()
	if out := b.git("fsck", "--strict", "--no-dangling"); out != "" {
		b.Fatalf("git fsck says: %s", out)
	}
}

// clean checks that stock Git sees nothing uncommitted.
func (b *bench) clean() {
	b.Helper()
	if out := b.git("status", "--porcelain"); out != "" {
		b.Fatalf("git status says:\n%s", out)
	}
}

func (b *bench) write(name, content string) {
	b.Helper()
	path := filepath.Join(b.dir, filepath.FromSlash(name))
	if err := os.MkdirAll(filepath.Dir(path), 0o777); err != nil {
		b.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(content), 0o666); err != nil {
		b.Fatal(err)
	}
}

func (b *bench) read(name string) string {
	b.Helper()
	data, err := os.ReadFile(filepath.Join(b.dir, filepath.FromSlash(name)))
	if err != nil {
		b.Fatal(err)
	}
	return string(data)
}

// commit makes a commit of path, content pairs with this package.
func (b *bench) commit(message string, files ...string) Result {
	b.Helper()
	res, err := b.repo.Commit(context.Background(), request(message, files...))
	if err != nil {
		b.Fatalf("commit %q: %v", message, err)
	}
	return res
}

var noon = time.Date(2026, 3, 1, 12, 0, 0, 0, time.FixedZone("", 3600))

func mechanic() Person {
	return Person{Name: "Odile Brandt", Email: "odile@corvane.invalid", When: noon}
}

// request asks for path, content pairs; the content "-" deletes.
func request(message string, files ...string) Request {
	req := Request{Author: mechanic(), Message: message}
	for i := 0; i+1 < len(files); i += 2 {
		c := Change{Path: files[i], Content: []byte(files[i+1])}
		if files[i+1] == "-" {
			c = Change{Path: files[i], Delete: true}
		}
		req.Changes = append(req.Changes, c)
	}
	return req
}

// signer is a test key of a fixed seed, and what stock Git needs to know it.
func signer(t testing.TB) (sign func([]byte) (string, error), allowed string) {
	t.Helper()
	key := ed25519.NewKeyFromSeed([]byte("a key that guards nothing at all"))
	s, err := ssh.NewSignerFromKey(key)
	if err != nil {
		t.Fatal(err)
	}
	allowed = filepath.Join(t.TempDir(), "allowed_signers")
	line := "odile@corvane.invalid " + string(ssh.MarshalAuthorizedKey(s.PublicKey()))
	if err := os.WriteFile(allowed, []byte(line), 0o600); err != nil {
		t.Fatal(err)
	}
	return func(payload []byte) (string, error) {
		sig, err := sshsig.Sign(strings.NewReader(string(payload)), s, sshsig.HashSHA512, "git")
		if err != nil {
			return "", err
		}
		return string(sshsig.Armor(sig)), nil
	}, allowed
}

// gitInWith runs stock Git with a file as its standard input.
func gitInWith(dir, stdin string, args ...string) (string, error) {
	in, err := os.Open(stdin)
	if err != nil {
		return "", err
	}
	defer in.Close()
	cmd := exec.Command("git", args...)
	cmd.Dir, cmd.Stdin = dir, in
	out, err := cmd.Output()
	return strings.TrimRight(string(out), "\n"), err
}

func (b *bench) link(name, target string) {
	b.Helper()
	if err := os.Symlink(target, filepath.Join(b.dir, filepath.FromSlash(name))); err != nil {
		b.Skip("no symlinks here")
	}
}
