// Package replay works out the state of a car from the records of work: which part is where, which joint is done up and
// since when tight, which alterations a part bears, what became of each end of a loom, what is filled, and where the car
// itself is; on any day, with every doubt carried along.
//
// Of puts all lines into one order and keeps it; On replays them to a day. Both are pure and deterministic, take time in
// proportion to the number of lines, and never fail: what the records leave open is a Doubt in the result, and the worse
// outcome is carried on. The rules are written out in RULES.md, which Rules returns, completely enough for a second
// implementation.
package replay
