package doc

import "testing"

func TestATableCountsItsRowsOverAllGroups(t *testing.T) {
	table := NewTable("Parts", Col("Part", 2), Num("Mass", 1))
	table.Row("engine", "148 kg")
	table.Group("Stored")
	table.Row(Across(2, "{} and {}", Strong("tank"), "hose"))
	table.Row(Say("{}", Missing("")), 12)
	if table.Rows() != 3 || len(table.Groups) != 2 || table.Groups[0].Title != "" {
		t.Errorf("%d rows in %d groups", table.Rows(), len(table.Groups))
	}
	across := table.Groups[1].Rows[0].Cells
	if len(across) != 1 || across[0].Columns() != 2 || across[0].Text.String() != "tank and hose" {
		t.Errorf("the wide cell is %+v", across)
	}
	if cell := table.Groups[1].Rows[1].Cells[1]; cell.Text.String() != "12" || cell.Columns() != 1 {
		t.Errorf("a number becomes %+v", cell)
	}
	if table.Columns[1].Align != Right {
		t.Error("figures do not lean to the right")
	}
}

func TestAMatrixKnowsItsStatesByTheirWords(t *testing.T) {
	m := NewMatrix("Numbers", "Source", []State{{"=", "agree", "the same"}, {"≠", "conflict", "different"}}, "chassis")
	m.Row(Say("plate"), Mark("agree", "{}", Literal("TK 40317 R")))
	if s, ok := m.State("conflict"); !ok || s.Mark != "≠" {
		t.Errorf("conflict is %+v, %v", s, ok)
	}
	if _, ok := m.State("unheard of"); ok {
		t.Error("a state that nobody declared is known")
	}
	if got := m.Rows[0].Cells[0]; got.State != "agree" || got.Note.String() != "TK 40317 R" {
		t.Errorf("the cell is %+v", got)
	}
}
