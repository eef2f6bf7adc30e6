package bag

import (
	"archive/tar"
	"archive/zip"
	"io"
	"path"
	"strings"
)

// Zipped gives a Create that writes the files of a bag into a zip file as they come, below one folder (RFC 8493, section 4).
// Pictures, which are packed already, are stored as they are. Entries bear no time, so that the same bag gives the same bytes.
func Zipped(z *zip.Writer, folder string) Create {
	return func(name string, _ Size, fill func(io.Writer) error) error {
		head := &zip.FileHeader{Name: folder + "/" + name, Method: zip.Deflate}
		switch strings.ToLower(path.Ext(name)) {
		case ".jpg", ".jpeg", ".png", ".heic", ".pdf", ".bundle":
			head.Method = zip.Store
		}
		head.SetMode(0o644)
		w, err := z.CreateHeader(head)
		if err != nil {
			return err
		}
		return fill(w)
	}
}

// Tarred gives a Create that writes the files of a bag into a tar file as they come, below one folder; whoever calls packs
// the tar file itself. Entries bear neither time nor owner, so that the same bag gives the same bytes.
func Tarred(t *tar.Writer, folder string) Create {
	return func(name string, size Size, fill func(io.Writer) error) error {
		n, err := size()
		if err != nil {
			return err
		}
		if err := t.WriteHeader(&tar.Header{Typeflag: tar.TypeReg, Name: folder + "/" + name, Size: n, Mode: 0o644}); err != nil {
			return err
		}
		if err := fill(t); err != nil {
			return err
		}
		return t.Flush() // which fails where fewer bytes came than were stated
	}
}
