package gitstore

import "io"

// blockSize is how much of a pack is read at once, and keptBlocks how many such pieces are kept: objects that are asked for one
// after another mostly lie side by side.
const (
	blockSize  = 16 << 10
	keptBlocks = 64
)

// block is a piece of a pack that was read.
type block struct {
	pack *pack
	nth  int64
	data []byte
}

// window reads a pack from some place on, never beyond its objects.
type window struct {
	pack   *pack
	at     int64  // of the next byte
	rest   []byte // of its block, from that byte on
	blocks [keptBlocks]block
}

// stand goes to a place in a pack.
func (w *window) stand(p *pack, at int64) { w.pack, w.at, w.rest = p, at, nil }

// ReadByte implements io.ByteReader.
func (w *window) ReadByte() (byte, error) {
	if len(w.rest) == 0 {
		if err := w.fill(); err != nil {
			return 0, err
		}
	}
	c := w.rest[0]
	w.rest = w.rest[1:]
	w.at++
	return c, nil
}

// Read implements io.Reader.
func (w *window) Read(into []byte) (int, error) {
	if len(w.rest) == 0 && len(into) > 0 {
		if err := w.fill(); err != nil {
			return 0, err
		}
	}
	n := copy(into, w.rest)
	w.rest = w.rest[n:]
	w.at += int64(n)
	return n, nil
}

// fill brings the block that the next byte is in.
func (w *window) fill() error {
	if w.at >= w.pack.size {
		return io.EOF
	}
	nth := w.at / blockSize
	b := &w.blocks[nth%keptBlocks]
	if b.pack != w.pack || b.nth != nth {
		length := min(blockSize, w.pack.size-nth*blockSize)
		if b.pack = nil; b.data == nil { // whatever comes of it, the block is no longer what it was
			b.data = make([]byte, 0, blockSize)
		}
		b.data = b.data[:length]
		if _, err := w.pack.file.ReadAt(b.data, nth*blockSize); err != nil {
			return err
		}
		b.pack, b.nth = w.pack, nth
	}
	w.rest = b.data[w.at-nth*blockSize:]
	return nil
}
