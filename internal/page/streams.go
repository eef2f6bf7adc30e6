package page

import (
	"bytes"
	"compress/zlib"
	"io"
)

// Bounds of what is read out of a PDF file of unknown making.
const (
	mostStreams   = 10_000
	largestStream = 64 << 20
)

// Streams gives the bytes of the streams of a PDF file, unpacked where they are
// deflated and as they lie where not: enough to find a file inside one of ours.
// It reads no other structure, follows nothing, and passes over what it cannot read.
func Streams(file []byte) [][]byte {
	var list [][]byte
	left := int64(largestStream)
	for len(list) < mostStreams && left > 0 {
		_, rest, found := bytes.Cut(file, []byte("stream"))
		if !found {
			break
		}
		rest = bytes.TrimPrefix(bytes.TrimPrefix(rest, []byte("\r")), []byte("\n"))
		body, after, found := bytes.Cut(rest, []byte("endstream"))
		if !found {
			break
		}
		file = after
		if z, err := zlib.NewReader(bytes.NewReader(body)); err == nil {
			if plain, err := io.ReadAll(io.LimitReader(z, left)); err == nil {
				body = plain
			}
		}
		left -= int64(len(body))
		list = append(list, body)
	}
	return list
}
