package main

import (
	"fmt"
	"os"
	"os/exec"
	"strings"
	"sync"
	"syscall"
	"testing"
	"time"
	"unsafe"
)

// terminal is a program that runs at a terminal of its own, with all that it has written there.
type terminal struct {
	t      *testing.T
	master *os.File
	cmd    *exec.Cmd
	mu     sync.Mutex
	said   strings.Builder
	ended  chan struct{}
}

// atTerminal starts the program at a new terminal of 80 columns.
func atTerminal(t *testing.T, dir string, args ...string) *terminal {
	t.Helper()
	master, err := os.OpenFile("/dev/ptmx", os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Skip("this machine lends no terminal: ", err)
	}
	var number, unlock int32
	size := [4]uint16{24, 80, 0, 0}
	for _, call := range []struct {
		request uintptr
		of      unsafe.Pointer
	}{{syscall.TIOCSPTLCK, unsafe.Pointer(&unlock)}, {syscall.TIOCGPTN, unsafe.Pointer(&number)}, {syscall.TIOCSWINSZ, unsafe.Pointer(&size)}} {
		if _, _, errno := syscall.Syscall(syscall.SYS_IOCTL, master.Fd(), call.request, uintptr(call.of)); errno != 0 {
			t.Fatal(errno)
		}
	}
	slave, err := os.OpenFile(fmt.Sprintf("/dev/pts/%d", number), os.O_RDWR|syscall.O_NOCTTY, 0)
	if err != nil {
		t.Fatal(err)
	}
	s := &terminal{t: t, master: master, cmd: program(dir, args...), ended: make(chan struct{})}
	s.cmd.Stdin, s.cmd.Stdout, s.cmd.Stderr = slave, slave, slave
	s.cmd.SysProcAttr = &syscall.SysProcAttr{Setsid: true, Setctty: true}
	if err := s.cmd.Start(); err != nil {
		t.Fatal(err)
	}
	slave.Close()
	go s.listen()
	return s
}

// listen reads until the program has ended and all that it wrote is read.
func (s *terminal) listen() {
	defer close(s.ended)
	p := make([]byte, 4096)
	for {
		n, err := s.master.Read(p)
		s.mu.Lock()
		s.said.Write(p[:n])
		s.mu.Unlock()
		if err != nil {
			return
		}
	}
}

// all is what stands on the terminal.
func (s *terminal) all() string {
	s.mu.Lock()
	defer s.mu.Unlock()
	return strings.ReplaceAll(s.said.String(), "\r\n", "\n")
}

// question waits for the program to ask something, and gives it; ok is false where it ended instead.
func (s *terminal) question(isOne func(line string) bool) (question string, ok bool) {
	s.t.Helper()
	for range 3000 {
		select {
		case <-s.ended:
			return "", false
		case <-time.After(10 * time.Millisecond):
		}
		all := s.all()
		if last := all[strings.LastIndexByte(all, '\n')+1:]; isOne(last) {
			return last, true
		}
	}
	s.t.Fatalf("no question comes:\n%s", s.all())
	return "", false
}

// types a line and the Enter key.
func (s *terminal) types(line, enter string) {
	s.t.Helper()
	if _, err := s.master.WriteString(line + enter); err != nil {
		s.t.Fatal(err)
	}
}

// killed ends the program as a power cut does.
func (s *terminal) killed() {
	_ = s.cmd.Process.Signal(syscall.SIGKILL) // it may be done already
	_ = s.cmd.Wait()
	s.master.Close()
	<-s.ended
}

// left waits for the end and gives the status.
func (s *terminal) left() int {
	<-s.ended
	_ = s.cmd.Wait() // the status says how it went
	s.master.Close()
	return s.cmd.ProcessState.ExitCode()
}

// TestTheInboxKilledAtATerminalBetweenAnswersAsksNoneAgain kills the program with a question on the screen, time after time, and
// once right behind an answer. The next run asks what was not answered, and in the end every picture is taken once.
func TestTheInboxKilledAtATerminalBetweenAnswersAsksNoneAgain(t *testing.T) {
	t.Setenv("TZ", "UTC")
	s := photographStripDown(t, 10, 26)
	car := newCar(t)
	isQuestion := func(line string) bool {
		return strings.HasSuffix(line, " ") && !strings.HasPrefix(s.told(line), "what is")
	}
	answered := map[string]int{}
	for run, perRun := range []int{1, 2, 0, 2, 100} { // 0 kills without waiting for the next question
		at := atTerminal(t, car, "inbox", s.folder, "--on", "2026-03-02")
		for n := 0; ; n++ {
			question, ok := at.question(isQuestion)
			if !ok {
				break
			}
			if n == perRun && n > 0 {
				at.killed()
				break
			}
			at.types(s.told(question), "\n")
			if perRun == 0 {
				at.killed()
				break
			}
			answered[question]++
		}
		if run < 4 {
			if commits := stockGit(t, car, "rev-list", "--count", "HEAD"); commits != "1\n" {
				t.Fatalf("run %d: %s commits\n%s", run, commits, at.all())
			}
			continue
		}
		if status := at.left(); status != 0 {
			t.Fatalf("status %d\n%s", status, at.all())
		}
	}
	for question, times := range answered {
		if times > 1 {
			t.Errorf("%q was asked again after it was answered", question)
		}
	}
	if len(answered) < 8 {
		t.Errorf("only %d questions: %v", len(answered), answered)
	}
	s.right(t, car, false)
	if commits, dirty := stockGit(t, car, "rev-list", "--count", "HEAD"), stockGit(t, car, "status", "--porcelain"); commits != "2\n" || dirty != "" || answersIn(t, car) != nil {
		t.Errorf("%s commits, and %q", commits, dirty)
	}
}

// TestLinesKilledAtATerminalAreTakenUpAgain types lines at a terminal and kills the program behind one that was said back.
func TestLinesKilledAtATerminalAreTakenUpAgain(t *testing.T) {
	car := newCar(t)
	ready := func(line string) bool { return strings.HasSuffix(line, "> ") }
	for run, lines := range [][]string{{"off 0147 horn lh 2m6", ".rh x2"}, {".lamp 4m8"}, {"undo", ".fan x1", "done"}} {
		at := atTerminal(t, car, "record", "--steps")
		for _, line := range lines {
			at.question(ready)
			at.types(line, "\r")
			at.question(func(last string) bool { return ready(last) && strings.Contains(at.all(), line+"\n") || line == "done" })
		}
		if run == 2 {
			if status := at.left(); status != 0 || !strings.Contains(at.all(), "going on after what was saved (lines: 3)") || !strings.Contains(at.all(), "taken back: off 0149 lamp, 4m8") {
				t.Fatalf("status %d\n%s", status, at.all())
			}
			continue
		}
		at.killed()
	}
	tags, _ := linesOf(t, car)
	if got := strings.Join(tags, " "); got != "0147 0148 0149" {
		t.Errorf("lines of %s", got)
	}
	if commits, dirty := stockGit(t, car, "rev-list", "--count", "HEAD"), stockGit(t, car, "status", "--porcelain"); commits != "2\n" || dirty != "" {
		t.Errorf("%s commits, and %q", commits, dirty)
	}
}
