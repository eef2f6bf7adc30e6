package record

import (
	"slices"
	"strings"
)

// leafName is the file that speaks for a folder: a person, an instrument, a store.
var leafName = map[string]string{"people": "person", "instruments": "instrument", "stores": "store"}

// PlaceOf says where records of a kind lie, with <slug> and <date> for the varying pieces.
func PlaceOf(kind Kind) string {
	for _, d := range definitions {
		if d.kind == kind {
			return d.place
		}
	}
	return ""
}

// TopNames lists what records lie in, in the order of their kinds: the files at the top of a ledger and the folders.
func TopNames() []string {
	var names []string
	for _, d := range definitions {
		if top, _, _ := strings.Cut(d.place, "/"); !slices.Contains(names, top) {
			names = append(names, top)
		}
	}
	return names
}

// KindsAt lists the kinds that may lie at a path; none means that the path is not a record's.
func KindsAt(path string) []Kind {
	var exact, open []Kind
	for _, d := range definitions {
		if !matchPlace(d.place, path) {
			continue
		}
		if strings.HasSuffix(d.place, "<slug>.json") {
			open = append(open, d.kind)
		} else {
			exact = append(exact, d.kind)
		}
	}
	if len(exact) > 0 {
		return exact
	}
	return open
}

// IDOf gives the name of the record at a path.
func IDOf(path string) (Ref, bool) {
	if len(KindsAt(path)) == 0 {
		return "", false
	}
	id := strings.TrimSuffix(path, ".json")
	folder, _, _ := strings.Cut(id, "/")
	if leaf := leafName[folder]; leaf != "" && strings.HasSuffix(id, "/"+leaf) {
		id = strings.TrimSuffix(id, "/"+leaf)
	}
	return Ref(id), true
}

// PathOf gives the file in which the record of that name lies.
func PathOf(id Ref) string {
	folder, rest, _ := strings.Cut(string(id), "/")
	if leaf := leafName[folder]; leaf != "" && strings.Count(rest, "/") == 1 {
		return string(id) + "/" + leaf + ".json"
	}
	return string(id) + ".json"
}

// FolderOf gives the top folder of a name: parts for parts/fuel-tank, the name itself for car.
func FolderOf(id Ref) string {
	folder, _, _ := strings.Cut(string(id), "/")
	return folder
}

// OwnerOf gives the person or instrument an entry belongs to: people/w/s for people/w/s/licence-2026.
func OwnerOf(entry Ref) Ref {
	i := strings.LastIndexByte(string(entry), '/')
	if i < 0 {
		return ""
	}
	return entry[:i]
}

// PathDate gives the day a path begins its last piece with ("2026-03-02" in work/2026-03-02-ines-strip.json), or "" for
// kinds whose paths carry none. 0000-00-00 stands for a day nobody knows.
func PathDate(path string) string {
	last := path[strings.LastIndexByte(path, '/')+1:]
	if len(last) > 11 && isDay(last[:10]) && last[10] == '-' {
		return last[:10]
	}
	return ""
}

// matchPlace reports whether a path has the shape of a place.
func matchPlace(place, path string) bool {
	for {
		want, restOfPlace, more := strings.Cut(place, "/")
		have, restOfPath, longer := strings.Cut(path, "/")
		if more != longer || !matchPiece(want, have) {
			return false
		}
		if !more {
			return true
		}
		place, path = restOfPlace, restOfPath
	}
}

func matchPiece(want, have string) bool {
	bare, isFile := strings.CutSuffix(have, ".json")
	switch want {
	case "<slug>":
		return IsSlug(have)
	case "<slug>.json":
		return isFile && IsSlug(bare)
	case "<date>-<slug>.json":
		return isFile && PathDate(have) != "" && IsSlug(bare[11:])
	default:
		return want == have
	}
}

// IsSlug reports whether s may stand as one piece of a record's path: lower-case letters and digits in groups joined by
// single dashes, at most 80 characters.
func IsSlug(s string) bool {
	if s == "" || len(s) > 80 || s[0] == '-' || s[len(s)-1] == '-' || strings.Contains(s, "--") {
		return false
	}
	for i := range len(s) {
		if c := s[i]; c != '-' && (c < 'a' || c > 'z') && (c < '0' || c > '9') {
			return false
		}
	}
	return true
}

func isDay(s string) bool {
	for i := range len(s) {
		if i == 4 || i == 7 {
			if s[i] != '-' {
				return false
			}
		} else if s[i] < '0' || s[i] > '9' {
			return false
		}
	}
	return len(s) == 10
}

// ExtensionOf gives the file ending that goes with a type of content.
func ExtensionOf(contentType string) string {
	switch contentType {
	case "image/png":
		return ".png"
	case "image/heic":
		return ".heic"
	case "application/pdf":
		return ".pdf"
	case "text/plain":
		return ".txt"
	case "text/csv":
		return ".csv"
	case "other":
		return ".bin"
	default:
		return ".jpg"
	}
}
