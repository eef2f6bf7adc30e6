package canon

import (
	"bytes"
	"fmt"
	"strconv"
	"strings"
	"sync"

	"github.com/go-json-experiment/json/jsontext"
)

// SyntaxError says why a file cannot be read and where.
type SyntaxError struct {
	// Line and Column count from 1, columns in characters.
	Line, Column int
	// Pointer is the JSON pointer of the value in which reading stopped.
	Pointer string
	// Message says what is wrong, Hint what would be right; Hint may be empty.
	Message, Hint string
}

// Error gives "line:column: message"; a caller puts the file name before it.
func (e *SyntaxError) Error() string {
	return fmt.Sprintf("%d:%d: %s", e.Line, e.Column, e.Message)
}

// Parse reads one JSON value that makes up the whole of src. The error is always
// a *SyntaxError. The document keeps src and nodes refer to it.
//
// Refused are: a name that its object holds already, invalid UTF-8, half a
// surrogate pair, a byte order mark, anything after the value, raw control
// characters in texts, numbers that are not whole or not below 2^53 in
// magnitude, -0, and whatever exceeds a limit. Escaped control characters pass
// this layer.
func Parse(src []byte, limits Limits) (*Document, error) {
	p := parser{src: src, limits: limits.orDefault()}
	if len(src) > p.limits.Bytes {
		return nil, p.fail(0, fmt.Sprintf("the file has %d bytes, a record may have %d", len(src), p.limits.Bytes),
			"keep photos and documents as papers and long tables as readings of their own")
	}
	w := workspaces.Get().(*workspace)
	w.dec.Reset(bytes.NewBuffer(src))
	p.workspace, p.text = w, string(src)
	root, err := p.document()
	w.release()
	if err != nil {
		return nil, err
	}
	return &Document{Source: src, Root: root}, nil
}

// workspace is what one parse needs and the next can use again.
type workspace struct {
	dec jsontext.Decoder
	// open are the containers not closed yet; their members and elements wait on
	// two stacks and are copied out, exactly sized, at the close.
	open     []container
	members  []Member
	elements []*Node
}

var workspaces = sync.Pool{New: func() any { return new(workspace) }}

// release forgets the file and returns the workspace, unless a huge file made it huge.
func (w *workspace) release() {
	const huge = 512
	if cap(w.members) > huge || cap(w.elements) > huge {
		return
	}
	w.dec.Reset(bytes.NewBuffer(nil))
	clear(w.open[:cap(w.open)])
	clear(w.members[:cap(w.members)])
	clear(w.elements[:cap(w.elements)])
	w.open, w.members, w.elements = w.open[:0], w.members[:0], w.elements[:0]
	workspaces.Put(w)
}

// parser turns the decoder's tokens into nodes.
type parser struct {
	*workspace
	src    []byte
	text   string // the same as src, so that texts without escapes are slices of it
	limits Limits
	slab   []Node // nodes are cut from here in blocks
	count  int
}

// container is an object or array that is not closed yet.
type container struct {
	node  *Node
	first int    // where its members or elements begin on their stack
	named bool   // in an object: a name has been read and its value comes next
	name  string // that name
	start int    // and where it begins
}

// document reads the value and insists that nothing follows it.
func (p *parser) document() (*Node, error) {
	root, err := p.value()
	for err == nil && len(p.open) > 0 {
		err = p.step()
	}
	if err != nil {
		return nil, err
	}
	return root, p.ended(root.End)
}

// ended insists that nothing but blanks follows the offset.
func (p *parser) ended(offset int) error {
	s := scanner{src: p.src, at: offset}
	if s.skipBlanks(); s.ended() {
		return nil
	}
	if bad := firstInvalidUTF8(p.src[s.at:]); bad >= 0 {
		return p.encodingFault(s.at + bad)
	}
	s.glued()
	s.blame("something follows the end of the record", "a file holds one record; delete the rest, or look for a bracket closed too early")
	return p.fail(s.at, s.message, s.hint)
}

// step reads what comes next in the innermost open container: a name, a value
// or the close.
func (p *parser) step() error {
	top := &p.open[len(p.open)-1]
	kind := p.dec.PeekKind()
	if kind == jsontext.KindEndObject || kind == jsontext.KindEndArray {
		return p.close(top)
	}
	if top.node.Kind == Object && !top.named {
		return p.name(top)
	}
	_, err := p.value()
	return err
}

// name reads a member's name and keeps it until its value has been read.
func (p *parser) name(top *container) error {
	raw, err := p.dec.ReadValue()
	if err != nil {
		return p.explain(err)
	}
	end := int(p.dec.InputOffset())
	top.start, top.named = end-len(raw), true
	top.name, err = p.unquote(top.start, end)
	return err
}

// value reads a scalar, or the opening of an object or array, and hands it to
// the container around it.
func (p *parser) value() (*Node, error) {
	kind := kindOf(p.dec.PeekKind())
	size := 1
	if kind == Object || kind == Array {
		if _, err := p.dec.ReadToken(); err != nil {
			return nil, p.explain(err)
		}
	} else {
		raw, err := p.dec.ReadValue()
		if err != nil {
			return nil, p.explain(err)
		}
		size = len(raw)
	}
	end := int(p.dec.InputOffset())
	node := p.node()
	*node = Node{Kind: kind, Start: end - size, End: end}
	p.attach(node)
	return node, p.fill(node)
}

// fill completes a node: the text of a scalar, a place among the open ones for
// a container. Here the limits are held.
func (p *parser) fill(node *Node) (err error) {
	if p.count > p.limits.Nodes {
		return p.fail(node.Start, fmt.Sprintf("a record may have %d values, this is one more", p.limits.Nodes),
			"split it into several records")
	}
	switch node.Kind {
	case String:
		node.Text, err = p.unquote(node.Start, node.End)
	case Number:
		node.Text = p.text[node.Start:node.End]
		err = p.whole(node)
	case Object:
		err = p.enter(node, len(p.members))
	case Array:
		err = p.enter(node, len(p.elements))
	default:
		node.Text = p.text[node.Start:node.End]
	}
	return err
}

// enter opens a container.
func (p *parser) enter(node *Node, first int) error {
	if len(p.open) >= p.limits.Depth {
		return p.fail(node.Start, fmt.Sprintf("objects and lists stand more than %d deep in one another here", p.limits.Depth),
			"a record needs far fewer; a bracket may have been repeated")
	}
	p.open = append(p.open, container{node: node, first: first})
	return nil
}

// close reads the closing bracket and gives the node its members or elements.
func (p *parser) close(top *container) error {
	if _, err := p.dec.ReadToken(); err != nil {
		return p.explain(err)
	}
	top.node.End = int(p.dec.InputOffset())
	if top.node.Kind == Object {
		top.node.Members = append([]Member(nil), p.members[top.first:]...)
		p.members = p.members[:top.first]
	} else {
		top.node.Elements = append([]*Node(nil), p.elements[top.first:]...)
		p.elements = p.elements[:top.first]
	}
	p.open = p.open[:len(p.open)-1]
	return nil
}

// attach hands a value to the container around it.
func (p *parser) attach(node *Node) {
	if len(p.open) == 0 {
		return
	}
	top := &p.open[len(p.open)-1]
	if top.node.Kind == Array {
		p.elements = append(p.elements, node)
		return
	}
	p.members = append(p.members, Member{top.name, top.start, node})
	top.named = false
}

// node cuts a new node from the slab.
func (p *parser) node() *Node {
	if len(p.slab) == 0 {
		p.slab = make([]Node, min(max(len(p.src)/32, 1), 256))
	}
	node := &p.slab[0]
	p.slab = p.slab[1:]
	p.count++
	return node
}

// unquote decodes the text or name that stands, quotes included, at start:end.
func (p *parser) unquote(start, end int) (string, error) {
	inner := p.text[start+1 : end-1]
	if len(inner) > p.limits.StringBytes {
		return "", p.fail(start, fmt.Sprintf("this text has %d bytes, one text may have %d", len(inner), p.limits.StringBytes),
			"keep a document as a paper, not as a text in a record")
	}
	if strings.IndexByte(inner, '\\') < 0 {
		return inner, nil
	}
	decoded, err := jsontext.AppendUnquote(nil, p.src[start:end])
	if err != nil { // cannot happen after the decoder took it
		return "", p.fail(start, "this text cannot be read", "")
	}
	return string(decoded), nil
}

// whole refuses numbers that a record must not hold: every program reads the
// rest as the same number.
func (p *parser) whole(node *Node) error {
	text := node.Text
	if strings.ContainsAny(text, ".eE") {
		return p.fail(node.Start, shorten(text)+": numbers in a record are whole",
			"write a measure as text with its unit, as in \"12.5 kg\"")
	}
	if text == "-0" {
		return p.fail(node.Start, "-0 is not a number a record can hold", "write 0")
	}
	if value, err := strconv.ParseInt(text, 10, 64); err != nil || value >= 1<<53 || value <= -(1<<53) {
		return p.fail(node.Start, shorten(text)+" is too large for a whole number, which ends at 9007199254740991",
			"write a serial or a chassis number as text, in quotes")
	}
	return nil
}

// fail reports a fault at a byte offset that the decoder itself found right.
func (p *parser) fail(offset int, message, hint string) error {
	pos := positionIn(p.src, offset)
	e := &SyntaxError{Line: pos.Line, Column: pos.Column, Message: message, Hint: hint}
	if p.workspace != nil {
		e.Pointer = string(p.dec.StackPointer())
	}
	return e
}

// kindOf maps the decoder's kinds to ours; what is not a value gives 0, and the
// next read then says why.
func kindOf(kind jsontext.Kind) Kind {
	switch kind {
	case jsontext.KindNull:
		return Null
	case jsontext.KindTrue, jsontext.KindFalse:
		return Bool
	case jsontext.KindNumber:
		return Number
	case jsontext.KindString:
		return String
	case jsontext.KindBeginArray:
		return Array
	case jsontext.KindBeginObject:
		return Object
	}
	return 0
}
