package main

import (
	"bytes"
	"context"
	"encoding/base64"
	"fmt"
	"html"
	"io/fs"
	"os"
	"os/exec"
	"path/filepath"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"boltback/internal/cli"
	"boltback/internal/media"
	"boltback/internal/page"
	"boltback/internal/record"
)

// sweep looks for private values and for what cameras write, in everything that the program makes of a yard.
type sweep struct {
	t      *testing.T
	values []string // in lower case, without white space: however they are broken into lines
	looked int
}

// TestNoPrivateValueAndNothingOfACameraLeavesTheFilesThatHoldThem plays the sample, uses it, and looks at every byte: of all
// objects of Git, of the cache, of every file outside private/, of what is printed and of every page and its pictures.
func TestNoPrivateValueAndNothingOfACameraLeavesTheFilesThatHoldThem(t *testing.T) {
	home := t.TempDir()
	t.Setenv("BOLTBACK_CACHE", filepath.Join(home, "cache"))
	t.Setenv("BOLTBACK_PERSON", "people/tallow-lane/ines-okafor")
	yard := filepath.Join(home, "yard")
	if _, err := world().App.Demo(context.Background(), yard); err != nil {
		t.Fatal(err)
	}
	s := &sweep{t: t, values: valuesIn(t, filepath.Join(yard, "private"))}
	if len(s.values) < 9 {
		t.Fatalf("only %d values are looked for", len(s.values))
	}
	s.use(yard)
	s.files(home)
	for _, name := range []string{"workshop", "cars/courser", "cars/sesta-700", "cars/tern-1500"} {
		s.objects(filepath.Join(yard, filepath.FromSlash(name)))
	}
	if s.looked < 1500 {
		t.Errorf("only %d things were looked at", s.looked)
	}
}

// TestTheSweepSeesAValueWhereverItIsLaid plants a value in each form, or the sweep could be blind and nobody would know.
func TestTheSweepSeesAValueWhereverItIsLaid(t *testing.T) {
	s := &sweep{values: []string{squeezed("Invented Name-of-Somebody")}}
	for _, text := range []string{"x Invented Name-of-Somebody y", "invented\n   name-of-some\nbody", `{"name": "INVENTED NAME-OF-SOMEBODY"}`} {
		if s.shown([]byte(text)) == "" {
			t.Errorf("not seen in %q", text)
		}
	}
	if s.shown([]byte("Invented Somebody")) != "" {
		t.Error("seen where it is not")
	}
}

// use calls verbs that read, write and fail, and looks at what they print.
func (s *sweep) use(yard string) {
	transfers := map[string]string{"courser": "2024-06-03-bought", "sesta-700": "2021-05-01-sold", "tern-1500": "2025-09-08-brought-in"}
	if raced {
		transfers = map[string]string{"courser": transfers["courser"]}
	}
	s.run("check", yard, "--on", "2026-11-01")
	s.run("check", yard, "--on", "2026-11-01", "--json")
	s.run("list", yard, "--json")
	for name, transfer := range transfers {
		car := filepath.Join(yard, "cars", name)
		s.run("show", car, transfer)
		s.run("show", car, transfer[:len(transfer)-1]+"x")
		s.run("history", car, "transfers/"+transfer)
		s.run("workings", car, "custody", "--on", "2026-11-01")
		s.run("record", "part", "spare", "--car", car, "found=no", "note=from "+disclosuresIn(s.t, filepath.Join(yard, "private", name))[0].Value)
		s.run("dossier", car, "--on", "2026-11-01", "--format", "text")
		s.pictures(name+".html", s.run("dossier", car, "--on", "2026-11-01"))
		out := filepath.Join(s.t.TempDir(), "dossier.pdf")
		s.run("dossier", car, "--on", "2026-11-01", "--format", "pdf", "--out", out)
		s.pdf(out)
	}
}

// run calls a verb, looks at what it prints and at its errors, and gives what it prints.
func (s *sweep) run(args ...string) []byte {
	s.t.Helper()
	var stdout, stderr bytes.Buffer
	env := world()
	env.Stdout, env.Stderr = &stdout, &stderr
	status := cli.Run(context.Background(), args, env)
	about := strings.Join(args[:2], " ")
	if status != cli.StatusClean && status != cli.StatusFindings && status != cli.StatusUsage {
		s.t.Errorf("%s: status %d: %s", about, status, stderr.String())
	}
	s.look(about, stdout.Bytes())
	s.look(about+", errors", stderr.Bytes())
	return stdout.Bytes()
}

// pdf looks at a PDF file: its words, its streams unpacked, and the pictures among them.
func (s *sweep) pdf(name string) {
	file, err := os.ReadFile(name)
	if err != nil {
		s.t.Fatal(err)
	}
	streams := page.Streams(file)
	if len(streams) == 0 {
		s.t.Errorf("%s has no streams", name)
	}
	s.look(name, file)
	for i, stream := range streams {
		s.look(fmt.Sprintf("%s, stream %d", name, i), stream)
		s.picture(name, bytes.TrimRight(stream, "\r\n")) // the line before endstream
	}
	words, err := exec.Command("pdftotext", name, "-").Output()
	if err != nil {
		s.t.Fatal(err)
	}
	s.look(name+", its words", words)
}

// objects looks at every object of a repository, unpacked.
func (s *sweep) objects(dir string) {
	cat := exec.Command("git", "cat-file", "--batch-all-objects", "--batch")
	cat.Dir = dir
	out, err := cat.Output()
	if err != nil {
		s.t.Fatal(err)
	}
	for len(out) > 0 {
		head, rest, _ := bytes.Cut(out, []byte("\n"))
		fields := strings.Fields(string(head))
		size, err := strconv.Atoi(fields[2])
		if err != nil {
			s.t.Fatal(err)
		}
		s.look(dir+" "+fields[0], rest[:size])
		if fields[1] == "blob" {
			s.picture(dir+" "+fields[0], rest[:size])
		}
		out = rest[size+1:]
	}
}

// files looks at everything in a folder but private values, originals, and Git's own packing of its objects.
func (s *sweep) files(dir string) {
	err := filepath.WalkDir(dir, func(path string, d fs.DirEntry, err error) error {
		if err != nil {
			return err
		}
		if d.IsDir() {
			if d.Name() == "private" || d.Name() == "objects" {
				return fs.SkipDir
			}
			return nil
		}
		file, err := os.ReadFile(path)
		s.look(path, file)
		return err
	})
	if err != nil {
		s.t.Fatal(err)
	}
}

var embedded = regexp.MustCompile(`data:image/(?:jpeg|png);base64,([A-Za-z0-9+/=]+)`)

// pictures looks at the pictures inside a page.
func (s *sweep) pictures(where string, file []byte) {
	found := embedded.FindAllStringSubmatch(html.UnescapeString(string(file)), -1)
	if len(found) == 0 {
		s.t.Errorf("%s has no pictures", where)
	}
	for _, one := range found {
		picture, err := base64.StdEncoding.DecodeString(one[1])
		if err != nil {
			s.t.Errorf("%s: %v", where, err)
		}
		s.picture(where, picture)
	}
}

// picture finds fault with a picture that holds more than pixels.
func (s *sweep) picture(where string, file []byte) {
	if kind := media.TypeOf(file); (kind == media.JPEG || kind == media.PNG) && !media.Bare(file) {
		s.t.Errorf("%s: a picture holds more than its pixels", where)
	}
}

func (s *sweep) look(where string, text []byte) {
	s.looked++
	if value := s.shown(text); value != "" {
		s.t.Errorf("%s shows %q", where, value)
	}
}

// shown gives the first value that a text shows, however it is broken into lines.
func (s *sweep) shown(text []byte) string {
	flat := squeezed(string(text))
	for _, value := range s.values {
		if strings.Contains(flat, value) {
			return value
		}
	}
	return ""
}

func squeezed(text string) string {
	return strings.Join(strings.Fields(strings.ToLower(text)), "")
}

func valuesIn(t *testing.T, folder string) []string {
	var values []string
	for _, place := range []string{"workshop", "courser", "sesta-700", "tern-1500"} {
		for _, one := range disclosuresIn(t, filepath.Join(folder, place)) {
			values = append(values, squeezed(one.Value))
		}
	}
	return values
}

// disclosuresIn reads the private values of a yard.
func disclosuresIn(t *testing.T, folder string) []record.Disclosure {
	t.Helper()
	var list []record.Disclosure
	names, err := filepath.Glob(filepath.Join(folder, "*.json"))
	for _, name := range names {
		file, readErr := os.ReadFile(name)
		if readErr != nil {
			t.Fatal(readErr)
		}
		one, parseErr := record.ParseDisclosure(file)
		if parseErr != nil {
			t.Fatal(parseErr)
		}
		list = append(list, one)
	}
	if err != nil || len(list) == 0 {
		t.Fatal("no private values are here", err)
	}
	return list
}
