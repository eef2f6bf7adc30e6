package records

import (
	"io/fs"
	"maps"
	"math/big"
	"slices"
	"strings"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// facts are the car's records by type.
type facts struct {
	all      map[record.Ref]*record.Record
	parts    map[record.Ref]*record.Part
	joints   map[record.Ref]*record.Joint
	sessions map[record.Ref]*record.Session
	readings map[record.Ref]*record.Reading
}

func factsOf(t *testing.T) facts {
	all := recordsUnder(t, car)
	return facts{all, of[record.Part](all), of[record.Joint](all), of[record.Session](all), of[record.Reading](all)}
}

// lines visits every line of every session by date and order.
func (f facts) lines(visit func(session record.Ref, s *record.Session, l record.Line)) {
	ids := slices.Collect(maps.Keys(f.sessions))
	slices.SortFunc(ids, func(a, b record.Ref) int {
		return strings.Compare(string(f.sessions[a].Started)+string(a), string(f.sessions[b].Started)+string(b))
	})
	for _, id := range ids {
		for _, l := range f.sessions[id].Lines {
			visit(id, f.sessions[id], l)
		}
	}
}

// inUnit gives the number of a quantity in a unit.
func inUnit[T ~string](t *testing.T, text T, unit string) float64 {
	t.Helper()
	q, err := quantity.Parse(string(text))
	if err != nil {
		t.Fatal(err)
	}
	v, err := q.Float(unit)
	if err != nil {
		t.Fatalf("%s: %v", text, err)
	}
	return v
}

// whereabouts says which parts were last fitted, and which found parts came off and did not go back.
func (f facts) whereabouts() (fitted, stored map[record.Ref]bool) {
	fitted, stored = map[record.Ref]bool{}, map[record.Ref]bool{}
	f.lines(func(_ record.Ref, _ *record.Session, l record.Line) {
		for _, p := range l.Parts {
			switch {
			case l.Act == "fitting" && stored[p]:
				delete(stored, p)
			case l.Act == "fitting":
				fitted[p] = true
			case l.Act == "removal" && f.parts[p].Found != "no":
				stored[p] = true
			}
		}
	})
	return fitted, stored
}

func (f facts) weight(t *testing.T, reading record.Ref, of string) float64 {
	t.Helper()
	for _, v := range f.readings[reading].Values {
		if v.Of == of {
			return inUnit(t, v.Value, "kg")
		}
	}
	t.Fatalf("%s has no %s", reading, of)
	return 0
}

// The scales read to half a kilogram on each of four pads; that, and the parts' own doubt, is all that may be between
// what the parts say and what the scales say.
func TestThePartsAddUpToWhatTheScalesSay(t *testing.T) {
	f := factsOf(t)
	fitted, stored := f.whereabouts()
	const before, after = "readings/2025-09-12-bram-weighing-before", "readings/2026-05-06-bram-weighing"
	wheelbase := inUnit(t, f.all["car"].Body.(*record.Car).Wheelbase, "mm")
	total, rear := f.weight(t, before, "total"), f.weight(t, before, "rear axle")
	change := func(p record.Ref, sign float64) {
		part := f.parts[p]
		if part.Mass == "" {
			if part.Class != "expendable" {
				t.Errorf("%s came off or on and has no mass", p)
			}
			return
		}
		m := sign * inUnit(t, part.Mass, "kg")
		total += m
		rear += m * inUnit(t, part.Station, "mm") / wheelbase
	}
	for p := range stored {
		change(p, -1)
	}
	for p := range fitted {
		change(p, +1)
	}
	for _, c := range []struct {
		of   string
		want float64
	}{{"total", total}, {"rear axle", rear}, {"front axle", total - rear}} {
		if got := f.weight(t, after, c.of); got < c.want-2 || got > c.want+2 {
			t.Errorf("%s: the scales say %.1f kg, the parts make it %.1f kg", c.of, got, c.want)
		}
	}
}

func TestEveryWeighingAddsUpWithinItsDivision(t *testing.T) {
	f := factsOf(t)
	for id, r := range f.readings {
		if r.What != "weighing" || r.Weighing == nil {
			continue
		}
		gap := f.weight(t, id, "front axle") + f.weight(t, id, "rear axle") - f.weight(t, id, "total")
		if d := inUnit(t, r.Weighing.Division, "kg"); gap > d || gap < -d {
			t.Errorf("%s: the axles differ from the total by %.1f kg", id, gap)
		}
	}
}

func TestTheCarIsWithinItsRatings(t *testing.T) {
	f := factsOf(t)
	limit := map[string]float64{}
	for _, g := range f.all["car"].Body.(*record.Car).Ratings {
		if strings.HasSuffix(g.Of, "mass") {
			limit[g.Of] = inUnit(t, g.Value, "kg")
		}
	}
	const after = "readings/2026-05-07-lane-weighing"
	for of, rating := range map[string]string{"front axle": "front axle mass", "rear axle": "rear axle mass", "total": "unladen mass"} {
		if got := f.weight(t, after, of); limit[rating] == 0 || got > limit[rating] {
			t.Errorf("%s %.0f kg, rating %.0f kg", of, got, limit[rating])
		}
	}
}

// Energy is cells in parallel times capacity times nominal voltage.
func TestTheEnergyOfThePackFollowsFromItsCells(t *testing.T) {
	f := factsOf(t)
	energy := func(ratings []record.Rating) (v, ah, kwh float64) {
		for _, g := range ratings {
			switch {
			case g.Of == "voltage" && g.Basis == "nominal":
				v = inUnit(t, g.Value, "V")
			case g.Of == "capacity":
				ah = inUnit(t, g.Value, "Ah")
			case g.Of == "energy":
				kwh = inUnit(t, g.Value, "kWh")
			}
		}
		return v, ah, kwh
	}
	lists := map[string][]record.Rating{"car": f.all["car"].Body.(*record.Car).Ratings,
		"front": f.parts["parts/battery-box-front"].Ratings, "rear": f.parts["parts/battery-box-rear"].Ratings}
	for name, ratings := range lists {
		v, ah, kwh := energy(ratings)
		if gap := v*ah/1000 - kwh; kwh == 0 || gap > 0.0005 || gap < -0.0005 {
			t.Errorf("%s: %.1f V times %.0f Ah is not %.3f kWh", name, v, ah, kwh)
		}
	}
}

func TestEveryTighteningIsWithinSpecificationAndInstrument(t *testing.T) {
	f := factsOf(t)
	tightened := map[record.Ref]bool{}
	f.lines(func(id record.Ref, s *record.Session, l record.Line) {
		if l.Act != "tightening" {
			return
		}
		spec := f.joints[l.Joints[0]].Specification
		tightened[l.Joints[0]] = true
		if spec == nil {
			if l.Method != "by feel" {
				t.Errorf("%s: %s has no specification", id, l.Joints[0])
			}
			return
		}
		set, want := inUnit(t, l.Set, "N.m"), inUnit(t, spec.Torque, "N.m")
		if set < want*0.98 || set > want*1.02 {
			t.Errorf("%s: %s set to %.1f N.m, asked for %.1f N.m", id, l.Joints[0], set, want)
		}
		tool := f.all[l.Instrument].Body.(*record.Instrument)
		if lo, hi := inUnit(t, tool.Range.From, "N.m"), inUnit(t, tool.Range.To, "N.m"); set < lo || set > hi {
			t.Errorf("%s: %.1f N.m is outside the wrench", id, set)
		}
		if spec.SecondCheck == "required" && (l.SecondCheck == "" || l.SecondCheck == s.By) {
			t.Errorf("%s: %s lacks its second check", id, l.Joints[0])
		}
		if !calibrated(f.all, l.Instrument, string(s.Started)[:10]) {
			t.Errorf("%s: %s was out of calibration", id, l.Instrument)
		}
	})
	for id, j := range f.joints {
		if j.Original == "no" && !tightened[id] {
			t.Errorf("%s was never tightened", id)
		}
	}
}

func calibrated(all map[record.Ref]*record.Record, instrument record.Ref, day string) bool {
	for id, c := range of[record.Calibration](all) {
		if record.OwnerOf(id) == instrument && string(c.On) <= day && day <= string(c.Due) {
			return true
		}
	}
	return false
}

func TestEveryBagHoldsTheFastenersOfItsJoints(t *testing.T) {
	f := factsOf(t)
	inBag := map[string]int64{}
	for _, j := range f.joints {
		for _, x := range j.Fasteners {
			if x.Bag != "" {
				inBag[x.Bag] += x.Count
			}
		}
	}
	counted := map[string]int64{}
	f.lines(func(_ record.Ref, _ *record.Session, l record.Line) {
		if l.Act == "removal" && l.Bag != "" {
			counted[l.Bag] += l.Fasteners
		}
	})
	if !maps.Equal(inBag, counted) {
		t.Errorf("the joints say %v, the removals counted %v", inBag, counted)
	}
}

func TestEveryNewJointUsesWhatTheMakerLeft(t *testing.T) {
	f := factsOf(t)
	for id, j := range f.joints {
		if j.Original != "no" || j.Host == "" {
			continue
		}
		if j.PicksUp == "" && len(j.Uses) == 0 {
			t.Errorf("%s is on the body and uses no hole that was there", id)
		}
		if j.PicksUp != "" && f.joints[j.PicksUp].Original != "yes" {
			t.Errorf("%s picks up %s, which is no joint of the maker's", id, j.PicksUp)
		}
	}
	f.lines(func(id record.Ref, _ *record.Session, l record.Line) {
		if l.Act == "alteration" || l.Alteration != nil && l.Purpose == "conversion" {
			t.Errorf("%s alters the car for the conversion", id)
		}
	})
}

func TestHoleSurveysBeforeAndAfterFindTheSame(t *testing.T) {
	f := factsOf(t)
	for _, zone := range []string{"boot-floor", "engine-bay"} {
		before := f.readings[record.Ref("readings/2025-09-10-ines-holes-"+zone)]
		after := f.readings[record.Ref("readings/2026-06-11-edda-holes-"+zone)]
		if !slices.Equal(before.Values, after.Values) || !slices.Equal(before.Holes, after.Holes) {
			t.Errorf("%s: the surveys differ", zone)
		}
		var n int64
		for _, h := range before.Holes {
			e := f.all[h].Body.(*record.Existing)
			if e.What == "hole" || e.What == "captive nut" {
				n += e.Count
			}
		}
		if said := before.Values[len(before.Values)-1].Value; big.NewInt(n).String() != said {
			t.Errorf("%s: %d holes in the records, the survey says %s", zone, n, said)
		}
	}
}

func TestWhatCameOffWasSeenAtTheLastStockTake(t *testing.T) {
	f := factsOf(t)
	seen := map[record.Ref]record.Line{}
	at := map[record.Ref]record.Line{}
	f.lines(func(id record.Ref, _ *record.Session, l record.Line) {
		for _, p := range l.Parts {
			if l.Act == "sighting" && id == "work/2026-05-26-maud-stock-take" {
				seen[p] = l
			}
			if (l.Act == "removal" || l.Act == "move") && l.Store != "" {
				at[p] = l
			}
		}
	})
	_, stored := f.whereabouts()
	for p := range stored {
		if f.parts[p].Class == "expendable" {
			continue
		}
		if l, ok := seen[p]; !ok {
			t.Errorf("%s was not seen", p)
		} else if l.Store != at[p].Store || l.Place != at[p].Place {
			t.Errorf("%s was seen at %s, %s and put at %s, %s", p, l.Store, l.Place, at[p].Store, at[p].Place)
		}
		if f.parts[p].Tag == "" {
			t.Errorf("%s has no tag", p)
		}
	}
}

func TestTheBaselineNamesEveryFoundPartAtItsPosition(t *testing.T) {
	f := factsOf(t)
	position := map[record.Ref]string{}
	for _, b := range f.all["car"].Body.(*record.Car).Baseline.Parts {
		position[b.Part] = b.Position
	}
	for id, p := range f.parts {
		if got, named := position[id]; named != (p.Found != "no") || named && got != p.Position {
			t.Errorf("%s is found %s at %q, the baseline has it at %q", id, p.Found, p.Position, got)
		}
	}
}

func TestPapersTellTheTruthAboutTheirFiles(t *testing.T) {
	papers := of[record.Paper](recordsUnder(t, car))
	named, pictures := map[string]bool{}, 0
	for id, p := range papers {
		original := "originals/" + string(p.Original.Digest) + ".jpg"
		if src, err := fs.ReadFile(Sample(), original); err != nil {
			if p.Class != "registration" && p.Class != "invoice" {
				t.Errorf("%s: its original is not here", id)
			}
		} else if canon.Digest(src) != string(p.Original.Digest) || int64(len(src)) != p.Original.Bytes {
			t.Errorf("%s: the original is another file", id)
		}
		if slices.Contains([]string{"title", "registration", "invoice", "licence", "letter"}, p.Class) {
			if p.Preview != nil {
				t.Errorf("%s: a %s has no preview", id, p.Class)
			}
			continue
		}
		preview := car + "/previews/" + string(p.Preview.Digest) + ".jpg"
		src := read(t, preview)
		if canon.Digest(src) != string(p.Preview.Digest) || int64(len(src)) != p.Preview.Bytes {
			t.Errorf("%s: the preview is another file", id)
		}
		named[original], named[preview] = true, true
		pictures++
	}
	for _, p := range append(filesUnder(t, "originals"), filesUnder(t, car+"/previews")...) {
		if !named["originals/"+p] && !named[car+"/previews/"+p] {
			t.Errorf("%s belongs to no paper", p)
		}
	}
	if pictures < 12 {
		t.Errorf("%d pictures, want 12 or more", pictures)
	}
}

func TestTheSignatureCoversTheRecordsAsTheyAre(t *testing.T) {
	all := recordsUnder(t, car)
	for id, s := range of[record.SignOff](all) {
		for _, c := range s.Covers {
			if all[c.Record].Digest != c.Digest {
				t.Errorf("%s covers %s as %s; it is %s", id, c.Record, c.Digest, all[c.Record].Digest)
			}
		}
		if s.Path != all[id].Path {
			t.Errorf("%s says it lies at %s", id, s.Path)
		}
	}
}

func TestEveryDateCanBeRead(t *testing.T) {
	for _, root := range repositories {
		for _, r := range recordsUnder(t, root) {
			for _, leaf := range r.Leaves() {
				if leaf.Role != record.Moment {
					continue
				}
				d, err := edtf.Parse(leaf.Text)
				if err != nil {
					t.Errorf("%s/%s%s: %v", root, r.Path, leaf.Pointer, err)
				} else if d.HasTime() && !d.HasZone() && leaf.Pointer != "/embedded" {
					t.Errorf("%s/%s%s: %s has no offset", root, r.Path, leaf.Pointer, leaf.Text)
				}
			}
		}
	}
}

func TestWorkIsInOrderAndEndsAfterItStarts(t *testing.T) {
	for id, s := range factsOf(t).sessions {
		if string(s.Ended) <= string(s.Started) || !strings.HasPrefix(string(s.Started), record.PathDate(record.PathOf(id))) {
			t.Errorf("%s runs from %s to %s", id, s.Started, s.Ended)
		}
		if s.Entered != "" && string(s.Entered) < string(s.Ended) {
			t.Errorf("%s was entered before it ended", id)
		}
	}
}
