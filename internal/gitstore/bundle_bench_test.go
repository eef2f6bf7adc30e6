package gitstore

import (
	"bytes"
	"context"
	"io"
	"path/filepath"
	"testing"
)

// BenchmarkBundle writes a history of 2,000 commits over 1,000 records as a bundle of whole objects; stock git's has
// differences.
func BenchmarkBundle(b *testing.B) {
	r := grown(b, 1000, 2000)
	out := filepath.Join(b.TempDir(), "stock.bundle")
	ratio(b, func(int) {
		if err := r.repo.WriteBundle(context.Background(), io.Discard); err != nil {
			b.Fatal(err)
		}
	}, func(int) { r.git("bundle", "create", "-q", out, "--all") })
}

// BenchmarkUnbundle makes a repository with its work tree out of that bundle; stock git clones it.
func BenchmarkUnbundle(b *testing.B) {
	r := grown(b, 1000, 2000)
	var bundle bytes.Buffer
	if err := r.repo.WriteBundle(context.Background(), &bundle); err != nil {
		b.Fatal(err)
	}
	stock := filepath.Join(b.TempDir(), "stock.bundle")
	r.git("bundle", "create", "-q", stock, "HEAD", "main")
	ratio(b, func(int) {
		made, err := Unbundle(context.Background(), filepath.Join(b.TempDir(), "car"), bytes.NewReader(bundle.Bytes()), Options{})
		if err != nil {
			b.Fatal(err)
		}
		if err := made.Close(); err != nil {
			b.Fatal(err)
		}
	}, func(int) { r.git("clone", "-q", stock, filepath.Join(b.TempDir(), "clone")) })
}
