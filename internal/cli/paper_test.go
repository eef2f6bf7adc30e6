package cli

import (
	"context"
	"strings"
	"testing"
	"testing/fstest"
)

func TestAPDFFileIsNotWrittenToATerminal(t *testing.T) {
	for _, args := range []string{"sheet clock", "sheet weighing --out -", "labels part", "dossier --format pdf"} {
		env, out, errs := world(fstest.MapFS{}, nil)
		env.Width = 80
		if status := Run(context.Background(), strings.Fields(args), env); status != StatusUsage || out.Len() > 0 {
			t.Errorf("%s: status %d, printed %d bytes", args, status, out.Len())
		}
		if !strings.Contains(errs.String(), "not for a terminal") {
			t.Errorf("%s: said %q", args, errs.String())
		}
	}
	env, out, errs := world(fstest.MapFS{}, nil)
	if status := Run(context.Background(), []string{"sheet", "clock"}, env); status != StatusClean || !strings.HasPrefix(out.String(), "%PDF-") {
		t.Errorf("to a pipe: status %d, said %q", status, errs.String())
	}
}

func TestCharactersThatNoTypefaceHasAreNamedWithoutHarm(t *testing.T) {
	env, _, errs := world(fstest.MapFS{}, nil)
	env.sayLacking([]rune{'王', '\u202e'})
	if said := errs.String(); !strings.Contains(said, "U+738B") || !strings.Contains(said, "U+202E") || strings.ContainsRune(said, '\u202e') {
		t.Errorf("said %q", said)
	}
	errs.Reset()
	if env.sayLacking(nil); errs.Len() > 0 {
		t.Errorf("said %q of nothing", errs.String())
	}
}
