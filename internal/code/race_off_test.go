//go:build !race

package code

// raced says that the race detector is off.
const raced = false
