// Command boltback keeps the ledger of a classic car that is made electric by bolt-on, reversible work.
package main

import (
	"context"
	"crypto/rand"
	"os"
	"os/signal"
	"runtime"
	"runtime/debug"
	"time"

	"golang.org/x/term"

	"boltback/internal/app"
	"boltback/internal/atomicfile"
	"boltback/internal/cli"
)

// version is set by the build: go build -ldflags "-X main.version=...".
var version = "unreleased"

func main() {
	collectLate()
	ctx, stop := signal.NotifyContext(context.Background(), os.Interrupt)
	status := cli.Run(ctx, os.Args[1:], world())
	stop()
	os.Exit(status)
}

// world is the real environment.
func world() cli.Env { return worldOn(atomicfile.OS{}) }

// worldOn is the real environment but for the disk that ledgers are written to.
func worldOn(disk atomicfile.FS) cli.Env {
	return cli.Env{
		App: app.Env{
			Files: files{disk}, Memories: memories(), Git: git{disk}, Identity: identity, Signer: configuredSigner,
			AskAuthority: askAuthority, Random: func(b []byte) { _, _ = rand.Read(b) },
			Now: time.Now, Zone: time.Local, Program: "boltback " + version,
		},
		Stdin:   os.Stdin,
		Stdout:  os.Stdout,
		Stderr:  os.Stderr,
		Version: version,
		Width:   terminalWidth(os.Stdout),
		Lines:   typedLines,
		Ask:     term.IsTerminal(int(os.Stdin.Fd())) && terminalWidth(os.Stderr) > 0,
	}
}

// collectLate puts the first collection off until a run holds much, as most are over before; from then on memory is
// collected seldom, and near a gigabyte it goes before time. A check of 30,000 records takes a fifth less for it.
func collectLate() {
	debug.SetGCPercent(-1)
	debug.SetMemoryLimit(96 << 20)
	first := new(struct{ next *int })
	runtime.SetFinalizer(first, func(any) {
		debug.SetGCPercent(400)
		debug.SetMemoryLimit(1 << 30)
	})
}
