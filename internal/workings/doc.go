// Package workings holds the sums that a conversion needs, each shown so that
// it can be redone by hand.
//
// A sum is a [Working]: its answer, the steps with the formula in symbols and
// with the numbers put in, what went in and where that is recorded, the source
// of the formula and whether that source was read, what was assumed, what is
// missing, and the verdicts under a named decision rule.
//
// A formula is written once, as text, and computed from that text (see
// [Formula]): the line on the page and the sum cannot differ. Units are carried
// through, so that a wrong dimension is a sentence and not a number. Values are
// exact rationals; recorded uncertainties are carried to the result through its
// sensitivity to each input (JCGM 100:2008, 5.1.2), and a bound stays a bound.
// What is missing is named: the sum is then not computed, and never zero.
//
// Everything is computed from values handed in. Working on plain values are the
// functions with an argument of their own; [Car] takes the same sums from a
// car's records on a day.
package workings
