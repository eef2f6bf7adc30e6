//go:build unix

package main

import (
	"syscall"
	"time"
)

// childrenBusy is how long processors were busy with the programs that this one has started and that are over.
func childrenBusy() time.Duration {
	var u syscall.Rusage
	if err := syscall.Getrusage(syscall.RUSAGE_CHILDREN, &u); err != nil {
		return 0
	}
	return time.Duration(u.Utime.Nano() + u.Stime.Nano())
}
