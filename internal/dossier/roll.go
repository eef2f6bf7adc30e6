package dossier

import (
	"fmt"
	"strings"

	"boltback/internal/code"
	"boltback/internal/doc"
	"boltback/internal/roll"
)

// RollRow is what one line of pictures would become.
type RollRow struct {
	// Part is what people call the part, Remark what is to be said of it; both may be empty.
	Part, Remark string
}

// Roll is the short list of what pictures tell, to confirm or mend: line by line, then what is under no part, then what is in doubt.
func Roll(p roll.Proposal, pictures []roll.Picture, rows []RollRow) []doc.Block {
	var blocks []doc.Block
	if len(p.Lines) > 0 {
		t := doc.NewTable("Lines, in the order of the pictures", doc.Num("No.", 2), doc.Col("Tag", 3), doc.Col("Time", 3), doc.Num("Pictures", 3), doc.Col("Part", 12))
		for n, l := range p.Lines {
			part := doc.Say("{}", rows[n].Part)
			if bags := bagsOf(l); bags != "" {
				part = part.And("; bag {}", bags)
			}
			if rows[n].Remark != "" {
				part = part.And("; {}", rows[n].Remark)
			}
			t.Row(n+1, strings.TrimSpace(string(l.Tag)+" "+l.Suffix), p.Moments[l.Pictures[0]].Time.Format("15:04:05"), len(l.Pictures), part)
		}
		blocks = append(blocks, t)
	}
	if l := looseList(p, pictures); l != nil {
		blocks = append(blocks, doc.Para("Under no part:"), l)
	}
	if l := rollDoubts(p); l != nil {
		blocks = append(blocks, doc.Para("To look at:"), l)
	}
	return blocks
}

func bagsOf(l roll.Line) string {
	var words []string
	for _, b := range l.Bags {
		words = append(words, string(b))
	}
	return strings.Join(words, ", ")
}

// looseList counts the pictures under no part by cause, and names the first few.
func looseList(p roll.Proposal, pictures []roll.Picture) *doc.List {
	const few = 3
	names := map[roll.Cause][]string{}
	var causes []roll.Cause
	for _, l := range p.Loose {
		if names[l.Cause] == nil {
			causes = append(causes, l.Cause)
		}
		names[l.Cause] = append(names[l.Cause], pictures[l.Picture].Name)
	}
	if len(causes) == 0 {
		return nil
	}
	list := doc.Bullets()
	for _, c := range causes {
		what := "with the session"
		if !c.Settled() {
			what = "left aside, not taken"
		}
		shown := strings.Join(names[c][:min(few, len(names[c]))], ", ")
		if more := len(names[c]) - few; more > 0 {
			shown += fmt.Sprintf(" and %d more", more)
		}
		list.Items = append(list.Items, doc.Point("{}: {}; {} ({})", string(c), count(len(names[c]), "picture"), what, shown))
	}
	return list
}

// rollDoubts lists what a person should know before taking the lines.
func rollDoubts(p roll.Proposal) *doc.List {
	list := doc.Bullets()
	if len(p.Missing) > 0 {
		list.Items = append(list.Items, doc.Point("no picture shows these numbers, which lie between those that were read: {}", tagList(p.Missing)))
	}
	for _, camera := range p.Unproven {
		list.Items = append(list.Items, doc.Point("no clock was read for the camera {}, so its pictures go under its own tags alone", orUnnamed(camera)))
	}
	if p.Doubtful > 0 {
		list.Items = append(list.Items, doc.Point("{} would go under another tag if each camera were a bench of its own: --apart sorts them so", count(p.Doubtful, "picture")))
	}
	if days := daysOf(p); days > 1 {
		list.Items = append(list.Items, doc.Point("the pictures under parts are of {} days; one session is of one: take each day's folder by itself", days))
	}
	if len(list.Items) == 0 {
		return nil
	}
	return list
}

func orUnnamed(camera string) string {
	if camera == "" {
		return "that its files do not name"
	}
	return camera
}

func tagList(tags []code.Tag) string {
	const most = 12
	words := make([]string, 0, len(tags))
	for _, t := range tags[:min(len(tags), most)] {
		words = append(words, string(t))
	}
	if more := len(tags) - most; more > 0 {
		words = append(words, fmt.Sprintf("and %d more", more))
	}
	return strings.Join(words, ", ")
}

// daysOf counts the days on which pictures under parts were taken.
func daysOf(p roll.Proposal) int {
	days := map[string]bool{}
	for _, l := range p.Lines {
		for _, i := range l.Pictures {
			days[p.Moments[i].Time.Format("2006-01-02")] = true
		}
	}
	return len(days)
}
