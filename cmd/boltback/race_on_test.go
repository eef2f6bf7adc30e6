//go:build race

package main

// raced says that the race detector is on: everything is several times slower, and the numbers that matter only by their
// size are kept small. The build runs those tests without it too.
const raced = true
