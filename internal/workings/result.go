package workings

import "boltback/internal/quantity"

// resultOf gives the value of a symbol from the lines of a working; nothing
// where no line computed it.
func resultOf(w Working, symbol string) quantity.Quantity { return w.values[symbol] }

// Result gives the exact value of a line of a working by its symbol.
func (w *Working) Result(symbol string) (quantity.Quantity, bool) {
	q, ok := w.values[symbol]
	return q, ok
}
