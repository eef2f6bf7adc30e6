package steps

import (
	"fmt"
	"regexp"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/code"
	"boltback/internal/entry"
	"boltback/internal/finding"
	"boltback/internal/ledger"
	"boltback/internal/record"
)

// sameName says that words mean a record: its whole path, the end of it, or its name, whatever the capitals.
func sameName(words, id, name string) bool {
	end := id[strings.LastIndexByte(id, '/')+1:]
	return words == id || strings.EqualFold(words, end) || strings.EqualFold(words, name) || strings.EqualFold(words, strings.ReplaceAll(end, "-", " "))
}

// eachPart visits the parts of the car and those of this session until visit gives true.
func (s *Session) eachPart(visit func(ref record.Ref, p *record.Part) bool) {
	if s.context.Snapshot != nil {
		for _, r := range ledger.All[record.Part](s.context.Snapshot) {
			if visit(r.ID, r.Body) {
				return
			}
		}
	}
	for _, ref := range s.made.order {
		if p := s.made.parts[ref]; p != nil && visit(ref, p) {
			return
		}
	}
}

// known gives the part that words mean, "" where none is called that.
func (s *Session) known(words string) (found record.Ref) {
	s.eachPart(func(ref record.Ref, p *record.Part) bool {
		if sameName(words, string(ref), p.Name) {
			found = ref
		}
		return found != ""
	})
	return found
}

func (s *Session) partOf(ref record.Ref) (found *record.Part) {
	s.eachPart(func(r record.Ref, p *record.Part) bool {
		if r == ref {
			found = p
		}
		return found != nil
	})
	return found
}

// bearing lists the parts that bear a tag; with or without its check character is the same.
func (s *Session) bearing(tag string) []record.Ref {
	var refs []record.Ref
	if tag == "" {
		return nil
	}
	s.eachPart(func(ref record.Ref, p *record.Part) bool {
		if p.Tag != "" && tagNumber(p.Tag) == tagNumber(tag) {
			refs = append(refs, ref)
		}
		return false
	})
	return refs
}

// tagNumber is a tag without its check character.
func tagNumber(tag string) string {
	if t, err := code.ParseTag(tag); err == nil && strings.Contains(tag, "-") {
		return t.Digits()
	}
	return strings.ToLower(strings.TrimSpace(tag))
}

func (s *Session) knownTags() []code.Tag {
	var tags []code.Tag
	s.eachPart(func(_ record.Ref, p *record.Part) bool {
		if n, err := strconv.Atoi(tagNumber(p.Tag)); err == nil {
			if t, err := code.NewTag(n); err == nil {
				tags = append(tags, t)
			}
		}
		return false
	})
	return tags
}

// eachJoint visits the joints of the car and those of this session.
func (s *Session) eachJoint(visit func(ref record.Ref, j *record.Joint)) {
	if s.context.Snapshot != nil {
		for _, r := range ledger.All[record.Joint](s.context.Snapshot) {
			visit(r.ID, r.Body)
		}
	}
	for _, ref := range s.made.order {
		if j := s.made.joints[ref]; j != nil {
			visit(ref, j)
		}
	}
}

func (s *Session) joint(words string) (found record.Ref) {
	s.eachJoint(func(ref record.Ref, j *record.Joint) {
		if sameName(words, string(ref), j.Name) {
			found = ref
		}
	})
	return found
}

func (s *Session) jointsOf(part record.Ref) []record.Ref {
	var refs []record.Ref
	s.eachJoint(func(ref record.Ref, j *record.Joint) {
		if slices.Contains(j.Clamps, part) {
			refs = append(refs, ref)
		}
	})
	return refs
}

func (s *Session) nearJoint(words string) string {
	var names []string
	s.eachJoint(func(ref record.Ref, _ *record.Joint) {
		names = append(names, strings.TrimPrefix(string(ref), "joints/"))
	})
	if near := finding.Nearest(entry.Slug(words), names); near != "" {
		return "; did you mean " + near + "?"
	}
	return ""
}

// freeRef gives a name that no record of the car and none of this session has.
func (s *Session) freeRef(stem string, fresh []NewRecord) record.Ref {
	ref := record.Ref(stem)
	for n := 2; s.taken(ref) || slices.ContainsFunc(fresh, func(r NewRecord) bool { return r.ID == ref }); n++ {
		ref = record.Ref(fmt.Sprintf("%s-%d", stem, n))
	}
	return ref
}

func (s *Session) taken(ref record.Ref) bool {
	if snapshot := s.context.Snapshot; snapshot != nil && (snapshot.Record(ref) != nil || snapshot.Unread(ref) != nil) {
		return true
	}
	return slices.Contains(s.made.order, ref)
}

// unread says that somebody could not make out a part's label: "RH f..t", "st?rter".
func unread(name string) bool {
	return strings.Contains(name, "..") || strings.Contains(name, "?") || strings.Contains(name, "…")
}

// candidates lists the known parts that a partly legible label could be: dots and question marks stand for what cannot be
// read. Nothing is filled in.
func (s *Session) candidates(name string) string {
	pattern := regexp.QuoteMeta(strings.ToLower(name))
	for _, gap := range []string{`(\\\.){2,}`, `…`, `\\\?`} {
		pattern = regexp.MustCompile(gap).ReplaceAllString(pattern, ".{0,12}")
	}
	re, err := regexp.Compile(`^(.* )?` + pattern + `( .*)?$`)
	if err != nil {
		return ""
	}
	var hits []string
	s.eachPart(func(ref record.Ref, p *record.Part) bool {
		end := strings.ReplaceAll(strings.TrimPrefix(string(ref), "parts/"), "-", " ")
		if re.MatchString(strings.ToLower(p.Name)) || re.MatchString(end) {
			hits = append(hits, string(ref))
		}
		return false
	})
	if len(hits) == 0 {
		return "; no part on record fits it"
	}
	return "; it could be " + strings.Join(hits, ", ")
}

func join(refs []record.Ref) string {
	words := make([]string, len(refs))
	for i, r := range refs {
		words[i] = string(r)
	}
	return strings.Join(words, ", ")
}

func (s *Session) clampedBy(joint record.Ref) (parts []record.Ref) {
	s.eachJoint(func(ref record.Ref, j *record.Joint) {
		if ref == joint {
			parts = slices.Clone(j.Clamps)
		}
	})
	return parts
}

// filled are the parts of a fill, or else the car itself.
func (s *Session) filled(system record.Ref) []record.Ref {
	if s.context.Snapshot == nil {
		return nil
	}
	if r, ok := ledger.Get[record.System](s.context.Snapshot, system); ok && len(r.Body.Parts) > 0 {
		return slices.Clone(r.Body.Parts)
	}
	if _, car := s.context.Snapshot.Car(); car.Root != "" {
		return []record.Ref{car.Root}
	}
	return nil
}
