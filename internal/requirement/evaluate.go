package requirement

import (
	"fmt"

	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/interpreter"

	"boltback/internal/quantity"
)

// Answer is what became of one expression.
type Answer struct {
	// Yes and No are the two answers; neither where gaps leave it open or where the expression failed.
	Yes, No bool
	// Gaps are what it hangs on, Fault what is wrong with the expression.
	Gaps  []Gap
	Fault string
	trail *trail
}

// subjects are the variables of an evaluation: facts as that evaluation sees them.
type subjects struct {
	facts *Facts
	trail *trail
}

// ResolveName gives a variable by its name.
func (s subjects) ResolveName(name string) (any, bool) {
	t := s.facts.about(name)
	if t == nil {
		return nil, false
	}
	return view{thing: t, trail: s.trail}, true
}

// Parent is none: there is one scope.
func (subjects) Parent() interpreter.Activation { return nil }

// ask runs an expression over the facts of a car under a decision rule. It has no side effects and never fails: what goes
// wrong is in the answer. An error of the expression stays an error whatever stands around it.
func (p *program) ask(f *Facts, rule quantity.Rule) Answer {
	t := &trail{rule: rule}
	out, _, err := p.run.Eval(subjects{f, t})
	a := Answer{trail: t}
	switch {
	case len(t.faults) > 0:
		a.Fault = t.faults[0]
	case err != nil:
		a.Fault = err.Error()
	default:
		switch v := out.(type) {
		case types.Bool:
			a.Yes, a.No = bool(v), !bool(v)
		case *types.Unknown:
			a.Gaps = t.open(v)
		default:
			a.Fault = fmt.Sprintf("the expression gives %v and no yes or no", out.Type())
		}
	}
	return a
}
