package reversal_test

import (
	"fmt"
	"strings"
	"testing"

	"boltback/internal/figure"
	"boltback/internal/record"
	"boltback/internal/reversal"
)

func TestFirstRespondersSeeWhatHurtsThemAndWhatCutsItOff(t *testing.T) {
	for _, c := range []struct {
		spot reversal.Spot
		sign figure.Pictogram
	}{
		{reversal.Spot{What: reversal.TractionBattery}, figure.HighVoltageBattery},
		{reversal.Spot{What: reversal.TractionPart}, figure.HighVoltagePart},
		{reversal.Spot{What: reversal.TractionPart, Role: "service disconnect"}, figure.HighVoltageDisconnect},
		{reversal.Spot{What: reversal.FittedPart, Role: "master switch"}, figure.HighVoltageDisconnect},
		{reversal.Spot{What: reversal.TractionPart, Role: "charge inlet"}, figure.ChargingInlet},
		{reversal.Spot{What: reversal.LowVoltage}, figure.LowVoltageBattery},
		{reversal.Spot{What: reversal.FoundPart, Hazards: []string{"fuel"}}, figure.FuelAboard},
		{reversal.Spot{What: reversal.FoundPart, Hazards: []string{"pressure"}}, figure.UnderPressure},
	} {
		if sign, ok := reversal.SignOf(c.spot); !ok || sign != c.sign {
			t.Errorf("%+v is shown as %q, %t", c.spot, sign.Meaning(), ok)
		}
	}
	if _, ok := reversal.SignOf(reversal.Spot{What: reversal.FoundPart, Hazards: []string{"heavy"}}); ok {
		t.Error("a heavy seat is shown to first responders")
	}
}

func TestTheRescueViewsSayInWordsWhatTheyShowAndWhatIsNotRecorded(t *testing.T) {
	picture := reversal.RescuePicture([]reversal.Spot{
		{Part: "parts/box", Name: "Box", What: reversal.TractionBattery, Station: "2400 mm", Position: "boot"},
		{Part: "parts/seat", Name: "Seat", What: reversal.FoundPart},
		{Part: "parts/switch", Name: "Switch", What: reversal.TractionPart, Role: "service disconnect"},
	}, "2300 mm")
	for _, want := range []string{"1 Box (high-voltage battery): 2400 mm, boot", "2 Switch (cuts the high voltage off): place along the car not recorded", "heights and the routes of cables are not recorded"} {
		if !strings.Contains(picture.Alt, want) {
			t.Errorf("the words lack %q: %s", want, picture.Alt)
		}
	}
	if strings.Contains(picture.Alt, "Seat") {
		t.Error("the seat is in the words")
	}
	text := paint(picture.Drawing).text
	if text["1"] != 3 || text["2"] != 1 {
		t.Errorf("the box's number stands %d times, wanted in both views and in the key; that of a switch without a place %d times, wanted in the key alone", text["1"], text["2"])
	}
	if empty := reversal.RescuePicture(nil, ""); !strings.Contains(empty.Alt, "No part that can hurt") {
		t.Errorf("of nothing it says %q", empty.Alt)
	}
}

func TestManyPartsDoNotMakeTheRescueViewsLarger(t *testing.T) {
	var spots []reversal.Spot
	for i := range 300 {
		spots = append(spots, reversal.Spot{Part: record.Ref(fmt.Sprint("parts/p", i)), Name: strings.Repeat("long ", 30), What: reversal.TractionPart, Station: "800 mm"})
	}
	few, many := reversal.RescuePicture(spots[:1], ""), reversal.RescuePicture(spots, "")
	fw, fh := few.Drawing.Size()
	if mw, mh := many.Drawing.Size(); mw != fw || mh != fh {
		t.Errorf("300 parts take %v by %v, one %v by %v", mw, mh, fw, fh)
	}
	named, counted := 0, ""
	for text := range paint(many.Drawing).text {
		if strings.HasSuffix(text, "more, not named here") {
			counted = text
		}
	}
	for i := 1; paint(many.Drawing).text[fmt.Sprint(i)] > 2; i++ {
		named = i
	}
	if want := fmt.Sprintf("and %d more, not named here", 300-named); counted != want {
		t.Errorf("what has no room is counted as %q, not %q", counted, want)
	}
}

func TestEveryPartIsNamedBesideTheRescueViewsBeforeOneIsNamedAtLength(t *testing.T) {
	var spots []reversal.Spot
	for i := range 18 {
		spots = append(spots, reversal.Spot{Part: record.Ref(fmt.Sprint("parts/p", i)), Name: fmt.Sprint("Part ", i, " ", strings.Repeat("long ", 30)), What: reversal.TractionPart, Station: "800 mm"})
	}
	named := map[int]bool{}
	for text := range paint(reversal.RescuePicture(spots, "").Drawing).text {
		if strings.HasSuffix(text, "more, not named here") {
			t.Errorf("%q, though there is a line for each", text)
		}
		var i int
		if n, _ := fmt.Sscanf(text, "Part %d", &i); n == 1 {
			named[i] = true
		}
	}
	if len(named) != len(spots) {
		t.Errorf("%d of %d are named", len(named), len(spots))
	}
}
