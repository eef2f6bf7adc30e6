package gitstore

import (
	"fmt"
	"math/rand/v2"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"time"
)

// porcelain writes a status the way git status --porcelain does.
func porcelain(t testing.TB, r *Repo) string {
	t.Helper()
	list, err := r.Status()
	if err != nil {
		t.Fatal(err)
	}
	letter := map[State]string{Same: " ", Added: "A", Modified: "M", Deleted: "D", Untracked: "?", Conflict: "U"}
	var tracked, untracked []string
	for _, p := range list {
		if p.Work == Untracked {
			if p.Staged != Same {
				tracked = append(tracked, letter[p.Staged]+"  "+p.Path)
			}
			untracked = append(untracked, "?? "+p.Path)
			continue
		}
		tracked = append(tracked, letter[p.Staged]+letter[p.Work]+" "+p.Path)
	}
	return strings.Join(append(tracked, untracked...), "\n")
}

func TestStatusAgreesWithGitAfterRandomDoings(t *testing.T) {
	for seed := range uint64(6) {
		dice := rand.New(rand.NewPCG(seed, 2))
		b := newBench(t)
		var names []string
		for i := range 12 {
			names = append(names, fmt.Sprintf("%s%02d.json", []string{"", "parts/", "parts/deep/"}[i%3], i))
		}
		b.commit("one", names[0], "0", names[1], "0", names[2], "0", names[3], "0", names[4], "0", names[5], "0")
		r := at(t, b.dir)
		for i := range 30 {
			name := names[dice.IntN(len(names))]
			path := filepath.Join(b.dir, name)
			switch dice.IntN(8) {
			case 0:
				_ = os.Remove(path)
			case 1:
				b.write(name, fmt.Sprint(dice.IntN(3)))
			case 2:
				_, _ = gitIn(b.dir, "add", "-A", name)
			case 3:
				_, _ = gitIn(b.dir, "rm", "-q", "--cached", name)
			case 4:
				_ = os.Chmod(path, []os.FileMode{0o644, 0o755}[dice.IntN(2)])
			case 5:
				_ = os.Chtimes(path, time.Unix(1e9, 0), time.Unix(1e9, 0))
			case 6:
				_, _ = gitIn(b.dir, "add", "-N", name)
			case 7:
				_, _ = r.repo.Commit(t.Context(), request(fmt.Sprint("step ", i), name, fmt.Sprint(dice.IntN(3))))
			}
			got := porcelain(t, r.repo)
			if want := b.git("--no-optional-locks", "status", "--porcelain", "--no-renames", "-uall"); got != want {
				t.Fatalf("seed %d step %d:\n%s\nwant\n%s", seed, i, got, want)
			}
		}
		b.sound()
	}
}

func TestAnEditOfTheSameSizeInTheSameTickIsSeen(t *testing.T) {
	for i := range 20 {
		b := newBench(t)
		b.commit("one", "a.json", "1\n", "b.json", "1\n")
		b.write("b.json", "2\n")
		if i == 0 {
			// Within the second, but not within the tick: Git sees no difference.
			time.Sleep(time.Until(time.Now().Truncate(time.Second).Add(time.Second)))
		}
		if got := porcelain(t, b.repo); got != " M b.json" {
			t.Fatalf("status says %q", got)
		}
		// A commit of another path writes a younger index, which must not bury it.
		b.commit("two", "a.json", "2\n")
		if got := porcelain(t, b.repo); got != " M b.json" {
			t.Fatalf("after our commit status says %q", got)
		}
		if got := b.git("status", "--porcelain"); got != " M b.json" {
			t.Fatalf("after our commit git status says %q", got)
		}
	}
}

func TestStatusShowsWhatGitLeavesOutAndLeavesOutWhatIsOurs(t *testing.T) {
	b := newBench(t)
	b.commit("one", ".gitignore", "*.json\n", "assumed", "1\n")
	b.git("update-index", "--assume-unchanged", "assumed")
	b.write("assumed", "2\n")
	b.write("ignored.json", "1\n")
	b.write(".boltback-abcdefghijklmnop.tmp", "half")
	b.git("init", "-q", "inner")
	b.write("inner/x", "x")
	if got := porcelain(t, b.repo); got != " M assumed\n?? ignored.json" {
		t.Errorf("status says %q", got)
	}
}

func TestStatusShowsAMergeThatIsNotDone(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n", "c.json", "1\n")
	b.git("checkout", "-q", "-b", "side")
	b.commit("side", "a.json", "side\n")
	b.git("checkout", "-q", "main")
	b.commit("main", "a.json", "main\n")
	if _, err := gitIn(b.dir, "merge", "side"); err == nil {
		t.Fatal("no conflict")
	}
	list, err := b.repo.Status()
	if err != nil || !slices.Equal(list, []PathStatus{{"a.json", Conflict, Same}}) {
		t.Errorf("%v, %v", list, err)
	}
	if _, err := b.repo.Commit(t.Context(), request("x", "c.json", "2\n")); err == nil || !strings.Contains(err.Error(), "git merge --abort") {
		t.Errorf("got %v", err)
	}
	// git stash and others leave a conflict in the index without a merge under way.
	if err := os.Remove(filepath.Join(b.dir, ".git/MERGE_HEAD")); err != nil {
		t.Fatal(err)
	}
	stages := b.git("ls-files", "--stage", "a.json")
	if _, err := b.repo.Commit(t.Context(), request("x", "a.json", "2\n")); err == nil || !strings.Contains(err.Error(), "holds a conflict") {
		t.Errorf("got %v", err)
	}
	b.commit("another path", "c.json", "2\n")
	if got := b.git("ls-files", "--stage", "a.json"); got != stages {
		t.Errorf("the conflict was\n%s\nand is\n%s", stages, got)
	}
}

func TestAnEntryAsYoungAsItsIndexIsMarkedIfTheFileWasChangedUnseen(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n", "b.json", "1\n", "c.json", "1\n")
	// What a change within one tick of the clock looks like: all numbers agree
	// and only the content does not.
	ix, err := b.repo.readIndex()
	if err != nil {
		t.Fatal(err)
	}
	at, _ := ix.find("b.json")
	copy(ix.entries[at].fixed[idAt:], make([]byte, 20))
	ix.written = time.Unix(0, 0)
	edits, err := editsOf([]Change{{Path: "a.json"}})
	if err != nil {
		t.Fatal(err)
	}
	b.repo.smudge(ix, edits)
	for _, e := range ix.entries {
		if want := map[bool]uint32{true: 0, false: 2}[e.name == "b.json"]; e.word(sizeAt) != want {
			t.Errorf("%s has the size %d, want %d", e.name, e.word(sizeAt), want)
		}
	}
	if state, err := b.repo.compareFile(ix, ix.entries[at], b.lstat("b.json")); err != nil || state != Modified {
		t.Errorf("a marked entry counts as %v, %v", state, err)
	}
}

func TestASymlinkIsComparedByItsTarget(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	b.link("link", "a.json")
	b.git("add", "link")
	b.git("commit", "-q", "-m", "two")
	if got := porcelain(t, b.repo); got != "" {
		t.Errorf("status says %q", got)
	}
	if err := os.Remove(filepath.Join(b.dir, "link")); err != nil {
		t.Fatal(err)
	}
	b.link("link", "b.json")
	if got := porcelain(t, b.repo); got != " M link" {
		t.Errorf("status says %q", got)
	}
}

func (b *bench) lstat(name string) os.FileInfo {
	b.Helper()
	info, err := os.Lstat(filepath.Join(b.dir, name))
	if err != nil {
		b.Fatal(err)
	}
	return info
}
