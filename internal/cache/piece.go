package cache

import (
	"boltback/internal/record"
	"boltback/internal/validate"
)

// piece writes what a file gives to the summary of its car. Its places lie all in that file.
func (w *writing) piece(p *validate.Piece) {
	w.text(string(p.Copy))
	w.number(flag(p.HandedOver, 1))
	w.marks(p.Tags)
	w.marks(p.Numbers)
	w.number(len(p.Moves))
	for _, m := range p.Moves {
		w.text(string(m.Part))
		w.text(m.Name)
		w.number(flag(m.Leaves, 1))
		w.text(string(m.Day))
		w.number(len(m.Marks))
		for _, mark := range m.Marks {
			w.text(mark)
		}
		w.place(m.At)
	}
}

func (w *writing) marks(list []validate.Mark) {
	w.number(len(list))
	for _, m := range list {
		w.text(m.Key)
		w.text(m.Raw)
		w.text(string(m.Part))
		w.text(m.Name)
		w.place(m.At)
	}
}

func (w *writing) place(p validate.Place) {
	w.number(p.Line)
	w.number(p.Column)
	w.text(p.Pointer)
}

// piece reads what a file gives to the summary of its car.
func (r *reading) piece(path string) *validate.Piece {
	p := &validate.Piece{Copy: record.Digest(r.text()), HandedOver: r.unsigned() != 0, Tags: r.marks(path), Numbers: r.marks(path)}
	const least = 8
	for range r.count(least) {
		m := validate.Move{Part: record.Ref(r.text()), Name: r.text(), Leaves: r.unsigned() != 0, Day: record.Date(r.text())}
		for range r.count(1) {
			m.Marks = append(m.Marks, r.text())
		}
		m.At = r.place(path)
		p.Moves = append(p.Moves, m)
	}
	return p
}

func (r *reading) marks(path string) []validate.Mark {
	const least = 7
	var list []validate.Mark
	for range r.count(least) {
		list = append(list, validate.Mark{Key: r.text(), Raw: r.text(), Part: record.Ref(r.text()), Name: r.text(), At: r.place(path)})
	}
	return list
}

func (r *reading) place(path string) validate.Place {
	return validate.Place{File: path, Line: int(r.unsigned()), Column: int(r.unsigned()), Pointer: r.text()}
}
