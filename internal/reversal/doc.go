// Package reversal works out what it would take to put a car back to a baseline: which recorded work counts as conversion,
// a work order that undoes it, what running that work order through the same replay leaves different, and a statement in
// three lines with the records for and against each.
//
// Everything is computed from records; the car was not examined. Missing records make the answer "cannot be said", never a
// better one. A stored statement is rechecked by replaying its own steps; it is never planned anew.
package reversal
