package figure

import (
	"fmt"
	"strings"
)

// transcript is a painter that writes down what it is told, so that a test can
// compare drawings without looking at pixels.
type transcript struct{ lines []string }

func (t *transcript) Path(p Path, paint Paint) {
	t.lines = append(t.lines, fmt.Sprintf("%s %+v", pathData(p, number), paint))
}

func (t *transcript) Label(x, y float64, l Label) {
	t.lines = append(t.lines, fmt.Sprintf("%s %s %+v", number(x), number(y), l))
}

func paintedAt(d *Drawing, x, y float64) string {
	var t transcript
	d.Paint(&t, x, y)
	return strings.Join(t.lines, "\n")
}
