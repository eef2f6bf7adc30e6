//go:build race

package code

// raced says that the race detector is on: pictures take ten times as long, and few are taken. The build takes all of them without it.
const raced = true
