package signoff

import (
	"io/fs"
	"maps"
	"slices"
)

// watchSignOffs notes files in signoffs/ that were changed or removed after they
// were committed, and remembers when each came in.
func (t *Trust) watchSignOffs(i int, f Files, before, now *state) error {
	if now.files, now.present = before.files, before.present; now.signoffs == before.signoffs {
		return nil
	}
	s := &t.Steps[i]
	entries, err := fs.ReadDir(f, "signoffs")
	if err != nil && now.signoffs != "" {
		return err
	}
	here := map[string]string{}
	for _, e := range entries {
		if here[e.Name()], err = f.Content("signoffs/" + e.Name()); err != nil {
			return err
		}
	}
	now.files, now.present = maps.Clone(before.files), here
	if now.files == nil {
		now.files = map[string]string{}
	}
	for _, name := range slices.Sorted(maps.Keys(here)) {
		first, known := now.files[name]
		t.enter(version{"signoffs/" + name, here[name]}, i)
		switch {
		case !known:
			now.files[name] = here[name]
		case here[name] != first && here[name] != before.present[name]:
			s.Notes = append(s.Notes, Note{Kind: SignOffAltered, Path: "signoffs/" + name})
		}
	}
	for _, name := range slices.Sorted(maps.Keys(before.present)) {
		if here[name] == "" {
			s.Notes = append(s.Notes, Note{Kind: SignOffGone, Path: "signoffs/" + name})
		}
	}
	return nil
}

// version is one content of a file.
type version struct{ path, id string }

// enter remembers the first commit that has a version: of two branches that
// bring it in, the one that is met first.
func (t *Trust) enter(v version, i int) {
	if _, known := t.entered[v]; !known {
		t.entered[v] = i
	}
}
