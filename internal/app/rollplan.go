package app

import (
	"fmt"
	"maps"
	"strings"
	"time"

	"boltback/internal/code"
	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/roll"
)

// RollOrder says how pictures are to become a session.
type RollOrder struct {
	Answers roll.Answers
	// Act is what was done to the parts; "" follows the sheet in the pictures, or is a removal.
	Act string
	// Store is where the parts went, by the end of its name; "" leaves it open.
	Store string
	// Called are names for lines, by their tags with the letter that tells two apart; "-" leaves a line out.
	Called map[string]string
}

// Plan is what pictures would become.
type Plan struct {
	roll.Proposal
	Act  string
	Rows []Row
}

// Row is what a line would become.
type Row struct {
	// Part is the part meant, New whether no record of it is there yet, Called what people call it.
	Part   record.Ref
	New    bool
	Called string
	// Done is the session that has this line already, from an earlier run; Out says that the line is left out.
	Done record.Ref
	Out  bool
}

// Key names a line in answers.
func Key(l roll.Line) string { return string(l.Tag) + l.Suffix }

// acts are what the jobs of sheets are for parts.
var acts = map[string]string{"": "removal", "strip-down": "removal", "fitting": "fitting", "stock-take": "sighting"}

// PlanRoll sorts pictures and says what they would become. Nothing is written.
func (d *Desk) PlanRoll(r *Roll, o RollOrder) (Plan, error) {
	answers := o.Answers
	answers.Clocks = maps.Clone(r.Shown)
	maps.Copy(answers.Clocks, o.Answers.Clocks)
	p := Plan{Proposal: roll.Sort(r.Pictures, answers), Act: o.Act}
	if err := d.rightCar(p); err != nil {
		return p, err
	}
	if p.Act == "" {
		p.Act = acts[p.Job]
	}
	if p.Act == "" && len(p.Lines) > 0 {
		return p, &Usage{Message: "the pictures follow a sheet for " + p.Job + ", which is not about parts coming off or going on", Hint: "--act removal, --act fitting or --act sighting says what was done to the parts"}
	}
	byTag, inSession := d.taggedParts(), d.sessionsByPaper(p.Act)
	named := map[record.Ref]string{}
	private := d.keepsPrivate()
	for _, l := range p.Lines {
		if err := private("the name of line "+labelOf(l), o.Called[Key(l)]); err != nil {
			return p, err
		}
		row := d.row(l, o.Called[Key(l)], byTag)
		for _, i := range l.Pictures {
			if done := inSession[r.Seen[i].Paper]; done != "" {
				row.Done = done
			}
		}
		if before := named[row.Part]; before != "" && row.Part != "" {
			return p, &Usage{Message: fmt.Sprintf("%s and %s would both be %s", before, labelOf(l), row.Part), Hint: "one of the two lines needs another name"}
		}
		named[row.Part] = labelOf(l)
		p.Rows = append(p.Rows, row)
	}
	return p, nil
}

// rightCar refuses pictures of another car's sheet.
func (d *Desk) rightCar(p Plan) error {
	cars := p.Cars
	if p.Car != "" && p.Car != strings.ToLower(d.car.Name) {
		cars = append([]string{p.Car}, cars...)
	}
	if len(cars) == 0 {
		return nil
	}
	return &Usage{Message: fmt.Sprintf("a sheet in the pictures is for %s, and not for %s", strings.Join(cars, " and "), d.car.Name), Hint: "take each car's pictures by themselves: --car " + cars[0]}
}

// row finds the part that a line is about: the one that bears the tag, the one that a person names, or a new one.
func (d *Desk) row(l roll.Line, called string, byTag map[int]record.Ref) Row {
	number, _ := numberOf(string(l.Tag))
	switch part := byTag[number]; {
	case called == "-":
		return Row{Out: true}
	case pieceOf(called) != "":
		slug := pieceOf(called)
		if r := d.s.Record(record.Ref("parts/" + slug)); r != nil {
			return Row{Part: r.ID, Called: r.Name()}
		}
		return Row{Part: record.Ref("parts/" + slug), New: true, Called: called}
	case part != "" && l.Suffix <= "a":
		row := Row{Part: part, Called: string(part)}
		if r := d.s.Record(part); r != nil {
			row.Called = r.Name()
		} else {
			row.New = true // only a line of work names it so far
		}
		return row
	}
	slug := "tag-" + strings.ToLower(string(l.Tag))
	if l.Suffix != "" {
		slug += "-" + l.Suffix
	}
	part := record.Ref("parts/" + slug)
	return Row{Part: part, New: d.s.Record(part) == nil, Called: "Part with tag " + labelOf(l)}
}

// labelOf writes a tag with the letter that tells two parts apart.
func labelOf(l roll.Line) string { return strings.TrimSpace(string(l.Tag) + " " + l.Suffix) }

// pieceOf makes a piece of a file's name of what people call a thing: plain letters and digits in groups.
func pieceOf(called string) string {
	words := strings.FieldsFunc(strings.ToLower(called), func(r rune) bool { return (r < 'a' || r > 'z') && (r < '0' || r > '9') })
	return strings.Join(words, "-")
}

// taggedParts finds parts by the numbers on their tags, in part records and in lines that name one part.
func (d *Desk) taggedParts() map[int]record.Ref {
	all := map[int]record.Ref{}
	add := func(tag string, part record.Ref) {
		if n, ok := numberOf(tag); ok && all[n] == "" {
			all[n] = part
		}
	}
	for _, p := range ledger.All[record.Part](d.s) {
		add(p.Body.Tag, p.ID)
	}
	for _, s := range replay.StandingSessions(d.s) {
		for _, l := range s.Body.Lines {
			if len(l.Parts) == 1 {
				add(l.Tag, l.Parts[0])
			}
		}
	}
	return all
}

// sessionsByPaper finds the sessions with lines of an act that show papers.
func (d *Desk) sessionsByPaper(act string) map[record.Ref]record.Ref {
	all := map[record.Ref]record.Ref{}
	for _, s := range replay.StandingSessions(d.s) {
		for _, l := range s.Body.Lines {
			for _, p := range l.Papers {
				if l.Act == act {
					all[p] = s.ID
				}
			}
		}
	}
	return all
}

// ReadClock reads what somebody says that the clock in a picture shows: 8:04, 08:04:30, or with its day, where the camera's
// calendar was wrong. Without a day it is the one that lies nearest to what the camera wrote.
func (e Env) ReadClock(typed string, p roll.Picture) (time.Time, error) {
	typed = strings.TrimSpace(strings.Replace(typed, "T", " ", 1))
	for _, form := range []string{"2006-01-02 15:04", "2006-01-02 15:04:05"} {
		if t, err := time.ParseInLocation(form, typed, e.Zone); err == nil {
			return t, nil
		}
	}
	for _, form := range []string{"15:04", "15:04:05", "15.04", "15.04.05", "1504"} {
		t, err := time.Parse(form, typed)
		if err != nil {
			continue
		}
		shown := p.Facts.Taken.Clock
		day := time.Date(shown.Year(), shown.Month(), shown.Day(), t.Hour(), t.Minute(), t.Second(), 0, time.UTC)
		const half = 12 * time.Hour
		switch apart := day.Sub(shown); {
		case apart > half:
			day = day.AddDate(0, 0, -1)
		case apart < -half:
			day = day.AddDate(0, 0, 1)
		}
		return time.Date(day.Year(), day.Month(), day.Day(), day.Hour(), day.Minute(), day.Second(), 0, e.Zone), nil
	}
	return time.Time{}, &Usage{Message: fmt.Sprintf("%q is no time of day", typed), Hint: "write it as 8:04 or 08:04:30, or with its day as '2026-03-02 08:04'"}
}

// ReadTag reads a number that somebody says is on a tag: with its check character, or the digits alone, or "-" for no tag.
func ReadTag(typed string, likely []code.Tag) (code.Tag, error) {
	typed = strings.TrimSpace(typed)
	if typed == "-" {
		return "", nil
	}
	tag, err := code.ParseTag(typed)
	if err == nil {
		return tag, nil
	}
	for _, t := range likely {
		if t.Digits() == typed {
			return t, nil
		}
	}
	return "", &Usage{Message: err.Error(), Hint: "the digits and the check character as printed, such as 0109-8, or - where it is no tag"}
}

// Spoken gives the meaning of a word for one tag in two places.
func Spoken(word string) (roll.Twice, error) {
	for _, t := range []roll.Twice{roll.Same, roll.Two} {
		if word != "" && strings.HasPrefix(string(t), strings.ToLower(word)) {
			return t, nil
		}
	}
	return roll.NotSaid, &Usage{Message: fmt.Sprintf("%q is no answer", word), Hint: "same is the same part photographed again, two are two parts that bear one number"}
}
