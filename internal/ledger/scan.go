package ledger

import (
	"fmt"
	"io/fs"
	"path"
	"slices"
	"strings"

	"golang.org/x/text/unicode/norm"

	"boltback/internal/finding"
	"boltback/internal/record"
)

// Bounds on a folder that may come from a stranger.
const (
	maxFiles = 500_000
	maxDepth = 8
)

// File is one regular file of the car.
type File struct {
	Path string
	Size int64
}

// scan lists the regular files of a car by path, and faults for everything that does not belong in one: links,
// submodules, devices, Git settings that change bytes, names that collide on other machines.
func scan(fsys fs.FS) ([]File, []finding.Finding, error) {
	var files []File
	var faults []finding.Finding
	fault := func(p, code, message, hint string) {
		faults = append(faults, finding.Finding{Severity: finding.Error, Code: code, File: p, Message: message, Hint: hint})
	}
	folded := map[string]string{}
	err := fs.WalkDir(fsys, ".", func(p string, d fs.DirEntry, err error) error {
		if err != nil {
			if p == "." {
				return err
			}
			fault(p, "unreadable", "this cannot be read: "+reasonOf(err), "")
			return skipIf(d)
		}
		if p == "." {
			return nil
		}
		if p == ".git" {
			return skipIf(d)
		}
		if len(files) >= maxFiles {
			return fmt.Errorf("more than %d files: this is not a car's ledger", maxFiles)
		}
		if code, message, hint := refuse(p, d); code != "" {
			fault(p, code, message, hint)
			return skipIf(d)
		}
		key := strings.ToLower(norm.NFC.String(p))
		if twin, seen := folded[key]; seen {
			fault(p, "name-collision", fmt.Sprintf("this name and %s become one name on machines that do not tell case or accents apart", twin), "rename one of the two")
		}
		folded[key] = p
		if d.IsDir() {
			return nil
		}
		info, err := d.Info()
		if err != nil {
			fault(p, "unreadable", "this cannot be read: "+reasonOf(err), "")
			return nil
		}
		files = append(files, File{Path: p, Size: info.Size()})
		return nil
	})
	if err != nil {
		return nil, nil, fmt.Errorf("list the files: %w", err)
	}
	slices.SortFunc(files, func(a, b File) int { return strings.Compare(a.Path, b.Path) })
	return files, faults, nil
}

func skipIf(d fs.DirEntry) error {
	if d != nil && d.IsDir() {
		return fs.SkipDir
	}
	return nil
}

// refuse says why an entry does not belong in a car, if it does not.
func refuse(p string, d fs.DirEntry) (code, message, hint string) {
	name := path.Base(p)
	switch {
	case d.Type()&fs.ModeSymlink != 0:
		return "link", "a link stands here: what it shows can change without a trace", "put the file itself here"
	case d.IsDir() && strings.EqualFold(name, ".git"), d.Type()&fs.ModeIrregular != 0:
		return "submodule", "another repository stands here: a car's ledger holds none", "move it out of the car's folder"
	case !d.IsDir() && !d.Type().IsRegular():
		return "not-a-file", "this is neither a file nor a folder", "remove it"
	case name == ".gitmodules", name == ".lfsconfig", name == ".gitattributes" && p != ".gitattributes":
		return "git-setting", "this file changes how Git treats the records", "remove it: the ledger's own .gitattributes is the only one"
	case !norm.NFC.IsNormalString(p):
		return "name-form", "the letters of this name are composed in a way that other machines compose differently", "rename it to " + fmt.Sprintf("%q", norm.NFC.String(p))
	case strings.Count(p, "/") >= maxDepth:
		return "too-deep", "folders are nested deeper than any record lies", "move it up"
	}
	return "", "", ""
}

// folders that hold something besides records, and files at the top that are not records.
var known = []string{"previews/", "inbox/", "requirements/", "schema/", ".gitattributes", ".gitignore", "allowed_signers"}

// misplaced reports a file that lies where only records lie, or where nothing is expected.
func misplaced(f File) (finding.Finding, bool) {
	for _, k := range known {
		if f.Path == k || strings.HasSuffix(k, "/") && strings.HasPrefix(f.Path, k) {
			return finding.Finding{}, false
		}
	}
	folder, _, nested := strings.Cut(f.Path, "/")
	if strings.HasSuffix(f.Path, ".sig") && folder == "signoffs" {
		return finding.Finding{}, false
	}
	if nested && slices.Contains(record.TopNames(), folder) {
		return finding.Finding{Severity: finding.Error, Code: "path", File: f.Path,
			Message: "a file with this name is not read as a record",
			Hint:    "record names are lower-case letters, digits and single dashes, ending in .json; " + shapeOf(folder)}, true
	}
	return finding.Finding{Severity: finding.Warning, Code: "stray-file", File: f.Path,
		Message: "this file is not part of a ledger and is not read", Hint: "documents and photos are kept as papers"}, true
}

func shapeOf(folder string) string {
	switch folder {
	case "work", "readings", "signoffs":
		return "here they begin with the day and who: 2026-03-02-ines-tank-out.json"
	case "transfers":
		return "here they begin with the day: 2026-06-20-handed-over.json"
	case "people", "instruments", "stores":
		return "here they lie in a folder of the workshop and one of their own"
	default:
		return "for example " + folder + "/fuel-tank.json"
	}
}
