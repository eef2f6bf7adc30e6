package workings

import (
	"fmt"
	"strings"

	"boltback/internal/quantity"
)

// firstLoadIndex is the load index of the first entry of loadIndex.
const firstLoadIndex = 60

// loadIndex is the load in kg of one tyre at its reference pressure, from index
// 60 on (ETRTO and ISO 4000-1; ten independent public copies agree).
var loadIndex = [...]int{
	250, 257, 265, 272, 280, 290, 300, 307, 315, 325, 335, 345, 355, 365, 375, 387, 400, 412, 425, 437,
	450, 462, 475, 487, 500, 515, 530, 545, 560, 580, 600, 615, 630, 650, 670, 690, 710, 730, 750, 775,
	800, 825, 850, 875, 900, 925, 950, 975, 1000, 1030, 1060, 1090, 1120, 1150, 1180, 1215, 1250, 1285, 1320, 1360,
	1400, 1450,
}

// speedSymbol is the top speed in km/h of a tyre's speed symbol (UN R30; ten
// public copies agree).
var speedSymbol = map[string]int{
	"E": 70, "F": 80, "G": 90, "J": 100, "K": 110, "L": 120, "M": 130, "N": 140, "P": 150, "Q": 160, "R": 170,
	"S": 180, "T": 190, "U": 200, "H": 210, "V": 240, "W": 270, "Y": 300,
}

// LoadOfIndex is the load of one tyre in kg; false outside 60 to 121.
func LoadOfIndex(index int64) (kg int, ok bool) {
	if index < firstLoadIndex || index >= firstLoadIndex+int64(len(loadIndex)) {
		return 0, false
	}
	return loadIndex[index-firstLoadIndex], true
}

// Tyre is what is marked on the tyres of an axle.
type Tyre struct {
	Size, Construction string // construction: radial, cross-ply, ""
	LoadIndex          int64
	SpeedSymbol        string
	// Load is a load per tyre that is recorded as such, used where no index is.
	Load Input
}

// TyreLoad holds an axle load against twice the load of one tyre. A cross-ply
// size without an index has a load that only its maker's table knows: unknown,
// and unknown is not good enough and not a fault.
func TyreLoad(id, axle string, load Input, t Tyre) Working {
	s := begin(Mass, "tyre "+id, "Tyres of the "+axle)
	s.w.Sources = []Source{tyreTable, tyreRule}
	s.assume("two single tyres of one kind on the axle, at the pressure their rating asks for")
	s.take("m", axle+" load", load, quantity.Mass)
	one := t.Load
	if kg, ok := LoadOfIndex(t.LoadIndex); ok {
		one = published(fmt.Sprintf("%d kg", kg), tyreTable).exactly()
		s.say("Load index on the side wall.", fmt.Sprintf("%d, that is %d kg", t.LoadIndex, kg))
	} else if t.Construction == "cross-ply" && one.Value.IsZero() {
		s.lack("q", "the load of the cross-ply tyre from its maker's table; "+orNot(t.Size)+" has no load index")
	}
	if !s.lacks["q"] {
		s.take("q", "load of one tyre", one, quantity.Mass)
	}
	s.take("n", "tyres on the axle", constant("2", "counted"), quantity.Count)
	if !s.calc("Q", "kg", "n*q", "Both tyres together.") {
		s.verdict(Verdict{Of: "tyres of the " + axle, Against: "the load of the axle", Outcome: EvidenceMissing, Reason: "the load of the tyre is not known", Source: tyreRule})
		return s.done()
	}
	s.calc("c", "kg", "n*q-m", "What is left over the load.")
	s.answer("Q", "the tyres carry {}")
	if s.has("m") {
		s.judge("load of the "+axle, "m", quantity.AtMost(s.get("Q")), ruleFor(s.get("m")), "an axle may carry no more than its tyres", tyreRule)
	}
	return s.done()
}

// TyreSpeed holds the top speed of the car against the speed symbol.
func TyreSpeed(id string, top Input, t Tyre) Working {
	s := begin(Mass, "tyre speed "+id, "Speed symbol of the tyres")
	s.w.Sources = []Source{tyreSpeed}
	s.take("v", "top speed of the car", top, quantity.Speed)
	kmh, ok := speedSymbol[strings.ToUpper(t.SpeedSymbol)]
	if !ok {
		s.lack("v_max", "the speed symbol on the side wall")
		return s.done()
	}
	s.take("v_max", "speed of symbol "+t.SpeedSymbol, published(fmt.Sprintf("%d km/h", kmh), tyreSpeed).exactly(), quantity.Speed)
	s.answer("v_max", "symbol "+t.SpeedSymbol+" is good to {}")
	if s.has("v") {
		s.judge("top speed", "v", quantity.AtMost(s.get("v_max")), quantity.SimpleAcceptance, "the symbol must cover the top speed of the car", tyreSpeed)
	}
	return s.done()
}
