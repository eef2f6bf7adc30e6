package history

import (
	"slices"
	"strings"
	"testing"
)

// diffOne compares two states of one file and gives what differs in words.
func diffOne(t *testing.T, path, old, new string) []string {
	t.Helper()
	changes := DiffFiles([]Pair{{path, []byte(old), []byte(new)}}, nil)
	if len(changes) != 1 {
		t.Fatalf("%d changes, want 1: %v", len(changes), changes)
	}
	c := changes[0]
	if c.Remark != "" {
		t.Fatalf("remark: %s", c.Remark)
	}
	if c.What == Layout {
		return []string{string(Layout)}
	}
	return sentences(c.Fields)
}

func sentences(fields []Field) []string {
	var words []string
	for _, f := range fields {
		words = append(words, f.String())
	}
	return words
}

func part(members string) string {
	return `{"kind": "part", "name": "Fuel tank"` + comma(members) + `}`
}

func comma(members string) string {
	if members == "" {
		return ""
	}
	return ", " + members
}

func TestAValueOfAPartIsComparedByWhatItMeans(t *testing.T) {
	for _, tc := range []struct{ name, old, new, want string }{
		{"a mass that grew says by how much", `"mass": "148 kg"`, `"mass": "149.5 kg"`, "mass 148 kg → 149.5 kg, heavier by 1.5 kg"},
		{"a mass that shrank says so", `"mass": "149.5 kg"`, `"mass": "148 kg"`, "mass 149.5 kg → 148 kg, lighter by 1.5 kg"},
		{"neighbouring whole kilograms are not the same", `"mass": "148 kg"`, `"mass": "149 kg"`, "mass 148 kg → 149 kg, heavier by 1 kg"},
		{"a figure in another unit that may be the other rounded", `"mass": "12 lb"`, `"mass": "5.4 kg"`, "mass 12 lb → 5.4 kg, same within rounding"},
		{"the same value in another unit", `"mass": "1.5 kg"`, `"mass": "1500 g"`, "mass 1.5 kg → 1500 g, same value, written in another unit"},
		{"the same value with more digits", `"mass": "1.5 kg"`, `"mass": "1.50 kg"`, "mass 1.5 kg → 1.50 kg, same value, written with other digits"},
		{"an uncertainty that was added", `"mass": "1.5 kg"`, `"mass": "1.5 ±0.1 kg"`, "mass 1.5 kg → 1.5 ±0.1 kg, same value, now with its uncertainty"},
		{"an uncertainty that was taken out", `"mass": "1.5 ±0.1 kg"`, `"mass": "1.5 kg"`, "mass 1.5 ±0.1 kg → 1.5 kg, same value, without its uncertainty"},
		{"another uncertainty", `"mass": "1.5 ±0.1 kg"`, `"mass": "1.5 ±0.2 kg"`, "mass 1.5 ±0.1 kg → 1.5 ±0.2 kg, same value, another uncertainty"},
		{"a bound that settles nothing", `"mass": ">10 kg"`, `"mass": "12 kg"`, "mass >10 kg → 12 kg, the figures do not say which is more"},
		{"more digits that round to the old ones", `"mass": "148 kg"`, `"mass": "148.4 kg"`, "mass 148 kg → 148.4 kg, same within rounding"},
		{"another mass in another unit", `"mass": "148 kg"`, `"mass": "330 lb"`, "mass 148 kg → 330 lb, heavier by 3.7 lb"},
		{"several units", `"mass": "1 st 3 lb"`, `"mass": "1 st 5 lb"`, "mass 1 st 3 lb → 1 st 5 lb, heavier by 2 lb"},
		{"past the end of the scale", `"mass": "over-range"`, `"mass": "12 kg"`, "mass over-range → 12 kg, the figures do not say which is more"},
		{"a figure of another kind", `"mass": "12 kg"`, `"mass": "12 mm"`, "mass 12 kg → 12 mm, another kind of figure: it was mass and is length"},
		{"what is no figure is shown as it stands", `"mass": "heavy"`, `"mass": "12 kg"`, "mass heavy → 12 kg"},
		{"along the car", `"station": "1200 mm"`, `"station": "1250 mm"`, "station 1200 mm → 1250 mm, further along by 50 mm"},
		{"a tag that is written down", ``, `"tag": "0147"`, "tag 0147 written on it"},
		{"another tag", `"tag": "0147"`, `"tag": "0148"`, "tag 0147 → 0148"},
		{"a word that is stated now", ``, `"found": "yes"`, "found added: yes"},
		{"a word that is stated no more", `"found": "yes"`, ``, "found taken out: yes"},
		{"a count", `"count": 8`, `"count": 9`, "count 8 → 9, 1 more"},
		{"a smaller count", `"count": 8`, `"count": 6`, "count 8 → 6, 2 fewer"},
		{"a sealed value only differs", `"value": "` + strings.Repeat("a", 64) + `"`, `"value": "` + strings.Repeat("b", 64) + `"`, "value: another value"},
		{"a sealed value that is new", ``, `"value": "` + strings.Repeat("b", 64) + `"`, "value added: withheld"},
		{"only capitals", `"maker": "Tern Works"`, `"maker": "TERN works"`, "maker Tern Works → TERN works, only capitals or spaces differ"},
		{"an empty text is shown", `"maker": ""`, `"maker": "Tern"`, "maker (empty) → Tern"},
		{"a long text shows the part that changed", `"note": "The left strap is cracked near the rear bolt and must be renewed"`,
			`"note": "The right strap is cracked near the rear bolt and must be renewed"`,
			"note “The [left → right] strap is cracked near t…”"},
		{"a set has no order", `"hazards": ["fuel vapour", "lead"]`, `"hazards": ["lead", "fuel vapour"]`, "layout"},
		{"a set gains and loses", `"hazards": ["fuel vapour", "lead"]`, `"hazards": ["lead", "asbestos"]`, "hazards taken out: fuel vapour; hazards added: asbestos"},
		{"an empty list says as little as none", `"papers": []`, ``, "layout"},
		{"an empty list of objects as well", ``, `"numbers": []`, "layout"},
		{"a list that is new is told entry by entry", ``, `"numbers": [{"what": "serial", "raw": "A1"}, {"what": "part", "raw": "77"}]`,
			"numbers added: what serial; raw A1; numbers added: what part; raw 77"},
		{"a list that is gone as well", `"condition": [{"on": "2025"}, {"on": "2026"}]`, ``, "condition taken out: on 2025; condition taken out: on 2026"},
		{"a set that is new is told at once", ``, `"papers": ["papers/a", "papers/b"]`, "papers added: papers/a, papers/b"},
		{"references are sets", `"papers": ["papers/a", "papers/b"]`, `"papers": ["papers/b", "papers/a", "papers/c"]`, "papers added: papers/c"},
		{"spaces are layout", `"count": 8`, `"count":   8`, "layout"},
		{"a condition is known by its day", `"condition": [{"on": "2025-09-09", "state": "as found"}, {"on": "2026-01-02", "state": "sound"}]`,
			`"condition": [{"on": "2025-12-01", "state": "dull"}, {"on": "2025-09-09", "state": "as found", "note": "x"}, {"on": "2026-01-02", "state": "cracked"}]`,
			"condition added: on 2025-12-01; state dull; condition, 2025-09-09: note added: x; condition, 2026-01-02: state sound → cracked"},
		{"a number is known by what, raw and where", `"numbers": [{"what": "serial", "raw": "A1", "where": "rim"}, {"what": "part", "raw": "77", "where": "rim"}]`,
			`"numbers": [{"what": "part", "raw": "77", "where": "rim"}, {"what": "serial", "raw": "A7", "where": "rim"}]`,
			"numbers, serial: raw A1 → A7"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := strings.Join(diffOne(t, "parts/fuel-tank.json", part(tc.old), part(tc.new)), "; ")
			if got != tc.want {
				t.Errorf("got  %s\nwant %s", got, tc.want)
			}
		})
	}
}

func TestDatesAreComparedAsFarAsTheyAllow(t *testing.T) {
	for _, tc := range []struct{ name, old, new, want string }{
		{"a later day", "2026-03-02", "2026-03-05", "later by 3 days"},
		{"an earlier day", "2026-03-05", "2026-03-04", "earlier by 1 day"},
		{"another month", "2026-01", "2026-03", "later by 29 to 89 days"},
		{"a day in the month known so far", "2026-03", "2026-03-05", "more exact"},
		{"only the month of the day known so far", "2026-03-05", "2026-03", "less exact"},
		{"the time of the day", "2026-03-05", "2026-03-05T10:00:00+01:00", "the same day, now with its time"},
		{"without the time of the day", "2026-03-05T10:00:00+01:00", "2026-03-05", "the same day, without its time"},
		{"later on one day", "2026-03-05T10:00:00+01:00", "2026-03-05T10:45:00+01:00", "later by 45 minutes"},
		{"one moment in two zones", "2026-03-05T10:00:00+01:00", "2026-03-05T09:00:00Z", "the same moment, written otherwise"},
		{"doubt that is gone", "1967?", "1967", "the same time, no longer marked as doubtful"},
		{"doubt that is new", "1967", "1967~", "the same time, now marked as doubtful"},
		{"spans that cross", "2026-03-01/2026-03-10", "2026-03-05/2026-03-20", "the two may be the same"},
		{"no date is shown as it stands", "soon", "2026-03-05", ""},
	} {
		t.Run(tc.name, func(t *testing.T) {
			got := diffOne(t, "work/2026-03-02-ines-x.json", session(`"started": "`+tc.old+`"`), session(`"started": "`+tc.new+`"`))
			want := "started " + tc.old + " → " + tc.new
			if tc.want != "" {
				want += ", " + tc.want
			}
			if !slices.Equal(got, []string{want}) {
				t.Errorf("got  %s\nwant %s", got, want)
			}
		})
	}
}

func session(members string) string { return `{"kind": "session"` + comma(members) + `}` }

func TestLinesOfASessionFindTheirLike(t *testing.T) {
	const (
		tank   = `{"act": "removal", "parts": ["parts/tank"]}`
		tagged = `{"act": "removal", "parts": ["parts/tank"], "tag": "0147"}`
		hose   = `{"act": "removal", "parts": ["parts/hose"], "joints": ["joints/neck"]}`
		pump   = `{"act": "removal", "parts": ["parts/pump"]}`
		drain  = `{"act": "drain", "system": "systems/fuel", "quantity": "12 L"}`
		less   = `{"act": "drain", "system": "systems/fuel", "quantity": "10 L"}`
		fitted = `{"act": "fitting", "parts": ["parts/hose"], "joints": ["joints/neck"]}`
		tight  = `{"act": "tightening", "joints": ["joints/neck"], "set": "35 lbf.ft"}`
		metric = `{"act": "tightening", "joints": ["joints/neck"], "set": "47.5 N.m"}`
	)
	lines := func(list ...string) string { return session(`"lines": [` + strings.Join(list, ", ") + `]`) }
	for _, tc := range []struct {
		name     string
		old, new string
		want     []string
	}{
		{"an insertion does not shift the lines behind it", lines(tank, hose), lines(drain, tank, hose),
			[]string{"line 1 added: drain of systems/fuel; quantity 12 L"}},
		{"a line taken out does not either", lines(drain, tank, hose), lines(tank, hose),
			[]string{"line 1 taken out: drain of systems/fuel; quantity 12 L"}},
		{"a line behind an insertion is still compared with itself", lines(tank, hose), lines(pump, tagged, hose),
			[]string{"line 1 added: removal of parts/pump", "line 2: tag added: 0147"}},
		{"a line that moved is said to have moved", lines(tank, hose, pump), lines(hose, pump, tank),
			[]string{"line 3 (removal of parts/tank) moved here from place 1"}},
		{"a line may move and change", lines(drain, tank, hose), lines(tank, hose, less),
			[]string{"line 3 (drain of systems/fuel) moved here from place 1", "line 3: quantity 12 L → 10 L, less by 2 L"}},
		{"another act on the same part and joint is the same line", lines(tank, hose), lines(tank, fitted), []string{"line 2: act removal → fitting"}},
		{"a torque in another unit is the same within rounding", lines(tight), lines(metric),
			[]string{"line 1: set 35 lbf.ft → 47.5 N.m, same within rounding"}},
		{"the first of two equal lines goes", lines(tank, hose, tank, pump), lines(hose, tank, pump), []string{"line 1 taken out: removal of parts/tank"}},
	} {
		t.Run(tc.name, func(t *testing.T) {
			if got := diffOne(t, "work/2026-03-02-ines-x.json", tc.old, tc.new); !slices.Equal(got, tc.want) {
				t.Errorf("got  %q\nwant %q", got, tc.want)
			}
		})
	}
}

func TestFastenersAreKnownBySize(t *testing.T) {
	joint := func(list string) string { return `{"kind": "joint", "fasteners": [` + list + `]}` }
	got := diffOne(t, "joints/neck.json",
		joint(`{"what": "bolt", "size": "M6", "count": 4}, {"what": "bolt", "size": "M8", "class": "8.8", "count": 2}`),
		joint(`{"what": "bolt", "size": "M8", "class": "10.9", "count": 2}, {"what": "bolt", "size": "M6", "count": 3}`))
	want := []string{"fasteners, M8: class 8.8 → 10.9", "fasteners, M6: count 4 → 3, 1 fewer"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestFieldsStandInTheOrderOfTheSchema(t *testing.T) {
	got := diffOne(t, "work/2026-03-02-ines-x.json", session(`"note": "a", "zone": "boot", "started": "2026-03-02", "by": "people/t/ines"`),
		session(`"zone": "bay", "by": "people/t/bram", "note": "b", "started": "2026-03-03"`))
	want := []string{"by people/t/ines → people/t/bram", "started 2026-03-02 → 2026-03-03, later by 1 day", "zone boot → bay", "note a → b"}
	if !slices.Equal(got, want) {
		t.Errorf("got  %q\nwant %q", got, want)
	}
}

func TestTextsComeApartAtWholeWords(t *testing.T) {
	for _, tc := range []struct{ old, new, before, was, is, after string }{
		{"a b c", "a x c", "a ", "b", "x", " c"},
		{"cat", "cart", "", "cat", "cart", ""},
		{"the cat", "the cart", "the ", "cat", "cart", ""},
		{"b", "a b", "", "", "a ", "b"},
		{"a", "a b", "a", "", " b", ""},
		{"", "a", "", "", "a", ""},
		{"a a", "a a a", "a a", "", " a", ""},
		{"Öl é", "Öl è", "Öl ", "é", "è", ""},
		{"\xc3\xa9 x", "\xc3\xa8 x", "", "\xc3\xa9", "\xc3\xa8", " x"},
	} {
		before, was, is, after := Apart(tc.old, tc.new)
		if before != tc.before || was != tc.was || is != tc.is || after != tc.after {
			t.Errorf("Apart(%q, %q) = %q, %q, %q, %q", tc.old, tc.new, before, was, is, after)
		}
	}
}
