//go:build !race

package main

// raced says that the race detector is off.
const raced = false
