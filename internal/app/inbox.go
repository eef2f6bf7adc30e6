package app

import (
	"context"
	"encoding/json"
	"fmt"
	"io/fs"
	"path"
	"strings"

	"boltback/internal/canon"
	"boltback/internal/record"
)

// kept is a file of the inbox: what was saved, where it was meant to go, and what it lacks.
type kept struct {
	Kind   record.Kind     `json:"kind,omitempty"`
	Slug   string          `json:"slug,omitempty"`
	Text   string          `json:"text,omitempty"`
	Fields json.RawMessage `json:"fields,omitempty"`
	Lacks  []string        `json:"lacks"`
}

// keep saves an incomplete draft to the inbox.
func (d *Desk) keep(ctx context.Context, draft draft, lacks []string) (Written, error) {
	text, err := record.Encode(draft.body)
	if err != nil {
		return Written{}, fmt.Errorf("save to the inbox: %w", err)
	}
	at := draft.inbox
	if at == "" {
		at = d.free(fmt.Sprintf("inbox/%s-%s-%s", d.today, d.slug(), path.Base(draft.slug)))
	}
	// what is private is sealed for the file of the inbox, and anew for the record that comes of it
	r, err := record.Decode(placeFor(string(draft.body.Heading().Kind)), text)
	if err != nil {
		return Written{}, &Broken{Finding: faultIn(at, err)}
	}
	if text, err = d.sealFor(r, at); err != nil {
		return Written{}, err
	}
	return d.keepAs(ctx, at, draft.slug, kept{Kind: draft.body.Heading().Kind, Slug: draft.slug, Fields: text, Lacks: lacks})
}

// Note saves a plain text to the inbox, to be made into a record when there is time.
func (d *Desk) Note(ctx context.Context, slug, text string) (Written, error) {
	if strings.TrimSpace(text) == "" {
		return Written{}, &Usage{Message: "there is nothing to save"}
	}
	return d.keepAs(ctx, "", slug, kept{Text: text, Lacks: []string{"kind"}})
}

func (d *Desk) keepAs(ctx context.Context, at, slug string, k kept) (Written, error) {
	if at == "" {
		at = d.free(fmt.Sprintf("inbox/%s-%s-%s", d.today, d.slug(), slug))
	}
	text, err := canon.Marshal(k)
	if err != nil {
		return Written{}, fmt.Errorf("save to the inbox: %w", err)
	}
	w, err := d.save(ctx, []Change{{Path: at, Content: text}}, nil, "save to the inbox: "+slug)
	w.Lacks = k.Lacks
	return w, err
}

// free gives a path that is not taken: the stem, or the stem with the next number.
func (d *Desk) free(stem string) string {
	at := stem + ".json"
	for n := 2; ; n++ {
		if _, taken := d.s.HasFile(at); !taken {
			return at
		}
		at = fmt.Sprintf("%s-%d.json", stem, n)
	}
}

// fromInbox takes up something saved before.
func (d *Desk) fromInbox(name string) (draft, error) {
	at, err := d.inInbox(strings.TrimSuffix(path.Base(name), ".json"))
	if err != nil {
		return draft{}, err
	}
	text, err := fs.ReadFile(d.env.Files.Folder(d.car.Path), at)
	if err != nil {
		return draft{}, fmt.Errorf("read %s: %w", at, err)
	}
	doc, err := canon.Parse(text, canon.DefaultLimits())
	if err != nil {
		return draft{}, &Broken{Finding: faultIn(at, err)}
	}
	kind, slug := textAt(doc, "kind"), textAt(doc, "slug")
	fields := doc.Root.Get("fields")
	body := record.New(record.Kind(kind))
	if body == nil || fields == nil {
		return draft{}, &Usage{Message: at + " is a note, and nothing says what kind of record it is to be", Hint: "record it with its kind, then remove the note"}
	}
	inner, err := canon.Parse(doc.Source[fields.Start:fields.End], canon.DefaultLimits())
	if err == nil {
		err = canon.Unmarshal(inner, body)
	}
	if err != nil {
		return draft{}, &Broken{Finding: faultIn(at, err)}
	}
	return draft{body: body, slug: slug, inbox: at}, nil
}

func textAt(doc *canon.Document, member string) string {
	if n := doc.Root.Get(member); n != nil {
		return n.Text
	}
	return ""
}

// inInbox finds a file of the inbox by its name, or by the end of it where that is enough.
func (d *Desk) inInbox(name string) (string, error) {
	var names, ends []string
	for _, f := range d.s.Files() {
		if path.Dir(f.Path) != "inbox" {
			continue
		}
		base := strings.TrimSuffix(path.Base(f.Path), ".json")
		names = append(names, base)
		if base == name {
			return f.Path, nil
		}
		if strings.HasSuffix(base, "-"+name) {
			ends = append(ends, f.Path)
		}
	}
	switch {
	case len(ends) == 1:
		return ends[0], nil
	case len(names) == 0:
		return "", &Usage{Message: "the inbox has no " + name, Hint: "it is empty"}
	}
	return "", &Usage{Message: "the inbox has no " + name, Hint: "it holds: " + strings.Join(names, ", ")}
}
