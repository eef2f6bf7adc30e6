package canon

// Limits bound what Parse takes. A field that is zero or negative means the
// value of DefaultLimits.
type Limits struct {
	// Bytes is the size of the whole file.
	Bytes int
	// Depth is the number of objects and lists inside one another.
	Depth int
	// Nodes is the number of values, the containers included.
	Nodes int
	// StringBytes is the length of one text or name as written, without its quotes.
	StringBytes int
}

// DefaultLimits are far above any record and far below what would hurt.
func DefaultLimits() Limits {
	return Limits{Bytes: 1 << 20, Depth: 64, Nodes: 1 << 17, StringBytes: 1 << 16}
}

// maxDepth is below the depth at which jsontext itself gives up, so that the
// bound reported is always ours.
const maxDepth = 9_999

func (l Limits) orDefault() Limits {
	d := DefaultLimits()
	for _, f := range []struct{ field, fallback *int }{
		{&l.Bytes, &d.Bytes}, {&l.Depth, &d.Depth}, {&l.Nodes, &d.Nodes}, {&l.StringBytes, &d.StringBytes},
	} {
		if *f.field <= 0 {
			*f.field = *f.fallback
		}
	}
	l.Depth = min(l.Depth, maxDepth)
	return l
}
