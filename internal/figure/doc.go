// Package figure makes small vector drawings: diagrams for a dossier, boxes and
// codes for a sheet. One drawing is shown the same way by everything that can
// paint outlines and text ([Painter]), and writes itself as SVG.
//
// All lengths are millimetres, from the upper left corner, y downwards. There
// are no colours: fills and lines are told apart by tone and by hatching, so a
// photocopy loses nothing.
//
// Text is measured in the typefaces that the program carries, the same that are
// embedded in pages. A character that they lack is shown by its code point and
// can be asked for with [Lacking]; it is never left out.
package figure
