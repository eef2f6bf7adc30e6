package main

import (
	"bufio"
	"encoding/json"
	"errors"
	"io"
	"os"
	"os/exec"
	"testing"
)

// browser is one headless Chromium with one page, spoken to through its DevTools pipe: messages of JSON, each ended by a NUL.
// Pages are looked at as they are, with their security policy: what is asked of them from here is not under it.
type browser struct {
	testing.TB
	to      io.Writer
	from    *bufio.Reader
	last    int
	session string
	// asked are the addresses that pages asked for; complaints is what the browser logged of them.
	asked, complaints []string
}

// reply is an answer to a message, or word of something that happened, which has a method.
type reply struct {
	ID     int
	Method string
	Result json.RawMessage
	Params struct {
		Request struct{ URL string }
		Entry   struct{ Text, URL string }
	}
	Error *struct{ Message string }
}

// startBrowser starts Chromium, which belongs to the whole check; elsewhere the test says that nobody has looked.
func startBrowser(t testing.TB) *browser {
	t.Helper()
	needed(t, "chromium")
	theirs, to := pipe(t)
	from, theirsToo := pipe(t)
	args := []string{"--headless", "--remote-debugging-pipe", "--disable-gpu", "--no-first-run", "--disable-dev-shm-usage",
		"--disable-background-networking", "--force-device-scale-factor=1", "--user-data-dir=" + t.TempDir()}
	if os.Getuid() == 0 {
		args = append(args, "--no-sandbox")
	}
	cmd := exec.Command("chromium", args...)
	cmd.ExtraFiles = []*os.File{theirs, theirsToo}
	if err := cmd.Start(); err != nil {
		t.Fatal(err)
	}
	b := &browser{TB: t, to: to, from: bufio.NewReaderSize(from, 1<<20)}
	t.Cleanup(func() {
		b.session = ""
		b.send("Browser.close", nil)
		if err := errors.Join(theirs.Close(), theirsToo.Close(), to.Close(), cmd.Wait()); err != nil {
			t.Error("chromium:", err)
		}
	})
	var target struct{ TargetID, SessionID string }
	b.call("Target.createTarget", map[string]any{"url": "about:blank"}, &target)
	b.call("Target.attachToTarget", map[string]any{"targetId": target.TargetID, "flatten": true}, &target)
	b.session = target.SessionID
	for _, domain := range []string{"Page", "Network", "Log"} {
		b.call(domain+".enable", nil, nil)
	}
	return b
}

// needed ends a test that needs a program which is not here: as a failure where everything must have been looked at.
func needed(t testing.TB, program string) {
	t.Helper()
	if _, err := exec.LookPath(program); err == nil {
		return
	}
	if os.Getenv("CI") != "" {
		t.Fatalf("%s is not installed", program)
	}
	t.Skipf("%s is not installed, so this test passes without having looked", program)
}

func pipe(t testing.TB) (from, to *os.File) {
	t.Helper()
	from, to, err := os.Pipe()
	if err != nil {
		t.Fatal(err)
	}
	return from, to
}

func (b *browser) send(method string, params map[string]any) {
	b.Helper()
	b.last++
	message := map[string]any{"id": b.last, "method": method}
	if params != nil {
		message["params"] = params
	}
	if b.session != "" {
		message["sessionId"] = b.session
	}
	data, err := json.Marshal(message)
	if err != nil {
		b.Fatal(err)
	}
	if _, err := b.to.Write(append(data, 0)); err != nil {
		b.Fatal("chromium:", err)
	}
}

// receive reads on until a message is what was waited for, and keeps what else is worth knowing.
func (b *browser) receive(awaited func(reply) bool) reply {
	b.Helper()
	for {
		data, err := b.from.ReadBytes(0)
		if err != nil {
			b.Fatal("chromium:", err)
		}
		var r reply
		if err := json.Unmarshal(data[:len(data)-1], &r); err != nil {
			b.Fatalf("%v: %.200s", err, data)
		}
		switch {
		case r.Method == "Network.requestWillBeSent":
			b.asked = append(b.asked, r.Params.Request.URL)
		case r.Method == "Log.entryAdded":
			b.complaints = append(b.complaints, r.Params.Entry.Text)
		}
		if awaited(r) {
			return r
		}
	}
}

// call sends a message and reads the answer.
func (b *browser) call(method string, params map[string]any, into any) {
	b.Helper()
	b.send(method, params)
	r := b.receive(func(r reply) bool { return r.ID == b.last })
	if r.Error != nil {
		b.Fatalf("chromium: %s: %s", method, r.Error.Message)
	}
	if into != nil {
		if err := json.Unmarshal(r.Result, into); err != nil {
			b.Fatal(err)
		}
	}
}

// open loads a page and forgets what was asked for and complained of before.
func (b *browser) open(path string) {
	b.Helper()
	b.asked, b.complaints = nil, nil
	b.send("Page.navigate", map[string]any{"url": "file://" + path})
	b.receive(func(r reply) bool { return r.Method == "Page.loadEventFired" })
}

// eval is what an expression, or the promise of one, comes to on the page.
func (b *browser) eval(expression string, into any) {
	b.Helper()
	var result struct {
		Result           struct{ Value json.RawMessage }
		ExceptionDetails json.RawMessage
	}
	b.call("Runtime.evaluate", map[string]any{"expression": expression, "awaitPromise": true, "returnByValue": true}, &result)
	if result.ExceptionDetails != nil {
		b.Fatalf("chromium: %s", result.ExceptionDetails)
	}
	if into != nil {
		if err := json.Unmarshal(result.Result.Value, into); err != nil {
			b.Fatalf("%v: %s", err, result.Result.Value)
		}
	}
}

// screen makes the window so wide, in CSS pixels; a narrow one is a phone's.
func (b *browser) screen(width int) {
	b.Helper()
	b.call("Emulation.setDeviceMetricsOverride", map[string]any{"width": width, "height": 844, "deviceScaleFactor": 1, "mobile": width < 600}, nil)
}

// print is the page as Chromium prints it on a paper, whose sides are in inches.
func (b *browser) print(width, height float64) []byte {
	b.Helper()
	var printed struct{ Data []byte }
	b.call("Page.printToPDF", map[string]any{"paperWidth": width, "paperHeight": height, "preferCSSPageSize": true, "marginTop": 0, "marginBottom": 0, "marginLeft": 0, "marginRight": 0}, &printed)
	return printed.Data
}
