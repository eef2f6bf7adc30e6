// Package wording works out what an advertisement may say of a car: supported, withheld or contradicted by its records, each
// with the records it rests on and with who saw it, the workshop or somebody outside it.
//
// The purpose of work never matters here. A sentence that is supported says what is on record, as of which day and by whose
// word; "reversible", "original" and "proof" are not said. Missing records withhold a sentence; they never support one.
package wording
