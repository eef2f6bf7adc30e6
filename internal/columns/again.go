package columns

import (
	"strings"

	"boltback/internal/entry"
	"boltback/internal/record"
)

// member finds the column of a table of parts that is called as the member of a record is: tyre.size, contains. Private values
// are given one by one, where they are sealed.
func member(k Kind, words string) (column, bool) {
	if k != Parts || words == "value" || words == "kind" || words == "withdraws" {
		return column{}, false
	}
	_, _, ok := entry.Member(record.KindPart, strings.Split(words, "."))
	return column{words, text, words}, ok
}

// members are the cells of such columns as fields. A member that is a list has its texts in one cell.
func (r *reader) members(cells map[string]string) (words []string) {
	for _, p := range r.at {
		value := cells[p.column.key]
		if value == "" || p.column.key != p.column.words {
			continue
		}
		switch list, _, known := entry.Member(record.KindPart, strings.Split(p.column.key, ".")); {
		case !known:
		case list:
			for one := range strings.SplitSeq(value, ";") {
				words = append(words, p.column.key+"="+strings.TrimSpace(one))
			}
		default:
			words = append(words, p.column.key+"="+value)
		}
	}
	return words
}

// again reads the columns of a table that was made from records: which record a row was, and whether it counted. It says that
// nothing is to be made of a row that counts no more, or did not count by itself.
func (r *reader) again(cells map[string]string, kind record.Kind, fate *Fate) (ref record.Ref, left bool, err error) {
	switch standing := cells[columnStanding]; standing {
	case "", "stands", "disputed":
	default:
		fate.Says = "left out: " + strings.TrimSuffix(standing+" by "+cells[columnOver], " by ")
		return "", true, nil
	}
	if path := cells[columnPath]; path != "" {
		ref = record.Ref(path)
		if kinds := record.KindsAt(path + ".json"); len(kinds) != 1 || kinds[0] != kind {
			return "", false, &entry.Fault{Word: path, Message: "no " + string(kind) + " lies there", Hint: "a " + string(kind) + " lies at " + record.PlaceOf(kind)}
		}
	}
	if corrects := record.Ref(cells["corrects"]); corrects != "" && r.recorded(corrects) == nil {
		fate.Notes = append(fate.Notes, "what it corrected, "+string(corrects)+", stays behind, and the reason with it")
		delete(cells, "corrects")
		delete(cells, "reason")
	}
	if reason := cells["reason"]; reason != "" && cells["corrects"] == "" {
		cells["note"] = strings.TrimPrefix(cells["note"]+"; reason: "+reason, "; ")
		delete(cells, "reason")
	}
	return ref, false, nil
}

// withheld says that a cell holds no value but the word that one was withheld.
func withheld(raw string) bool {
	return raw == Withheld || strings.HasPrefix(raw, Withheld+", sha256 ")
}
