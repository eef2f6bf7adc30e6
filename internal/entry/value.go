package entry

import (
	"errors"
	"fmt"
	"reflect"
	"slices"
	"strconv"
	"strings"
	"sync"

	"boltback/internal/edtf"
	"boltback/internal/quantity"
	"boltback/internal/record"
	"boltback/schema"

	"boltback/internal/canon"
	"boltback/internal/finding"
)

// measure reads a quantity the way people write them and keeps the canonical text.
func (c Context) measure(v reflect.Value, value string, hints quantity.Hints) ([]string, error) {
	hints.DecimalComma, hints.Country = c.DecimalComma, c.Country
	if value == "not recorded" {
		v.SetString(value)
		return nil, nil
	}
	reading, err := quantity.Read(value, hints)
	var either *quantity.Ambiguous
	switch {
	case errors.As(err, &either):
		words := make([]string, len(either.Candidates))
		for i, candidate := range either.Candidates {
			words[i] = candidate.Words
		}
		return nil, &Fault{Message: fmt.Sprintf("%q can be read in %d ways", value, len(words)), Hint: "write one of: " + strings.Join(words, "; ")}
	case err != nil:
		return nil, &Fault{Message: err.Error()}
	}
	v.SetString(reading.Quantity.Canonical())
	var notes []string
	for _, n := range reading.Notes {
		notes = append(notes, n.Text)
	}
	return notes, nil
}

// date reads a date.
func (c Context) date(value string) (string, error) {
	d, err := edtf.Parse(c.Day(value))
	if err != nil {
		return "", &Fault{Message: err.Error(), Hint: "write it as 2026-03-02, 1967-03, 196X, today or yesterday"}
	}
	return d.Text(), nil
}

// Day puts the day that they stand for in the place of the words today and yesterday, and leaves others as they are.
func (c Context) Day(value string) string {
	switch {
	case c.Today.IsZero():
		return value
	case strings.EqualFold(value, "today"):
		return c.Today.String()
	case strings.EqualFold(value, "yesterday"):
		return c.Today.AddDays(-1).String()
	}
	return value
}

// reference finds the record that a word names: its whole name, or the end of it among the kinds that belong there. A name
// that nobody has recorded yet is taken as it is written: nothing has to be declared first.
func (c Context) reference(value, refers string) (record.Ref, error) {
	value = strings.TrimSuffix(value, ".json")
	kinds := kindsOf(refers)
	if c.Snapshot != nil && c.Snapshot.Record(record.Ref(value)) != nil {
		return record.Ref(value), nil
	}
	var ends []string
	if c.Snapshot != nil {
		for _, id := range c.Snapshot.Names() {
			r := c.Snapshot.Record(id)
			if strings.HasSuffix(string(id), "/"+value) && (len(kinds) == 0 || slices.Contains(kinds, r.Kind)) {
				ends = append(ends, string(id))
			}
		}
	}
	if len(ends) == 0 && c.Book != nil {
		for _, id := range c.Book() {
			if strings.HasSuffix(string(id), "/"+value) && slices.ContainsFunc(kinds, func(k record.Kind) bool { return record.FolderOf(record.Ref(record.PlaceOf(k))) == record.FolderOf(id) }) {
				ends = append(ends, string(id))
			}
		}
	}
	switch {
	case len(ends) == 1:
		return record.Ref(ends[0]), nil
	case len(ends) > 1:
		return "", &Fault{Message: value + " could be any of several records", Hint: "name one of: " + strings.Join(ends, ", ")}
	case strings.Contains(value, "/"):
		return record.Ref(value), nil
	case len(kinds) == 1 && record.IsSlug(value) && strings.Count(record.PlaceOf(kinds[0]), "/") == 1:
		folder, _, _ := strings.Cut(record.PlaceOf(kinds[0]), "/")
		return record.Ref(folder + "/" + value), nil
	}
	return "", &Fault{Message: fmt.Sprintf("no record is called %s", value), Hint: "a record is named by its path without .json, like parts/fuel-tank"}
}

func kindsOf(refers string) []record.Kind {
	var kinds []record.Kind
	for word := range strings.SplitSeq(refers, ",") {
		if word != "" && word != "*" && word != "same" {
			kinds = append(kinds, record.Kind(word))
		}
	}
	return kinds
}

// text takes a plain text: one of the schema's words where the schema has a list of them, and a measure where a figure of a
// reading or a rating stands.
func (c Context) text(body record.Body, v reflect.Value, path []string, value string) ([]string, error) {
	words := Words(body.Heading().Kind, path)
	if len(words) > 0 && !slices.Contains(words, value) {
		hint := "the words are: " + strings.Join(words, ", ")
		if near := finding.Nearest(value, words); near != "" {
			hint = fmt.Sprintf("did you mean %q? %s", near, hint)
		}
		return nil, &Fault{Message: fmt.Sprintf("%q is not one of the words for this", value), Hint: hint}
	}
	if hints, figure := figureHints(body, path, value); figure {
		return c.measure(v, value, hints)
	}
	v.SetString(value)
	return nil, nil
}

// figureHints says how to read the figures whose dimension the record decides: those of readings and ratings.
func figureHints(body record.Body, path []string, value string) (quantity.Hints, bool) {
	if path[len(path)-1] != "value" || !strings.ContainsAny(value, "0123456789") {
		return quantity.Hints{}, false
	}
	switch body := body.(type) {
	case *record.Reading:
		return readingHints[body.What], true
	case *record.Car, *record.Part:
		return quantity.Hints{}, true
	}
	return quantity.Hints{}, false
}

// readingHints says what the figures of a reading normally are.
var readingHints = map[string]quantity.Hints{
	"weighing":    {Dimension: quantity.Mass},
	"insulation":  {Dimension: quantity.Resistance, Usual: "MΩ"},
	"bonding":     {Dimension: quantity.Resistance, Usual: "mΩ"},
	"proved-dead": {Dimension: quantity.Voltage},
	"distance":    {Dimension: quantity.Length},
	"ride-height": {Dimension: quantity.Length},
	"compression": {Dimension: quantity.Pressure},
}

// Words lists the words that the schema of a kind allows at a place; none where any text may stand.
func Words(kind record.Kind, path []string) []string {
	n := schemaAt(kind, path)
	if n == nil {
		return nil
	}
	var words []string
	if list := n.Get("enum"); list != nil {
		for _, w := range list.Elements {
			words = append(words, w.Text)
		}
	}
	return words
}

// Member says that a kind has a text, a number or a list of them at a path, whether it is a list, and where it stands among
// the members of the kind, in the schema's order.
func Member(kind record.Kind, path []string) (list bool, order []int, ok bool) {
	t := reflect.TypeOf(record.New(kind)).Elem()
	for _, step := range path {
		switch t.Kind() {
		case reflect.Struct:
			f, here := member(reflect.New(t).Elem(), step)
			if !here {
				return false, nil, false
			}
			order = append(order, slices.Index(names(t), step))
			t = f.value.Type()
		case reflect.Slice:
			n, err := strconv.Atoi(step)
			if err != nil || n < 0 {
				return false, nil, false
			}
			order = append(order, n)
			t = t.Elem()
		default:
			return false, nil, false
		}
		if t.Kind() == reflect.Pointer {
			t = t.Elem()
		}
	}
	if list = t.Kind() == reflect.Slice; list {
		t = t.Elem()
	}
	return list, order, t.Kind() != reflect.Struct
}

// schemaAt walks a kind's schema to the member at a path.
func schemaAt(kind record.Kind, path []string) *canon.Node {
	n := schemaRoot(string(kind))
	for _, step := range path {
		n = resolve(n)
		switch {
		case n == nil:
			return nil
		case n.Get("items") != nil:
			n = n.Get("items")
		default:
			n = n.Get("properties").Get(step)
		}
	}
	n = resolve(n)
	if items := n.Get("items"); items != nil { // a list takes one more of its items
		return resolve(items)
	}
	return n
}

// schemas are those that were read, by name: they travel with the program and never change.
var schemas sync.Map

func schemaRoot(name string) *canon.Node {
	if root, ok := schemas.Load(name); ok {
		return root.(*canon.Node)
	}
	text, err := schema.Text(name)
	if err != nil {
		return nil
	}
	d, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		return nil
	}
	schemas.Store(name, d.Root)
	return d.Root
}

// resolve follows a reference to what kinds share.
func resolve(n *canon.Node) *canon.Node {
	ref := n.Get("$ref")
	if ref == nil {
		return n
	}
	return schemaRoot("common").Get("$defs").Get(strings.TrimPrefix(ref.Text, "common.json#/$defs/"))
}

// Lacks lists what a record cannot do without and does not have, as places like lines.0.act.
func Lacks(body record.Body) []string {
	src, err := record.Encode(body)
	if err != nil {
		return nil
	}
	d, err := canon.Parse(src, canon.DefaultLimits())
	if err != nil {
		return nil
	}
	return lacks(d.Root, schemaRoot(string(body.Heading().Kind)), "")
}

func lacks(value, n *canon.Node, at string) []string {
	if value == nil || n == nil {
		return nil
	}
	n = resolve(n)
	var all []string
	if items := n.Get("items"); items != nil {
		for i, e := range value.Elements {
			all = append(all, lacks(e, items, fmt.Sprintf("%s.%d", at, i))...)
		}
		return all
	}
	for _, name := range requiredOf(n, value) {
		if value.Get(name) == nil {
			all = append(all, strings.TrimPrefix(at+"."+name, "."))
		}
	}
	for _, m := range value.Members {
		all = append(all, lacks(m.Value, n.Get("properties").Get(m.Name), strings.TrimPrefix(at+"."+m.Name, "."))...)
	}
	return all
}

// requiredOf lists the members that a schema asks of a value: its own, and those of the branch that the value takes.
func requiredOf(n, value *canon.Node) []string {
	names := namesIn(n.Get("required"))
	if condition := n.Get("if"); condition != nil {
		branch := "else"
		if meets(value, condition) {
			branch = "then"
		}
		if taken := n.Get(branch); taken != nil {
			names = append(names, requiredOf(taken, value)...)
		}
	}
	return names
}

// meets says that a value has the members that a condition names, and the texts that it wants.
func meets(value, condition *canon.Node) bool {
	for _, name := range namesIn(condition.Get("required")) {
		if value.Get(name) == nil {
			return false
		}
	}
	if wanted := condition.Get("properties"); wanted != nil {
		for _, m := range wanted.Members {
			if has := value.Get(m.Name); has != nil && !slices.Contains(allowed(m.Value), has.Text) {
				return false
			}
		}
	}
	return true
}

// allowed lists the texts that a member may have.
func allowed(member *canon.Node) []string {
	if one := member.Get("const"); one != nil {
		return []string{one.Text}
	}
	return namesIn(member.Get("enum"))
}

func namesIn(list *canon.Node) []string {
	if list == nil {
		return nil
	}
	var names []string
	for _, e := range list.Elements {
		names = append(names, e.Text)
	}
	return names
}
