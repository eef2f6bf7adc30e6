package doc

import (
	"errors"
	"fmt"
	"regexp"
	"strings"
)

// maxDepth is how deep sections nest: a page has six levels of headings and
// the document's title takes the first.
const maxDepth = 5

// Check returns everything that is wrong with the shape of the document,
// joined, or nil: anchors that are missing, repeated or point nowhere, empty
// sections and tables, rows that don't fill their columns, states without a
// word, drawings without an alternative. It looks at what the program built,
// not at what the records say, so an error is a fault of the program.
func Check(d *Document) error {
	c := checker{anchors: map[string]bool{}}
	c.document(d)
	c.blocks("", d.Blocks(), 1)
	c.targets()
	return errors.Join(c.errs...)
}

type checker struct {
	errs    []error
	anchors map[string]bool
	links   []link
}

// link is a span that points into the document, and where it stands.
type link struct{ where, target string }

func (c *checker) fault(where, format string, args ...any) {
	if where != "" {
		format = "%s: " + format
		args = append([]any{where}, args...)
	}
	c.errs = append(c.errs, fmt.Errorf(format, args...))
}

// need asks for a string that is not empty.
func (c *checker) need(where, what, value string) {
	if strings.TrimSpace(value) == "" {
		c.fault(where, "%s is empty", what)
	}
}

func (c *checker) document(d *Document) {
	c.need("", "the title", d.Title)
	if !regexp.MustCompile(`^[a-zA-Z]{2,8}(-[a-zA-Z0-9]{1,8})*$`).MatchString(d.Language) {
		c.fault("", "language %q is not a language tag such as \"en\"", d.Language)
	}
	if d.Provenance == nil {
		c.fault("", "the provenance is missing")
	} else {
		c.block("provenance", d.Provenance, 1)
	}
	if len(d.Sections) == 0 {
		c.fault("", "the document has no section")
	}
}

// anchor records an anchor; where it may be empty, optional is true.
func (c *checker) anchor(where, id string, optional bool) {
	switch {
	case id == "" && optional:
	case !validAnchor(id):
		c.fault(where, "anchor %q is not made of letters, digits, hyphens, dots and underscores", id)
	case c.anchors[id]:
		c.fault(where, "anchor %q stands twice in the document", id)
	default:
		c.anchors[id] = true
	}
}

func (c *checker) targets() {
	for _, l := range c.links {
		if !c.anchors[l.target] {
			c.fault(l.where, "points at %q, which is not in the document", l.target)
		}
	}
}

func (c *checker) blocks(where string, blocks []Block, depth int) {
	for i, b := range blocks {
		c.block(strings.TrimPrefix(fmt.Sprintf("%s, %s", where, blockName(b, i)), ", "), b, depth)
	}
}

func blockName(b Block, i int) string {
	if s, ok := b.(*Section); ok {
		return fmt.Sprintf("section %q", s.ID)
	}
	return fmt.Sprintf("block %d (%s)", i+1, strings.ToLower(strings.TrimPrefix(fmt.Sprintf("%T", b), "*doc.")))
}

// texts checks the spans of a block.
func (c *checker) texts(where string, b Block) {
	for _, t := range Texts(b) {
		for _, s := range t {
			if s.Style >= styleCount {
				c.fault(where, "style %d is unknown", s.Style)
			}
			if s.Target != "" {
				c.links = append(c.links, link{where, s.Target})
			}
			if s.Style == StylePlain && (strings.HasPrefix(s.Text, "{!missing}") || strings.HasPrefix(s.Text, "{!extra ")) {
				c.fault(where, "sentence %q has the wrong number of arguments", t)
			}
		}
	}
}
