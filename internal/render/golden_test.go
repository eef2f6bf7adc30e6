package render

import (
	"bytes"
	"context"
	"flag"
	"os"
	"path/filepath"
	"testing"

	"github.com/google/go-cmp/cmp"

	"boltback/internal/doc"
)

var update = flag.Bool("update", false, "write the golden files anew")

// goldens are the renderings of the sample that are kept, by file name. A test
// fails when one differs and when a file has no rendering any more.
var goldens = map[string]func(*bytes.Buffer, *doc.Document) error{
	"sample-80.txt": func(b *bytes.Buffer, d *doc.Document) error { return Text(b, d, TextOptions{}) },
	"sample-40.txt": func(b *bytes.Buffer, d *doc.Document) error { return Text(b, d, TextOptions{Width: 40}) },
	"sample-bold.txt": func(b *bytes.Buffer, d *doc.Document) error {
		return TextBlocks(b, d.Blocks()[:1], TextOptions{Width: 100, Bold: true})
	},
	"sample.html": func(b *bytes.Buffer, d *doc.Document) error {
		return HTML(context.Background(), b, d, HTMLOptions{Paper: A4})
	},
}

func TestTheSampleIsSound(t *testing.T) {
	if err := doc.Check(sample(t)); err != nil {
		t.Fatal(err)
	}
}

func TestRenderingsMatchTheGoldenFiles(t *testing.T) {
	for name, render := range goldens {
		t.Run(name, func(t *testing.T) {
			var got, again bytes.Buffer
			if err := render(&got, sample(t)); err != nil {
				t.Fatal(err)
			}
			if err := render(&again, sample(t)); err != nil || !bytes.Equal(got.Bytes(), again.Bytes()) {
				t.Fatalf("a second rendering gives other bytes (%v)", err)
			}
			path := filepath.Join("testdata", name)
			if *update {
				if err := os.WriteFile(path, got.Bytes(), 0o644); err != nil {
					t.Fatal(err)
				}
			}
			want, err := os.ReadFile(path)
			if err != nil {
				t.Fatal(err)
			}
			if diff := cmp.Diff(string(want), got.String()); diff != "" {
				t.Errorf("the rendering differs from %s (write it anew with -update):\n%s", path, diff)
			}
		})
	}
	files, err := filepath.Glob(filepath.Join("testdata", "*.*"))
	if err != nil || len(files) != len(goldens) {
		t.Errorf("testdata holds %d files and %d are rendered (%v)", len(files), len(goldens), err)
	}
}
