package gitstore

import (
	"fmt"
	"io/fs"
	"maps"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"
)

func TestStockGitAndThisPackageAlternate(t *testing.T) {
	b := newBench(t)
	want := map[string]string{}
	for i := range 12 {
		name := fmt.Sprintf("parts/p%d.json", i%5)
		content := fmt.Sprint("turn ", i, "\n")
		if i%2 == 0 {
			b.commit(fmt.Sprint("ours ", i), name, content)
		} else {
			b.write(name, content)
			b.git("add", name)
			b.git("commit", "-q", "-m", fmt.Sprint("stock ", i))
		}
		want[name] = content
		if i == 6 {
			b.git("repack", "-a", "-d", "-q")
			b.git("pack-refs", "--all")
		}
		b.clean()
	}
	b.sound()
	b.holds(want)
	if n := len(b.lines("rev-list", "HEAD")); n != 12 {
		t.Errorf("%d commits", n)
	}
	if n := strings.Count(b.read(".git/logs/HEAD"), "\n"); n != 12 {
		t.Errorf("%d reflog lines", n)
	}
}

// holds checks that the last commit, read through a snapshot, and the work
// tree hold these files and no others.
func (b *bench) holds(want map[string]string) {
	b.Helper()
	head, err := b.repo.Revision("HEAD")
	if err != nil {
		b.Fatal(err)
	}
	s, err := b.repo.FS(head)
	if err != nil {
		b.Fatal(err)
	}
	if got := contents(b, s); !maps.Equal(got, want) {
		b.Fatalf("the commit holds %v, want %v", got, want)
	}
	if got := contents(b, os.DirFS(b.dir)); !maps.Equal(got, want) {
		b.Fatalf("the work tree holds %v, want %v", got, want)
	}
}

func contents(t testing.TB, fsys fs.FS) map[string]string {
	t.Helper()
	all := map[string]string{}
	err := fs.WalkDir(fsys, ".", func(path string, d fs.DirEntry, err error) error {
		if err != nil || path == ".git" {
			if path == ".git" {
				return fs.SkipDir
			}
			return err
		}
		if d.IsDir() {
			return nil
		}
		data, err := fs.ReadFile(fsys, path)
		all[path] = string(data)
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return all
}

func TestAnySequenceOfCommitsEndsAsInAMap(t *testing.T) {
	names := []string{"a.json", "a", "b/a.json", "b/c/d.json", "b.json", "b-c.json", "z/y/x/w.json", "A.json", "b"}
	rapid.Check(t, func(rt *rapid.T) {
		dir, err := os.MkdirTemp(t.TempDir(), "model")
		if err != nil {
			rt.Fatal(err)
		}
		r, err := Init(filepath.Join(dir, "car"))
		if err != nil {
			rt.Fatal(err)
		}
		defer r.Close()
		b := &bench{TB: t, dir: filepath.Join(dir, "car"), repo: r}
		model, commits := map[string]string{}, 0
		for range rapid.IntRange(1, 5).Draw(rt, "commits") {
			paths := rapid.SliceOfNDistinct(rapid.SampledFrom(names), 1, 4, rapid.ID[string]).Draw(rt, "paths")
			next := maps.Clone(model)
			var files []string
			for _, p := range paths {
				content := rapid.SampledFrom([]string{"-", "1", "2"}).Draw(rt, "content")
				files = append(files, p, content)
				if next[p] = content; content == "-" {
					delete(next, p)
				}
			}
			res, err := r.Commit(t.Context(), request("step", files...))
			if err != nil {
				if fits(slices.Collect(maps.Keys(next))) && fitsStepwise(model, files) {
					rt.Fatalf("%v: %v", files, err)
				}
				continue
			}
			if res.Unchanged != (maps.Equal(model, next) && commits > 0) {
				rt.Fatalf("%v over %v: unchanged %v", files, model, res.Unchanged)
			}
			if !res.Unchanged {
				commits++
			}
			model = next
			b.holds(model)
		}
		if commits > 0 {
			b.sound()
			b.clean()
		}
	})
}

// fits reports whether these paths can lie beside one another on every system.
func fits(paths []string) bool {
	for _, p := range paths {
		for _, q := range paths {
			if p != q && (strings.EqualFold(p, q) || strings.HasPrefix(strings.ToLower(q), strings.ToLower(p)+"/")) {
				return false
			}
		}
	}
	return true
}

// fitsStepwise reports whether the paths of one commit also fit beside those
// that it touches: a file does not become a folder, nor a name another case of
// itself, in one commit.
func fitsStepwise(model map[string]string, files []string) bool {
	all := slices.Collect(maps.Keys(model))
	for i := 0; i < len(files); i += 2 {
		if !slices.Contains(all, files[i]) {
			all = append(all, files[i])
		}
	}
	return fits(all)
}
