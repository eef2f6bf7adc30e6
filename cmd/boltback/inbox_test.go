package main

import (
	"archive/zip"
	"bytes"
	"cmp"
	"context"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"image"
	"image/jpeg"
	"math/rand/v2"
	"os"
	"path/filepath"
	"regexp"
	"slices"
	"strings"
	"testing"
	"time"

	"boltback/internal/canon"
	"boltback/internal/cli"
	"boltback/internal/code"
	"boltback/internal/record"
)

// stripDown is a day of taking parts off, as two cameras saw it, with what is true of it.
type stripDown struct {
	folder string
	// clocks are the true times by the names of the pictures of the bench clock.
	clocks map[string]time.Time
	// parts are the numbers in the order of the day; under says which picture is of which; unread are pictures of tags that cannot be
	// read, and again is the one that was photographed twice, from the picture named on.
	parts  []code.Tag
	under  map[string]code.Tag
	unread map[string]code.Tag
	again  code.Tag
	from   string
	digest map[string]string
}

// photographStripDown makes the pictures: so many tagged parts among so many pictures, two cameras of which the second's clock
// is 13 minutes slow, five tags that cannot be read, and one that is photographed a second time.
func photographStripDown(t *testing.T, parts, pictures int) *stripDown {
	t.Helper()
	s := &stripDown{folder: t.TempDir(), clocks: map[string]time.Time{}, under: map[string]code.Tag{}, unread: map[string]code.Tag{}, digest: map[string]string{}}
	r := rand.New(rand.NewPCG(80, 380))
	at := time.Date(2026, 3, 2, 8, 0, 0, 0, time.UTC)
	count := map[string]int{}
	shoot := func(camera string, of snap) string {
		slow := map[string]time.Duration{"F3": 0, "K2": 13 * time.Minute}[camera]
		at = at.Add(time.Duration(4+r.IntN(40)) * time.Second)
		count[camera]++
		of.camera, of.seed = camera, uint64(len(s.digest)+1)
		of.taken = at.Add(-slow).Format("2006:01:02 15:04:05")
		file, err := of.file()
		if err != nil {
			t.Fatal(err)
		}
		name := fmt.Sprintf("%s/IMG_%04d.jpg", camera, count[camera])
		if err := os.MkdirAll(filepath.Join(s.folder, camera), 0o755); err != nil {
			t.Fatal(err)
		}
		if err := os.WriteFile(filepath.Join(s.folder, name), file, 0o644); err != nil {
			t.Fatal(err)
		}
		s.digest[name] = canon.Digest(file)
		return name
	}
	either := func() string { return []string{"F3", "K2"}[r.IntN(2)] }
	for _, camera := range []string{"F3", "K2"} {
		s.clocks[shoot(camera, snap{text: "BENCH:CLOCK/2026-03-02"})] = at
	}
	shoot("F3", snap{text: "BENCH:SHEET/STRIP-DOWN/GREY-TERN/1"})
	tagged := func(tag code.Tag, spoiled string) string {
		text, err := code.TagPayload(tag).Text()
		if err != nil {
			t.Fatal(err)
		}
		name := shoot(either(), snap{text: text, spoiled: spoiled, turn: 1 + r.IntN(8)})
		s.under[name] = tag
		return name
	}
	details := pictures - 3 - parts - 1
	detail := func(tag code.Tag, n int) {
		for range n {
			s.under[shoot(either(), snap{turn: 1 + r.IntN(8)})] = tag
		}
		details -= n
	}
	for n := range parts {
		tag, err := code.NewTag(101 + n)
		if err != nil {
			t.Fatal(err)
		}
		s.parts = append(s.parts, tag)
		spoiled := ""
		if n%(parts/5) == parts/10 {
			spoiled = []string{"glare", "thumb", "grease"}[n%3]
		}
		name := tagged(tag, spoiled)
		if spoiled != "" {
			s.unread[name] = tag
		}
		left := parts - n // parts that still want their pictures, this one included
		detail(tag, details/(left+1)+r.IntN(2)*min(1, details%(left+1)))
		if n == parts/2 {
			s.again = s.parts[3]
			s.from = tagged(s.again, "")
			detail(s.again, 1)
		}
	}
	detail(s.parts[parts-1], details)
	if len(s.digest) != pictures {
		t.Fatalf("%d pictures, not %d", len(s.digest), pictures)
	}
	return s
}

// bystander answers questions at the terminal, and counts them and the keys that it takes.
type bystander struct {
	said          *bytes.Buffer // what the program writes on the terminal
	answer        func(question string) string
	from          int // where the question after the last answer begins
	prompts, keys int
	typed         []string
}

func (b *bystander) Read(p []byte) (int, error) {
	lines := strings.Split(strings.TrimRight(b.said.String()[b.from:], " "), "\n")
	b.from = b.said.Len()
	answer := b.answer(lines[len(lines)-1]) + "\n"
	b.prompts++
	b.keys += len(answer)
	b.typed = append(b.typed, answer)
	return copy(p, answer), nil
}

// in runs the program in a car, at a terminal where somebody answers.
func in(t *testing.T, car string, answer func(string) string, args ...string) (status int, out, errs string, b *bystander) {
	t.Helper()
	return inOn(t, &full{}, car, answer, args...)
}

// inOn is in, with the ledgers on a disk that may fail.
func inOn(t *testing.T, disk *full, car string, answer func(string) string, args ...string) (status int, out, errs string, b *bystander) {
	t.Helper()
	t.Setenv("BOLTBACK_PERSON", "people/tallow-lane/ines-okafor")
	t.Setenv("XDG_CONFIG_HOME", car)
	t.Chdir(car)
	var stdout, stderr bytes.Buffer
	b = &bystander{said: &stderr, answer: answer}
	env := worldOn(disk.disk())
	env.App.Zone = time.UTC
	env.Stdin, env.Stdout, env.Stderr, env.Ask = b, &stdout, &stderr, answer != nil
	status = cli.Run(context.Background(), args, env)
	return status, stdout.String(), stderr.String(), b
}

var pictureIn = regexp.MustCompile(`[FK][23]/IMG_\d{4}\.jpg`)

// told answers as somebody does who looks at the pictures: the clocks, the numbers on the tags, and that the part is the same.
func (s *stripDown) told(question string) string {
	name := pictureIn.FindString(question)
	switch {
	case strings.Contains(question, "What does the clock show"):
		return s.clocks[name].Format("15:04:05")
	case strings.Contains(question, "cannot be read"):
		return strings.Replace(string(s.unread[name]), "-", "", 1)
	case strings.Contains(question, "was photographed before"):
		return "s"
	case strings.Contains(question, "Take this?"):
		return "y"
	}
	return "what is " + question + "?"
}

// linesOf reads the lines of all sessions of a car, each with the digests of its pictures in order.
func linesOf(t *testing.T, car string) (tags []string, digests map[string][]string) {
	t.Helper()
	digests = map[string][]string{}
	sessions, err := filepath.Glob(filepath.Join(car, "work", "*.json"))
	if err != nil {
		t.Fatal(err)
	}
	for _, path := range sessions {
		var session record.Session
		decode(t, path, &session)
		for _, l := range session.Lines {
			tags = append(tags, l.Tag)
			if len(l.Parts) != 1 || l.Act != "removal" {
				t.Errorf("%+v", l)
			}
			for _, p := range l.Papers {
				var paper record.Paper
				decode(t, filepath.Join(car, string(p)+".json"), &paper)
				digests[l.Tag] = append(digests[l.Tag], string(paper.Original.Digest))
			}
		}
	}
	return tags, digests
}

func decode(t *testing.T, path string, into any) {
	t.Helper()
	text, err := os.ReadFile(path)
	if err == nil {
		err = json.Unmarshal(text, into)
	}
	if err != nil {
		t.Fatal(err)
	}
}

// right holds the lines of a car against what is true; without says that what nobody answered for is left aside.
func (s *stripDown) right(t *testing.T, car string, without bool) {
	t.Helper()
	tags, digests := linesOf(t, car)
	unread, aside := map[code.Tag]bool{}, false
	for _, tag := range s.unread {
		unread[tag] = true
	}
	want := map[string][]string{}
	var order []string
	for _, name := range s.inOrder() {
		tag := s.under[name]
		aside = tag == s.again && (aside || name == s.from)
		if without && (unread[tag] || aside) {
			continue
		}
		if want[string(tag)] == nil {
			order = append(order, string(tag))
		}
		want[string(tag)] = append(want[string(tag)], s.digest[name])
	}
	slices.Sort(order)
	slices.Sort(tags)
	if !slices.Equal(tags, order) {
		t.Errorf("lines %v\nwant  %v", tags, order)
	}
	for tag, pictures := range want {
		if without && !slices.Equal(digests[tag], pictures) || !slices.Equal(sorted(digests[tag]), sorted(pictures)) {
			t.Errorf("%s has %d pictures, and not the %d that are of it", tag, len(digests[tag]), len(pictures))
		}
	}
}

func sorted(list []string) []string { return slices.Sorted(slices.Values(list)) }

// inOrder are the pictures under parts as they were taken: seeds count up.
func (s *stripDown) inOrder() []string {
	var names []string
	for name := range s.under {
		names = append(names, name)
	}
	slices.SortFunc(names, func(a, b string) int { return s.when(a).Compare(s.when(b)) })
	return names
}

// when is the true time of a picture, from its file's own time and its camera.
func (s *stripDown) when(name string) time.Time {
	file, err := os.ReadFile(filepath.Join(s.folder, name))
	if err != nil {
		panic(err)
	}
	at := regexp.MustCompile(`2026:\d\d:\d\d \d\d:\d\d:\d\d`).Find(file)
	taken, err := time.Parse("2006:01:02 15:04:05", string(at))
	if err != nil {
		panic(err)
	}
	if strings.HasPrefix(name, "K2") {
		taken = taken.Add(13 * time.Minute)
	}
	return taken
}

// sizeOfDay is 80 parts among 380 pictures, and less where the race detector makes everything several times slower.
func sizeOfDay() (parts, pictures int) {
	if raced {
		return 20, 50
	}
	return 80, 380
}

func TestAStripDownGoesFromAFolderOfPicturesToACommitInFewKeys(t *testing.T) {
	parts, pictures := sizeOfDay()
	s := photographStripDown(t, parts, pictures)
	car := newCar(t)
	status, out, errs, b := in(t, car, s.told, "inbox", s.folder, "--on", "2026-03-02")
	if status != 0 {
		t.Fatalf("status %d\n%s\n%s", status, out, errs)
	}
	t.Logf("%d keys and %d prompts: %q", b.keys, b.prompts, b.typed)
	if b.keys > 120 || b.prompts > 40 {
		t.Errorf("%d keys and %d prompts", b.keys, b.prompts)
	}
	s.right(t, car, false)
	if status, out, _, _ := in(t, car, nil, "check", "--on", "2099-01-01", "--deep"); status != 0 {
		t.Errorf("check: status %d\n%s", status, out)
	}
	if n := strings.TrimSpace(stockGit(t, car, "rev-list", "--count", "HEAD")); n != "2" {
		t.Errorf("%s commits", n)
	}
	stockGit(t, car, "fsck", "--strict")
	before := stockGit(t, car, "rev-parse", "HEAD")
	status, _, errs, b = in(t, car, s.told, "inbox", s.folder, "--on", "2026-03-02")
	if status != 0 || stockGit(t, car, "rev-parse", "HEAD") != before || !strings.Contains(errs, "0 of them not here yet") {
		t.Errorf("a second run: status %d, %d prompts\n%s", status, b.prompts, errs)
	}
	s.safe(t, car)
}

// safe holds the originals against the pictures, and looks for what a camera wrote in anything that Git keeps.
func (s *stripDown) safe(t *testing.T, car string) {
	t.Helper()
	originals, err := os.ReadDir(filepath.Join(car, "../../originals"))
	if err != nil || len(originals) != len(s.digest) {
		t.Errorf("%d originals of %d pictures, %v", len(originals), len(s.digest), err)
	}
	for _, o := range originals {
		if info, err := o.Info(); err != nil || info.Mode().Perm() != 0o444 {
			t.Errorf("%s: %v, %v", o.Name(), info.Mode(), err)
		}
	}
	err = filepath.WalkDir(car, func(path string, d os.DirEntry, err error) error {
		if err != nil || d.IsDir() && d.Name() == ".git" {
			return cmp.Or(err, filepath.SkipDir)
		}
		if d.IsDir() {
			return nil
		}
		text, err := os.ReadFile(path)
		for _, word := range []string{"Halden", "Exif", "IMG_"} {
			if bytes.Contains(text, []byte(word)) {
				t.Errorf("%s holds %s", path, word)
			}
		}
		return err
	})
	if err != nil {
		t.Error(err)
	}
}

func TestAShortDay(t *testing.T) {
	const parts, pictures = 20, 50
	s := photographStripDown(t, parts, pictures)
	t.Run("without answers what is certain is taken, and the rest is listed and taken later", func(t *testing.T) { takenLater(t, s) })
	t.Run("whoever stops, or is killed, is not asked the same again", func(t *testing.T) { stopped(t, s) })
	t.Run("a line is mended and left out before it is taken", func(t *testing.T) { mended(t, s) })
}

func takenLater(t *testing.T, s *stripDown) {
	car := newCar(t)
	args := []string{"inbox", s.folder, "--on", "2026-03-02"}
	for name, at := range s.clocks {
		args = append(args, "--clock", name+"="+at.Format("15:04:05"))
	}
	status, out, _, _ := in(t, car, nil, append(args, "--dry-run")...)
	if status != cli.StatusFindings || stockGit(t, car, "rev-list", "--count", "HEAD") != "1\n" {
		t.Fatalf("a dry run: status %d\n%s", status, out)
	}
	for _, tag := range s.unread {
		if !strings.Contains(out, string(tag)) {
			t.Errorf("%s, which no picture shows, is not listed:\n%s", tag, out)
		}
	}
	if status, out, errs, _ := in(t, car, nil, append(args, "--yes")...); status != cli.StatusFindings {
		t.Fatalf("status %d\n%s\n%s", status, out, errs)
	}
	s.right(t, car, true)
	status, out, errs, b := in(t, car, s.told, "inbox", s.folder, "--on", "2026-03-02")
	if status != 0 || b.prompts != len(s.unread)+2 { // the clocks are known by now
		t.Fatalf("status %d, %d prompts\n%s\n%s", status, b.prompts, out, errs)
	}
	tags, _ := linesOf(t, car)
	slices.Sort(tags)
	if len(tags) != len(s.parts) || len(slices.Compact(tags)) != len(s.parts) {
		t.Errorf("%d lines of %d parts", len(tags), len(s.parts))
	}
	s.safe(t, car)
}

// copyOf is what a messaging program makes of a picture: half the size, packed anew, and nothing of the camera left.
func copyOf(t *testing.T, file []byte) []byte {
	t.Helper()
	picture, err := jpeg.Decode(bytes.NewReader(file))
	if err != nil {
		t.Fatal(err)
	}
	half := image.NewGray(image.Rect(0, 0, picture.Bounds().Dx()/2, picture.Bounds().Dy()/2))
	for y := range half.Rect.Dy() {
		for x := range half.Rect.Dx() {
			half.Set(x, y, picture.At(2*x, 2*y))
		}
	}
	var b bytes.Buffer
	if err := jpeg.Encode(&b, half, &jpeg.Options{Quality: 60}); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// TestC48ACopyIsOneProofWithItsOriginalAndNotTwo takes in a picture and its copy, first together, then the copy of one that is
// in the ledger already.
func TestC48ACopyIsOneProofWithItsOriginalAndNotTwo(t *testing.T) {
	folder, later := t.TempDir(), t.TempDir()
	var files [][]byte
	for i, s := range []snap{{text: "BENCH:TAG/0101-2"}, {}, {}} {
		s.camera, s.taken, s.seed, s.width, s.height = "F3", fmt.Sprintf("2026:03:02 08:0%d:00", i), uint64(i+1), 480, 360
		file, err := s.file()
		if err != nil {
			t.Fatal(err)
		}
		files = append(files, file)
		lay(t, folder, fmt.Sprintf("%d.jpg", i), file)
	}
	lay(t, folder, "sent.jpg", copyOf(t, files[1]))
	lay(t, later, "sent.jpg", copyOf(t, files[2]))
	car := newCar(t)
	for _, from := range []string{folder, later} {
		if status, out, errs, _ := in(t, car, nil, "inbox", from, "--yes", "--on", "2026-03-02"); status != 0 {
			t.Fatalf("status %d\n%s\n%s", status, out, errs)
		}
	}
	_, digests := linesOf(t, car)
	if len(digests["0101-2"]) != 3 {
		t.Errorf("%v", digests)
	}
	papers, err := filepath.Glob(filepath.Join(car, "papers", "*.json"))
	if err != nil || len(papers) != 5 {
		t.Fatal(papers, err)
	}
	copies := map[record.Digest]record.Digest{}
	for _, path := range papers {
		var paper, of record.Paper
		decode(t, path, &paper)
		if paper.CopyOf == "" {
			continue
		}
		decode(t, filepath.Join(car, string(paper.CopyOf)+".json"), &of)
		copies[paper.Original.Digest] = of.Original.Digest
		if paper.Embedded != "" || paper.Received != "2026-03-02" || !slices.Equal(paper.Shows, of.Shows) {
			t.Errorf("%+v", paper)
		}
	}
	for _, i := range []int{1, 2} {
		if got := copies[record.Digest(canon.Digest(copyOf(t, files[i])))]; got != record.Digest(canon.Digest(files[i])) {
			t.Errorf("picture %d: its copy is a copy of %q", i, got)
		}
	}
}

func lay(t *testing.T, folder, name string, file []byte) {
	t.Helper()
	if err := os.WriteFile(filepath.Join(folder, name), file, 0o644); err != nil {
		t.Fatal(err)
	}
}

// TestAHostileZIPFileWritesNothingAnywhereElse packs names that lead out, a file that would unpack to gigabytes, one that lies
// about its size, and one picture.
func TestAHostileZIPFileWritesNothingAnywhereElse(t *testing.T) {
	file, err := snap{camera: "F3", taken: "2026:03:02 08:00:00", text: "BENCH:TAG/0101-2", seed: 1}.file()
	if err != nil {
		t.Fatal(err)
	}
	var packed bytes.Buffer
	z := zip.NewWriter(&packed)
	for name, content := range map[string][]byte{
		"../../../escaped.jpg": file, "/etc/escaped.jpg": append(bytes.Clone(file), 0), `..\..\escaped.jpg`: append(bytes.Clone(file), 1, 1),
		"bomb.jpg":         append([]byte("\xff\xd8\xff"), make([]byte, 2<<20)...),
		"inner.zip":        []byte("PK\x03\x04"),
		"__MACOSX/._a.jpg": file, "cut.jpg": file[:200], "clip.mp4": []byte("\x00\x00\x00\x18ftypmp42"),
	} {
		w, err := z.Create(name)
		if err == nil {
			_, err = w.Write(content)
		}
		if err != nil {
			t.Fatal(err)
		}
	}
	if err := z.Close(); err != nil {
		t.Fatal(err)
	}
	car := newCar(t)
	root := filepath.Dir(filepath.Dir(filepath.Dir(car)))
	lay(t, root, "day.zip", packed.Bytes())
	status, out, errs, _ := in(t, car, nil, "inbox", filepath.Join(root, "day.zip"), "--yes", "--on", "2026-03-02")
	if status != 0 || !strings.Contains(errs, "bomb.jpg: it would unpack to") || !strings.Contains(errs, "inner.zip: not a JPEG") {
		t.Errorf("status %d\n%s\n%s", status, out, errs)
	}
	err = filepath.WalkDir(root, func(path string, _ os.DirEntry, err error) error {
		if strings.Contains(filepath.Base(path), "escaped") {
			t.Errorf("%s was written", path)
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	lied := bytes.Clone(packed.Bytes())
	if at := bytes.Index(lied, []byte("PK\x01\x02")); at > 0 {
		binary.LittleEndian.PutUint32(lied[at+24:], 10) // the first entry claims ten bytes
	}
	lay(t, root, "lied.zip", lied)
	if status, _, errs, _ := in(t, car, nil, "inbox", filepath.Join(root, "lied.zip"), "--yes"); status > cli.StatusFindings {
		t.Errorf("status %d\n%s", status, errs)
	}
}

func mended(t *testing.T, s *stripDown) {
	car := newCar(t)
	mends := []string{"1 Starter motor", "2 -", "999 x", "3 starter motor", "y"}
	status, out, errs, _ := in(t, car, func(question string) string {
		if strings.Contains(question, "Take this?") {
			mend := mends[0]
			mends = mends[1:]
			return mend
		}
		return s.told(question)
	}, "inbox", s.folder, "--on", "2026-03-02")
	if status != 0 || !strings.Contains(errs, "999 x is no line") || !strings.Contains(errs, "would both be parts/starter-motor") {
		t.Fatalf("status %d\n%s\n%s", status, out, errs)
	}
	tags, _ := linesOf(t, car)
	if len(tags) != 19 || slices.Contains(tags, string(s.parts[1])) {
		t.Errorf("%d lines: %v", len(tags), tags)
	}
	var part record.Part
	decode(t, filepath.Join(car, "parts/starter-motor.json"), &part)
	if part.Name != "Starter motor" || part.Tag != string(s.parts[0]) || part.Found != "inferred" {
		t.Errorf("%+v", part)
	}
}
