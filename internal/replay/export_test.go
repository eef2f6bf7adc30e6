package replay

// KeepEvery sets how many steps lie between kept states, and gives the way back.
func KeepEvery(steps int) (restore func()) {
	fixedInterval = steps
	return func() { fixedInterval = 0 }
}

// Kept is the number of states kept.
func (w *Work) Kept() int { return len(w.kept) }
