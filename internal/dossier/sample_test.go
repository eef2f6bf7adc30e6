package dossier_test

import (
	"bytes"
	"os"
	"testing"

	"boltback/internal/doc"
	"boltback/internal/dossier"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/render"
)

func TestSmoke(t *testing.T) {
	s, err := ledger.Load(os.DirFS("../../records/sample/cars/tern-1500"))
	if err != nil {
		t.Fatal(err)
	}
	d := dossier.Build(dossier.Input{Snapshot: s, Day: edtf.NewDay(2026, 11, 25), Commit: "c0ffee", Program: "boltback 1"})
	if err := doc.Check(d); err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	render.Text(&b, d, render.TextOptions{Width: 110})
	os.WriteFile("/tmp/sample.txt", b.Bytes(), 0o644)
}
