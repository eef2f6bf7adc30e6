package validate

import (
	"io"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// codesOf gives the code and file of each finding.
func codesOf(found []finding.Finding) []string {
	var codes []string
	for _, f := range found {
		codes = append(codes, f.Code+" "+f.File)
	}
	return codes
}

func TestWhatAFileSystemCanDo(t *testing.T) {
	for _, tc := range []struct {
		name string
		do   func(t *testing.T, root string)
		want string
	}{
		{"a link is not followed", func(t *testing.T, root string) {
			must(t, os.Symlink("/etc/hostname", filepath.Join(root, "parts", "host.json")))
		}, "link parts/host.json"},
		{"a link to a folder is not entered", func(t *testing.T, root string) {
			must(t, os.Symlink("/etc", filepath.Join(root, "papers")))
		}, "link papers"},
		{"another repository does not stand inside", func(t *testing.T, root string) {
			must(t, os.MkdirAll(filepath.Join(root, "parts", ".git", "objects"), 0o755))
		}, "submodule parts/.git"},
		{"folders are not nested without end", func(t *testing.T, root string) {
			must(t, os.MkdirAll(filepath.Join(root, "a/b/c/d/e/f/g/h/i/j"), 0o755))
		}, "too-deep a/b/c/d/e/f/g/h/i"},
		{"a record is not a megabyte", func(t *testing.T, root string) {
			must(t, os.WriteFile(filepath.Join(root, "parts", "big.json"), []byte(strings.Repeat(" ", 2<<20)), 0o644))
		}, "too-large parts/big.json"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			root := t.TempDir()
			must(t, os.CopyFS(root, sound(t)))
			tc.do(t, root)
			s, err := ledger.Load(os.DirFS(root))
			must(t, err)
			found, err := shared.Check(s, Options{On: theDay})
			must(t, err)
			if got := codesOf(found); !slices.Equal(got, []string{tc.want}) {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

func TestNamesThatCollideOnOtherMachines(t *testing.T) {
	car := sound(t)
	car["previews/Ä.jpg"] = &fstest.MapFile{Data: []byte("x")}
	car["previews/ä.jpg"] = &fstest.MapFile{Data: []byte("x")}
	car["previews/o\u0308.jpg"] = &fstest.MapFile{Data: []byte("x")}
	codes := codesOf(check(t, car))
	for _, want := range []string{"name-collision previews/ä.jpg", "name-form previews/o\u0308.jpg"} {
		if !slices.Contains(codes, want) {
			t.Errorf("no %q among %q", want, codes)
		}
	}
}

// shelf is a folder of originals in memory.
type shelf map[record.Digest]string

func (s shelf) Find(d record.Digest) (int64, bool) {
	text, ok := s[d]
	return int64(len(text)), ok
}

func (s shelf) Open(d record.Digest) (io.ReadCloser, error) {
	return io.NopCloser(strings.NewReader(s[d])), nil
}

func TestOriginals(t *testing.T) {
	digest := record.Digest(strings.Repeat("ab", 32))
	car := sound(t)
	car["papers/photo.json"] = &fstest.MapFile{Data: []byte("{\n  \"kind\": \"paper\",\n  \"original\": {\n    \"digest\": \"" + string(digest) + "\",\n    \"bytes\": 5\n  }\n}\n")}
	s, err := ledger.Load(car)
	must(t, err)
	for _, tc := range []struct {
		name  string
		where Originals
		deep  bool
		want  []string
	}{
		{"nobody looked", nil, false, nil},
		{"it is not here, which is no error", shelf{}, false, []string{"original-not-here papers/photo.json"}},
		{"it has another size", shelf{digest: "longer"}, false, []string{"digest papers/photo.json"}},
		{"its bytes are read only in a deep check", shelf{digest: "bytes"}, false, nil},
		{"a deep check finds another file", shelf{digest: "bytes"}, true, []string{"digest papers/photo.json"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			found, err := shared.Check(s, Options{On: theDay, Originals: tc.where, Deep: tc.deep})
			must(t, err)
			if got := codesOf(found); !slices.Equal(got, tc.want) {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

func TestCheckingTwiceGivesTheSame(t *testing.T) {
	car := sound(t)
	car["parts/odd.json"] = &fstest.MapFile{Data: []byte(`{"kind": "part", "masss": "1", "x": 2, "found": "maybe", "mass": "1,234 kg"}`)}
	first := print(check(t, car))
	for range 20 {
		if again := print(check(t, car)); again != first {
			t.Fatalf("got\n%s\nthen\n%s", first, again)
		}
	}
}

func must(t testing.TB, err error) {
	t.Helper()
	if err != nil {
		t.Fatal(err)
	}
}

// FuzzCheck lays any bytes over a record: nothing panics, and whatever cannot be read is reported.
func FuzzCheck(f *testing.F) {
	f.Add("parts/engine.json", []byte(`{"kind": "part", "mass": "148 kg"}`))
	f.Add("car.json", []byte(`{"kind": "car", "numbers": [{"what": "chassis", "raw": "*A?"}]}`))
	f.Add("readings/2026-02-10-odile-insulation.json", []byte(`{"kind":"reading","what":"insulation","values":[{"of":"a","value":"1.2 mΩ"}]}`))
	f.Add("work/2026-02-03-odile-motor-in.json", []byte(`{"kind":"session","by":"car","lines":[{"act":"tightening","parts":[""],"set":"1 N.m"}]}`))
	base := sound(f)
	f.Fuzz(func(t *testing.T, path string, text []byte) {
		if _, ok := record.IDOf(path); !ok {
			return
		}
		car := fstest.MapFS{}
		for name, file := range base {
			car[name] = file
		}
		car[path] = &fstest.MapFile{Data: text}
		s, err := ledger.Load(car)
		if err != nil {
			return
		}
		found, err := shared.Check(s, Options{On: theDay})
		if err != nil {
			t.Fatal(err)
		}
		for _, g := range found {
			if _, ok := severity(g.Code); !ok {
				t.Errorf("%s: the code is not in the table", g)
			}
			if g.Message == "" {
				t.Errorf("%+v says nothing", g)
			}
		}
	})
}
