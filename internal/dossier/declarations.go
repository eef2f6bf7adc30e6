package dossier

import (
	"fmt"
	"strings"

	"boltback/internal/doc"
)

// declarations leaves blanks for each who judges items of the set, with the numbers of those items on the cover sheet.
func (p *paperwork) declarations() *doc.Section {
	s := doc.NewSection("declarations", "Declarations")
	items := map[string][]int{}
	for i := range p.a.Results {
		judge := p.a.Results[i].Item.Judge
		items[judge] = append(items[judge], i+1)
	}
	for _, judge := range []string{"builder", "competent person", "kit holder", "inspector"} {
		if len(items[judge]) == 0 {
			continue
		}
		of := "items"
		if len(items[judge]) == 1 {
			of = "item"
		}
		t := doc.NewTable(fmt.Sprintf("%s, for %s %s of the cover sheet", capital(judge), of, numberRuns(items[judge])), doc.Col("Of whoever signs", 2), doc.Col("By hand", 8))
		for _, blank := range []string{"Declares", "Name", "Authority, number", "Day, signature"} {
			t.Row(blank, penLine+penLine)
		}
		s.Add(t)
	}
	s.Add(doc.Para("The lines are empty because nobody has declared anything yet. This program declares nothing."))
	return s
}

// numberRuns writes rising numbers as people do: 1 to 4, 7, 9 and 10.
func numberRuns(list []int) string {
	var runs []string
	for i := 0; i < len(list); {
		last := i
		for last+1 < len(list) && list[last+1] == list[last]+1 {
			last++
		}
		switch {
		case last == i:
			runs = append(runs, fmt.Sprint(list[i]))
		case last == i+1:
			runs = append(runs, fmt.Sprint(list[i]), fmt.Sprint(list[last]))
		default:
			runs = append(runs, fmt.Sprintf("%d to %d", list[i], list[last]))
		}
		i = last + 1
	}
	if n := len(runs); n > 1 {
		return strings.Join(runs[:n-1], ", ") + " and " + runs[n-1]
	}
	return strings.Join(runs, "")
}
