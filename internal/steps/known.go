package steps

import (
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

// eachPart visits the parts of the car and those of this session.
func (s *Session) eachPart(visit func(ref record.Ref, p *record.Part)) {
	s.named.each("parts", func(ref record.Ref, body record.Body) {
		if p, ok := body.(*record.Part); ok {
			visit(ref, p)
		}
	})
}

// known gives the part that words mean, "" where none is called that.
func (s *Session) known(words string) record.Ref { return s.named.find("parts", words) }

func (s *Session) partOf(ref record.Ref) *record.Part {
	p, _ := s.named.body(ref).(*record.Part)
	return p
}

// bearing lists the parts that bear a tag; with or without its check character is the same.
func (s *Session) bearing(tag string) []record.Ref {
	if tag == "" {
		return nil
	}
	return s.named.bearing(tagNumber(tag))
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
	s.eachPart(func(_ record.Ref, p *record.Part) {
		if n, err := strconv.Atoi(tagNumber(p.Tag)); err == nil {
			if t, err := code.NewTag(n); err == nil {
				tags = append(tags, t)
			}
		}
	})
	return tags
}

func (s *Session) joint(words string) record.Ref { return s.named.find("joints", words) }

func (s *Session) jointsOf(part record.Ref) []record.Ref { return s.named.heldBy(part) }

func (s *Session) nearJoint(words string) string {
	var names []string
	s.named.each("joints", func(ref record.Ref, _ record.Body) {
		names = append(names, strings.TrimPrefix(string(ref), "joints/"))
	})
	if near := finding.Nearest(entry.Slug(words), names); near != "" {
		return "; did you mean " + near + "?"
	}
	return ""
}

// freeRef gives a name that no record of the car and none of this session has.
func (s *Session) freeRef(stem string, fresh []NewRecord) record.Ref {
	return s.named.free(stem, func(ref record.Ref) bool {
		return s.taken(ref) || slices.ContainsFunc(fresh, func(r NewRecord) bool { return r.ID == ref })
	})
}

func (s *Session) taken(ref record.Ref) bool {
	if snapshot := s.context.Snapshot; snapshot != nil && (snapshot.Record(ref) != nil || snapshot.Unread(ref) != nil) {
		return true
	}
	return s.named.body(ref) != nil
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
	s.eachPart(func(ref record.Ref, p *record.Part) {
		end := strings.ReplaceAll(strings.TrimPrefix(string(ref), "parts/"), "-", " ")
		if re.MatchString(strings.ToLower(p.Name)) || re.MatchString(end) {
			hits = append(hits, string(ref))
		}
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

func (s *Session) clampedBy(joint record.Ref) []record.Ref {
	if j, ok := s.named.body(joint).(*record.Joint); ok {
		return slices.Clone(j.Clamps)
	}
	return nil
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
