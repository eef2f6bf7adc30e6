package app

import (
	"context"
	"maps"
	"slices"
	"strings"
	"time"

	"boltback/internal/code"
	"boltback/internal/record"
)

// Answered are the answers that somebody gave about pictures. Each is on disk before the next question is asked, and belongs to
// a picture and not to its name, so that the same pictures come to the same list wherever they lie.
type Answered struct {
	waiting *waiting
	roll    *Roll
	all     []answer
}

// The sorts of answer: what the clock in a picture shows, the number on its tag, what a tag in two places is, and what the part
// of the line that a picture begins is called.
const (
	OfClock = "clock"
	OfTag   = "tag"
	OfTwice = "twice"
	OfLine  = "line"
)

// answer is one answer: about the picture with a digest, of the tag or line that of names, where it needs one.
type answer struct {
	sort, digest, of, value string
}

// answersSlug ends the name of the file in which answers wait.
const answersSlug = "pictures"

// Answered takes up the answers that this person gave about these and other pictures.
func (d *Desk) Answered(r *Roll) (*Answered, error) {
	w, doc, err := d.waitingFor(answersSlug)
	if err != nil {
		return nil, err
	}
	a := &Answered{waiting: w, roll: r}
	for _, line := range linesIn(doc) {
		if words := strings.SplitN(line, " ", 4); len(words) == 4 {
			a.all = append(a.all, answer{words[0], words[1], words[2], words[3]})
		}
	}
	return a, nil
}

// Len is how many answers are kept about these pictures.
func (a *Answered) Len() (n int) {
	for _, one := range a.all {
		if a.picture(one) >= 0 {
			n++
		}
	}
	return n
}

// Apply fills in what was answered about the pictures, unless the order says it already, and gives the number of answers used.
func (a *Answered) Apply(o *RollOrder) (used int) {
	given := *o
	given.Answers.Clocks, given.Answers.Tags = maps.Clone(o.Answers.Clocks), maps.Clone(o.Answers.Tags)
	given.Answers.Twice, given.Called = maps.Clone(o.Answers.Twice), maps.Clone(o.Called)
	for _, one := range a.all {
		i := a.picture(one)
		if i >= 0 && a.apply(one, a.roll.Pictures[i].Name, o, given) {
			used++
		}
	}
	return used
}

func (a *Answered) apply(one answer, picture string, o *RollOrder, given RollOrder) bool {
	switch one.sort {
	case OfClock:
		at, err := time.ParseInLocation(ClockForm, one.value, a.waiting.desk.env.Zone)
		return err == nil && put(o.Answers.Clocks, given.Answers.Clocks, picture, at)
	case OfTag:
		tag, err := ReadTag(one.value, nil)
		return err == nil && put(o.Answers.Tags, given.Answers.Tags, picture, tag)
	case OfTwice:
		word, err := Spoken(one.value)
		return err == nil && put(o.Answers.Twice, given.Answers.Twice, code.Tag(one.of), word)
	case OfLine:
		return put(o.Called, given.Called, one.of, one.value)
	}
	return false
}

// put fills in what was not given.
func put[K comparable, V any](into, given map[K]V, key K, value V) bool {
	if _, there := given[key]; there {
		return false
	}
	into[key] = value
	return true
}

// ClockForm is how the moment that a clock shows is written in an answer.
const ClockForm = "2006-01-02 15:04:05"

// picture is the place of the picture that an answer is about, -1 where it is not among these.
func (a *Answered) picture(one answer) int {
	return slices.IndexFunc(a.roll.Seen, func(s Seen) bool { return s.Digest == record.Digest(one.digest) })
}

// Say keeps an answer about a picture, in the place of an earlier one to the same question. It is on disk when Say returns.
func (a *Answered) Say(sort string, picture int, of, value string) error {
	if of == "" {
		of = "-"
	}
	fresh := answer{sort, string(a.roll.Seen[picture].Digest), strings.ReplaceAll(of, " ", ""), strings.Join(strings.Fields(value), " ")}
	a.all = slices.DeleteFunc(a.all, func(one answer) bool {
		return one.sort == fresh.sort && one.digest == fresh.digest && one.of == fresh.of
	})
	a.all = append(a.all, fresh)
	return a.save()
}

// Forget takes back what was answered about these pictures: they were taken, or are to be asked about afresh. Answers about
// others stay.
func (a *Answered) Forget(ctx context.Context) error {
	others := slices.DeleteFunc(slices.Clone(a.all), func(one answer) bool { return a.picture(one) >= 0 })
	if len(others) == 0 {
		a.all = nil
		return a.waiting.drop(ctx)
	}
	if len(others) == len(a.all) {
		return nil
	}
	a.all = others
	return a.save()
}

func (a *Answered) save() error {
	var lines []string
	for _, one := range a.all {
		lines = append(lines, strings.Join([]string{one.sort, one.digest, one.of, one.value}, " "))
	}
	return a.waiting.save("", lines)
}
