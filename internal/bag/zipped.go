package bag

import (
	"archive/zip"
	"io"
	"path"
	"strings"
)

// Zipped gives a Create that writes the files of a bag into a zip file as they come, below one folder (RFC 8493, section 4).
// Pictures, which are packed already, are stored as they are. Entries bear no time, so that the same bag gives the same bytes.
func Zipped(z *zip.Writer, folder string) Create {
	return func(name string, fill func(io.Writer) error) error {
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
