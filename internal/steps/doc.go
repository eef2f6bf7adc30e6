// Package steps takes what is told at the bench one step at a time, as a line typed or as a row of a table, and makes the
// records of it: one session of work, with the parts and joints that it names for the first time. Nothing has to be
// declared before; what a step leaves open is said and kept. It reads no file and no clock.
//
// A line is a word for what was done, then tags and the name of the part, then, parted by commas and in any order, what
// else is known:
//
//	off 0147 fuel tank, 4x M8, bag 0201, loft crate 3, 8.3 kg
//
// The whole grammar is in Grammar, which help prints.
package steps

// Grammar is what may stand on a line, for the person who types.
const Grammar = `One line a step: a word, the tag, the part; then, after commas and in any order, what else is known.
  off 0147 fuel tank, 4x M8, bag 0201, loft crate 3, 8.3 kg, left, from boot floor
  on 0147 fuel tank, joint tank-straps      tight tank-straps, 47 Nm, click, wrench torque-wrench-medium
  seen 0147 0148 horn, loft crate 3, all    seen loft crate 3, unbroken    seen nothing, loft crate 3
  move 0147, loft rack 2                    out 0147, with the plater, back 2026-04-01
  in 0147, loft                             preserve 0147, inhibitor oil, due 2026-09-24
  drain coolant, 6 l                        note anything at all
What the line before said need not be said again:
  0160 horn lh    the same done to tag 0160         .horn lh    the same done to the next tag (or +, if that key is nearer)
  .rh x2          the next tag, the other one of the pair, held by 2 of the same fasteners
A run of tags is 0100..0119. Fasteners right behind the name need no comma: .fan 4m8 · .lamp 2x M6 screws · .coil 2 clips
What goes with a part: 4x M8 bolts (4 off M8, four bolts M8) · bag 0201 · a store and its crate, shelf, pallet, rack · a mass
  · left, right, O/S, N/S, driver's side · from or in a spot on the car · joint NAME · a hazard: fuel, asbestos, heavy
    (a store that nobody named before is new, and written into the workshop's address book)
  · sealed, unbroken, broken · all (everything there was looked for) · anything else is kept as a note of the step.
For the steps that follow: by NAME · day 2026-03-02 · at loft crate 3 · for conversion · name tank out · basis seen
Each line is said back as it was understood, with its tag: hold that against the tag in your hand now and then.
undo takes the last line back, list shows all, done writes it into the ledger, stop leaves it for later.`
