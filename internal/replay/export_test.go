package replay

// KeepEvery sets how many steps lie between kept states, and gives the way back.
func KeepEvery(steps int) (restore func()) {
	fixedInterval = steps
	return func() { fixedInterval = 0 }
}

// Kept is the number of states kept.
func (w *Work) Kept() int { return len(w.kept) }

// WalkWhatIsStated keeps no intervals, so that what is stated is walked each time, and gives the way back.
func WalkWhatIsStated() (restore func()) {
	was := intervalsEach
	intervalsEach = 0
	return func() { intervalsEach = was }
}
