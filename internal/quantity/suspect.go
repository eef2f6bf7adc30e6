package quantity

import (
	"fmt"
	"math/big"
)

// suspectTolerance is how near to the factor 12 a pair must lie: a tenth, wider
// than any torque tolerance and far from 1.
var suspectTolerance = big.NewRat(1, 10)

// SuspectFactor reports whether a recorded torque is 12 times its specification
// or a twelfth of it, to within a tenth: pound-inches and pound-feet were then
// probably mixed up. The reason is a sentence without full stop. It is a
// suspicion to be shown and never applied.
func SuspectFactor(recorded, spec Quantity) (reason string, suspected bool) {
	if !recorded.IsPoint() || !spec.IsPoint() || recorded.unit.Dimension != Torque || spec.unit.Dimension != Torque {
		return "", false
	}
	if spec.value.Sign() <= 0 || recorded.value.Sign() <= 0 {
		return "", false
	}
	ratio := new(big.Rat).Quo(recorded.reference(), spec.reference())
	switch {
	case isNear(ratio, big.NewRat(12, 1)):
		return fmt.Sprintf("%s is about 12 times the specified %s: were pound-inches read as pound-feet", recorded, spec), true
	case isNear(ratio, big.NewRat(1, 12)):
		return fmt.Sprintf("%s is about a twelfth of the specified %s: were pound-feet read as pound-inches", recorded, spec), true
	}
	return "", false
}

func isNear(v, target *big.Rat) bool {
	off := new(big.Rat).Quo(v, target)
	off.Sub(off, big.NewRat(1, 1))
	return off.Abs(off).Cmp(suspectTolerance) <= 0
}
