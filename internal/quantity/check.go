package quantity

import (
	"errors"
	"fmt"
)

// Check says whether text is a canonical quantity of the dimension, as a record
// must hold it. The error says what would be right: `torque needs N.m, lbf.ft,
// lbf.in or kgf.m; "47 Nm" is written "47 N.m"`. Over-range and under-range
// pass for any dimension.
func Check(text string, d Dimension) error {
	q, err := Parse(text)
	if err == nil && (q.unit == nil || d == Unknown || q.unit.Dimension == d) {
		return nil
	}
	needs := ""
	if d != Unknown {
		needs = fmt.Sprintf("%s needs %s; ", d, d.usual())
	}
	reading, readErr := Read(text, Hints{Dimension: d})
	var ambiguous *Ambiguous
	switch {
	case readErr == nil:
		return fmt.Errorf("%s%q is written %q", needs, clip(text), reading.Quantity.Canonical())
	case errors.As(readErr, &ambiguous):
		return fmt.Errorf("%s%w", needs, readErr)
	case err == nil:
		return fmt.Errorf("%s%q is %s", needs, clip(text), withArticle(q.unit.Dimension))
	}
	return fmt.Errorf("%s%w", needs, err)
}
