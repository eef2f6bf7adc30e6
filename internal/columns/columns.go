// Package columns knows what the columns of a table mean in the words of the trade, and turns its rows into records: each row
// with its fate, what it becomes or why it is not taken. What a spreadsheet damaged is refused at its line and never rebuilt.
package columns

import "strings"

// Kind is what a table lists.
type Kind string

// The kinds of table.
const (
	Parts      Kind = "parts"
	Joints     Kind = "joints"
	StripDown  Kind = "strip-down"
	Tightening Kind = "tightening"
	Readings   Kind = "readings"
	StockTake  Kind = "stock-take"
)

// Kinds lists them.
func Kinds() []Kind { return []Kind{Parts, Joints, StripDown, Tightening, Readings, StockTake} }

// sort is how a cell is read.
type sort uint8

const (
	text   sort = iota // as it stands
	figure             // a measure, with its unit in the cell or in the header
	whole              // a count
	day                // a date
	number             // a number as read, in which every character counts
	tag                // the number on a tag
)

// column is a column of a kind of table: the member it fills, how its cells are read, and the words that may stand over it.
type column struct {
	key   string
	sort  sort
	words string // parted by bars, lower case
}

// shared are the columns of everything that was done on a day by somebody.
var shared = []column{{"date", day, "date|day|on|done on|removed on|date removed|taken off on"}, {"by", text, "by|who|done by|technician|name of technician"}, {"note", text, "note|notes|remark|remarks|comment|comments"}}

// columnsOf are the columns of each kind. The words are those of sheets and lists in workshops.
var columnsOf = map[Kind][]column{
	Parts: {
		{"name", text, "part|name|part name|description|item|what"}, {"tag", tag, "tag|tag no|tag number|tag no.|label"},
		{"numbers.0.raw", number, "number|part number|part no|part no.|stamped number|serial|serial number|serial no|serial no.|chassis number"},
		{"position", text, "where|where it sat|position|place on the car|location on car"}, {"zone", text, "zone|area"}, {"side", text, "side|l/r|lh/rh|o/s n/s|os/ns"},
		{"mass", figure, "mass|weight"}, {"found", text, "found|was on the car"}, {"origin", text, "origin"}, {"class", text, "class|sort"},
		{"count", whole, "count|qty|quantity|pcs|pieces|no. off|how many"}, {"maker", text, "maker|make|manufacturer"}, {"source", text, "source|supplier|from"},
		{"hazards", text, "hazard|hazards|caution"}, {"may-go-back", text, "may go back"}, {"note", text, "note|notes|remark|remarks|comment|comments|condition"},
		{columnPath, text, columnPath}, {columnStanding, text, columnStanding}, {columnOver, text, columnOver},
	},
	Joints: {
		{"name", text, "joint|name|joint name"}, {"clamps", text, "parts|part|clamps|holds|what it holds"}, {"host", text, "host|fastened to|into"},
		{"zone", text, "zone|area"}, {"fasteners.0.what", text, "fastener|fasteners|what|type"}, {"fasteners.0.size", text, "size|thread|dimension"},
		{"fasteners.0.class", text, "class|grade|property class"}, {"fasteners.0.count", whole, "count|qty|quantity|pcs|number of fasteners|no. off|how many"},
		{"fasteners.0.bag", text, "bag|bag no|bag number|fastener bag"}, {"specification.torque", figure, "torque|specified|specified torque|tightening torque|torque spec"},
		{"specification.angle", figure, "angle"}, {"specification.source", text, "source|says who|reference"}, {"original", text, "original"},
		{"note", text, "note|notes|remark|remarks|comment|comments"},
	},
	StripDown: append([]column{
		{"tag", tag, "tag|tag no|tag number|tag no.|label"}, {"part", text, "part|name|part name|description|item"}, {"position", text, "where it sat|where|position|place on the car"},
		{"side", text, "side|l/r|lh/rh|o/s n/s|os/ns"}, {"fasteners", text, "fasteners|fixings|bolts|screws|qty|count|pcs"}, {"size", text, "size|thread"},
		{"bag", text, "bag|bag no|bag number|fastener bag"}, {"store", text, "store|stored|stored in|storage|kept in|where to"}, {"place", text, "crate, shelf|crate|shelf|place|crate/shelf|pallet|rack|bin|box"},
		{"mass", figure, "mass|weight"}, {"hazards", text, "hazard|hazards|caution"}, {"joint", text, "joint"}, {"purpose", text, "purpose|for"}, {columnDone, text, "done|off|taken off"},
	}, shared...),
	Tightening: append([]column{
		{"joint", text, "joint|what|where"}, {"part", text, "part"}, {"set", figure, "set|torque|applied|applied torque|torque set"}, {"indicated", figure, "indicated|reached|as indicated"},
		{"angle", figure, "angle"}, {"method", text, "how|method"}, {"instrument", text, "instrument|wrench|tool|torque wrench|instrument, number"},
		{"second-check", text, "second check|checked by|witness"},
	}, shared...),
	Readings: append([]column{
		{"what", text, "what|test|reading|measurement"}, {"of", text, "of|where|point|position|measured at|item|wheel|cell|cylinder"}, {"value", figure, "value|reading value|result|measured|figure|mass|weight|resistance|voltage|pressure"},
		{"poles", text, "poles|pole"}, {"instrument", text, "instrument|meter|tool"}, {"method", text, "how|method"}, {"place", text, "place|weighed at"},
	}, shared...),
	StockTake: append([]column{
		{"tag", tag, "tag|tag no|tag number|tag no.|label"}, {"part", text, "part|name|part name|description|item"}, {"store", text, "store|stored|stored in|storage|kept in|where"},
		{"place", text, "crate, shelf|crate|shelf|place|crate/shelf|pallet|rack|bin|box"}, {"seen", text, "today|seen|found|state|result"}, {"seal", text, "seal|unbroken|seal number; unbroken?"},
	}, shared...),
}

// needs are the members without which a table is not of a kind: of each group at least one.
var needs = map[Kind][][]string{
	Parts: {{"name"}}, Joints: {{"name"}, {"clamps", "fasteners.0.size", "fasteners.0.count", "specification.torque"}},
	StripDown: {{"part", "tag"}, {"fasteners", "bag", "store", "place"}}, Tightening: {{"joint", "part"}, {"set", "indicated", "method"}},
	Readings: {{"value"}, {"what", "of"}}, StockTake: {{"part", "tag"}, {"seen"}},
}

// plain makes header words comparable.
func plain(words string) string {
	return strings.Trim(strings.Join(strings.Fields(strings.NewReplacer("_", " ", "\u00a0", " ").Replace(strings.ToLower(words))), " "), " :.#*")
}

// columnFor finds the column of a kind that a header cell names.
func columnFor(k Kind, words string) (column, bool) {
	words = plain(words)
	for _, c := range columnsOf[k] {
		for one := range strings.SplitSeq(c.words, "|") {
			if strings.Trim(one, ".") == words {
				return c, true
			}
		}
	}
	return member(k, words)
}

// Known says that words are the header of a column of some kind of table, or of one kind where it is named.
func Known(kind Kind) func(words string) bool {
	return func(words string) bool {
		for _, k := range Kinds() {
			if _, ok := columnFor(k, words); ok && (kind == "" || k == kind) {
				return true
			}
		}
		return false
	}
}

// Words lists the header words of a kind of table, those of one column together, the usual one first.
func Words(k Kind) [][]string {
	var all [][]string
	for _, c := range columnsOf[k] {
		all = append(all, strings.Split(c.words, "|"))
	}
	return all
}
