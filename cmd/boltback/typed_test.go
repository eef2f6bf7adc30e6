package main

import (
	"bytes"
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"
	"time"
)

func TestTheTabKeyCompletesAsFarAsAllNamesAgree(t *testing.T) {
	names := []string{"off fuel tank", "off fuel pump", "off gearbox"}
	complete := func(line string) []string {
		var hits []string
		for _, n := range names {
			if strings.HasPrefix(n, line) {
				hits = append(hits, n)
			}
		}
		return hits
	}
	for keys, want := range map[string]string{"off f\t\r": "off fuel ", "off g\t, left\r": "off gearbox, left", "off x\t\r": "off x", "off fuel p\t\r": "off fuel pump"} {
		var shown bytes.Buffer
		line, err := newKeyboard(strings.NewReader(keys), &shown, "> ", complete).ReadLine()
		if err != nil || line != want {
			t.Errorf("%q gives %q, %v; want %q", keys, line, err, want)
		}
	}
	var shown bytes.Buffer
	if _, err := newKeyboard(strings.NewReader("off fuel \t\r"), &shown, "> ", complete).ReadLine(); err != nil || !strings.Contains(shown.String(), "off fuel tank\r\noff fuel pump") {
		t.Errorf("the candidates are not shown: %q, %v", shown.String(), err)
	}
}

// TestLinesSurviveAKill kills the program while it is being told lines. Every line that was said back is there in the next
// run, and after done each is in the ledger once, whenever a run was killed.
func TestLinesSurviveAKill(t *testing.T) {
	car := newCar(t)
	const times = 6
	var told []string
	for round := range times {
		cmd := program(car, "record", "--steps")
		in, err := cmd.StdinPipe()
		if err != nil {
			t.Fatal(err)
		}
		var out bytes.Buffer
		cmd.Stdout = &out
		if err := cmd.Start(); err != nil {
			t.Fatal(err)
		}
		for i := range 20 {
			fmt.Fprintf(in, "off %04d lamp %d-%d, 2x M6\n", 1000+round*20+i, round, i)
		}
		time.Sleep(time.Duration(20+round*15) * time.Millisecond)
		_ = cmd.Process.Kill() // it may be done already
		_ = cmd.Wait()
		for line := range strings.SplitSeq(out.String(), "\n") {
			if _, name, ok := strings.Cut(line, "parts/lamp-"); ok {
				name, _, _ = strings.Cut(name, " ")
				told = append(told, "lamp-"+name)
			}
		}
	}
	done := program(car, "record", "--steps")
	done.Stdin = strings.NewReader("off the last one\ndone\n")
	run(t, done)
	for _, name := range told {
		if _, err := os.Stat(filepath.Join(car, "parts", name+".json")); err != nil {
			t.Errorf("%s was said back and is not in the ledger", name)
		}
	}
	work, err := filepath.Glob(filepath.Join(car, "work", "*.json"))
	if err != nil || len(work) != 1 {
		t.Fatalf("%v %v", work, err)
	}
	text, err := os.ReadFile(work[0])
	if err != nil {
		t.Fatal(err)
	}
	for _, name := range told {
		if n := strings.Count(string(text), `"parts/`+name+`"`); n != 1 {
			t.Errorf("%s stands %d times in the session", name, n)
		}
	}
	if status := stockGit(t, car, "status", "--porcelain"); status != "" {
		t.Errorf("git sees changes:\n%s", status)
	}
	run(t, program(car, "check", "--on", "2099-01-01"))
}
