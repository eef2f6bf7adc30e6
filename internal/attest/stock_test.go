package attest

import (
	"bytes"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"sync"
	"testing"
)

// bench is a folder in which the stock tools are run, without the settings of
// the user or the machine.
type bench struct {
	t   testing.TB
	dir string
}

func newBench(t testing.TB) bench {
	t.Helper()
	return bench{t, t.TempDir()}
}

// run runs a tool that must succeed and returns what it printed.
func (b bench) run(stdin []byte, name string, args ...string) string {
	b.t.Helper()
	out, err := b.try(stdin, name, args...)
	if err != nil {
		b.t.Fatalf("%s %s: %v\n%s", name, strings.Join(args, " "), err, out)
	}
	return out
}

// try runs a tool that may fail. A tool that is not there fails the test: the
// comparison with stock tools is never skipped.
func (b bench) try(stdin []byte, name string, args ...string) (string, error) {
	b.t.Helper()
	path, err := exec.LookPath(name)
	if err != nil {
		b.t.Fatalf("%s is needed by this test: %v", name, err)
	}
	cmd := exec.Command(path, args...)
	cmd.Dir = b.dir
	cmd.Env = []string{
		"PATH=" + os.Getenv("PATH"), "HOME=" + b.dir, "LC_ALL=C", "TZ=Pacific/Auckland", // far from UTC, to catch local time
		"GIT_CONFIG_NOSYSTEM=1", "GIT_CONFIG_GLOBAL=" + os.DevNull, "SSH_AUTH_SOCK=",
	}
	cmd.Stdin = bytes.NewReader(stdin)
	out, err := cmd.CombinedOutput()
	return string(out), err
}

// file writes a file and returns its name.
func (b bench) file(name string, content []byte) string {
	b.t.Helper()
	if err := os.WriteFile(filepath.Join(b.dir, name), content, 0o600); err != nil {
		b.t.Fatal(err)
	}
	return name
}

func (b bench) read(name string) []byte {
	b.t.Helper()
	content, err := os.ReadFile(filepath.Join(b.dir, name))
	if err != nil {
		b.t.Fatal(err)
	}
	return content
}

// keygen makes a key with the stock tool and returns the private file; the
// public one lies beside it. A key of one kind and name is made once for all
// tests, because finding primes takes its time.
func (b bench) keygen(name string, args ...string) []byte {
	b.t.Helper()
	made, _ := keys.LoadOrStore(strings.Join(append(args, name), " "), sync.OnceValue(func() [2][]byte {
		b.run(nil, "ssh-keygen", append([]string{"-q", "-C", "made for a test", "-f", name}, args...)...)
		return [2][]byte{b.read(name), b.read(name + ".pub")}
	}))
	pair := made.(func() [2][]byte)()
	b.file(name, pair[0])
	b.file(name+".pub", pair[1])
	return pair[0]
}

var keys sync.Map // arguments -> func() [2][]byte

// kinds are the kinds of key that a file can hold.
var kinds = []struct {
	name string
	args []string
}{
	{"ed25519", []string{"-t", "ed25519", "-N", ""}},
	{"ecdsa-256", []string{"-t", "ecdsa", "-b", "256", "-N", ""}},
	{"ecdsa-384", []string{"-t", "ecdsa", "-b", "384", "-N", ""}},
	{"ecdsa-521", []string{"-t", "ecdsa", "-b", "521", "-N", ""}},
	{"rsa-2048", []string{"-t", "rsa", "-b", "2048", "-N", ""}},
	{"rsa-3072-pem", []string{"-t", "rsa", "-b", "3072", "-m", "PEM", "-N", ""}},
}

func signerOf(t testing.TB, file []byte) Signer {
	t.Helper()
	s, err := SignerFromKey(file, nil)
	if err != nil {
		t.Fatal(err)
	}
	return s
}

func mustSign(t testing.TB, s Signer, ns Namespace, payload []byte) []byte {
	t.Helper()
	sig, err := Sign(s, ns, payload)
	if err != nil {
		t.Fatal(err)
	}
	return sig
}

func mustKey(t testing.TB, line string) PublicKey {
	t.Helper()
	k, err := ParsePublicKey(line)
	if err != nil {
		t.Fatal(err)
	}
	return k
}
