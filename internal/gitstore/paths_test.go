package gitstore

import (
	"errors"
	"io/fs"
	"strings"
	"testing"
	"unicode/utf8"

	"pgregory.net/rapid"
)

func TestPathsThatMeanSomethingElseOnSomeSystemAreRefused(t *testing.T) {
	for path, why := range map[string]string{
		"":                               "empty",
		"/etc/passwd":                    "absolute",
		"../outside.json":                `part ".."`,
		"parts/../../x":                  `part ".."`,
		"parts/./x":                      `part "."`,
		"parts//x":                       "empty part",
		"parts/":                         "empty part",
		".git/config":                    "Git's own",
		"parts/.GiT/hooks/x":             "Git's own",
		"git~1/config":                   "Git's own",
		"GIT~27":                         "Git's own",
		".git./x":                        "dot or a space",
		".git /x":                        "dot or a space",
		".git::$INDEX_ALLOCATION":        "Windows does not allow",
		".g\u200cit/config":              "invisible",
		".git\ufeff":                     "invisible",
		"a\tb":                           "invisible",
		"a\nb":                           "invisible",
		"a\x7fb":                         "invisible",
		"right\u202eleft":                "invisible",
		`parts\x`:                        "Windows does not allow",
		"C:/x":                           "Windows does not allow",
		"what?.json":                     "Windows does not allow",
		"con":                            "device",
		"parts/NUL.json":                 "device",
		"com1.x":                         "device",
		"Lpt¹":                           "device",
		"bru\u0308cke.json":              "normal form C",
		"a\xffb":                         "not UTF-8",
		strings.Repeat("a", 256):         "longer than 255",
		strings.Repeat("a/", 2100) + "a": "longer than 4095",
	} {
		err := CheckPath(path)
		var bad *BadPathError
		if !errors.As(err, &bad) || !strings.Contains(bad.Reason, why) {
			t.Errorf("%q: got %v, want %q", path, err, why)
		}
	}
	for _, path := range []string{".gitattributes", ".gitignore", "parts/fuel-tank.json", "br\u00fccke/x", "git~", "git~x", "com", "com10", "console", "a b.c", "...x", "日本.json"} {
		if err := CheckPath(path); err != nil {
			t.Errorf("%q: %v", path, err)
		}
	}
}

func TestAnAcceptedPathStaysBelowTheTopOnEverySystem(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		path := strings.Join(rapid.SliceOfN(rapid.OneOf(rapid.String(),
			rapid.SampledFrom([]string{".", "..", ".git", ".GIT", "git~1", ".git ", "a", "NUL", "\u200d", "/"})), 1, 4).Draw(t, "parts"), "/")
		if CheckPath(path) != nil {
			return
		}
		if !utf8.ValidString(path) || strings.ContainsAny(path, "\\\x00\n:") {
			t.Fatalf("%q passed", path)
		}
		for part := range strings.SplitSeq(path, "/") {
			// What is left when Windows and macOS have dropped what they drop.
			plain := strings.ToLower(strings.Trim(part, ". "))
			if part == "" || part == "." || part == ".." || strings.ToLower(part) == ".git" || strings.HasPrefix(plain, "git~1") && len(plain) == 5 {
				t.Fatalf("%q passed", path)
			}
		}
	})
}

func TestCommitRefusesWhatWouldNotLastOrWouldDestroy(t *testing.T) {
	good := func() Request { return request("m", "parts/a.json", "2\n") }
	cases := []struct {
		name  string
		spoil func(*bench, *Request)
		want  string
	}{
		{"no paths", func(_ *bench, q *Request) { q.Changes = nil }, "at least one path"},
		{"a path that leads out", func(_ *bench, q *Request) { q.Changes[0].Path = "../x" }, `".."`},
		{"one path twice", func(_ *bench, q *Request) { q.Changes = append(q.Changes, q.Changes[0]) }, "given twice"},
		{"a symlink", func(_ *bench, q *Request) { q.Changes[0].Mode = fs.ModeSymlink | 0o777 }, "only regular files"},
		{"a folder as a file", func(_ *bench, q *Request) { q.Changes[0].Path = "parts" }, "there is a folder"},
		{"a file as a folder", func(_ *bench, q *Request) { q.Changes[0].Path = "parts/a.json/x" }, "parts/a.json is not a folder"},
		{"a file and a folder at once", func(_ *bench, q *Request) {
			q.Changes = append(q.Changes, Change{Path: "n"}, Change{Path: "n/x"})
		}, "a file and a folder at once"},
		{"another case of a name", func(_ *bench, q *Request) { q.Changes[0].Path = "parts/A.json" }, "the same file as parts/a.json"},
		{"another case of a folder", func(_ *bench, q *Request) { q.Changes[0].Path = "PARTS/z.json" }, "the same file as parts"},
		{"no message", func(_ *bench, q *Request) { q.Message = " \n" }, "message"},
		{"no author", func(_ *bench, q *Request) { q.Author = Person{} }, "needs a name"},
		{"an address with a bracket", func(_ *bench, q *Request) { q.Author.Email = "a>b" }, "cannot stand there"},
		{"a name that Git would trim", func(_ *bench, q *Request) { q.Author.Name = "Odile." }, "Git would drop"},
		{"a time before Git's", func(_ *bench, q *Request) { q.Author.When = noon.AddDate(-100, 0, 0) }, "1970"},
		{"a signer that fails", func(_ *bench, q *Request) {
			q.Signer = func([]byte) (string, error) { return "", errors.New("no agent") }
		}, "no agent"},
		{"a signature without text", func(_ *bench, q *Request) {
			q.Signer = func([]byte) (string, error) { return "\n", nil }
		}, "signature is empty"},
		{"edits that were never committed", func(b *bench, _ *Request) { b.write("parts/a.json", "precious\n") }, "never committed"},
		{"edits that a deletion would lose", func(b *bench, q *Request) {
			b.write("parts/a.json", "precious\n")
			q.Changes[0] = Change{Path: "parts/a.json", Delete: true}
		}, "never committed"},
		{"an untracked file in the way", func(b *bench, q *Request) {
			b.write("parts/new.json", "precious\n")
			q.Changes[0].Path = "parts/new.json"
		}, "never committed"},
		{"a symlink in the way", func(b *bench, q *Request) {
			b.link("parts/new.json", "../top.json")
			q.Changes[0].Path = "parts/new.json"
		}, "a symlink, a folder or a device"},
		{"a symlink instead of a folder", func(b *bench, q *Request) { b.link("away", b.TempDir()); q.Changes[0].Path = "away/x.json" }, "symlink or a file"},
		{"a staged file where a folder is needed", func(b *bench, q *Request) {
			b.write("n", "x")
			b.git("add", "n")
			b.git("rm", "-q", "--cached", "-r", "parts")
			q.Changes[0].Path = "n/x.json"
		}, "conflict"},
	}
	for _, c := range cases {
		t.Run(c.name, func(t *testing.T) {
			b := newBench(t)
			b.commit("one", "parts/a.json", "1\n", "top.json", "t\n")
			q := good()
			c.spoil(b, &q)
			before := b.git("status", "--porcelain", "-uall")
			_, err := b.repo.Commit(t.Context(), q)
			if err == nil || !strings.Contains(err.Error(), c.want) {
				t.Fatalf("got %v, want %q", err, c.want)
			}
			if got := b.git("status", "--porcelain", "-uall"); got != before {
				t.Errorf("status was\n%s\nand is\n%s", before, got)
			}
			if n := b.git("rev-list", "--count", "HEAD"); n != "1" {
				t.Errorf("%s commits", n)
			}
			b.swept()
		})
	}
}

func TestModesAreKeptOrSetAsAsked(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a", "1")
	req := request("two", "a", "1")
	req.Changes[0].Mode = 0o755
	if _, err := b.repo.Commit(t.Context(), req); err != nil {
		t.Fatal(err)
	}
	b.clean()
	b.commit("three", "a", "2")
	b.clean()
	if got := b.git("ls-tree", "HEAD", "a"); !strings.HasPrefix(got, "100755") {
		t.Errorf("tree says %s", got)
	}
}

func TestDeletingTheLastFileLeavesAnEmptyTreeAndNoFolders(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a/b/c.json", "1")
	b.commit("two", "a/b/c.json", "-")
	b.sound()
	b.clean()
	if got := b.git("ls-tree", "HEAD"); got != "" {
		t.Errorf("tree says %s", got)
	}
	if _, err := b.repo.opt.Files.Lstat(b.dir + "/a"); err == nil {
		t.Error("the folder is still there")
	}
	b.commit("three", "a/x.json", "1")
	b.sound()
}

func TestAFileAlreadyWrittenByTheUserIsCommittedAsItLies(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n")
	b.write("a.json", "2\n")
	b.write("new.json", "n\n")
	b.git("add", "new.json")
	b.commit("two", "a.json", "2\n", "new.json", "n\n")
	b.sound()
	b.clean()
}
