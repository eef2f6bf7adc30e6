package canon

import (
	"github.com/go-json-experiment/json/jsontext"
)

// Layout returns the document in the one layout of the ledger: the same members
// in the same order, every member and element on a line of its own, two spaces
// a level, one space after the colon, {} and [] for what is empty, line feeds,
// a final newline. Texts are written with the fewest escapes (RFC 8785, section
// 3.2.2.2): \" \\ \b \f \n \r \t, \u001f with lower-case digits for the other
// control characters, everything else as itself.
func Layout(d *Document) []byte {
	dst := make([]byte, 0, len(d.Source)+len(d.Source)/4+16)
	return append(appendNode(dst, d.Root, 0), '\n')
}

func appendNode(dst []byte, n *Node, depth int) []byte {
	switch n.Kind {
	case Object:
		return appendObject(dst, n, depth)
	case Array:
		return appendArray(dst, n, depth)
	case String:
		return appendText(dst, n.Text)
	}
	return append(dst, n.Text...)
}

func appendObject(dst []byte, n *Node, depth int) []byte {
	if len(n.Members) == 0 {
		return append(dst, "{}"...)
	}
	dst = append(dst, '{')
	for i, m := range n.Members {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = appendBreak(dst, depth+1)
		dst = appendText(dst, m.Name)
		dst = append(dst, ": "...)
		dst = appendNode(dst, m.Value, depth+1)
	}
	return append(appendBreak(dst, depth), '}')
}

func appendArray(dst []byte, n *Node, depth int) []byte {
	if len(n.Elements) == 0 {
		return append(dst, "[]"...)
	}
	dst = append(dst, '[')
	for i, e := range n.Elements {
		if i > 0 {
			dst = append(dst, ',')
		}
		dst = appendBreak(dst, depth+1)
		dst = appendNode(dst, e, depth+1)
	}
	return append(appendBreak(dst, depth), ']')
}

func appendBreak(dst []byte, depth int) []byte {
	dst = append(dst, '\n')
	for range depth {
		dst = append(dst, indent...)
	}
	return dst
}

const indent = "  "

// appendText quotes s. The error of AppendQuote is about invalid UTF-8, which
// no parsed text holds.
func appendText(dst []byte, s string) []byte {
	dst, _ = jsontext.AppendQuote(dst, s)
	return dst
}
