package main

import (
	"bytes"
	"context"
	"os"
	"path/filepath"
	"testing"

	"boltback/internal/app"
	"boltback/internal/dossier"
	"boltback/internal/render"
)

// BenchmarkDossierAgainstChromium tells what the keeper's dossier of a car of 300 records and 120 photos costs as a page and
// as a PDF file, beside headless Chromium printing that page: as whole programs, ours reading and computing everything and
// Chromium given the finished page; and the setting alone, of a document that is at hand, in a Chromium that runs already.
//
//	go test ./cmd/boltback -run '^$' -bench DossierAgainstChromium -benchtime 7x
func BenchmarkDossierAgainstChromium(b *testing.B) {
	needed(b, "chromium")
	w := newBench(b)
	m := makeYard(b, 1, 300)
	addPhotos(b, m.cars[0], 120)
	w.repositories(m.cars)
	page := filepath.Join(w.home, "dossier.html")
	program := func(format, out string) func(int) {
		return func(int) {
			w.run(m.yard, w.program, "dossier", m.cars[0], "--on", "2026-11-01", "--format", format, "--out", out)
		}
	}
	program("html", page)(0)
	b.Run("programs", func(b *testing.B) {
		args := []string{"--headless", "--disable-gpu", "--no-first-run", "--disable-dev-shm-usage", "--user-data-dir=" + b.TempDir(), "--no-pdf-header-footer"}
		if os.Getuid() == 0 {
			args = append(args, "--no-sandbox")
		}
		printed := filepath.Join(b.TempDir(), "printed.pdf")
		byTurns(b, []turn{
			{"html", program("html", page)},
			{"pdf", program("pdf", filepath.Join(w.home, "dossier.pdf"))},
			{"chromium", func(int) { w.run(w.home, "chromium", append(args, "--print-to-pdf="+printed, page)...) }},
		})
		if file, err := os.ReadFile(printed); err != nil || !bytes.HasPrefix(file, []byte("%PDF")) {
			b.Fatal("chromium printed nothing", err)
		}
	})
	b.Run("setting", func(b *testing.B) { benchmarkSetting(b, m.yard, page) })
}

func benchmarkSetting(b *testing.B, yard, page string) {
	env := world().App
	env.Memories = nil
	cars, err := env.Find(yard)
	if err != nil {
		b.Fatal(err)
	}
	d, err := env.DossierForPaper(cars[0], app.DossierOptions{Reader: dossier.Keeper, On: checkOn.On})
	if err != nil {
		b.Fatal(err)
	}
	chromium := startBrowser(b)
	var out bytes.Buffer
	byTurns(b, []turn{
		{"html", func(int) {
			out.Reset()
			if err := render.HTML(context.Background(), &out, d.Document, render.HTMLOptions{}); err != nil {
				b.Fatal(err)
			}
		}},
		{"pdf", func(int) {
			out.Reset()
			if _, err := render.PDF(context.Background(), &out, d.Document, render.PDFOptions{}); err != nil {
				b.Fatal(err)
			}
		}},
		{"chromium", func(int) {
			chromium.open(page)
			chromium.print(8.27, 11.69)
		}},
	})
	b.Logf("%d pages here, %d there", len(sheetsOf(b, out.Bytes())), len(sheetsOf(b, chromium.print(8.27, 11.69))))
}
