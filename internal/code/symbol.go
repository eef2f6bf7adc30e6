package code

import (
	"fmt"

	"rsc.io/qr"
)

// Level is how much of a code may be dirty or torn: about 15 % or 30 %.
type Level int

// The levels.
const (
	// Clean suits paper that stays on a clipboard (level M).
	Clean Level = iota
	// Rough suits a tag that hangs on greasy parts (level H). A tag's payload
	// then takes 25 modules, the least that has an alignment mark; of tilted
	// pictures of 21 modules a third could not be read.
	Rough
)

// Quiet is the width of the white border that a reader needs, in modules
// (ISO/IEC 18004, 5.3.8).
const Quiet = 4

// Symbol is a QR code as a square of dark and light modules.
type Symbol struct {
	// Side is the number of modules on a side, without the quiet border.
	Side int
	dark []bool
}

// Encode makes a QR code of a text of printable ASCII: other characters are
// read as Shift-JIS by some readers and as UTF-8 by others. A text that no code
// can hold is an error.
func Encode(text string, level Level) (Symbol, error) {
	for i := range len(text) {
		if text[i] < ' ' || text[i] > '~' {
			return Symbol{}, fmt.Errorf("%q at byte %d cannot stand in a code: printable ASCII only", text[i], i)
		}
	}
	if text == "" {
		return Symbol{}, fmt.Errorf("an empty text makes no code")
	}
	q := qr.M
	if level == Rough {
		q = qr.H
	}
	c, err := qr.Encode(text, q)
	if err != nil {
		return Symbol{}, fmt.Errorf("%d characters are more than a code can hold", len(text))
	}
	s := Symbol{Side: c.Size, dark: make([]bool, c.Size*c.Size)}
	for y := range c.Size {
		for x := range c.Size {
			s.dark[y*c.Size+x] = c.Black(x, y)
		}
	}
	return s, nil
}

// Dark reports whether the module in column x and row y is dark; everything
// around the code is light.
func (s Symbol) Dark(x, y int) bool {
	return x >= 0 && y >= 0 && x < s.Side && y < s.Side && s.dark[y*s.Side+x]
}

// Corner is a point between modules: column x and row y begin there.
type Corner struct{ X, Y int }

// Outlines are the edges of the dark areas as closed loops, dark to the right
// of the way. Filled as one path by either rule they leave no hairlines between
// modules, as rows of squares would on a screen.
func (s Symbol) Outlines() [][]Corner {
	next := s.edges()
	var loops [][]Corner
	for y := range s.Side + 1 {
		for x := range s.Side + 1 {
			for len(next[Corner{x, y}]) > 0 {
				loops = append(loops, loop(next, Corner{x, y}))
			}
		}
	}
	return loops
}

// edges maps each corner to where the edges that leave it lead, in a fixed order.
func (s Symbol) edges() map[Corner][]Corner {
	next := map[Corner][]Corner{}
	add := func(x, y, toX, toY int) {
		next[Corner{x, y}] = append(next[Corner{x, y}], Corner{toX, toY})
	}
	for y := range s.Side {
		for x := range s.Side {
			if !s.Dark(x, y) {
				continue
			}
			if !s.Dark(x, y-1) {
				add(x, y, x+1, y)
			}
			if !s.Dark(x+1, y) {
				add(x+1, y, x+1, y+1)
			}
			if !s.Dark(x, y+1) {
				add(x+1, y+1, x, y+1)
			}
			if !s.Dark(x-1, y) {
				add(x, y+1, x, y)
			}
		}
	}
	return next
}

// loop follows edges from a corner until it is back, takes them out, and keeps
// the corners where the way bends. Where two areas touch at a corner either way
// on is right.
func loop(next map[Corner][]Corner, start Corner) []Corner {
	var corners []Corner
	at, last := start, Corner{}
	for {
		ways := next[at]
		to := ways[len(ways)-1]
		next[at] = ways[:len(ways)-1]
		if step := (Corner{to.X - at.X, to.Y - at.Y}); step != last {
			corners = append(corners, at)
			last = step
		}
		if at = to; at == start {
			return corners
		}
	}
}
