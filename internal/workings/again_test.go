package workings

import (
	"maps"
	"strings"
	"testing"

	"boltback/internal/replay"
)

// driven is a car with one joint that is to be tightened again after 500 km.
func driven(more map[string]string) map[string]string {
	car := map[string]string{
		"car.json":         `{"kind": "car", "root": "parts/shell", "baseline": {"on": "2026-01-01", "parts": [{"part": "parts/shell"}]}}`,
		"parts/shell.json": `{"kind": "part", "found": "yes", "class": "assembly"}`,
		"parts/hub.json":   `{"kind": "part", "name": "Hub", "found": "no", "class": "single"}`,
		"joints/hub.json":  `{"kind": "joint", "name": "Hub nuts", "clamps": ["parts/hub", "parts/shell"], "specification": {"torque": "60 N.m", "retighten-after": "500 km"}}`,
		"work/2026-02-01-a.json": `{"kind": "session", "started": "2026-02-01", "lines": [{"act": "fitting", "parts": ["parts/hub"], "joints": ["joints/hub"]},
		  {"act": "tightening", "parts": ["parts/hub"], "joints": ["joints/hub"], "method": "click", "set": "60 N.m"}]}`,
		"readings/2026-02-01-a.json": `{"kind": "reading", "what": "distance", "on": "2026-02-01", "values": [{"of": "odometer", "value": "1000 km"}]}`,
	}
	maps.Copy(car, more)
	return car
}

// read is a reading of the odometer.
func read(on, figure string) string {
	return `{"kind": "reading", "what": "distance", "on": "` + on + `", "values": [{"of": "odometer", "value": "` + figure + `"}]}`
}

// tighten is a session that does something with the joint.
func tighten(on, lines string) string {
	return `{"kind": "session", "started": "` + on + `", "lines": [` + lines + `]}`
}

const againLine = `{"act": "tightening", "parts": ["parts/hub"], "joints": ["joints/hub"], "method": "click", "set": "60 N.m"}`

func TestWhatIsDueNamesJointsByTheOdometer(t *testing.T) {
	late, soon := read("2026-04-01", "1600 km"), read("2026-04-01", "1200 km")
	for _, c := range []struct {
		name    string
		more    map[string]string
		overdue bool
		says    string // "" where nothing is due
	}{
		{"nobody read the odometer since", nil, false, "the distance since is not known"},
		{"not yet", map[string]string{"readings/2026-04-01-a.json": soon}, false, ""},
		{"driven past it", map[string]string{"readings/2026-04-01-a.json": late}, true, "due: at least 600 km since, by the reading of 2026-04-01"},
		{"tightened again after it", map[string]string{"readings/2026-04-01-a.json": late, "work/2026-04-01-a.json": tighten("2026-04-01", againLine)}, false, ""},
		{"undone since", map[string]string{"readings/2026-04-01-a.json": late, "work/2026-04-02-a.json": tighten("2026-04-02", `{"act": "removal", "parts": ["parts/hub"]}`)}, false, ""},
		{"undone and done up anew, and driven past it", map[string]string{"readings/2026-04-01-a.json": late, "readings/2026-06-01-a.json": read("2026-06-01", "2300 km"),
			"work/2026-04-01-a.json": tighten("2026-04-01", `{"act": "removal", "parts": ["parts/hub"]}, {"act": "fitting", "parts": ["parts/hub"], "joints": ["joints/hub"]}, `+againLine)}, true, "at least 700 km since"},
		{"read on a day that has not come", map[string]string{"readings/2026-09-01-a.json": read("2026-09-01", "9000 km")}, false, "not known"},
	} {
		t.Run(c.name, func(t *testing.T) {
			list := carOf(t, driven(c.more)).DueAgain()
			if c.says == "" {
				if len(list) != 0 {
					t.Errorf("%+v", list)
				}
				return
			}
			if len(list) != 1 || list[0].Overdue != c.overdue || list[0].Sort != replay.TightenAgain || list[0].Thing != "joints/hub" || !strings.Contains(list[0].Why, c.says) {
				t.Errorf("%+v", list)
			}
			if c.overdue == list[0].On.IsZero() {
				t.Errorf("the day by which it is known: %s", list[0].On)
			}
		})
	}
}
