package dossier

import (
	"fmt"
	"slices"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/schema"
)

// Kinds returns the list of kinds of record with what each is for and where it lies.
func Kinds() (*doc.Section, error) {
	t := doc.NewTable("Kinds of record", doc.Col("Kind", 2), doc.Col("Lies at", 4), doc.Col("What it is", 6))
	for _, k := range record.Kinds() {
		s, err := schemaOf(string(k))
		if err != nil {
			return nil, err
		}
		t.Row(string(k), record.PlaceOf(k), textOf(s.Root, "description"))
	}
	return doc.NewSection("kinds", "Kinds of record", t), nil
}

// Schema explains one kind of record from its schema: each member, what may stand there, and an example that holds every
// member.
func Schema(kind record.Kind) (*doc.Section, error) {
	s, err := schemaOf(string(kind))
	if err != nil {
		return nil, err
	}
	common, err := schemaOf("common")
	if err != nil {
		return nil, err
	}
	e := &explainer{common: common.Root.Get("$defs")}
	section := doc.NewSection(doc.Anchor("schema "+string(kind)), textOf(s.Root, "title"),
		doc.Para("{}", textOf(s.Root, "description")),
		doc.FactsOf(doc.Is("Lies at", "{}", doc.Literal(record.PlaceOf(kind))), doc.Is("Cannot do without", "{}", required(s.Root))),
		e.table("Members", s.Root))
	for i := 0; i < len(e.objects); i++ { // explaining one object may name further ones
		o := e.objects[i]
		section.Add(doc.NewSection(doc.Anchor("schema "+o), strings.ReplaceAll(o, "-", " "), e.table(textOf(e.common.Get(o), "description"), e.common.Get(o))))
	}
	section.Add(&doc.Verbatim{Caption: "Every member once, for example", Text: e.example(s.Root, kind)})
	return section, nil
}

func schemaOf(name string) (*canon.Document, error) {
	text, err := schema.Text(name)
	if err != nil {
		return nil, err
	}
	d, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		return nil, fmt.Errorf("schema %s: %w", name, err)
	}
	return d, nil
}

func textOf(n *canon.Node, member string) string {
	if v := n.Get(member); v != nil {
		return v.Text
	}
	return ""
}

// required lists the members that a kind cannot do without.
func required(root *canon.Node) string {
	list := root.Get("required")
	if otherwise := root.Get("else"); otherwise != nil {
		list = otherwise.Get("required")
	}
	if list == nil {
		return "nothing"
	}
	var names []string
	for _, n := range list.Elements {
		names = append(names, n.Text)
	}
	return strings.Join(names, ", ")
}

// explainer follows the definitions that a schema shares with others.
type explainer struct {
	common  *canon.Node
	objects []string
}

const sharedDefinition = "common.json#/$defs/"

// table gives a row for each member of an object.
func (e *explainer) table(caption string, object *canon.Node) *doc.Table {
	t := doc.NewTable(caption, doc.Col("Member", 3), doc.Col("What may stand there", 5), doc.Col("What it says", 6))
	for _, m := range object.Get("properties").Members {
		t.Row(m.Name, e.may(m.Value), textOf(m.Value, "description"))
	}
	return t
}

// may says in words what may stand as a member.
func (e *explainer) may(n *canon.Node) string {
	if items := n.Get("items"); items != nil {
		return "list: " + e.may(items)
	}
	if words := n.Get("enum"); words != nil {
		return choices(words)
	}
	if c := n.Get("const"); c != nil {
		return c.Text
	}
	ref, shared := strings.CutPrefix(textOf(n, "$ref"), sharedDefinition)
	switch {
	case shared && ref == "quantity":
		return e.measure(n)
	case shared && ref == "reference":
		return "name of a " + strings.ReplaceAll(choices(n.Get("refers")), "*", "record")
	case shared && ref == "digest" && n.Get("private") != nil:
		return "digest of a private value"
	case shared && ref == "digest":
		return "SHA-256 in hex"
	case shared && ref == "date":
		return "date"
	case shared:
		if !slices.Contains(e.objects, ref) {
			e.objects = append(e.objects, ref)
		}
		return "see " + strings.ReplaceAll(ref, "-", " ")
	case textOf(n, "type") == "integer":
		return "whole number"
	default:
		return "text"
	}
}

func (e *explainer) measure(n *canon.Node) string {
	text := textOf(n, "dimension")
	if words := n.Get("words"); words != nil {
		text += ", or: " + choices(words)
	}
	return text
}

func choices(list *canon.Node) string {
	var words []string
	for _, w := range list.Elements {
		words = append(words, w.Text)
	}
	return strings.Join(words, " | ")
}

// example writes a record of the kind with every member that has an example.
func (e *explainer) example(root *canon.Node, kind record.Kind) string {
	var b strings.Builder
	e.object(&b, root, kind)
	d, err := canon.Parse([]byte(b.String()), canon.DefaultLimits())
	if err != nil {
		return b.String() // a test shows that this does not happen
	}
	return string(canon.Layout(d))
}

func (e *explainer) object(b *strings.Builder, object *canon.Node, kind record.Kind) {
	b.WriteByte('{')
	first := true
	for _, m := range object.Get("properties").Members {
		if kind != "" && slices.Contains([]string{"corrects", "withdraws", "reason"}, m.Name) {
			continue // a record that corrects nothing is the usual one
		}
		var value strings.Builder
		if !e.value(&value, m.Value) {
			continue
		}
		if !first {
			b.WriteByte(',')
		}
		first = false
		fmt.Fprintf(b, "%s:%s", jsonText(m.Name), value.String())
	}
	b.WriteByte('}')
}

// value writes an example of one member, and reports whether there is one.
func (e *explainer) value(b *strings.Builder, n *canon.Node) bool {
	if c := n.Get("const"); c != nil {
		b.WriteString(jsonText(c.Text))
		return true
	}
	if examples := n.Get("examples"); examples != nil {
		literal(b, examples.Elements[0])
		return true
	}
	if items := n.Get("items"); items != nil {
		b.WriteByte('[')
		ok := e.value(b, items)
		b.WriteByte(']')
		return ok
	}
	ref, shared := strings.CutPrefix(textOf(n, "$ref"), sharedDefinition)
	if shared && e.common.Get(ref).Get("properties") != nil {
		e.object(b, e.common.Get(ref), "")
		return true
	}
	return false
}

// literal writes a value of the schema as it stands there.
func literal(b *strings.Builder, n *canon.Node) {
	switch n.Kind {
	case canon.String:
		b.WriteString(jsonText(n.Text))
	case canon.Array:
		b.WriteByte('[')
		for i, el := range n.Elements {
			if i > 0 {
				b.WriteByte(',')
			}
			literal(b, el)
		}
		b.WriteByte(']')
	default:
		b.WriteString(n.Text)
	}
}

func jsonText(s string) string {
	text, err := canon.Marshal(s)
	if err != nil {
		return `""` // text of our own schemas is valid
	}
	return strings.TrimSpace(string(text))
}
