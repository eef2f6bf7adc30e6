// Package page puts outlines, text and photos on sheets of paper and writes
// them as a PDF file (ISO 32000-1). It is a [figure.Painter] a page; where
// things stand is for its callers to say.
//
// A file needs nothing beside itself: the typefaces are embedded, cut down to
// the characters that were used. It carries its structure for readers that
// speak (headings, lists, tables with their header cells, figures in words),
// bookmarks, links within the file, and attachments. The same calls give the
// same bytes, on any machine, with one edition of Go.
//
// Lengths are millimetres from the upper left corner of the sheet, y downwards.
package page
