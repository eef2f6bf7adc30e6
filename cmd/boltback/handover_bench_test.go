package main

import (
	"crypto/sha256"
	"encoding/binary"
	"encoding/hex"
	"fmt"
	"io"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"syscall"
	"testing"
	"time"
)

// What the large car has: records, of which most are papers; commits; and photos, so many of so many bytes (6 GB in all).
const (
	largeRecords = 1000
	largePapers  = 750
	largeCommits = 2000
	photoBytes   = 8 << 20
)

// BenchmarkHandoverAndReceiptOfALargeCar hands a car with 6 GB of photos over and receives it, in each form of a bag, and reports
// the seconds and the most memory that each of both took. It writes 12 GB below TMPDIR and takes minutes, so nothing runs it by
// itself:
//
//	go test ./cmd/boltback -run '^$' -bench LargeCar -benchtime 1x -timeout 60m
func BenchmarkHandoverAndReceiptOfALargeCar(b *testing.B) {
	for _, form := range []string{"", ".zip", ".tar.gz"} {
		b.Run("bag"+form, func(b *testing.B) {
			bench := newBench(b)
			yard, other := filepath.Join(bench.home, "yard"), filepath.Join(bench.home, "other")
			bench.run(bench.home, bench.program, "init", yard, "--workshop", "quayside", "--person", "odile")
			bench.run(bench.home, bench.program, "init", other, "--workshop", "quayside", "--person", "odile")
			largeCar(bench, yard)
			bag := filepath.Join(bench.home, "bag"+form)
			b.ResetTimer()
			for range b.N {
				bench.weighed(b, "handover", yard, "handover", "large", bag, "--to", "the owner")
				bench.weighed(b, "receive", other, "receive", bag)
			}
		})
	}
}

// weighed runs the program and reports how long it took and the most memory that it held.
func (b *bench) weighed(to *testing.B, what, dir string, args ...string) {
	b.Helper()
	cmd := exec.Command(b.program, args...)
	cmd.Dir, cmd.Env = dir, b.env
	begun := time.Now()
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("%v: %v\n%s", args, err, out)
	}
	to.ReportMetric(time.Since(begun).Seconds(), what+"-s")
	to.ReportMetric(cmd.ProcessState.UserTime().Seconds()+cmd.ProcessState.SystemTime().Seconds(), what+"-cpu-s")
	to.ReportMetric(float64(cmd.ProcessState.SysUsage().(*syscall.Rusage).Maxrss)/1024, what+"-MiB")
}

// largeCar lays out a car of 1,000 records, 2,000 commits, and 6 GB of photos, which are files with a hole after a number.
func largeCar(b *bench, yard string) {
	b.Helper()
	car := filepath.Join(yard, "cars", "large")
	makeCar(b, car, 1, largeRecords-largePapers)
	for i := range largePapers {
		digest := photo(b, filepath.Join(yard, "originals"), i)
		write(b, filepath.Join(car, "papers", fmt.Sprintf("photo-%04d.json", i)), fmt.Sprintf(
			"{\n  \"kind\": \"paper\",\n  \"class\": \"photo\",\n  \"original\": {\n    \"digest\": %q,\n    \"bytes\": %d,\n    \"type\": \"image/jpeg\"\n  }\n}\n", digest, photoBytes))
	}
	b.run(car, "git", "init", "-q", "-b", "main")
	b.run(car, "git", "add", "-A")
	b.run(car, "git", "commit", "-qm", "all of it")
	var stream strings.Builder
	path, lines := madePart(1, 0)
	for i := range largeCommits - 1 {
		text := "{\n  " + strings.Join(lines, ",\n  ") + fmt.Sprintf(",\n  \"source\": \"looked at for the %dth time\"\n}\n", i)
		fmt.Fprintf(&stream, "commit refs/heads/main\ncommitter Odile <odile@quayside.invalid> %d +0000\ndata 5\nagain\n", 1_780_000_000+60*i)
		if i == 0 {
			stream.WriteString("from refs/heads/main^0\n")
		}
		fmt.Fprintf(&stream, "M 100644 inline %s\ndata %d\n%s\n", path, len(text), text)
	}
	cmd := exec.Command("git", "fast-import", "--quiet")
	cmd.Dir, cmd.Env, cmd.Stdin = car, b.env, strings.NewReader(stream.String())
	if out, err := cmd.CombinedOutput(); err != nil {
		b.Fatalf("%v\n%s", err, out)
	}
	b.run(car, "git", "reset", "-q", "--hard")
}

// photo lays down one original, which is unlike the others by its first bytes, and gives its digest.
func photo(b *bench, folder string, number int) string {
	b.Helper()
	head := binary.BigEndian.AppendUint64([]byte{0xff, 0xd8, 0xff}, uint64(number))
	sum := sha256.New()
	sum.Write(head)
	if _, err := io.CopyN(sum, noughts{}, photoBytes-int64(len(head))); err != nil {
		b.Fatal(err)
	}
	digest := hex.EncodeToString(sum.Sum(nil))
	at := filepath.Join(folder, digest+".jpg")
	write(b, at, string(head))
	if err := os.Truncate(at, photoBytes); err != nil {
		b.Fatal(err)
	}
	return digest
}

type noughts struct{}

// Read implements io.Reader.
func (noughts) Read(p []byte) (int, error) { clear(p); return len(p), nil }
