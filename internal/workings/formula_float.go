package workings

import "math"

// float computes a formula in floating point, for sensitivities: an uncertainty
// has two digits, and a sum over hundreds of parts would be slow in exact
// numbers. slope hands on how fast the result rises with each symbol: by the
// chain rule, from the result down.
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

func (number) slope(float64, func(string) float64, func(string, float64)) {}

func (s symbol) slope(by float64, _ func(string) float64, add func(string, float64)) {
	add(string(s), by)
}

func (o operation) slope(by float64, value func(string) float64, add func(string, float64)) {
	switch o.sign {
	case '+', '-':
		o.a.slope(by, value, add)
		if o.sign == '-' {
			by = -by
		}
		o.b.slope(by, value, add)
		return
	}
	a, b := o.a.float(value), o.b.float(value)
	switch o.sign {
	case '*':
		o.a.slope(by*b, value, add)
		o.b.slope(by*a, value, add)
	case '/':
		o.a.slope(by/b, value, add)
		o.b.slope(-by*a/(b*b), value, add)
	default: // a power, whose exponent is a number
		o.a.slope(by*b*math.Pow(a, b-1), value, add)
	}
}

func (c call) slope(by float64, value func(string) float64, add func(string, float64)) {
	x := c.args[0].float(value)
	switch c.name {
	case "abs":
		c.args[0].slope(math.Copysign(by, by*x), value, add)
	case "sqrt":
		c.args[0].slope(by/(2*math.Sqrt(x)), value, add)
	case "exp":
		c.args[0].slope(by*math.Exp(x), value, add)
	case "ln":
		c.args[0].slope(by/x, value, add)
	default: // the one that is the smallest or the largest
		whole := c.float(value)
		for _, a := range c.args {
			if a.float(value) == whole {
				a.slope(by, value, add)
				return
			}
		}
	}
}
