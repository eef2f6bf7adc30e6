package main

import (
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/app"
	"boltback/internal/cli"
	"boltback/internal/doc"
	"boltback/internal/edtf"
)

// titles is a press that prints no more than titles, since here the steps on disk matter and not the pages.
func titles() app.Press {
	print := func(_ context.Context, w io.Writer, d *doc.Document) error {
		_, err := io.WriteString(w, d.Title+"\n")
		return err
	}
	return app.Press{Text: print, Page: print, Plain: print, Paper: func(ctx context.Context, w io.Writer, d *doc.Document, _ string, _ []byte) error {
		return print(ctx, w, d)
	}}
}

// failing is a workshop whose disk fails: its yard with one car, as it was before the step under test.
type failing struct {
	*testing.T
	yard, before string
}

// foundYard makes a yard with a car or without, and keeps how it looks.
func foundYard(t *testing.T, car bool) *failing {
	t.Helper()
	f := &failing{t, filepath.Join(t.TempDir(), "yard"), filepath.Join(t.TempDir(), "before")}
	f.must("init", f.yard, "--workshop", "quayside", "--person", "odile")
	if car {
		t.Chdir(f.yard)
		f.must("intake", "grey-tern", "make=Corvane")
		f.drawing("first")
	}
	f.keep()
	return f
}

// must runs the program on a sound disk.
func (f *failing) must(args ...string) {
	f.Helper()
	if status, said := on(&full{}, args...); status != cli.StatusClean {
		f.Fatalf("%v: status %d: %s", args, status, said)
	}
}

func (f *failing) keep() {
	f.Helper()
	if err := errors.Join(os.RemoveAll(f.before), os.CopyFS(f.before, os.DirFS(f.yard))); err != nil {
		f.Fatal(err)
	}
}

// renew brings the yard back to what it was, and takes what else lies there away.
func (f *failing) renew(more ...string) {
	f.Helper()
	for _, at := range append(more, f.yard) {
		if err := os.RemoveAll(at); err != nil {
			f.Fatal(err)
		}
	}
	if err := os.CopyFS(f.yard, os.DirFS(f.before)); err != nil {
		f.Fatal(err)
	}
}

func (f *failing) drawing(name string) {
	f.Helper()
	file := filepath.Join(f.TempDir(), name+".txt")
	write(f.T, file, "as drawn at the bench, "+name+"\n")
	f.must("record", "paper", name, "--car", f.car().Path, "--file", file, "class=drawing")
}

func (f *failing) car() app.Car {
	return app.Car{Name: "grey-tern", Path: filepath.Join(f.yard, "cars", "grey-tern"), Yard: f.yard}
}

// commits counts them; "0" where there is no car.
func (f *failing) commits() string {
	f.Helper()
	if _, err := os.Lstat(f.car().Path); err != nil {
		return "0"
	}
	return strings.TrimSpace(stockGit(f.T, f.car().Path, "rev-list", "--count", "HEAD"))
}

// handsOver gives the bag of the car, on a disk.
func (f *failing) handsOver(disk *full, out string, aCopy bool) error {
	day, err := edtf.ParseDay("2026-07-01")
	if err != nil {
		return err
	}
	_, err = worldOn(disk.disk()).App.Handover(context.Background(), f.car(), app.HandoverRequest{To: "the owner", Out: out, Copy: aCopy, On: day, Press: titles()})
	return err
}

// receives takes a bag in, on a disk.
func (f *failing) receives(disk *full, bag string) error {
	f.Helper()
	return f.receivesUntil(context.Background(), disk, bag)
}

func (f *failing) receivesUntil(ctx context.Context, disk *full, bag string) error {
	f.Helper()
	day, err := edtf.ParseDay("2026-07-02")
	if err != nil {
		return err
	}
	f.Chdir(f.yard)
	_, err = worldOn(disk.disk()).App.Receive(ctx, app.ReceiveRequest{Bag: bag, On: day, Press: titles()})
	return err
}

// steps are those at which a disk fails: every one where BOLTBACK_EVERY_STEP is set, which takes minutes; else some all along the
// way, and the last few, where names are given.
func steps(n int) (list []int) {
	stride, last := n/12+1, 8
	switch {
	case os.Getenv("BOLTBACK_EVERY_STEP") != "":
		stride = 1
	case raced:
		stride, last = n/2+1, 0
	}
	for at := 1; at <= n; at++ {
		if at%stride == 1 || stride == 1 || at > n-last {
			list = append(list, at)
		}
	}
	return list
}

// whole wants a car as stock git knows it, without anything that no commit holds, and nothing half made in the yard.
func (f *failing) whole(at int) {
	f.Helper()
	if f.commits() != "0" {
		stockGit(f.T, f.car().Path, "fsck", "--strict")
		if dirty := stockGit(f.T, f.car().Path, "status", "--porcelain"); dirty != "" {
			f.Errorf("step %d: git sees\n%s", at, dirty)
		}
	}
	for _, place := range []string{"cars", "originals", "private"} {
		if left, err := filepath.Glob(filepath.Join(f.yard, place, ".*"+unfinished)); err != nil || len(left) > 0 {
			f.Errorf("step %d leaves %v (%v)", at, left, err)
		}
	}
}

// sandboxed has the program know nobody's configuration but the test's.
func sandboxed(t *testing.T) {
	t.Helper()
	t.Setenv("BOLTBACK_CACHE", "off")
	t.Setenv("BOLTBACK_PERSON", "people/quayside/odile")
	t.Setenv("XDG_CONFIG_HOME", t.TempDir())
}

// TestADiskThatFailsAtAnyStepLeavesNoHalfBag lets steps of a handover fail, in each form of a bag. The car is then as before and
// there is no bag, or it is marked; there never is a bag of a car that is not marked. The same words then finish it, with one mark.
func TestADiskThatFailsAtAnyStepLeavesNoHalfBag(t *testing.T) {
	sandboxed(t)
	f := foundYard(t, true)
	for _, form := range []string{".zip", ".tar.gz", ""} {
		out := filepath.Join(t.TempDir(), "bag"+form)
		disk := &full{}
		f.renew(out)
		if err := f.handsOver(disk, out, false); err != nil || f.commits() != "3" {
			t.Fatalf("%v, %s commits", err, f.commits())
		}
		for _, at := range steps(disk.n) {
			f.renew(out)
			err := f.handsOver(&full{at: at, pulled: at%2 == 0}, out, false)
			_, there := os.Lstat(out)
			if there == nil && f.commits() != "3" || there != nil && err == nil {
				t.Fatalf("%s, step %d of %d: %v, %s commits, bag: %v", form, at, disk.n, err, f.commits(), there)
			}
			if left, err := filepath.Glob(filepath.Join(filepath.Dir(out), ".bag*")); err != nil || len(left) > 0 {
				t.Fatalf("%s, step %d leaves %v (%v)", form, at, left, err)
			}
			if there != nil {
				err = f.handsOver(&full{}, out, false)
			}
			if err != nil && there != nil || f.commits() != "3" {
				t.Fatalf("%s, after step %d the same words end with %v and %s commits", form, at, err, f.commits())
			}
			f.whole(at)
		}
	}
}

// TestADiskThatFailsAtAnyStepLeavesNoHalfReceipt lets steps of a receipt fail: of a bag in a folder and of a packed one where the
// car is not here, and of a newer one where it is. There is then the old state or the new, and the same words bring the new.
func TestADiskThatFailsAtAnyStepLeavesNoHalfReceipt(t *testing.T) {
	sandboxed(t)
	from, bags := foundYard(t, true), t.TempDir()
	first, folder, packed := filepath.Join(bags, "first"), filepath.Join(bags, "folder"), filepath.Join(bags, "packed.tar.gz")
	if err := from.handsOver(&full{}, first, true); err != nil {
		t.Fatal(err)
	}
	from.drawing("second")
	for _, bag := range []string{folder, packed} {
		if err := from.handsOver(&full{}, bag, false); err != nil {
			t.Fatal(err)
		}
	}
	here, fresh := foundYard(t, false), foundYard(t, false)
	if err := here.receives(&full{}, first); err != nil {
		t.Fatal(err)
	}
	here.keep()
	for _, c := range []struct {
		name, bag, before string
		to                *failing
	}{{"a folder", folder, "0", fresh}, {"a packed bag", packed, "0", fresh}, {"a newer folder", folder, "2", here}, {"a newer packed bag", packed, "2", here}} {
		disk := &full{}
		c.to.renew()
		if err := c.to.receives(disk, c.bag); err != nil || c.to.commits() != "5" {
			t.Fatalf("%s: %v, %s commits", c.name, err, c.to.commits())
		}
		for _, at := range steps(disk.n) {
			c.to.renew()
			err := c.to.receives(&full{at: at, pulled: at%2 == 0}, c.bag)
			if n := c.to.commits(); n != "5" && (n != c.before || err == nil) {
				t.Fatalf("%s, step %d of %d: %v, and %s commits", c.name, at, disk.n, err, n)
			}
			if at%2 != 0 { // a disk that is gone lets nothing be undone; the next run does that
				c.to.whole(at)
			}
			for range 2 { // and once more, which adds nothing
				if err := c.to.receives(&full{}, c.bag); err != nil || c.to.commits() != "5" {
					t.Fatalf("%s, after step %d the same words end with %v and %s commits", c.name, at, err, c.to.commits())
				}
			}
			if originals := texts(t, filepath.Join(c.to.yard, "originals")); len(originals) != 2 {
				t.Errorf("%s, step %d: %d originals", c.name, at, len(originals))
			}
			c.to.whole(at)
		}
	}
}

// TestAReceiptThatIsInterruptedLeavesNothing ends a receipt at steps of its writing, as somebody at the keyboard does: the car
// is not there, nor is anything that came for it, or it came whole. It is never said to be interrupted with the car there.
func TestAReceiptThatIsInterruptedLeavesNothing(t *testing.T) {
	sandboxed(t)
	from, to := foundYard(t, true), foundYard(t, false)
	for i := range 6 {
		from.drawing(fmt.Sprintf("sheet-%d", i))
	}
	bag := filepath.Join(t.TempDir(), "bag.tar.gz")
	if err := from.handsOver(&full{}, bag, false); err != nil {
		t.Fatal(err)
	}
	before, count := lyingBelow(t, to.yard), &full{}
	if err := to.receives(count, bag); err != nil {
		t.Fatal(err)
	}
	interrupted := 0
	for _, at := range steps(count.n) {
		to.renew()
		ctx, cancel := context.WithCancel(context.Background())
		err := to.receivesUntil(ctx, &full{at: at, then: cancel}, bag)
		cancel()
		there := to.commits() != "0"
		if (err != nil) == there || err != nil && !errors.Is(err, context.Canceled) {
			t.Errorf("step %d: %v, and the car is there: %v", at, err, there)
		}
		if err != nil {
			interrupted++
			after := lyingBelow(t, to.yard)
			for path := range after {
				if before[path] == "" {
					t.Errorf("step %d leaves %s", at, path)
				}
			}
		}
	}
	if interrupted == 0 {
		t.Error("no receipt was interrupted")
	}
}
