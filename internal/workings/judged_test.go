package workings

import (
	"encoding/json"
	"testing"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
)

// TestWhatRequirementsRestOnIsAmongTheWorkingsWordForWord: it is made by another way and leaves out what only a reader asks for, so
// each of it must stand among all the workings, in their order and the same to the letter.
func TestWhatRequirementsRestOnIsAmongTheWorkingsWordForWord(t *testing.T) {
	for name, c := range map[string]*Car{"heron": heron(t), "sample": sampleCar(t)} {
		for _, subject := range Subjects() {
			all := c.About(subject)
			judged := c.Judged(subject)
			if len(judged) == 0 || subject == Mass && len(judged) >= len(all) {
				t.Errorf("%s: of %d workings on %s %d are judged", name, len(all), subject, len(judged))
			}
			at := 0
			for _, w := range judged {
				for at < len(all) && all[at].ID != w.ID {
					at++
				}
				if at == len(all) {
					t.Errorf("%s: %s / %s is not among the workings from there on", name, subject, w.ID)
					break
				}
				if want := encodedText(t, all[at]); encodedText(t, w) != want {
					t.Errorf("%s: %s / %s is\n%s\nand not\n%s", name, subject, w.ID, encodedText(t, w), want)
				}
			}
		}
	}
	none := Of(replay.Of(ledger.Empty()), edtf.NewDay(2026, 7, 1), nil)
	for _, subject := range []Subject{Mass, Insulation, Joints, Pack} {
		if list := none.Judged(subject); len(list) != 0 {
			t.Errorf("of nothing there are workings on %s: %v", subject, list)
		}
	}
}

func encodedText(t *testing.T, w Working) string {
	t.Helper()
	text, err := json.Marshal(encodeWorking(&w))
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}
