package gitstore

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// tangle makes, with Git, a history with branches and merges, some of which
// take one side only. The dice are seeded: the same history each time.
func tangle(t testing.TB, seed uint64, steps int) *bench {
	b := newBench(t)
	b.commit("root", "parts/a.json", "0\n", "b.json", "0\n")
	dice := rand.New(rand.NewPCG(seed, 1))
	branches := []string{"main"}
	paths := []string{"parts/a.json", "parts/deep/c.json", "b.json", "parts/d.json"}
	for i := range steps {
		b.git("checkout", "-q", branches[dice.IntN(len(branches))])
		switch dice.IntN(7) {
		case 0:
			name := fmt.Sprint("side", i)
			b.git("checkout", "-q", "-b", name)
			branches = append(branches, name)
		case 1, 2:
			strategy := []string{"ours", "theirs"}[dice.IntN(2)]
			_, err := gitIn(b.dir, "merge", "-q", "--no-ff", "-m", fmt.Sprint("merge ", i), "-X", strategy, branches[dice.IntN(len(branches))])
			if err != nil {
				b.git("merge", "--abort")
			}
		case 3:
			path := paths[dice.IntN(len(paths))]
			if _, err := gitIn(b.dir, "rm", "-q", path); err == nil {
				b.stock(i)
			}
		default:
			path := paths[dice.IntN(len(paths))]
			b.write(path, fmt.Sprint(dice.IntN(4), "\n"))
			b.git("add", path)
			b.stock(i)
		}
	}
	b.git("checkout", "-q", "main")
	for _, name := range branches[1:] {
		if _, err := gitIn(b.dir, "merge", "-q", "--no-ff", "-m", "merge "+name, "-X", "ours", name); err != nil {
			b.git("merge", "--abort")
		}
	}
	return b
}

func (b *bench) stock(i int) {
	b.Helper()
	b.git("-c", "core.commentChar=;", "commit", "-q", "--allow-empty", "-m", fmt.Sprint("step ", i), "--date", fmt.Sprint(1700000000+i*60, " +0000"))
}

func (b *bench) lines(args ...string) []string {
	b.Helper()
	return strings.Fields(b.git(args...))
}

func TestLogAndHistoryAgreeWithGitOnTangledHistories(t *testing.T) {
	for seed := range uint64(4) {
		b := tangle(t, seed, 40)
		r := at(t, b.dir).repo
		head, err := r.Revision("main")
		if err != nil {
			t.Fatal(err)
		}
		if got, want := logIDs(t, r, head, LogOptions{}), b.lines("log", "--format=%H", "main"); !sameSet(got, want) {
			t.Errorf("seed %d: log\n%v\nwant\n%v", seed, got, want)
		}
		if got, want := logIDs(t, r, head, LogOptions{FirstParent: true}), b.lines("log", "--first-parent", "--format=%H", "main"); !slices.Equal(got, want) {
			t.Errorf("seed %d: first-parent log\n%v\nwant\n%v", seed, got, want)
		}
		not, err := r.Revision("main~2")
		if err != nil {
			t.Fatal(err)
		}
		if got, want := logIDs(t, r, head, LogOptions{Not: not}), b.lines("log", "--format=%H", "main", "^main~2"); !sameSet(got, want) {
			t.Errorf("seed %d: log without main~2\n%v\nwant\n%v", seed, got, want)
		}
		for _, path := range []string{"parts/a.json", "parts/deep/c.json", "b.json", "parts", "parts/deep", "never.json", "b.json/x"} {
			var got []string
			for rev, err := range r.History(head, path) {
				if err != nil {
					t.Fatal(err)
				}
				got = append(got, rev.Commit.ID.String())
			}
			want := append(b.lines("log", "--full-history", "--no-merges", "--format=%H", "main", "--", path), b.mergesUnlikeAllParents(path)...)
			if !sameSet(got, want) {
				t.Errorf("seed %d: history of %s\n%v\nwant\n%v", seed, path, got, want)
			}
		}
	}
}

// mergesUnlikeAllParents asks Git, one by one, what a path holds in the
// merges of main and in their parents.
func (b *bench) mergesUnlikeAllParents(path string) []string {
	b.Helper()
	holds := func(commit string) string {
		out, _ := gitIn(b.dir, "rev-parse", "-q", "--verify", commit+":"+path)
		return out
	}
	var found []string
	for _, line := range strings.Split(b.git("log", "--merges", "--format=%H %P", "main"), "\n") {
		ids := strings.Fields(line)
		if len(ids) > 0 && !slices.ContainsFunc(ids[1:], func(p string) bool { return holds(p) == holds(ids[0]) }) {
			found = append(found, ids[0])
		}
	}
	return found
}

func sameSet(a, b []string) bool {
	a, b = slices.Clone(a), slices.Clone(b)
	slices.Sort(a)
	slices.Sort(b)
	return slices.Equal(a, b)
}

func logIDs(t testing.TB, r *Repo, from Hash, opt LogOptions) []string {
	t.Helper()
	var ids []string
	at := map[Hash]int{}
	for c, err := range r.Log(from, opt) {
		if err != nil {
			t.Fatal(err)
		}
		at[c.ID] = len(ids)
		ids = append(ids, c.ID.String())
	}
	return ids
}

func TestChangedAgreesWithGit(t *testing.T) {
	b := tangle(t, 7, 40)
	r := at(t, b.dir).repo
	commits := b.lines("rev-list", "main")
	for i := 0; i+5 < len(commits); i += 3 {
		old, now := parse(t, commits[i+5]), parse(t, commits[i])
		list, err := r.Changed(old, now)
		if err != nil {
			t.Fatal(err)
		}
		var got []string
		for _, d := range list {
			got = append(got, d.Old.String()+" "+d.New.String()+" "+d.Path)
		}
		var want []string
		for _, line := range strings.Split(b.git("diff-tree", "-r", "--no-renames", commits[i+5], commits[i]), "\n") {
			if f := strings.Fields(line); len(f) == 6 {
				want = append(want, f[2]+" "+f[3]+" "+f[5])
			}
		}
		if !slices.Equal(got, want) {
			t.Errorf("%s..%s\n%v\nwant\n%v", commits[i+5], commits[i], got, want)
		}
	}
}

func TestChangedSeesTheRightToExecuteAndFoldersThatBecomeFiles(t *testing.T) {
	b := newBench(t)
	one := b.commit("one", "a", "1", "d/x", "x", "same/y", "y")
	b.git("update-index", "--chmod=+x", "a")
	b.git("rm", "-q", "-r", "d")
	b.write("d", "now a file")
	b.git("add", "d")
	b.git("commit", "-q", "-m", "two")
	two, err := b.repo.Revision("HEAD")
	if err != nil {
		t.Fatal(err)
	}
	got, err := b.repo.Changed(one.Commit, two)
	if err != nil {
		t.Fatal(err)
	}
	a, x, d := BlobID([]byte("1")), BlobID([]byte("x")), BlobID([]byte("now a file"))
	want := []Difference{{"a", a, a, true}, {"d", Hash{}, d, false}, {"d/x", x, Hash{}, false}}
	if !slices.Equal(got, want) {
		t.Errorf("got %v", got)
	}
	if first, err := b.repo.Changed(Hash{}, one.Commit); err != nil || len(first) != 3 {
		t.Errorf("from nothing: %v, %v", first, err)
	}
}

func parse(t testing.TB, s string) Hash {
	t.Helper()
	h, err := ParseHash(s)
	if err != nil {
		t.Fatal(err)
	}
	return h
}

func TestTwoClonesThatWereMergedByGitShowTheirWholeHistory(t *testing.T) {
	b := newBench(t)
	b.commit("one", "parts/a.json", "1\n", "parts/b.json", "1\n")
	other := b.TempDir() + "/other"
	b.git("clone", "-q", b.dir, other)
	o := at(t, other)
	theirs := o.commit("theirs", "parts/b.json", "theirs\n")
	ours := b.commit("ours", "parts/a.json", "ours\n")
	b.git("pull", "-q", "--no-rebase", "--no-edit", other, "main")
	b.clean()
	head, err := b.repo.Revision("HEAD")
	if err != nil {
		t.Fatal(err)
	}
	for path, want := range map[string]Hash{"parts/a.json": ours.Commit, "parts/b.json": theirs.Commit} {
		for rev, err := range b.repo.History(head, path) {
			if err != nil {
				t.Fatal(err)
			}
			if rev.Commit.ID != want {
				t.Errorf("%s was last changed by %s, want %s", path, rev.Commit.ID, want)
			}
			break
		}
	}
	b.commit("after the merge", "parts/a.json", "3\n")
	b.sound()
	b.clean()
}

func TestAShallowHistoryEndsWithoutAnError(t *testing.T) {
	b := newBench(t)
	for i := range 4 {
		b.commit(fmt.Sprint(i), "a.json", fmt.Sprint(i))
	}
	dir := b.TempDir() + "/shallow"
	b.git("clone", "-q", "--depth=2", "file://"+b.dir, dir)
	r := at(t, dir).repo
	if !r.Traits.Shallow {
		t.Error("not seen as shallow")
	}
	head, err := r.Revision("HEAD")
	if err != nil {
		t.Fatal(err)
	}
	if ids := logIDs(t, r, head, LogOptions{}); len(ids) != 2 {
		t.Errorf("log %v", ids)
	}
	if _, err := r.Revision("HEAD~2"); err == nil || !strings.Contains(err.Error(), "shallow") {
		t.Errorf("got %v", err)
	}
}

func TestAWalkStopsWhereTheLoopIsLeft(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	two := b.commit("two", "a.json", "2\n")
	// Without the first commit's object, only a walk that goes too far fails.
	three := b.commit("three", "a.json", "3\n")
	for rev, err := range b.repo.History(three.Commit, "a.json") {
		if err != nil || rev.Commit.ID != three.Commit || rev.Blob != BlobID([]byte("3\n")) {
			t.Errorf("%+v, %v", rev, err)
		}
		break
	}
	n := 0
	for _, err := range b.repo.Log(two.Commit, LogOptions{}) {
		if err != nil {
			t.Fatal(err)
		}
		n++
	}
	if n != 2 {
		t.Errorf("%d commits", n)
	}
	for _, err := range b.repo.Log(Hash{1}, LogOptions{}) {
		if err == nil {
			t.Error("a commit that is not there")
		}
	}
}

func TestSignedPayloadsOfGitAreReadByteForByte(t *testing.T) {
	b := newBench(t)
	b.write("a.json", "1\n")
	b.git("add", "a.json")
	b.git("-c", "i18n.commitEncoding=ISO-8859-1", "commit", "-q", "-m", "encoded")
	head, err := b.repo.Revision("HEAD")
	if err != nil {
		t.Fatal(err)
	}
	c, err := b.repo.ReadCommit(head)
	if err != nil {
		t.Fatal(err)
	}
	if string(c.Payload) != b.git("cat-file", "commit", "HEAD")+"\n" || c.Signature != "" {
		t.Errorf("payload %q", c.Payload)
	}
	raw := "tree " + c.Tree.String() + "\nauthor A <a@b> 1 +0000\ncommitter A <a@b> 1 +0000\nmergetag object x\n type commit\n \n more\n" +
		"gpgsig -----BEGIN SSH SIGNATURE-----\n AAAA\n \n -----END SSH SIGNATURE-----\nencoding x\n\nsubject\n\ngpgsig in the body\n"
	got, err := parseCommit(Hash{}, []byte(raw))
	if err != nil {
		t.Fatal(err)
	}
	if want := "-----BEGIN SSH SIGNATURE-----\nAAAA\n\n-----END SSH SIGNATURE-----\n"; got.Signature != want {
		t.Errorf("signature %q", got.Signature)
	}
	if want := strings.Replace(raw, raw[strings.Index(raw, "gpgsig"):strings.Index(raw, "encoding")], "", 1); string(got.Payload) != want {
		t.Errorf("payload %q, want %q", got.Payload, want)
	}
}

func TestAWalkThatProvesIdsFindsACommitUnderTheNameOfAnother(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	two := b.commit("two", "a.json", "2\n")
	path := func(id string) string { return ".git/objects/" + id[:2] + "/" + id[2:] }
	other := b.git("-c", "user.name=x", "-c", "user.email=x@x.invalid", "commit-tree", "-m", "forged", two.Commit.String()+"^{tree}")
	old := two.Commit.String()
	if err := os.Remove(filepath.Join(b.dir, path(old))); err != nil {
		t.Fatal(err)
	}
	b.write(path(old), b.read(path(other)))
	r := at(t, b.dir).repo
	for _, proven := range []bool{false, true} {
		var got error
		for _, err := range r.Log(two.Commit, LogOptions{Proven: proven}) {
			got = err
		}
		if (got != nil) != proven || proven && !strings.Contains(got.Error(), "is damaged") {
			t.Errorf("proven %v: %v", proven, got)
		}
	}
	if _, err := r.FS(two.Commit); err == nil {
		t.Error("its files are shown")
	}
}
