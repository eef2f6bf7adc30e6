package columns

import (
	"boltback/internal/steps"
)

// columnDone is the column in which a row of a strip-down that was filled in beforehand is marked as done.
const columnDone = "done"

// unmarked says that a row of a table with such a column is left out, and why: it names a part on record and has no mark, or
// nothing stands in it but what was filled in beforehand.
func (r *reader) unmarked(cells map[string]string, fate *Fate) bool {
	if r.kind != StripDown || !r.has(columnDone) || cells[columnDone] != "" {
		return false
	}
	known := r.onRecord(cells["part"]) || cells["part"] == "" && r.onRecord(cells["tag"])
	switch {
	case known:
		fate.Says = "left out: it is not marked as done"
	case !anyOf(cells, "part", "fasteners", "size", "bag", "store", "place", "position", "side", "mass", "hazards", "joint", "note"):
		fate.Says = "left out: nothing stands behind its tag"
	default:
		return false
	}
	return true
}

// onRecord says that words or a tag mean a part that the car had before this table.
func (r *reader) onRecord(words string) bool {
	if words == "" {
		return false
	}
	if r.before == nil {
		r.before = steps.New(r.options.Bench)
	}
	return r.before.Part(words) != ""
}

func (r *reader) has(key string) bool {
	for _, p := range r.at {
		if p.column.key == key {
			return true
		}
	}
	return false
}

func anyOf(cells map[string]string, keys ...string) bool {
	for _, key := range keys {
		if cells[key] != "" {
			return true
		}
	}
	return false
}
