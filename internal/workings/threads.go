package workings

import (
	"fmt"
	"strings"
)

// Thread is a thread with its loads.
type Thread struct {
	Diameter        Input // nominal
	Stress          Input // stress area
	Proof, Ultimate Input // loads of one fastener
}

// metric coarse threads: stress area in mm², proof and ultimate load in kN for
// 8.8 and 10.9 (ISO 898-1).
var metric = map[string]struct {
	area  string
	loads map[string][2]string
}{
	"M6":  {"20.1", map[string][2]string{"8.8": {"11.6", "16.1"}, "10.9": {"16.7", "20.9"}}},
	"M8":  {"36.6", map[string][2]string{"8.8": {"21.2", "29.2"}, "10.9": {"30.4", "38.1"}}},
	"M10": {"58.0", map[string][2]string{"8.8": {"33.7", "46.4"}, "10.9": {"48.1", "60.3"}}},
	"M12": {"84.3", map[string][2]string{"8.8": {"48.9", "67.4"}, "10.9": {"70.0", "87.7"}}},
	"M14": {"115", map[string][2]string{"8.8": {"66.7", "92.0"}, "10.9": {"95.5", "120"}}},
	"M16": {"157", map[string][2]string{"8.8": {"91.0", "125"}, "10.9": {"130", "163"}}},
}

// coarsePitch is the pitch in mm that a size may state and still be coarse.
var coarsePitch = map[string]string{"M6": "1", "M8": "1.25", "M10": "1.5", "M12": "1.75", "M14": "2", "M16": "2"}

// unified threads: diameter in inches, stress area in in² by series, proof load
// in lbf by series and grade (SAE J429); ultimate stress is 120 ksi for grade 5
// and 150 ksi for grade 8.
var unified = map[string]struct {
	diameter string
	area     map[string]string
	proof    map[string]string // "UNC 5"
}{
	"1/4":  {"0.25", map[string]string{"UNC": "0.0318", "UNF": "0.0364"}, map[string]string{"UNC 5": "2700", "UNC 8": "3800", "UNF 5": "3100", "UNF 8": "4350"}},
	"5/16": {"0.3125", map[string]string{"UNC": "0.0524", "UNF": "0.0580"}, map[string]string{"UNC 5": "4450", "UNC 8": "6300", "UNF 5": "4900", "UNF 8": "6950"}},
	"3/8":  {"0.375", map[string]string{"UNC": "0.0775", "UNF": "0.0878"}, map[string]string{"UNC 5": "6600", "UNC 8": "9300", "UNF 5": "7450", "UNF 8": "10500"}},
	"7/16": {"0.4375", map[string]string{"UNC": "0.1063", "UNF": "0.1187"}, map[string]string{"UNC 5": "9050", "UNC 8": "12800", "UNF 5": "10100", "UNF 8": "14200"}},
	"1/2":  {"0.5", map[string]string{"UNC": "0.1419", "UNF": "0.1599"}, map[string]string{"UNC 5": "12100", "UNC 8": "17000", "UNF 5": "13600", "UNF 8": "19200"}},
	"9/16": {"0.5625", map[string]string{"UNC": "0.182", "UNF": "0.203"}, map[string]string{"UNC 5": "15500", "UNC 8": "21800", "UNF 5": "17300", "UNF 8": "24400"}},
	"5/8":  {"0.625", map[string]string{"UNC": "0.226", "UNF": "0.256"}, map[string]string{"UNC 5": "19200", "UNC 8": "27100", "UNF 5": "21800", "UNF 8": "30700"}},
}

// ThreadOf finds a thread by its size and class as marked: "M8 x 1.25 x 20",
// "8.8"; "3/8 UNF x 1", "5". False where there is no table: fine metric threads,
// stainless steel, old British sizes and strength letters.
func ThreadOf(size, class string) (Thread, bool) {
	fields := strings.Fields(size)
	if len(fields) == 0 {
		return Thread{}, false
	}
	if m, ok := metric[fields[0]]; ok {
		if len(fields) >= 3 && fields[2] != coarsePitch[fields[0]] {
			return Thread{}, false
		}
		loads, known := m.loads[class]
		return Thread{
			Diameter: published(strings.TrimPrefix(fields[0], "M")+" mm", iso898).exactly(),
			Stress:   published(m.area+" mm²", iso898).exactly(),
			Proof:    published(loads[0]+" kN", iso898).exactly(),
			Ultimate: published(loads[1]+" kN", iso898).exactly(),
		}, known
	}
	return unifiedThread(fields, strings.TrimPrefix(strings.ToLower(class), "grade "))
}

func unifiedThread(fields []string, grade string) (Thread, bool) {
	if len(fields) < 2 {
		return Thread{}, false
	}
	u, ok := unified[fields[0]]
	proof, known := u.proof[fields[1]+" "+grade]
	if !ok || !known {
		return Thread{}, false
	}
	ultimate := map[string]string{"5": "120", "8": "150"}[grade]
	s := begin(Joints, "", "")
	s.take("A", "stress area", published(u.area[fields[1]]+" in²", j429).exactly(), "")
	s.take("R", "ultimate stress", published(ultimate+" ksi", j429).exactly(), "")
	s.calc("F", "lbf", "A*R", "Ultimate load.")
	return Thread{
		Diameter: published(u.diameter+" in", j429).exactly(),
		Stress:   published(u.area[fields[1]]+" in²", j429).exactly(),
		Proof:    published(proof+" lbf", j429).exactly(),
		Ultimate: From(s.get("F"), Source{fmt.Sprintf("%s; %s ksi on the stress area", j429.Text, ultimate), j429.Basis}).exactly(),
	}, true
}
