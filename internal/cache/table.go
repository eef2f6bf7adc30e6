package cache

import (
	"bytes"
	"crypto/sha256"
	"encoding/binary"
	"errors"
	"fmt"
	"io"
	"math"
	"strings"

	"boltback/internal/edtf"
	"boltback/internal/finding"
	"boltback/internal/record"
	"boltback/internal/validate"
)

// magic begins a table; its number changes with the shape.
const magic = "boltback cache 3\n"

// header says of whom a table is, and who wrote it.
type header struct{ edition, car, beside string }

// table is what one check leaves to the next.
type table struct {
	header
	state *validate.State
	rows  []item // by path; without texts
}

var errTable = errors.New("this is not a table of the cache, or it is damaged")

// read reads the table of a car; it is an error where there is none that may be believed.
func (f Folder) read(path string, want header) (*table, error) {
	file, info, err := open(path)
	if err != nil {
		return nil, err
	}
	t, err := load(file, int(info.Size()), want)
	if err := errors.Join(err, file.Close()); err != nil {
		return nil, fmt.Errorf("%s: %w", path, err)
	}
	return t, nil
}

// load reads a table of about so many bytes and checks it on the way.
func load(from io.Reader, size int, want header) (*table, error) {
	head := make([]byte, len(magic)+sha256.Size)
	if _, err := io.ReadFull(from, head); err != nil || string(head[:len(magic)]) != magic {
		return nil, errTable
	}
	var body strings.Builder
	body.Grow(size)
	h := sha256.New()
	if _, err := io.Copy(io.MultiWriter(h, &body), from); err != nil {
		return nil, err
	}
	if got := digest(h); !bytes.Equal(got[:], head[len(magic):]) {
		return nil, errTable
	}
	return decode(body.String(), want)
}

func (f Folder) write(path string, t *table) error {
	data, err := encode(t)
	if err != nil {
		return err
	}
	_, err = writer.Replace(path, data, 0o600)
	return err
}

// flags of a row.
const (
	isKnown = 1 << iota
	isSettled
	isKept
	isChecked // the check looked at the file, so that the state has it
	hasOriginal
	hasPiece // the file gives something to the summary of its car
)

// encode writes a table: the magic, the SHA-256 of what follows, and that: numbers as varints, texts with their length
// before them, digests and keys as they are, findings as JSON.
func encode(t *table) ([]byte, error) {
	w := &writing{}
	w.text(t.edition)
	w.text(t.car)
	w.text(t.beside)
	w.text(t.state.Span.First.String())
	w.text(t.state.Span.Last.String())
	w.number(len(t.state.Others))
	for _, o := range t.state.Others {
		w.text(o)
	}
	w.number(len(t.rows))
	files := t.state.Files
	var found, local []finding.Finding
	for i := range t.rows {
		var f *validate.File
		if len(files) > 0 && files[0].Path == t.rows[i].path {
			f, files = &files[0], files[1:]
			found, local = append(found, f.Found...), append(local, f.Local...)
		}
		w.row(&t.rows[i], f)
	}
	if len(files) > 0 {
		return nil, errors.New("the check looked at a file that was not there")
	}
	for _, list := range [][]finding.Finding{found, local, t.state.Elsewhere} {
		if err := w.findings(list); err != nil {
			return nil, err
		}
	}
	sum := sha256.Sum256(w.out)
	return append(append([]byte(magic), sum[:]...), w.out...), nil
}

// writing appends to out.
type writing struct{ out []byte }

func (w *writing) number(n int)      { w.out = binary.AppendUvarint(w.out, uint64(n)) }
func (w *writing) signed(n int64)    { w.out = binary.AppendVarint(w.out, n) }
func (w *writing) unsigned(n uint64) { w.out = binary.AppendUvarint(w.out, n) }
func (w *writing) text(s string) {
	w.number(len(s))
	w.out = append(w.out, s...)
}

func (w *writing) keys(list []validate.Key) {
	w.number(len(list))
	for _, k := range list {
		w.out = binary.LittleEndian.AppendUint64(w.out, uint64(k))
	}
}

func (w *writing) findings(list []finding.Finding) error {
	var b bytes.Buffer
	if err := finding.Encode(&b, list); err != nil {
		return err
	}
	w.text(b.String())
	return nil
}

func (w *writing) row(it *item, f *validate.File) {
	w.text(it.path)
	w.number(flag(it.known, isKnown) | flag(it.settled, isSettled) | flag(it.kept, isKept) |
		flag(f != nil, isChecked) | flag(f != nil && f.Ties.Original != "", hasOriginal) |
		flag(f != nil && f.Yard != nil, hasPiece))
	w.signed(it.size)
	w.signed(it.modified)
	w.signed(it.changed)
	w.unsigned(it.inode)
	if it.known {
		w.out = append(w.out, it.sum[:]...)
	}
	if it.kept {
		w.signed(it.offset)
	}
	if f == nil {
		return
	}
	w.text(string(f.Ties.Kind))
	for _, list := range [][]validate.Key{f.Ties.Over, f.Ties.Group, f.Ties.Gives, f.Ties.Takes} {
		w.keys(list)
	}
	if f.Ties.Original != "" {
		w.text(string(f.Ties.Original))
		w.signed(f.Original)
	}
	if f.Yard != nil {
		w.piece(f.Yard)
	}
}

func flag(set bool, bit int) int {
	if set {
		return bit
	}
	return 0
}

// decode reads what encode wrote after the digest, if it was written for the same car by the same edition.
func decode(body string, want header) (*table, error) {
	r := &reading{rest: body}
	t := &table{header: header{r.text(), r.text(), r.text()}, state: &validate.State{}}
	if r.bad || t.header != want {
		return nil, errTable
	}
	t.state.Span = validate.Span{First: r.day(), Last: r.day()}
	for range r.count(1) {
		t.state.Others = append(t.state.Others, r.text())
	}
	r.rows(t)
	r.attach(t.state, func(f *validate.File) *[]finding.Finding { return &f.Found })
	r.attach(t.state, func(f *validate.File) *[]finding.Finding { return &f.Local })
	t.state.Elsewhere = r.findings()
	if r.bad || len(r.rest) > 0 {
		return nil, errTable
	}
	return t, nil
}

// reading takes from rest; bad is set where that fails, and everything is then empty.
type reading struct {
	rest string // texts are cut from it, so that many cost one
	bad  bool
	keep []validate.Key // keys are cut from here in blocks
}

func (r *reading) fail() { r.bad, r.rest = true, "" }

func (r *reading) unsigned() uint64 {
	const most = binary.MaxVarintLen64
	var n uint64
	for i := 0; i < len(r.rest) && i < most; i++ {
		b := r.rest[i]
		if b < 0x80 {
			r.rest = r.rest[i+1:]
			return n | uint64(b)<<(7*i)
		}
		n |= uint64(b&0x7f) << (7 * i)
	}
	r.fail()
	return 0
}

func (r *reading) signed() int64 {
	n := r.unsigned()
	return int64(n>>1) ^ -int64(n&1)
}

// count reads how many things of at least so many bytes follow.
func (r *reading) count(least int) int {
	n := r.unsigned()
	if n > math.MaxInt32 || int(n)*least > len(r.rest) {
		r.fail()
		return 0
	}
	return int(n)
}

func (r *reading) take(n int) string {
	if n < 0 || n > len(r.rest) {
		r.fail()
		return ""
	}
	b := r.rest[:n]
	r.rest = r.rest[n:]
	return b
}

func (r *reading) text() string { return r.take(r.count(1)) }

func (r *reading) day() edtf.Day {
	text := r.text()
	if text == "" {
		return edtf.Day{}
	}
	day, err := edtf.ParseDay(text)
	if err != nil {
		r.fail()
	}
	return day
}

func (r *reading) keys() []validate.Key {
	const size, block = 8, 4096
	n := r.count(size)
	raw := r.take(n * size)
	if r.bad || n == 0 {
		return nil
	}
	if len(r.keep) < n {
		r.keep = make([]validate.Key, max(n, block))
	}
	list := r.keep[:n:n]
	r.keep = r.keep[n:]
	for i := range list {
		list[i] = validate.Key(word(raw[i*size : i*size+size]))
	}
	return list
}

// word reads eight bytes, the lowest first.
func word(b string) (n uint64) {
	for i := len(b) - 1; i >= 0; i-- {
		n = n<<8 | uint64(b[i])
	}
	return n
}

func (r *reading) findings() []finding.Finding {
	text := r.text()
	if r.bad {
		return nil
	}
	list, err := finding.Decode([]byte(text))
	if err != nil {
		r.fail()
	}
	if len(list) == 0 {
		return nil
	}
	return list
}

// rows reads the rows; they must be in order.
func (r *reading) rows(t *table) {
	const least = 6
	n := r.count(least)
	t.rows, t.state.Files = make([]item, n), make([]validate.File, 0, n)
	for i := range t.rows {
		r.row(&t.rows[i], t.state)
		if r.bad || i > 0 && t.rows[i].path <= t.rows[i-1].path {
			r.fail()
			return
		}
	}
}

func (r *reading) row(it *item, state *validate.State) {
	it.path = r.text()
	flags := r.unsigned()
	it.known, it.settled, it.kept = flags&isKnown != 0, flags&isSettled != 0, flags&isKept != 0
	it.size, it.modified, it.changed, it.inode = r.signed(), r.signed(), r.signed(), r.unsigned()
	if it.known {
		copy(it.sum[:], r.take(len(it.sum)))
	}
	if it.kept {
		it.offset = r.signed()
	}
	if it.size < 0 || it.offset < 0 {
		r.fail()
	}
	if flags&isChecked == 0 {
		return
	}
	f := validate.File{Path: it.path}
	f.Ties.Kind = record.Kind(r.text())
	f.Ties.Over, f.Ties.Group, f.Ties.Gives, f.Ties.Takes = r.keys(), r.keys(), r.keys(), r.keys()
	f.Original = validate.NobodyLooked
	if flags&hasOriginal != 0 {
		f.Ties.Original = record.Digest(r.text())
		f.Original = r.signed()
	}
	if flags&hasPiece != 0 {
		f.Yard = r.piece(it.path)
	}
	if len(f.Ties.Over) == 0 {
		r.fail()
	}
	state.Files = append(state.Files, f)
}

// attach gives findings to the files they stand at.
func (r *reading) attach(state *validate.State, to func(*validate.File) *[]finding.Finding) {
	list, files := r.findings(), state.Files
	for len(list) > 0 {
		n := 1
		for n < len(list) && list[n].File == list[0].File {
			n++
		}
		for len(files) > 0 && files[0].Path != list[0].File {
			files = files[1:]
		}
		if len(files) == 0 {
			r.fail()
			return
		}
		*to(&files[0]) = list[:n:n]
		list = list[n:]
	}
}
