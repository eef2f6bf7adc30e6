package columns

import (
	"fmt"
	"regexp"
	"strings"

	"boltback/internal/entry"
	"boltback/internal/record"
	"boltback/internal/steps"
)

// part makes the record of a part.
func (r *reader) part(cells map[string]string, fate *Fate) error {
	ref, left, err := r.again(cells, record.KindPart, fate)
	if err != nil || left {
		return err
	}
	if slug := entry.Slug(cells["name"]); ref == "" && slug == "" {
		return &entry.Fault{Message: "the row names no part"}
	} else if ref == "" {
		ref = record.Ref("parts/" + slug)
	}
	if words := cells["side"]; words != "" {
		side, assumed, ok := r.context.Side(words)
		if ok && side == "" || !ok {
			return &entry.Fault{Word: words, Message: firstText(assumed, "this is no side"), Hint: "write left, right, centre or both"}
		}
		if assumed != "" {
			fate.Notes = append(fate.Notes, assumed)
			cells["note"] = strings.TrimPrefix(cells["note"]+"; side as told: "+words, "; ")
		}
		cells["side"] = side
	}
	if bearer := r.tagged[cells["tag"]]; bearer != "" && bearer != ref {
		fate.Notes = append(fate.Notes, fmt.Sprintf("tag %s is on %s already; both stay: write %sa and %sb on the tags", cells["tag"], bearer, cells["tag"], cells["tag"]))
	}
	words := r.words(cells, "numbers.0.raw", "hazards", columnPath, columnStanding, columnOver)
	if n := cells["numbers.0.raw"]; n != "" {
		words = append(words, "numbers.0.what="+r.whatNumber(), "numbers.0.raw="+n)
	}
	for _, hazard := range listed(cells["hazards"]) {
		words = append(words, "hazards="+strings.ToLower(hazard))
	}
	return r.record(ref, record.New(record.KindPart), append(words, r.members(cells)...), fate)
}

// whatNumber says what kind of number the table's column holds.
func (r *reader) whatNumber() string {
	for _, p := range r.at {
		for _, what := range []string{"serial", "chassis"} {
			if p.column.sort == number && strings.HasPrefix(plain(p.head.Name), what) {
				return what
			}
		}
	}
	return "other"
}

func firstText(a, b string) string {
	if a != "" {
		return a
	}
	return b
}

var parting = regexp.MustCompile(`\s*[;,+&]\s*|\s+and\s+`)

// listed parts several names in one cell.
func listed(cell string) []string {
	if strings.TrimSpace(cell) == "" {
		return nil
	}
	return parting.Split(strings.TrimSpace(cell), -1)
}

// joint makes the record of a joint, and knows its parts by name, path or tag.
func (r *reader) joint(cells map[string]string, fate *Fate) error {
	slug := entry.Slug(cells["name"])
	if slug == "" {
		return &entry.Fault{Message: "the row names no joint"}
	}
	words := r.words(cells, "clamps")
	for _, name := range listed(cells["clamps"]) {
		ref := r.session.Part(name)
		if ref == "" {
			if ref = record.Ref("parts/" + entry.Slug(name)); ref == "parts/" {
				return &entry.Fault{Word: name, Message: "this is no name of a part"}
			}
			fate.Notes = append(fate.Notes, fmt.Sprintf("no part is called %s: %s is named all the same", name, ref))
		}
		words = append(words, "clamps="+string(ref))
	}
	return r.record(record.Ref("joints/"+slug), record.New(record.KindJoint), words, fate)
}

// reading makes a figure, and joins it with those of the same measurement: what, when, by whom, with what and how.
func (r *reader) reading(cells map[string]string, fate *Fate) error {
	body := record.New(record.KindReading).(*record.Reading)
	body.By, body.On = r.options.Bench.By, record.Date(r.context.Today.String())
	if cells["what"] == "" {
		return &entry.Fault{Message: "the row does not say what was measured", Hint: "a column what: weighing, insulation, bonding ..."}
	}
	words := []string{"what=" + strings.ToLower(cells["what"])}
	for _, pair := range [][2]string{{"of", "values.0.of"}, {"value", "values.0.value"}, {"poles", "values.0.poles"}, {"method", "method"}, {"place", "place"}, {"note", "values.0.note"}, {"date", "on"}} {
		if value := cells[pair[0]]; value != "" {
			words = append(words, pair[1]+"="+value)
		}
	}
	if cells["value"] == "" {
		return &entry.Fault{Message: "the row has no figure", Hint: "write not recorded where none was taken"}
	}
	notes, err := r.context.Apply(body, words)
	if err != nil {
		return err
	}
	fate.Notes = append(fate.Notes, notes...)
	if name := cells["by"]; name != "" {
		if body.By, err = r.session.Person(name); err != nil {
			return err
		}
	}
	if name := cells["instrument"]; name != "" {
		if body.Instrument, err = r.session.Instrument(name); err != nil {
			return err
		}
	}
	fate.Says = fmt.Sprintf("%s on %s: %s %s", body.What, body.On, body.Values[0].Of, body.Values[0].Value)
	same := strings.Join([]string{body.What, string(body.On), string(body.By), string(body.Instrument), body.Method, body.Place}, "\x00")
	if there := r.measured[same]; there != nil {
		there.Values = append(there.Values, body.Values...)
		return nil
	}
	r.plan.Readings, r.measured[same] = append(r.plan.Readings, body), body
	return nil
}

// work gives the session of a day and person; the first that is asked for is the one that all others stand beside.
func (r *reader) work(cells map[string]string) (*steps.Session, error) {
	key := cells["date"] + "\x00" + strings.ToLower(cells["by"])
	if s := r.works[key]; s != nil {
		return s, nil
	}
	s := r.session.Beside()
	for _, line := range [][2]string{{"day", cells["date"]}, {"by", cells["by"]}} {
		if line[1] == "" {
			continue
		}
		if _, err := s.Tell(line[0] + " " + line[1]); err != nil {
			return nil, err
		}
	}
	r.works[key], r.order = s, append(r.order, key)
	return s, nil
}

// worked makes a line of work: a removal or a tightening.
func (r *reader) worked(cells map[string]string, fate *Fate) error {
	step := steps.Step{Act: "removal", Bag: cells["bag"], Joint: cells["joint"], Position: cells["position"], Side: cells["side"], Note: cells["note"], Fields: map[string]string{}}
	if r.kind == Tightening {
		step.Act = "tightening"
	}
	if cells["tag"] != "" || cells["part"] != "" {
		step.Things = []steps.Thing{{Tag: cells["tag"], Name: cells["part"]}}
	}
	for _, key := range []string{"mass", "set", "angle"} {
		if cells[key] != "" {
			step.Measures = append(step.Measures, cells[key])
		}
	}
	for _, key := range []string{"method", "instrument", "indicated", "second-check", "purpose"} {
		if cells[key] != "" {
			step.Fields[key] = cells[key]
		}
	}
	for _, hazard := range listed(cells["hazards"]) {
		step.Hazards = append(step.Hazards, strings.ToLower(hazard))
	}
	if err := r.fasteners(&step, cells); err != nil {
		return err
	}
	return r.take(step, cells, fate)
}

// fasteners reads "4 x M8 bolts", or a count with the size in a column of its own.
func (r *reader) fasteners(step *steps.Step, cells map[string]string) error {
	for _, one := range listed(cells["fasteners"]) {
		f, ok := steps.Fasteners(one)
		if !ok {
			f, ok = steps.Fasteners(one + "x " + firstText(cells["size"], "fasteners"))
			if f.Size == "fasteners" {
				f.Size = ""
			}
		}
		if !ok {
			return &entry.Fault{Word: one, Message: "this is no number of fasteners", Hint: "write 4, or 4 x M8 bolts"}
		}
		if f.Size == "" {
			f.Size = cells["size"]
		}
		step.Fasteners = append(step.Fasteners, f)
	}
	return nil
}

// take tells a step to its session. A row whose step stays open is not taken: it has to be settled first.
func (r *reader) take(step steps.Step, cells map[string]string, fate *Fate) error {
	s, err := r.work(cells)
	if err != nil {
		return err
	}
	if err := r.stored(&step, s, cells); err != nil {
		return err
	}
	told, err := s.Try(step)
	switch {
	case err != nil:
		return err
	case told.Open != "":
		return &entry.Fault{Message: told.Open}
	}
	if told, err = s.Take(step); err != nil {
		return err
	}
	fate.Hazards = told.Hazards
	fate.Says, fate.Notes = told.Says, append(fate.Notes, told.Notes...)
	return nil
}

// stored finds the store and the place in it.
func (r *reader) stored(step *steps.Step, s *steps.Session, cells map[string]string) error {
	switch words := cells["store"]; {
	case words == "":
	case r.kind == StockTake: // in a store that nobody named before, nothing can be missed
		store, place, ok := s.Stored(words)
		if !ok {
			return s.NoStore(words, "")
		}
		step.Store, step.Place = store, place
	default:
		if err := s.Put(step, words); err != nil {
			return err
		}
	}
	if place := cells["place"]; place != "" {
		if store, inner, ok := s.Stored(place); ok && store != "" && (step.Store == "" || step.Store == store) {
			step.Store, place = store, inner
		}
		step.Place = place
	}
	return nil
}

// What a stock-take may say of a part.
var (
	seenWords   = []string{"seen", "yes", "y", "x", "ok", "there", "here", "found", "✓", "✔", "1", "true"}
	missedWords = []string{"missed", "missing", "no", "n", "not seen", "not there", "not found", "0", "false"}
	emptyWords  = []string{"nothing", "nothing there", "empty", "none"}
)

// counted makes a sighting of a part that was seen. A part that was missed is not named: where one was, everything in that
// place was looked for, and that is said of the place.
func (r *reader) counted(cells map[string]string, fate *Fate) error {
	word := strings.ToLower(cells["seen"])
	step := steps.Step{Act: "sighting", Note: cells["note"], Fields: map[string]string{}, Things: []steps.Thing{{Tag: cells["tag"], Name: cells["part"]}}}
	unnamed := step.Things[0] == (steps.Thing{})
	if empty := oneOf(word, emptyWords); unnamed != empty && empty {
		return &entry.Fault{Word: cells["seen"], Message: "this is said of a place, and the row names a part", Hint: "write seen, missed or worse; or leave tag and part out"}
	} else if unnamed && !empty {
		return &entry.Fault{Message: "the row names no part and no tag", Hint: "a place where nothing was is a row without them that says nothing"}
	}
	s, err := r.work(cells)
	if err != nil {
		return err
	}
	if err := r.stored(&step, s, cells); err != nil {
		return err
	}
	if step.Store == "" && step.Place == "" {
		return &entry.Fault{Message: "the row does not say where it was looked for", Hint: "a column store, or crate"}
	}
	switch {
	case oneOf(word, missedWords):
		fate.Says = fmt.Sprintf("missed: %s; everything at %s was looked for", strings.TrimSpace(cells["tag"]+" "+cells["part"]), spot(step.Store, step.Place))
		r.missed(s, step, false)
		return nil
	case unnamed:
		fate.Says = fmt.Sprintf("nothing was seen at %s; everything there was looked for", spot(step.Store, step.Place))
		r.missed(s, step, true)
		return nil
	case word == "worse":
		step.Note = strings.TrimPrefix(step.Note+"; in a worse state than before", "; ")
	case !oneOf(word, seenWords):
		return &entry.Fault{Word: cells["seen"], Message: "this says neither seen nor missed", Hint: "write seen, missed or worse"}
	}
	seal := strings.ToLower(cells["seal"])
	if seal == "unbroken" || seal == "broken" || seal == "sealed" {
		step.Fields["seal"] = seal
	} else if seal != "" {
		step.Note = strings.TrimPrefix(step.Note+"; seal: "+cells["seal"], "; ")
	}
	err = r.take(step, cells, fate)
	if err == nil && seal != "unbroken" {
		r.looked[missKey(s.Day(), step.Store, step.Place)] = true
	}
	return err
}

func oneOf(word string, words []string) bool {
	for _, w := range words {
		if w == word {
			return true
		}
	}
	return false
}
