package cli

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io/fs"
	"strings"
	"testing"
	"testing/fstest"
	"time"

	"boltback/internal/app"
	"boltback/internal/record"
)

// memory is a file system of one folder, /, that panics, fails or answers.
type memory struct {
	app.Files
	files fs.FS
	open  func()
}

func (m memory) Absolute(path string) (string, error) { return "/" + strings.Trim(path, "./"), nil }

func (m memory) Folder(string) fs.FS {
	if m.open != nil {
		m.open()
	}
	return m.files
}

func world(files fs.FS, open func()) (Env, *bytes.Buffer, *bytes.Buffer) {
	var out, errs bytes.Buffer
	return Env{
		App:    app.Env{Files: memory{files: files, open: open}, Git: noGit{}, Now: func() time.Time { return time.Unix(0, 0) }, Zone: time.UTC},
		Stdout: &out, Stderr: &errs, Stdin: strings.NewReader(""), Version: "test",
	}, &out, &errs
}

type noGit struct{ app.Git }

func (noGit) Open(string) (app.Repository, error) { return nil, app.ErrNoRepository }

func TestAFaultOfTheProgramIsSaidToBeOneAndEndsWith70(t *testing.T) {
	env, _, errs := world(fstest.MapFS{}, func() { panic("boom") })
	if status := Run(context.Background(), []string{"check"}, env); status != StatusBug {
		t.Errorf("status %d", status)
	}
	if !strings.Contains(errs.String(), "this is a fault of the program: boom") {
		t.Errorf("said %q", errs.String())
	}
}

func TestAnInterruptEndsWith130(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	env, _, errs := world(fstest.MapFS{}, cancel)
	if status := Run(ctx, []string{"check"}, env); status != StatusInterrupted || !strings.Contains(errs.String(), "interrupted") {
		t.Errorf("status %d, said %q", status, errs.String())
	}
}

func TestAnEnvironmentThatFailsEndsWith3(t *testing.T) {
	env, _, errs := world(failing{}, nil)
	if status := Run(context.Background(), []string{"check"}, env); status != StatusEnvironment {
		t.Errorf("status %d, said %q", status, errs.String())
	}
}

// failing has a ledger at its top and cannot be read further.
type failing struct{}

func (failing) Open(name string) (fs.File, error) {
	if name == "ledger.json" {
		return fstest.MapFS{name: {Data: []byte("{}")}}.Open(name)
	}
	return nil, &fs.PathError{Op: "open", Path: name, Err: errors.New("input/output error")}
}

func TestEveryVerbHasAPurposeAnExampleAndNoFullStop(t *testing.T) {
	for _, v := range verbs() {
		if v.purpose == "" || strings.HasSuffix(v.purpose, ".") || len(v.examples) == 0 {
			t.Errorf("%s: purpose %q, %d examples", v.name, v.purpose, len(v.examples))
		}
		for _, e := range v.examples {
			if !strings.HasPrefix(e, v.name) {
				t.Errorf("%s: the example %q is of another verb", v.name, e)
			}
		}
		for _, f := range v.flags {
			if name, use := flagText(f); use == "" || strings.Contains(name, "VALUE") {
				t.Errorf("%s: the flag %s does not say what it takes or does", v.name, name)
			}
		}
	}
}

func TestTheSameFlagMeansTheSameEverywhere(t *testing.T) {
	meaning := map[string]string{}
	for _, v := range verbs() {
		for _, f := range v.flags {
			name, use := flagText(f)
			if before, ok := meaning[name]; ok && before != use {
				t.Errorf("%s: %s means %q here and %q elsewhere", v.name, name, use, before)
			}
			meaning[name] = use
		}
	}
}

func TestFlagsMayStandAnywhere(t *testing.T) {
	v := checkVerb()
	for _, tc := range []struct{ args, want string }{
		{"car --strict", "--strict -- car"},
		{"--on 2026-01-01 car", "--on 2026-01-01 -- car"},
		{"car --on=2026-01-01", "--on=2026-01-01 -- car"},
		{"car --on --strict", "--on --strict -- car"},
		{"-- --strict", "-- --strict"},
		{"-", "-- -"},
	} {
		got, err := flagsFirst(v, strings.Fields(tc.args))
		if err != nil || strings.Join(got, " ") != tc.want {
			t.Errorf("%q becomes %q, %v; want %q", tc.args, strings.Join(got, " "), err, tc.want)
		}
	}
}

func TestAQuestionIsAskedForEachThingThatIsMissing(t *testing.T) {
	for _, tc := range []struct{ name, answers, want string }{
		{"a word of the list", "removal\nfuel-tank\n", "lines.0.act=removal lines.0.parts=fuel-tank"},
		{"its number", "1\nfuel-tank\n", "lines.0.act=removal lines.0.parts=fuel-tank"},
		{"an empty answer leaves it open", "\nfuel-tank\n", "lines.0.parts=fuel-tank"},
		{"the end of input leaves the rest open", "removal", "lines.0.act=removal"},
	} {
		t.Run(tc.name, func(t *testing.T) {
			env, _, errs := world(fstest.MapFS{}, nil)
			env.Stdin = strings.NewReader(tc.answers)
			words, err := env.ask(record.KindSession, []string{"lines.0.act", "lines.0.parts"})
			if err != nil || strings.Join(words, " ") != tc.want {
				t.Errorf("got %q, %v", words, err)
			}
			if !strings.Contains(errs.String(), " 1 removal\n") {
				t.Errorf("asked %q", errs.String())
			}
		})
	}
}

func TestAnErrorUnderJSONIsJSON(t *testing.T) {
	env, out, errs := world(fstest.MapFS{}, nil)
	if status := Run(context.Background(), []string{"check", "--json"}, env); status != StatusUsage || out.Len() > 0 {
		t.Errorf("status %d, printed %q", status, out.String())
	}
	if !strings.Contains(errs.String(), fmt.Sprintf(`"status": %d`, StatusUsage)) {
		t.Errorf("said %q", errs.String())
	}
}
