package requirement

import (
	"fmt"
	"strings"
	"sync"

	"cel.dev/cel-go/cel"
	"cel.dev/cel-go/common"
	"cel.dev/cel-go/common/ast"
	"cel.dev/cel-go/common/env"
	"cel.dev/cel-go/common/operators"
	"cel.dev/cel-go/common/types"
	"cel.dev/cel-go/common/types/ref"

	"boltback/internal/edtf"
)

// Limits of one expression. Sets come from strangers: what passes these is bounded in time and memory.
const (
	mostCharacters = 2000
	mostNesting    = 24
	mostNodes      = 400
	mostCost       = 200_000
)

// Fault is what is wrong with an expression, and where: Offset counts characters from the first.
type Fault struct {
	Offset  int
	Message string
	Hint    string
}

// Error is the message; the place is for whoever knows the file.
func (f *Fault) Error() string { return f.Message }

// language compiles expressions. It is made once for all sets asked for, and only then: making it takes milliseconds.
type language struct {
	env      *cel.Env
	programs map[string]*program
	mu       sync.Mutex
}

// program is one expression, ready to run.
type program struct{ run cel.Program }

func newLanguage() (*language, error) {
	e, err := cel.NewCustomEnv(options()...)
	if err != nil {
		return nil, err
	}
	return &language{env: e, programs: map[string]*program{}}, nil
}

// options is the whole language: a part of CEL without text patterns, arithmetic on plain numbers, conversions and
// presence tests, and the functions of this package.
func options() []cel.EnvOption {
	list := []cel.EnvOption{
		cel.CustomTypeProvider(newProvider()),
		cel.StdLib(cel.StdLibSubset(env.NewLibrarySubset().
			AddIncludedMacros(operators.All, operators.Exists, operators.Filter).
			AddIncludedFunctions(functions(operators.LogicalAnd, operators.LogicalOr, operators.LogicalNot, operators.NotStrictlyFalse, operators.Conditional,
				operators.Equals, operators.NotEquals, operators.In)...).
			AddIncludedFunctions(env.NewFunction(operators.Add, env.NewOverload("add_list", nil, nil)), env.NewFunction("size", env.NewOverload("size_list", nil, nil))))),
		cel.ParserExpressionSizeLimit(4 * mostCharacters), cel.ParserRecursionLimit(mostNesting), cel.ParserErrorRecoveryLimit(1),
		cel.ExpressionNodeLimit(mostNodes), cel.ExpressionNestingDepthLimit(2 * mostNesting),
		cel.ASTValidators(cel.ValidateComprehensionNestingLimit(2), cel.ValidateHomogeneousAggregateLiterals()),
	}
	for _, s := range Subjects() {
		if !s.Entry {
			list = append(list, cel.Variable(s.Name, cel.ObjectType(s.Name)))
		}
	}
	return append(list, append(comparisons(), calls()...)...)
}

func functions(names ...string) []*env.Function {
	var list []*env.Function
	for _, n := range names {
		list = append(list, env.NewFunction(n))
	}
	return list
}

// comparisons gives < <= > >= their meaning for quantities, days and whole numbers.
func comparisons() []cel.EnvOption {
	var list []cel.EnvOption
	for _, c := range []struct {
		operator, name string
		sense          sense
	}{{operators.GreaterEquals, "at_least", atLeast}, {operators.Greater, "more_than", moreThan}, {operators.LessEquals, "at_most", atMost}, {operators.Less, "less_than", lessThan}} {
		s := c.sense
		list = append(list, cel.Function(c.operator,
			overload(c.name+"_quantity", quantityType, cel.BoolType, func(a, b ref.Val) ref.Val { return holds(a.(measured), s, b.(measured)) }),
			overload(c.name+"_day", dayType, cel.BoolType, func(a, b ref.Val) ref.Val {
				if s == atLeast || s == moreThan {
					a, b = b, a
				}
				return before(a.(moment), b.(moment), s == atLeast || s == atMost)
			}),
			overload(c.name+"_int", cel.IntType, cel.BoolType, func(a, b ref.Val) ref.Val {
				x, y := a.(types.Int), b.(types.Int)
				return types.Bool([...]bool{x >= y, x > y, x <= y, x < y}[s])
			})))
	}
	return append(list,
		cel.Function(operators.Subtract, overload("difference", quantityType, quantityType, func(a, b ref.Val) ref.Val { return difference(a.(measured), b.(measured)) })),
		cel.Function(operators.Divide, overload("ratio", quantityType, quantityType, func(a, b ref.Val) ref.Val { return ratio(a.(measured), b.(measured)) })))
}

func overload(name string, of, result *cel.Type, bind func(a, b ref.Val) ref.Val) cel.FunctionOpt {
	return cel.Overload(name, []*cel.Type{of, of}, result, cel.OverloadIsNonStrict(), cel.BinaryBinding(func(a, b ref.Val) ref.Val {
		if types.IsUnknownOrError(a) || types.IsUnknownOrError(b) {
			return bothOpen(a, b)
		}
		return bind(a, b)
	}))
}

// bothOpen carries what neither side knows, so that both gaps are named at once. An error outranks them.
func bothOpen(a, b ref.Val) ref.Val {
	for _, v := range []ref.Val{a, b} {
		if types.IsError(v) {
			return v
		}
	}
	if u, ok := types.MaybeMergeUnknowns(a, nil); ok {
		if both, ok := types.MaybeMergeUnknowns(b, u); ok {
			return both
		}
	}
	return b
}

// calls are the functions of the language: a form by its name, a limit, a day, and years between days.
func calls() []cel.EnvOption {
	return []cel.EnvOption{
		cel.Function("named", cel.MemberOverload("form_named", []*cel.Type{cel.ObjectType("forms"), cel.StringType}, cel.ObjectType("form"), cel.BinaryBinding(func(forms, name ref.Val) ref.Val {
			v := forms.(view)
			return view{thing: v.named(string(name.(types.String)), &formSubject), trail: v.trail}
		}))),
		cel.Function("q", cel.Overload("q_text", []*cel.Type{cel.StringType}, quantityType, cel.UnaryBinding(func(v ref.Val) ref.Val {
			m, err := limitOf(string(v.(types.String)))
			if err != nil {
				return types.NewErr("%v", err)
			}
			return m
		}))),
		cel.Function("day", cel.Overload("day_text", []*cel.Type{cel.StringType}, dayType, cel.UnaryBinding(func(v ref.Val) ref.Val {
			d, err := edtf.Parse(string(v.(types.String)))
			if err != nil {
				return types.NewErr("%v", err)
			}
			return moment{words: d.Text(), date: d}
		}))),
		cel.Function("years_passed", cel.Overload("years_passed_day_day_int", []*cel.Type{dayType, dayType, cel.IntType}, cel.BoolType,
			cel.FunctionBinding(func(args ...ref.Val) ref.Val {
				return passed(args[0].(moment), args[1].(moment), int64(args[2].(types.Int)))
			}))),
	}
}

// compile checks an expression and makes it ready to run. The error is a *Fault.
func (l *language) compile(text string) (*program, error) {
	l.mu.Lock()
	defer l.mu.Unlock()
	if p, ok := l.programs[text]; ok {
		return p, nil
	}
	if n := len([]rune(text)); n > mostCharacters {
		return nil, &Fault{Offset: mostCharacters, Message: fmt.Sprintf("the expression has %d characters; %d is the most", n, mostCharacters), Hint: "split the item"}
	}
	checked, issues := l.env.Compile(text)
	if err := issues.Err(); err != nil {
		return nil, faultOf(issues)
	}
	if checked.OutputType() != cel.BoolType {
		return nil, &Fault{Message: "the expression gives no yes or no but " + checked.OutputType().String()}
	}
	if f := literals(checked.NativeRep()); f != nil {
		return nil, f
	}
	run, err := l.env.Program(checked, cel.CostLimit(mostCost))
	if err != nil {
		return nil, &Fault{Message: err.Error()}
	}
	p := &program{run}
	l.programs[text] = p
	return p, nil
}

// faultOf takes the first issue of CEL as ours.
func faultOf(issues *cel.Issues) *Fault {
	first := issues.Errors()[0]
	message := strings.TrimSpace(first.Message)
	f := &Fault{Offset: first.Location.Column(), Message: message}
	if first.Location == common.NoLocation || f.Offset < 0 {
		f.Offset = 0
	}
	if name, ok := strings.CutPrefix(message, "undeclared reference to '"); ok {
		name, _, _ = strings.Cut(name, "'")
		f.Message = fmt.Sprintf("there is no fact and no function called %q", name)
	} else if name, ok := strings.CutPrefix(message, "undefined field '"); ok {
		f.Message = fmt.Sprintf("there is no fact called %q here", strings.TrimSuffix(name, "'"))
	} else if strings.HasPrefix(message, "Syntax error:") {
		f.Message = "this is no expression:" + strings.TrimPrefix(message, "Syntax error:")
	}
	f.Hint = "the facts are listed by requirements --facts"
	return f
}

// literals checks what compiles and cannot mean anything: a quantity or day that does not parse or is not written out, and
// == between quantities or days.
func literals(a *ast.AST) *Fault {
	var fault *Fault
	ast.PostOrderVisit(a.Expr(), ast.NewExprVisitor(func(e ast.Expr) {
		if fault != nil || e.Kind() != ast.CallKind {
			return
		}
		call := e.AsCall()
		at := int(a.SourceInfo().GetStartLocation(e.ID()).Column())
		switch name := call.FunctionName(); name {
		case "q", "day":
			fault = literal(name, call.Args()[0], at)
		case operators.Equals, operators.NotEquals, operators.In:
			for _, arg := range call.Args() {
				if t := a.GetType(arg.ID()); t.TypeName() == "quantity" || t.TypeName() == "day" {
					fault = &Fault{Offset: at, Message: "a " + t.TypeName() + " is not compared with == or in; use <, <=, > or >="}
				}
			}
		}
	}))
	return fault
}

func literal(function string, arg ast.Expr, at int) *Fault {
	if arg.Kind() != ast.LiteralKind {
		return &Fault{Offset: at, Message: function + " takes a text written out in quotation marks"}
	}
	text, _ := arg.AsLiteral().Value().(string)
	var err error
	if function == "q" {
		_, err = limitOf(text)
	} else {
		_, err = edtf.Parse(text)
	}
	if err != nil {
		return &Fault{Offset: at, Message: err.Error()}
	}
	return nil
}
