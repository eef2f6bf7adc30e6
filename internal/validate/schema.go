package validate

import (
	"fmt"
	"io"
	"io/fs"
	"net/url"
	"slices"
	"strings"
	"sync"

	"github.com/santhosh-tekuri/jsonschema/v5"

	"boltback/internal/canon"
	"boltback/internal/finding"
	"boltback/internal/record"
	"boltback/schema"
)

// schemas compiles the schema of a kind when the first record of that kind must be checked, and keeps it.
type schemas struct {
	mu       sync.Mutex
	compiler *jsonschema.Compiler
	compiled map[record.Kind]*jsonschema.Schema
	texts    map[string]*canon.Document
}

func newSchemas() *schemas {
	return &schemas{compiled: map[record.Kind]*jsonschema.Schema{}, texts: map[string]*canon.Document{}}
}

// of gives the compiled schema of a kind.
func (s *schemas) of(kind record.Kind) (*jsonschema.Schema, error) {
	s.mu.Lock()
	defer s.mu.Unlock()
	if c := s.compiled[kind]; c != nil {
		return c, nil
	}
	if s.compiler == nil {
		s.compiler = newCompiler()
	}
	c, err := s.compiler.Compile(schema.Base + string(kind) + ".json")
	if err != nil {
		return nil, fmt.Errorf("compile the schema of %s: %w", kind, err)
	}
	s.compiled[kind] = c
	return c, nil
}

// newCompiler gives a compiler that loads the embedded schemas when they are referred to, and nothing else: a schema never
// reaches a file or the network.
func newCompiler() *jsonschema.Compiler {
	c := jsonschema.NewCompiler()
	c.Draft = jsonschema.Draft2020
	c.AssertFormat, c.AssertContent = true, true
	c.LoadURL = func(address string) (io.ReadCloser, error) {
		name, ours := strings.CutPrefix(address, schema.Base)
		if !ours {
			return nil, fmt.Errorf("schemas refer only to one another, not to %s", address)
		}
		return schema.Files().Open(name)
	}
	return c
}

// check holds a document against the schema of its kind.
func (s *schemas) check(kind record.Kind, path string, doc *canon.Document) (findings []finding.Finding, err error) {
	compiled, err := s.of(kind)
	if err != nil {
		return nil, err
	}
	defer func() { // the library has panicked on odd input before: that is a fault of ours, not of the whole run
		if p := recover(); p != nil {
			err = fmt.Errorf("%s: the schema library failed: %v", path, p)
		}
	}()
	var invalid *jsonschema.ValidationError
	switch e := compiled.Validate(doc.Root.Any()).(type) {
	case nil:
		return nil, nil
	case *jsonschema.ValidationError:
		invalid = e
	default:
		return nil, fmt.Errorf("%s: check against the schema: %w", path, e)
	}
	for _, leaf := range leavesOf(invalid) {
		findings = append(findings, s.explain(leaf, path, doc)...)
	}
	finding.Sort(findings)
	return slices.Compact(findings), nil
}

// leavesOf gives the causes that have no cause of their own: the only ones that mean something to a person.
func leavesOf(e *jsonschema.ValidationError) []*jsonschema.ValidationError {
	if len(e.Causes) == 0 {
		return []*jsonschema.ValidationError{e}
	}
	var leaves []*jsonschema.ValidationError
	for _, c := range e.Causes {
		leaves = append(leaves, leavesOf(c)...)
	}
	return leaves
}

// explain writes the sentences of one failed keyword anew: the library's own hold map order and its jargon.
func (s *schemas) explain(e *jsonschema.ValidationError, path string, doc *canon.Document) []finding.Finding {
	pointer := unescapeLocation(e.InstanceLocation)
	value := doc.Find(pointer)
	keyword, node := s.keyword(e.AbsoluteKeywordLocation)
	at := doc.Locate(pointer)
	f := finding.Finding{Code: "schema", File: path, Line: at.Line, Column: at.Column, Pointer: pointer}
	if value == nil || node == nil {
		f.Message = e.Message
		return []finding.Finding{f}
	}
	switch keyword {
	case "required":
		return s.missing(f, node, value)
	case "additionalProperties":
		return s.unknownMembers(f, e.AbsoluteKeywordLocation, doc, value)
	}
	f.Message, f.Hint = sentence(keyword, node, value)
	return []finding.Finding{f}
}

// unescapeLocation undoes the library's percent-encoding of pointers.
func unescapeLocation(location string) string {
	if plain, err := url.PathUnescape(location); err == nil {
		return plain
	}
	return location
}

// keyword finds the schema keyword at an absolute location: its name and its value in the schema's own text.
func (s *schemas) keyword(location string) (string, *canon.Node) {
	file, pointer, ok := strings.Cut(location, "#")
	if !ok {
		return "", nil
	}
	pointer = unescapeLocation(pointer)
	text := s.text(strings.TrimPrefix(file, schema.Base))
	if text == nil {
		return "", nil
	}
	return pointer[strings.LastIndexByte(pointer, '/')+1:], text.Find(pointer)
}

// text gives a schema as a document, or nil.
func (s *schemas) text(name string) *canon.Document {
	s.mu.Lock()
	defer s.mu.Unlock()
	if d, ok := s.texts[name]; ok {
		return d
	}
	src, err := fs.ReadFile(schema.Files(), name)
	if err != nil {
		return nil
	}
	d, err := canon.Parse(src, canon.DefaultLimits())
	if err != nil {
		return nil
	}
	s.texts[name] = d
	return d
}
