package gitstore

import (
	"bufio"
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"
)

// unbundled takes a bundle in and gives the folder, whatever comes of it.
func unbundled(t *testing.T, bundle []byte) (string, *Repo, error) {
	t.Helper()
	dir := filepath.Join(t.TempDir(), "car")
	r, err := Unbundle(context.Background(), dir, bytes.NewReader(bundle), Options{})
	if r != nil {
		t.Cleanup(func() { _ = r.Close() })
	}
	return dir, r, err
}

// bytesOf is the bench's repository as a bundle.
func (b *bench) bytesOf() []byte {
	b.Helper()
	var file bytes.Buffer
	if err := b.repo.WriteBundle(context.Background(), &file); err != nil {
		b.Fatal(err)
	}
	return file.Bytes()
}

func TestAnUnbundledRepositoryIsTheOneThatWasBundled(t *testing.T) {
	b := newBench(t)
	b.commit("first", "car.json", "{}\n", "parts/tank.json", strings.Repeat("tank\n", 20000))
	b.commit("second", "parts/tank.json", "small\n", "parts/empty.json", "")
	b.git("tag", "-a", "-m", "a tag", "stamps/1")
	b.git("branch", "side", "HEAD~1")
	b.git("update-index", "--chmod=+x", "car.json")
	b.git("-c", "user.name=x", "-c", "user.email=x@x.invalid", "commit", "-q", "-m", "may be run")
	dir, r, err := unbundled(t, b.bytesOf())
	if err != nil {
		t.Fatal(err)
	}
	c := at(t, dir)
	c.sound()
	c.clean()
	for _, ask := range [][]string{{"for-each-ref"}, {"rev-parse", "HEAD"}, {"symbolic-ref", "HEAD"}, {"ls-files", "-s"}} {
		if got, want := c.git(ask...), b.git(ask...); got != want {
			t.Errorf("git %v says\n%s\nwant\n%s", ask, got, want)
		}
	}
	if _, err := r.Commit(context.Background(), request("third", "car.json", "{ }\n")); err != nil {
		t.Errorf("the history cannot go on: %v", err)
	}
	c.sound()
	c.clean()
}

func TestHooksAndConfigurationDoNotComeAlong(t *testing.T) {
	b := newBench(t)
	b.commit("first", "car.json", "{}\n")
	b.git("config", "core.fsmonitor", "touch /tmp/ran")
	b.write(".git/hooks/post-checkout", "#!/bin/sh\n")
	dir, _, err := unbundled(t, b.bytesOf())
	if err != nil {
		t.Fatal(err)
	}
	config, err := os.ReadFile(filepath.Join(dir, ".git", "config"))
	if err != nil || bytes.Contains(config, []byte("fsmonitor")) {
		t.Errorf("the configuration is %s (%v)", config, err)
	}
	if _, err := os.Lstat(filepath.Join(dir, ".git", "hooks")); err == nil {
		t.Error("there are hooks")
	}
}

// treed commits a tree whose one entry is as git ls-tree would show it, without asking git whether it may be.
func (b *bench) treed(mode, name string, more ...string) {
	b.Helper()
	blob := BlobID([]byte("{}\n"))
	var tree bytes.Buffer
	for _, n := range append([]string{name}, more...) {
		fmt.Fprintf(&tree, "%s %s\x00%s", mode, n, blob[:])
	}
	b.write("../tree", tree.String())
	id := b.git("hash-object", "-t", "tree", "-w", "--literally", "../tree")
	commit := b.git("-c", "user.name=x", "-c", "user.email=x@x.invalid", "commit-tree", "-m", "made by hand", "-p", "HEAD", id)
	b.git("update-ref", "refs/heads/main", commit)
}

func TestAHistoryThatWouldLeadOutOfTheWorkTreeIsRefused(t *testing.T) {
	for _, c := range []struct {
		name, mode, want string
		names            []string
	}{
		{"a link", "120000", "neither a file nor a folder", []string{"parts"}},
		{"a repository within", "160000", "neither a file nor a folder", []string{"parts"}},
		{"Git's own folder", "100644", "Git's own folder", []string{".GIT"}},
		{"its short name", "100644", "Git's own folder", []string{"git~1"}},
		{"a device", "100644", "a device on Windows", []string{"aux.json"}},
		{"a backslash", "100644", "Windows does not allow", []string{`a\b`}},
		{"a hidden sign", "100644", "invisible", []string{"car\u200b.json"}},
		{"names that fall together", "100644", "one file on some system", []string{"CAR.json", "car.json"}},
	} {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.commit("first", "car.json", "{}\n")
			b.treed(c.mode, c.names[0], c.names[1:]...)
			_, _, err := unbundled(t, b.bytesOf())
			var bad *BadBundleError
			if !errors.As(err, &bad) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestABundleThatIsCutShortOrAlteredIsRefused(t *testing.T) {
	b := newBench(t)
	b.commit("first", "car.json", "{}\n", "parts/tank.json", "{}\n")
	good := b.bytesOf()
	pack := bytes.Index(good, []byte("PACK"))
	read := func(bundle []byte) error {
		in := bufio.NewReader(bytes.NewReader(bundle))
		if _, err := readBundleHead(in); err != nil {
			return err
		}
		_, _, err := readPack(in, io.Discard)
		return err
	}
	if err := read(good); err != nil {
		t.Fatal(err)
	}
	for i := range good {
		if err := read(good[:i]); err == nil {
			t.Fatalf("cut at %d it is taken", i)
		}
		if i < pack {
			continue
		}
		flipped := bytes.Clone(good)
		flipped[i] ^= 1 << (i % 8)
		if err := read(flipped); err == nil {
			t.Fatalf("with a bit of byte %d flipped it is taken", i)
		}
	}
	if err := read(append(bytes.Clone(good), 0)); err == nil {
		t.Error("with a byte more it is taken")
	}
}

func TestReferencesOfABundleThatAreNoneAreRefused(t *testing.T) {
	b := newBench(t)
	b.commit("first", "car.json", "{}\n")
	good := string(b.bytesOf())
	id := b.git("rev-parse", "HEAD")
	blob := b.git("rev-parse", "HEAD:car.json")
	for _, c := range []struct{ name, old, new, want string }{
		{"another version", "v2", "v3", "version 2"},
		{"a history that it builds on", id + " HEAD", "-" + id + " first", "builds on another history"},
		{"no end", id + " HEAD\n", "", "HEAD is missing"},
		{"a name that climbs", "refs/heads/main", "refs/heads/../../config", "neither HEAD nor a branch"},
		{"another sort", "refs/heads/main", "refs/replace/" + id, "neither HEAD nor a branch"},
		{"twice", id + " HEAD\n", id + " HEAD\n" + id + " HEAD\n", "twice"},
		{"no branch", id + " refs/heads/main\n", "", "no branch ends"},
		{"an object that is missing", id, strings.Repeat("1", 40), "not in this repository"},
		{"a file for a commit", id, blob, "blob"},
	} {
		t.Run(c.name, func(t *testing.T) {
			_, _, err := unbundled(t, []byte(strings.ReplaceAll(good, c.old, c.new)))
			var bad *BadBundleError
			if !errors.As(err, &bad) || !strings.Contains(err.Error(), c.want) {
				t.Errorf("got %v, want %q", err, c.want)
			}
		})
	}
}

func TestObjectsThatNoReferenceLeadsToAreRefused(t *testing.T) {
	b := newBench(t)
	b.commit("first", "car.json", "{}\n")
	b.git("branch", "side")
	b.git("checkout", "-q", "side")
	b.commit("aside", "car.json", "{ }\n")
	b.git("checkout", "-q", "main")
	side := b.git("rev-parse", "side") + " refs/heads/side\n"
	_, _, err := unbundled(t, bytes.Replace(b.bytesOf(), []byte(side), nil, 1))
	if err == nil || !strings.Contains(err.Error(), "3 objects came that no reference leads to") {
		t.Errorf("got %v", err)
	}
}

func TestDifferencesBetweenObjectsAreRefusedWithAWayOut(t *testing.T) {
	b := newBench(t)
	text := strings.Repeat("a line that is long enough to be worth it\n", 400)
	b.commit("first", "car.json", text)
	b.commit("second", "car.json", text+"more\n")
	path := filepath.Join(t.TempDir(), "stock.bundle")
	b.git("bundle", "create", "-q", path, "HEAD", "main")
	stock, err := os.ReadFile(path)
	if err != nil {
		t.Fatal(err)
	}
	if _, _, err := unbundled(t, stock); err == nil || !strings.Contains(err.Error(), "git clone reads this one") {
		t.Errorf("got %v", err)
	}
}

func FuzzABundleOfAStrangerNeverPanics(f *testing.F) {
	f.Add([]byte(bundleSignature))
	f.Add([]byte(bundleSignature + strings.Repeat("0", 40) + " HEAD\n\nPACK\x00\x00\x00\x02\x00\x00\x00\x01\x30x\x9c\x03\x00\x00\x00\x00\x01"))
	f.Fuzz(func(t *testing.T, bundle []byte) {
		in := bufio.NewReader(bytes.NewReader(bundle))
		if _, err := readBundleHead(in); err != nil {
			return
		}
		_, kinds, err := readPack(in, io.Discard)
		if err == nil && len(kinds) > len(bundle) {
			t.Errorf("%d objects in %d bytes", len(kinds), len(bundle))
		}
	})
}
