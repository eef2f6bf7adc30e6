package canon

import (
	"errors"

	"github.com/go-json-experiment/json/jsontext"
)

func (p *parser) explain(err error) error {
	var s *jsontext.SyntacticError
	off := int(p.dec.InputOffset())
	if errors.As(err, &s) {
		off = int(s.ByteOffset)
	}
	pos := positionIn(p.src, off)
	return &SyntaxError{Line: pos.Line, Column: pos.Column, Message: "this cannot be read here", Pointer: string(p.dec.StackPointer())}
}
