package workings

import "math"

// float computes a formula in floating point, for sensitivities: an uncertainty
// has two digits, and a sum over a hundred parts would be slow in exact numbers.
func (n number) float(func(string) float64) float64 {
	v, _ := n.v.Float64()
	return v
}

func (s symbol) float(value func(string) float64) float64 { return value(string(s)) }

func (o operation) float(value func(string) float64) float64 {
	a, b := o.a.float(value), o.b.float(value)
	switch o.sign {
	case '+':
		return a + b
	case '-':
		return a - b
	case '*':
		return a * b
	case '/':
		return a / b
	}
	return math.Pow(a, b)
}

func (c call) float(value func(string) float64) float64 {
	x := c.args[0].float(value)
	switch c.name {
	case "abs":
		return math.Abs(x)
	case "sqrt":
		return math.Sqrt(x)
	case "exp":
		return math.Exp(x)
	case "ln":
		return math.Log(x)
	}
	for _, a := range c.args[1:] {
		if y := a.float(value); c.name == "max" {
			x = math.Max(x, y)
		} else {
			x = math.Min(x, y)
		}
	}
	return x
}
