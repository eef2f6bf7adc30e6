// Command boltback keeps the ledger of a classic car that is made electric by bolt-on, reversible work.
package main

import (
	"context"
	"os"
	"os/signal"
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
	debug.SetGCPercent(400)       // a run is short and holds little: collecting seldom saves a tenth of it
	debug.SetMemoryLimit(1 << 30) // and where it holds much, memory goes before time
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
			Now: time.Now, Zone: time.Local, Program: "boltback " + version,
		},
		Stdin:   os.Stdin,
		Stdout:  os.Stdout,
		Stderr:  os.Stderr,
		Version: version,
		Width:   terminalWidth(os.Stdout),
		Ask:     term.IsTerminal(int(os.Stdin.Fd())) && terminalWidth(os.Stderr) > 0,
	}
}
