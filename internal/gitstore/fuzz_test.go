package gitstore

import (
	"bytes"
	"encoding/binary"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	gitconfig "github.com/go-git/go-git/v5/plumbing/format/config"
)

func FuzzIndexReadsWhatItWrites(f *testing.F) {
	ix := &gitIndex{}
	ix.change([]indexEntry{newIndexEntry("b/c.json", Hash{1}, modeFile, fileStat{size: 3}), newIndexEntry("a", Hash{2}, modeExec, fileStat{})}, nil)
	whole := ix.encode()
	f.Add(whole[:len(whole)-20])
	more := newIndexEntry("c", Hash{3}, modeFile, fileStat{})
	binary.BigEndian.PutUint16(more.fixed[flagsAt:], flagExtended|1)
	more.fixed = append(more.fixed, 0x20, 0)
	ix.change([]indexEntry{more}, nil)
	whole = ix.encode()
	f.Add(whole[:len(whole)-20])
	four := slices.Clone(whole[:len(whole)-20])
	four[7] = 4
	f.Add(four)
	f.Add(append(slices.Clone(whole[:len(whole)-20]), "TREE\x00\x00\x00\x01x"...))
	f.Add(append(slices.Clone(whole[:len(whole)-20]), "link\x00\x00\x00\x00"...))
	f.Fuzz(func(t *testing.T, body []byte) {
		// Zeros stand for a checksum that was left out, so that the fuzzer gets past it.
		ix, err := parseIndex(append(slices.Clone(body), make([]byte, 20)...))
		if err != nil {
			return
		}
		again, err := parseIndex(ix.encode())
		if err != nil {
			t.Fatalf("what was written cannot be read: %v", err)
		}
		if len(again.entries) != len(ix.entries) {
			t.Fatalf("%d entries became %d", len(ix.entries), len(again.entries))
		}
		for i, e := range again.entries {
			if e.name != ix.entries[i].name || !bytes.Equal(e.fixed, ix.entries[i].fixed) {
				t.Fatalf("entry %d changed", i)
			}
		}
	})
}

func FuzzTreeReadsWhatItWrites(f *testing.F) {
	f.Add(encodeTree([]entry{{modeFile, "a.json", Hash{1}}, {modeTree, "parts", Hash{2}}}), "parts")
	f.Add([]byte("100644 ..\x0012345678901234567890"), "..")
	f.Add([]byte("100644 a/b\x0012345678901234567890"), "a/b")
	f.Fuzz(func(t *testing.T, data []byte, name string) {
		entries, err := parseTree(data)
		if err != nil {
			_, _ = scanTree(data, name)
			return
		}
		for _, e := range entries {
			if !fstestName(e.name) {
				t.Fatalf("the name %q was let through", e.name)
			}
		}
		again, err := parseTree(encodeTree(entries))
		if err != nil || !slices.Equal(entries, again) {
			t.Fatalf("%v became %v, %v", entries, again, err)
		}
		if e, err := scanTree(data, name); err != nil || e != find(entries, name) {
			t.Fatalf("%q is %v, %v", name, e, err)
		}
	})
}

func fstestName(name string) bool {
	return name != "" && name != "." && name != ".." && !strings.Contains(name, "/")
}

func FuzzCommitKeepsItsSignedBytes(f *testing.F) {
	who := mechanic()
	payload := encodeCommit(Hash{1}, []Hash{{2}, {3}}, who, who, "subject\n\nbody\n")
	f.Add(payload)
	f.Add(withSignature(payload, "-----BEGIN SSH SIGNATURE-----\nAAAA\n-----END SSH SIGNATURE-----\n"))
	f.Add([]byte("tree 0\n\n"))
	f.Add([]byte("tree " + Hash{1}.String() + "\nauthor a <b> 99999999999999999999 +0000\n\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		c, err := parseCommit(Hash{}, data)
		if err != nil {
			return
		}
		if c.Signature == "" && !bytes.Equal(c.Payload, data) {
			t.Fatal("without a signature the payload is the whole")
		}
		if len(c.Payload)+len(c.Signature) > 2*len(data)+1 {
			t.Fatal("bytes came from nowhere")
		}
		unsigned, err := parseCommit(Hash{}, c.Payload)
		if err != nil || unsigned.Tree != c.Tree || unsigned.Message != c.Message || !slices.Equal(unsigned.Parents, c.Parents) {
			t.Fatalf("the payload says something else: %v", err)
		}
	})
}

func FuzzCheckPathNeverLetsAPathOut(f *testing.F) {
	for _, s := range []string{"parts/a.json", "../x", ".git/x", "a\u200cb", "x/git~1", "NUL"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, path string) {
		if CheckPath(path) == nil && (strings.HasPrefix(path, "/") || slices.Contains(strings.Split(path, "/"), "..")) {
			t.Fatalf("%q passed", path)
		}
	})
}

func FuzzRevisionNeverPanics(f *testing.F) {
	b := newBench(f)
	b.commit("one", "a.json", "1\n")
	b.commit("two", "a.json", "2\n")
	for _, s := range []string{"HEAD", "HEAD~1^2", "2026-03-01", "abcd", "refs/heads/main", "~", "^^^"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, rev string) {
		if id, err := b.repo.Revision(rev); err == nil {
			s, err := b.repo.FS(id)
			if err != nil {
				t.Fatal(err)
			}
			if err := fstest.TestFS(s, "a.json"); err != nil {
				t.Fatal(err)
			}
		}
	})
}

func FuzzConfigNeverPanics(f *testing.F) {
	f.Add([]byte("[core]\n\tbare\n[extensions]\n\tobjectFormat = sha256\n[remote \"o\"]\n\tpromisor = true\n"))
	f.Add([]byte("[core] bare = \"tr\\\nue\" ; x\n[a.b]\n"))
	f.Fuzz(func(t *testing.T, data []byte) {
		raw := gitconfig.New()
		if decodeConfig(bytes.NewReader(data), raw) != nil {
			return
		}
		r := &Repo{}
		_ = checkFormat(raw)
		_ = r.checkPromises(raw)
	})
}
