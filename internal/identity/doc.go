// Package identity compares the numbers that stand on a car and in its papers:
// chassis, engine, gearbox, body, plate, title, archive, registration.
//
// A number is kept exactly as it was read, stars, spaces and "?" for what could
// not be made out. What this package derives from it (the comparison key, the
// agreement of two readings, the matrix of all of them) is computed each time
// and never stored, and nothing is corrected or filled in: a look-alike is
// offered as an explanation, a spreadsheet's mangling is refused as evidence,
// and a conflict stands until a record settles it.
//
// The rules for keys, decided once:
//
//   - Letters count without regard to case; a stamping has no small letters, a
//     clerk's keyboard has.
//   - Spaces, stars, dashes, dots, slashes, quotation marks and invisible
//     characters are writing, not number. They are dropped from the key and
//     listed. Where two writings divide the same characters at different
//     places the agreement says so.
//   - "?" is one place that could not be made out. It is compatible with any
//     character and equal to none, not even to another "?".
//   - Every other character is a place of the number. Letters of another
//     alphabet that look Latin, and full-width forms, stay what they are: they
//     differ, and the difference is named.
//
// All functions are pure and safe for concurrent use; no input makes them panic.
package identity
