// Package sheet prints what goes to the bench: job sheets that are filled in
// with a pen and a glove on, tags and labels, and the page that is photographed
// beside a clock.
//
// Sheets are plain forms in black on white. What is known is printed in its box;
// what is not stays an empty box, and an empty box later means "not stated".
// Boxes are at least nine millimetres high and bear their unit. Each sheet has a
// code by which a photo of it is recognised, and the cautions of its job.
package sheet
