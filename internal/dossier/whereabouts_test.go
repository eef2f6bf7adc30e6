package dossier_test

import (
	"fmt"
	"testing"

	"boltback/internal/dossier"
)

// session writes a session record with the given lines.
func session(day, more, lines string) string {
	return fmt.Sprintf(`{"kind":"session","by":"people/x/y","started":%q,%s "lines":[%s]}`, day, more, lines)
}

const (
	part    = `{"kind":"part","name":"Lamp","found":"yes"}`
	off     = `{"act":"removal","parts":["parts/lamp"],"store":"stores/x/loft","place":"crate 1"}`
	bare    = `{"act":"removal","parts":["parts/lamp"]}`
	moved   = `{"act":"move","parts":["parts/lamp"],"store":"stores/x/loft","place":"crate 9"}`
	refit   = `{"act":"fitting","parts":["parts/lamp"],"position":"left wing"}`
	sentOut = `{"act":"out","parts":["parts/lamp"],"with":"Brack Plating"}`
	seen    = `{"act":"sighting","parts":["parts/lamp"]}`
)

// stockTake looks for everything in the place that off puts the lamp into.
func stockTake(found string) string {
	return `{"act":"sighting","parts":["` + found + `"],"store":"stores/x/loft","place":"crate 1","counted":"everything there"}`
}

func TestWhereAPartIsFollowsFromTheLatestLineThatMovedIt(t *testing.T) {
	tests := []struct {
		name     string
		sessions map[string]string
		off      []string // in the section of parts off the car
		on       []string // in the section of parts on the car
	}{
		{"a found part that no line moves is on the car", nil,
			nil, []string{"Parts found on the car that no line moves", "Lamp"}},
		{"a part taken off is where it was put", map[string]string{"2026-01-01-a": session("2026-01-01", "", off)},
			[]string{"Parts off the car with a stated place", "(no such record here), crate 1"}, nil},
		{"a part taken off and put nowhere is not known", map[string]string{"2026-01-01-a": session("2026-01-01", "", bare)},
			[]string{"Parts whose whereabouts the records do not know", "where it was put is (not stated)"}, nil},
		{"a later move counts", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-01-02-a": session("2026-01-02", "", moved)},
			[]string{"crate 9"}, nil},
		{"a later fitting puts it back on the car", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-01-02-a": session("2026-01-02", "", refit)},
			nil, []string{"on the car, left wing"}},
		{"a part sent out is with somebody", map[string]string{"2026-01-01-a": session("2026-01-01", "", off+","+sentOut)},
			[]string{"Parts out with somebody", "out with Brack Plating"}, nil},
		{"the order of the lines counts within a session", map[string]string{"2026-01-01-a": session("2026-01-01", "", moved+","+off)},
			[]string{"crate 1"}, nil},
		{"on one day the order of two sessions is not stated", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-01-01-b": session("2026-01-01", "", moved)},
			[]string{"Parts whose whereabouts the records do not know", "(order not stated): another line has it otherwise"}, nil},
		{"a stated order settles it", map[string]string{"2026-01-01-a": session("2026-01-01", `"after":["work/2026-01-01-b"],`, off), "2026-01-01-b": session("2026-01-01", "", moved)},
			[]string{"Parts off the car with a stated place", "crate 1"}, nil},
		{"the clock settles it", map[string]string{"2026-01-01-a": session("2026-01-01T15:00:00Z", "", off), "2026-01-01-b": session("2026-01-01T09:00:00Z", "", moved)},
			[]string{"Parts off the car with a stated place", "crate 1"}, nil},
		{"a session without a day may have come at any time", map[string]string{"0000-00-00-a": `{"kind":"session","lines":[` + moved + `]}`, "2026-01-01-b": session("2026-01-01", "", off)},
			[]string{"Parts whose whereabouts the records do not know", "(order not stated)"}, nil},
		{"two lines that put it in the same place need no order", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-01-01-b": session("2026-01-01", "", off)},
			[]string{"Parts off the car with a stated place", "crate 1"}, nil},
		{"seeing it somewhere unsaid moves nothing", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-01-05-a": session("2026-01-05", "", seen)},
			[]string{"crate 1", "sighting 2026-01-05"}, nil},
		{"a part that left for good is gone", map[string]string{"2026-01-01-a": session("2026-01-01", "", `{"act":"removal","parts":["parts/lamp"],"gone":"scrapped"}`)},
			[]string{"Parts that left for good", "left for good: scrapped"}, nil},
		{"a stock-take that does not name it leaves it unknown", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-02-01-a": session("2026-02-01", "", stockTake("parts/other"))},
			[]string{"Parts whose whereabouts the records do not know", "(not seen): a later stock-take of that place does not name it [work/2026-02-01-a.json:1]"}, nil},
		{"a stock-take that names it is its last sighting", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-02-01-a": session("2026-02-01", "", stockTake("parts/lamp"))},
			[]string{"Parts off the car with a stated place", "sighting 2026-02-01"}, nil},
		{"a later stock-take that misses it takes an earlier sighting back", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-02-01-a": session("2026-02-01", "", stockTake("parts/lamp")), "2026-03-01-a": session("2026-03-01", "", stockTake("parts/other"))},
			[]string{"Parts whose whereabouts the records do not know"}, nil},
		{"a withdrawn session does not count", map[string]string{"2026-01-01-a": session("2026-01-01", "", off),
			"2026-01-02-w": `{"kind":"session","withdraws":"work/2026-01-01-a","reason":"wrong car"}`},
			nil, []string{"Parts found on the car that no line moves"}},
		{"a correction counts in its place", map[string]string{"2026-01-01-a": session("2026-01-01", "", off), "2026-01-03-a": session("2026-01-03", "", moved),
			"2026-01-01-b": session("2026-01-01", `"corrects":"work/2026-01-01-a","reason":"crate",`, refit)},
			[]string{"crate 9"}, nil},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			records := map[string]string{"parts/lamp.json": part}
			for id, body := range tt.sessions {
				records["work/"+id+".json"] = body
			}
			in := input(load(t, carOf(records)))
			off, on := section(t, in, "parts-off"), section(t, in, "parts-fitted")
			wantAll(t, off, tt.off...)
			wantAll(t, on, tt.on...)
			if len(tt.off) == 0 {
				wantNone(t, off, "Lamp")
			}
			if len(tt.on) == 0 {
				wantNone(t, on, "Lamp")
			}
		})
	}
}

func TestAPartMovesWithItsAssemblyUntilItIsTakenOutOfIt(t *testing.T) {
	records := map[string]string{
		"parts/engine.json":           `{"kind":"part","name":"Engine","found":"yes","contains":["parts/lamp"]}`,
		"parts/lamp.json":             part,
		"work/2026-01-01-a.json":      session("2026-01-01", "", `{"act":"removal","parts":["parts/engine"],"store":"stores/x/loft","place":"pallet"}`),
		"stores/x/loft/store.json":    `{"kind":"store","name":"Loft"}`,
		"people/x/y/person.json":      `{"kind":"person","name":"Ina"}`,
		"parts/ring-a.json":           `{"kind":"part","name":"Ring A","found":"yes","contains":["parts/ring-b"]}`,
		"parts/ring-b.json":           `{"kind":"part","name":"Ring B","found":"yes","contains":["parts/ring-a"]}`,
		"parts/same-one.json":         `{"kind":"part","name":"Twin","same-as":"parts/same-two"}`,
		"parts/same-two.json":         `{"kind":"part","name":"Twin too","same-as":"parts/same-one"}`,
		"parts/nowhere-declared.json": `{"kind":"part","name":"New bracket","found":"no"}`,
	}
	in := input(load(t, carOf(records)))
	wantAll(t, section(t, in, "parts-off"), "Loft, pallet; moved as part of Engine", "came off with Engine",
		"New bracket", "no line moves it")
	records["work/2026-01-02-a.json"] = session("2026-01-02", "", off)
	in = input(load(t, carOf(records)))
	got := section(t, in, "parts-off")
	wantAll(t, got, "Loft, crate 1")
	wantNone(t, got, "moved as part of Engine")
}

func TestACautionStandsBesideTheFirstLineThatGivesCauseForIt(t *testing.T) {
	in := input(load(t, compactCar(t)))
	work := text(t, dossier.Build(in))
	wantAll(t, work,
		"Took off Engine [parts/engine.json]; from engine bay; put in Loft, pallet 1; bag B1 with 8 fasteners; purpose: conversion; note: “Lifted with the hoist. Nobody under it.” [work/2026-02-04-ina-strip.json:37] !! CAUTION: LIFTING",
		"purpose: repair to pattern. [work/2026-02-04-ina-strip.json:56] !! CAUTION: SUSPECT ASBESTOS")
	wantNone(t, work, "[struck out: Saw Radiator] [parts/radiator.json] !! CAUTION")
	cautions := section(t, in, "cautions")
	wantAll(t, cautions, "prove dead", "capacitors", "stay live", "lock off", "On the records: Battery box, Motor.", "On the records: Brake shoes, front.")
	wantAll(t, section(t, input(load(t, carOf(nil))), "cautions"), "CAUTION: High voltage", "CAUTION: Lifting", "CAUTION: Fuel vapour", "CAUTION: Suspect asbestos", "CAUTION: Lithium fire", "Local codes and licensed practice decide")
}
