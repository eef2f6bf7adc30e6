package bag

import (
	"bytes"
	"context"
	"encoding/hex"
	"errors"
	"fmt"
	"hash"
	"io"
	"io/fs"
	"maps"
	"slices"
	"strconv"
	"strings"

	"boltback/internal/finding"
)

// Bounds on what a stranger may ask of a check.
const (
	mostEntries  = 1 << 17
	mostBytes    = 1 << 40 // of all files together
	largestTag   = 64 << 20
	largestPage  = 1 << 20
	mostDeflated = 1032 // times: what deflate can make of one byte (RFC 1951)
)

// errStop ends a walk whose finding has been noted.
var errStop = errors.New("stopped")

// checker holds one bag to account.
type checker struct {
	notes
	ctx      context.Context
	source   Source
	base     string // of an archive, with a slash
	report   Report
	edition  edition
	files    map[string]int64    // stated size by name
	byFold   map[string][]string // names by folded name
	tags     map[string][]byte   // the tag files that have a meaning
	promises map[string][]promise
	payloads []*manifest
}

// Check reads a bag whole and says what is wrong with it. The error is for a source that cannot be read.
func Check(ctx context.Context, source Source) (*Report, error) {
	c := &checker{ctx: ctx, source: source, files: map[string]int64{}, byFold: map[string][]string{}, tags: map[string][]byte{}, promises: map[string][]promise{}}
	c.report.Readmes = map[string][]byte{}
	if err := c.survey(); err != nil && !errors.Is(err, errStop) {
		return nil, err
	} else if err == nil {
		c.readTags()
		if err := c.hold(); err != nil && !errors.Is(err, errStop) {
			return nil, err
		}
		c.unlisted()
		c.oxum()
	}
	c.report.Findings = c.sorted()
	return &c.report, nil
}

func (c *checker) fault(code, file string, line int, hint, format string, words ...any) {
	c.add(finding.Error, code, file, line, hint, format, words...)
}

// survey notes what lies there and keeps the tag files that have a meaning.
func (c *checker) survey() error {
	var total int64
	seen := map[string]bool{}
	return c.source.Walk(func(e Entry, open Open) error {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		if len(seen) >= mostEntries || e.Size < 0 || e.Size > mostBytes-total || c.implausible(total+e.Size) {
			c.fault("bag-too-large", "", 0, "do not unpack it", "this bag states more files or bytes than it can hold")
			return errStop
		}
		total += e.Size
		name, ok := c.place(e)
		if !ok || name == "" {
			return nil
		}
		if seen[name] {
			if !e.Mode.IsDir() {
				c.fault("bag-archive", shortened(name), 0, "a name stands once in an archive", "the archive has two entries of this name")
			}
			return nil
		}
		seen[name] = true
		if e.Mode.IsDir() {
			return nil
		}
		c.note(name, e.Size)
		if readme(name) && e.Size <= largestPage {
			return c.keep(c.report.Readmes, name, e, open)
		}
		if name != "bagit.txt" && name != "bag-info.txt" && name != "fetch.txt" && !manifestName.MatchString(name) {
			return nil
		}
		return c.keepTag(name, e, open)
	})
}

// implausible reports whether an archive states more than its bytes can become.
func (c *checker) implausible(total int64) bool {
	packed := c.source.Packed()
	return packed > 0 && total/mostDeflated > packed
}

// place gives an entry's name in the bag, "" for the bag itself; false where it is refused.
func (c *checker) place(e Entry) (string, bool) {
	name := e.Name
	if e.Mode.IsDir() {
		name = strings.TrimSuffix(name, "/")
	}
	if !plainName(name) && (c.source.Packed() > 0 || strings.Contains(name, `\`)) {
		c.fault("bag-path", shortened(e.Name), 0, "names are relative to the bag and stay in it", "this name leads out of the bag, or would on another system")
		return "", false
	}
	if c.source.Packed() > 0 {
		top, rest, below := strings.Cut(name, "/")
		if c.base == "" {
			c.base = top
		}
		if top != c.base || !below && !e.Mode.IsDir() {
			c.fault("bag-archive", shortened(e.Name), 0, "an archive holds one folder, which is the bag (RFC 8493, section 4)", "this lies outside the folder %q", shortened(c.base))
			return "", false
		}
		name = rest
	}
	if !e.Mode.IsDir() && !e.Mode.IsRegular() {
		c.fault("bag-not-plain", shortened(name), 0, "a bag holds files and folders", "this is %s, and is not followed", sortOf(e.Mode))
		return "", false
	}
	return name, true
}

func sortOf(mode fs.FileMode) string {
	switch {
	case mode&fs.ModeSymlink != 0:
		return "a link"
	case mode&fs.ModeDevice != 0:
		return "a device"
	case mode&fs.ModeNamedPipe != 0:
		return "a pipe"
	case mode&fs.ModeSocket != 0:
		return "a socket"
	}
	return "no plain file"
}

// note takes a file into account.
func (c *checker) note(name string, size int64) {
	c.files[name] = size
	if strings.HasPrefix(name, "data/") {
		c.report.Files++
		c.report.Bytes += size
	}
	fold := folded(name)
	if others := c.byFold[fold]; len(others) > 0 {
		c.add(finding.Warning, "bag-name-form", shortened(name), 0, "rename one", "this name and %q become one where case or the composition of letters does not count", shortened(others[0]))
	}
	c.byFold[fold] = append(c.byFold[fold], name)
}

func (c *checker) keepTag(name string, e Entry, open Open) error {
	if e.Size > largestTag {
		c.fault("bag-too-large", name, 0, "a tag file has 64 MiB at most here", "this tag file states %d bytes", e.Size)
		return nil
	}
	return c.keep(c.tags, name, e, open)
}

func (c *checker) keep(in map[string][]byte, name string, e Entry, open Open) error {
	var b bytes.Buffer
	if err := stream(&b, e, open); err != nil {
		return c.unread(name, err)
	}
	in[name] = b.Bytes()
	return nil
}

func readme(name string) bool { return name == "README.txt" || name == "README.html" }

// unread turns a file that cannot be read into a finding; an archive that cannot be read on ends the walk.
func (c *checker) unread(name string, err error) error {
	c.fault("bag-unreadable", shortened(name), 0, "ask for the bag again", "the bytes cannot be read: %v", err)
	if _, streams := c.source.(tarred); streams {
		return errStop
	}
	return nil
}

// stream copies an entry's bytes and fails unless they are as many as stated. It never reads more than one beyond.
func stream(w io.Writer, e Entry, open Open) error {
	r, err := open()
	if err != nil {
		return err
	}
	n, err := io.Copy(w, io.LimitReader(r, e.Size+1))
	if err = errors.Join(err, r.Close()); err != nil {
		return err
	}
	if n != e.Size {
		return fmt.Errorf("%d bytes are stated, and there are %s", e.Size, map[bool]string{true: "more", false: strconv.FormatInt(n, 10)}[n > e.Size])
	}
	return nil
}

// readTags reads declaration, information, manifests and fetch.txt.
func (c *checker) readTags() {
	text, there := c.tags["bagit.txt"]
	if !there {
		c.fault("bag-declaration", "", 0, declarationHint, "there is no bagit.txt, so this is no bag")
	}
	c.edition = edition{encoding: "UTF-8"}
	if there {
		c.edition = c.declaration(text)
	}
	c.report.Version, c.report.Encoding = c.edition.text, c.edition.encoding
	for _, name := range slices.Sorted(maps.Keys(c.tags)) {
		if name == "bagit.txt" {
			continue
		}
		text, err := decode(c.tags[name], c.edition.encoding)
		if err != nil {
			c.fault("bag-encoding", name, 0, "UTF-8 is read everywhere", "this cannot be read as %s: %v", shortened(c.edition.encoding), err)
			continue
		}
		c.readTag(name, text)
	}
	if len(c.payloads) == 0 {
		c.fault("bag-manifest", "", 0, "a bag has at least one list, such as manifest-sha256.txt", "no list of the payload can be checked")
	}
}

func (c *checker) readTag(name, text string) {
	switch name {
	case "bag-info.txt":
		c.report.Info = c.info(text, c.edition.strict)
		return
	case "fetch.txt":
		c.fetch(text, c.edition.strict)
		return
	}
	m := c.manifest(name, text, c.edition.strict)
	if m == nil {
		return
	}
	for _, p := range m.promises {
		c.promise(m, p)
	}
	if !m.tags {
		c.payloads = append(c.payloads, m)
		c.report.Algorithms = append(c.report.Algorithms, m.algorithm)
		if m.algorithm == "md5" || m.algorithm == "sha1" {
			c.add(finding.Note, "bag-weak", name, 0, "sha256 or sha512 shows it", "%s finds damage; that nobody meddled it no longer shows", m.algorithm)
		}
	}
}

// promise finds the file that a line speaks of: the one of that name, or the only one whose name differs in case or in the
// composition of its letters alone (RFC 8493, 5.2 and 5.4).
func (c *checker) promise(m *manifest, p promise) {
	actual := p.name
	if _, there := c.files[actual]; !there {
		alike := c.byFold[folded(p.name)]
		if len(alike) != 1 {
			c.fault("bag-missing", m.file, p.line, "ask for the bag again", "%q is listed and not there", shortened(p.name))
			return
		}
		actual = alike[0]
		c.add(finding.Warning, "bag-name-form", m.file, p.line, "write the name as the file has it", "%q is there as %q", shortened(p.name), shortened(actual))
	}
	p.name = m.file
	c.promises[actual] = append(c.promises[actual], p)
}

// hold reads every listed file once and holds it against all its promises.
func (c *checker) hold() error {
	visited := map[string]bool{}
	return c.source.Walk(func(e Entry, open Open) error {
		if err := c.ctx.Err(); err != nil {
			return err
		}
		name := e.Name
		if c.source.Packed() > 0 {
			_, name, _ = strings.Cut(e.Name, "/")
		}
		promises := c.promises[name]
		if len(promises) == 0 || !e.Mode.IsRegular() || visited[name] {
			return nil
		}
		visited[name] = true
		sums := map[string]hash.Hash{}
		var all []io.Writer
		for _, p := range promises {
			if sums[p.algorithm] == nil {
				sums[p.algorithm] = algorithms[p.algorithm]()
				all = append(all, sums[p.algorithm])
			}
		}
		if err := stream(io.MultiWriter(all...), e, open); err != nil {
			return c.unread(name, err)
		}
		for _, p := range promises {
			if got := hex.EncodeToString(sums[p.algorithm].Sum(nil)); got != p.digest {
				c.fault("bag-changed", p.name, p.line, "ask for the bag again, and why", "%q has another %s digest than listed here", shortened(name), p.algorithm)
			}
		}
		return nil
	})
}

// unlisted reports payload that no list vouches for: from version 1.0 on every payload manifest lists all of it.
func (c *checker) unlisted() {
	for _, name := range slices.Sorted(maps.Keys(c.files)) {
		if !strings.HasPrefix(name, "data/") {
			continue
		}
		var lacking []string
		for _, m := range c.payloads {
			if !slices.ContainsFunc(c.promises[name], func(p promise) bool { return p.name == m.file }) {
				lacking = append(lacking, m.file)
			}
		}
		if len(lacking) == len(c.payloads) || c.edition.strict && len(lacking) > 0 {
			c.fault("bag-extra", shortened(name), 0, "list it, or take it out", "this is in the payload and not in %s", strings.Join(lacking, ", "))
		}
	}
}

// oxum holds Payload-Oxum (RFC 8493, 2.2.2: octets, a full stop, files) against the payload.
func (c *checker) oxum() {
	for _, f := range c.report.Info {
		if got := fmt.Sprintf("%d.%d", c.report.Bytes, c.report.Files); strings.EqualFold(f.Label, "Payload-Oxum") && f.Value != got {
			c.fault("bag-size", "bag-info.txt", 0, "ask for the bag again", "Payload-Oxum says %q, and the payload is %s", shortened(f.Value), got)
		}
	}
}
