package doc

// Align says to which side of its column a cell leans.
type Align uint8

// The sides.
const (
	Left Align = iota
	Right
	Centre
)

// Table is a table of texts. Every row fills every column, by cells that span
// several if need be. The first column names its row.
type Table struct {
	// ID is the anchor; it may be empty.
	ID      string
	Caption string
	Columns []Column
	Groups  []Group
}

// Column is one column of a table.
type Column struct {
	Header string
	Align  Align
	// Width is the column's share of the line, relative to the other columns;
	// 0 counts as 1.
	Width int
}

// Group is a run of rows below a common title, which may be empty.
type Group struct {
	Title string
	Rows  []Row
}

// Row is one row of cells.
type Row struct{ Cells []Cell }

// Cell is one cell.
type Cell struct {
	Text Text
	// Span is the number of columns it covers; 0 counts as 1.
	Span int
}

// Columns returns the number of columns the cell covers, at least 1.
func (c Cell) Columns() int { return max(c.Span, 1) }

// Col returns a column of words.
func Col(header string, width int) Column { return Column{Header: header, Width: width} }

// Num returns a column of figures, which lean to the right.
func Num(header string, width int) Column {
	return Column{Header: header, Align: Right, Width: width}
}

// Across returns a cell over several columns; see [Say].
func Across(columns int, sentence string, args ...any) Cell {
	return Cell{Text: Say(sentence, args...), Span: columns}
}

// NewTable returns an empty table.
func NewTable(caption string, columns ...Column) *Table {
	return &Table{Caption: caption, Columns: columns}
}

// Group begins a run of rows below a title.
func (t *Table) Group(title string) { t.Groups = append(t.Groups, Group{Title: title}) }

// Row appends a row to the group begun last. A cell is a string, a [Span], a
// [Text], a [Cell], or anything that fmt prints.
func (t *Table) Row(cells ...any) {
	if len(t.Groups) == 0 {
		t.Group("")
	}
	row := Row{Cells: make([]Cell, len(cells))}
	for i, c := range cells {
		if cell, ok := c.(Cell); ok {
			row.Cells[i] = cell
		} else {
			row.Cells[i] = Cell{Text: spans(c)}
		}
	}
	g := &t.Groups[len(t.Groups)-1]
	g.Rows = append(g.Rows, row)
}

// Rows returns the number of rows in all groups.
func (t *Table) Rows() int {
	n := 0
	for _, g := range t.Groups {
		n += len(g.Rows)
	}
	return n
}

// Matrix compares things (rows) over sources (columns), with a state in each
// cell. A state is a mark and a word; no renderer shows it by colour alone.
type Matrix struct {
	// ID is the anchor; it may be empty.
	ID      string
	Caption string
	// Corner is the heading of the column of row labels.
	Corner  string
	Columns []string
	States  []State
	Rows    []MatrixRow
}

// State is one of the states that a matrix cell can have.
type State struct {
	// Mark is one or two characters; Word is what it is called.
	Mark, Word string
	// Meaning explains it in the legend.
	Meaning string
}

// MatrixRow is one row of a matrix.
type MatrixRow struct {
	Label Text
	Cells []MatrixCell
}

// MatrixCell is one cell of a matrix.
type MatrixCell struct {
	// State is the word of one of the matrix's states.
	State string
	// Note is what stands below the state, such as the value as read.
	Note Text
}

// NewMatrix returns a matrix without rows.
func NewMatrix(caption, corner string, states []State, columns ...string) *Matrix {
	return &Matrix{Caption: caption, Corner: corner, States: states, Columns: columns}
}

// Row appends a row with one cell for each column.
func (m *Matrix) Row(label Text, cells ...MatrixCell) {
	m.Rows = append(m.Rows, MatrixRow{Label: label, Cells: cells})
}

// Mark returns a matrix cell; an empty sentence leaves the note out. See [Say].
func Mark(state, sentence string, args ...any) MatrixCell {
	return MatrixCell{State: state, Note: Say(sentence, args...)}
}

// State returns the state called word and whether the matrix has it.
func (m *Matrix) State(word string) (State, bool) {
	for _, s := range m.States {
		if s.Word == word {
			return s, true
		}
	}
	return State{}, false
}
