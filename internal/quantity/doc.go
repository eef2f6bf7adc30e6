// Package quantity reads, keeps, converts, compares and judges measured values.
//
// A quantity is written the way a person writes it: "47 N.m", "412.5 ±1 kg",
// ">550 MΩ", "17 cwt 2 qr 14 lb (UK)", "over-range". The unit written is the unit
// kept, and so are the digits: "19.990 mm" says more than "19.99 mm". Values are
// exact rationals inside; nothing is rounded until it is shown.
//
// There are two ways in. [Parse] takes the one canonical spelling that records
// hold. [Read] takes what people type, respells it, says in notes what it
// changed, and answers an [Ambiguous] error where two readings are possible: it
// never chooses for the person at the bench.
//
// Canonical grammar:
//
//	quantity   = "over-range" | "under-range" | [bound] term {term} [relative] [coverage]
//	bound      = ">" | "≥" | "<" | "≤"
//	term       = number [" ±" decimal] unit
//	number     = ["-"] decimal | ["-"] [digits " "] digits "/" digits
//	decimal    = digits ["." digits]
//	unit       = " " symbol | "°" | "′" | "″" | ":1" | nothing for a count
//	relative   = " ±" decimal " %"
//	coverage   = " (k=" decimal ")"
//
// An uncertainty is expanded with the coverage factor k=2 unless another is
// written. Several terms ("5 ft 3 in", "0°18′") must each be a whole multiple of
// the next. Torque and energy are different dimensions: N.m never turns into J.
package quantity
