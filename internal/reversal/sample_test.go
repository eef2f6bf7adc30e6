package reversal

import (
	"fmt"
	"os"
	"testing"

	"boltback/internal/ledger"
	"boltback/internal/replay"
)

func TestDump(t *testing.T) {
	dir := os.Getenv("CAR")
	if dir == "" {
		t.Skip()
	}
	s, err := ledger.Load(os.DirFS(dir))
	if err != nil {
		t.Fatal(err)
	}
	day, _ := replay.ParseDay("2026-06-12")
	st, err := Make(replay.Of(s), Options{On: day})
	if err != nil {
		t.Fatal(err)
	}
	for _, l := range st.Lines {
		fmt.Println("##", l.Text)
		for _, r := range l.Reasons {
			fmt.Println("   -", r.Outcome, r.Code, r.Thing, ":", r.Text, "|", r.Settle, r.Records)
		}
		fmt.Println("   for", len(l.For))
	}
	for _, f := range st.Floors {
		fmt.Println(f)
	}
	for _, d := range st.Different {
		fmt.Println("DIFF", d)
	}
	for _, n := range st.Purposeful {
		fmt.Println("NOTE", n)
	}
	for _, s := range st.Steps {
		fmt.Println(s.Number, s.Kind, s.Text, s.Minutes, s.From)
		for _, j := range s.Joints {
			fmt.Println("      ", j.Name, j.Bag, j.Counted, j.Tightening)
		}
	}
	fmt.Println(st.Minutes, st.Untimed, st.For)
	c, err := Recheck(replay.Of(s), st)
	fmt.Println(c, err)
	if len(os.Getenv("V")) > 0 {
		st.Encode(os.Stdout)
	}
}
