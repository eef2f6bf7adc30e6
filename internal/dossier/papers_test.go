package dossier_test

import (
	"strings"
	"testing"
	"time"

	"boltback/internal/code"
	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/media"
	"boltback/internal/render"
	"boltback/internal/roll"
)

func TestC46APhotosThreeDatesStandApartAndItsClockIsSetRightBesideThem(t *testing.T) {
	const camera = `"camera": "7c21d04e", `
	got := section(t, input(load(t, carOf(map[string]string{
		"papers/bay.json":   `{"kind": "paper", "name": "Bay", "class": "photo", ` + camera + `"embedded": "2026-03-02T08:21:30", "claimed": "2026-03-02", "received": "2026-03-03", "clock": "papers/clock"}`,
		"papers/clock.json": `{"kind": "paper", "name": "Bench clock", "class": "photo", ` + camera + `"embedded": "2026-03-02T07:51:00", "claimed": "2026-03-02T08:04:00Z"}`,
		"papers/other.json": `{"kind": "paper", "name": "Other", "class": "photo", "camera": "11111111", "embedded": "2026-03-02T08:21:30", "clock": "papers/clock"}`,
	}))), "papers")
	wantAll(t, got,
		"in the file: 2026-03-02T08:21:30; claimed: 2026-03-02; received: 2026-03-03",
		"by Bench clock taken 2026-03-02T08:34:30Z, the camera's clock 13m0s behind",
		"Bench clock was to set the camera's clock right and does not: it was not taken with the same camera")
}

func TestADrawingNamesTheOneItReplacesAndTheOneThatReplacedIt(t *testing.T) {
	got := section(t, input(load(t, carOf(map[string]string{
		"papers/a.json": `{"kind": "paper", "name": "Bracket A", "class": "drawing", "revision": "A"}`,
		"papers/b.json": `{"kind": "paper", "name": "Bracket B", "class": "drawing", "revision": "B", "replaces": "papers/a"}`,
	}))), "papers")
	wantAll(t, got, "revision A; replaced by Bracket B", "revision B; replaces Bracket A")
}

func TestTheListOfADaysPicturesSaysWhatWouldBeTakenAndWhatIsInDoubt(t *testing.T) {
	start := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	tag := func(n int) code.Payload {
		made, err := code.NewTag(n)
		if err != nil {
			t.Fatal(err)
		}
		return code.TagPayload(made)
	}
	var pictures []roll.Picture
	shoot := func(name, camera string, codes ...code.Payload) {
		at := start.Add(time.Duration(len(pictures)) * time.Minute)
		pictures = append(pictures, roll.Picture{Name: name, Codes: codes, CopyOf: -1, Facts: media.Facts{Camera: camera, Taken: media.Moment{Clock: at}}})
	}
	shoot("1.jpg", "a")
	shoot("2.jpg", "a", tag(101))
	shoot("3.jpg", "a")
	shoot("4.jpg", "a", tag(103))
	shoot("5.jpg", "a")
	pictures[4].Unread = true
	shoot("6.jpg", "b", tag(104))
	p := roll.Sort(pictures, roll.Answers{})
	var text strings.Builder
	rows := []dossier.RollRow{{Part: "Starter"}, {Part: "Dynamo", Remark: "new: parts/dynamo"}, {Part: "Hose"}}
	if err := render.TextBlocks(&text, dossier.Roll(p, pictures, rows), render.TextOptions{}); err != nil {
		t.Fatal(err)
	}
	got := strings.Join(strings.Fields(text.String()), " ")
	for _, want := range []string{"0101-2 08:01:00 2 Starter", "0103-9 08:03:00 1 Dynamo; new: parts/dynamo", "before the first tag: 1 picture; with the session (1.jpg)",
		"under a tag that cannot be read: 1 picture; left aside, not taken (5.jpg)", "which lie between those that were read: 0102-0",
		"no clock was read for the camera a", "no clock was read for the camera b"} {
		if !strings.Contains(got, want) {
			t.Errorf("it does not say %q:\n%s", want, text.String())
		}
	}
	if blocks := dossier.Roll(roll.Proposal{}, nil, nil); len(blocks) != 0 {
		t.Errorf("nothing gives %v", []doc.Block(blocks))
	}
}
