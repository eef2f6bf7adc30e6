// Package roll sorts the pictures of a day at the bench into what they tell: in
// which order they were taken by which clock, which tag heads which of them, and
// so the lines of one session of work.
//
// The rule is one that can be kept with gloves on: a picture of a tag heads all
// that follow, up to the next. A picture of the bench clock sets the clock of the
// camera that took it. What cannot be told is put aside with a reason or asked
// about, and nothing is guessed.
package roll
