package render

import (
	"bytes"
	"context"
	"crypto/sha256"
	"encoding/base64"
	"errors"
	"fmt"
	"html/template"
	"io"
	"sync"

	"github.com/Masterminds/sprig/v3"

	"boltback/internal/doc"
	"boltback/templates"
)

// HTMLOptions say how the page is to be made.
type HTMLOptions struct {
	// Paper is the sheet that the page asks a printer for; empty leaves it to
	// whoever prints.
	Paper Paper
	// MaxBytes bounds the page; 0 stands for [MaxPage].
	MaxBytes int
}

// Paper is a sheet of paper, upright.
type Paper string

// The sheets.
const (
	A4     Paper = "A4"
	Letter Paper = "letter"
)

// MaxPage is how large a page may be, in bytes, when the options say nothing: a thousand photos of the size of a preview.
const MaxPage = 192 << 20

// ErrTooLarge says that a page would be larger than the options allow.
var ErrTooLarge = errors.New("the page would be too large for a browser; as a PDF file it has no such bound")

// HTML writes a document as one page that needs nothing beside itself: no
// script, no font, no address. Its security policy lets a browser load
// pictures that are in the page and the page's own style, and nothing else.
//
// Nothing is written when it fails: with [ErrTooLarge], with the context's
// error, or because of a template.
func HTML(ctx context.Context, w io.Writer, d *doc.Document, o HTMLOptions) error {
	t, err := pageTemplates()
	if err != nil {
		return err
	}
	page, err := viewPage(ctx, d, o.Paper)
	if err != nil {
		return fmt.Errorf("the page was not finished: %w", err)
	}
	if page.StyleHash, err = styleHash(t, page); err != nil {
		return err
	}
	out := bounded{ctx: ctx, left: o.MaxBytes}
	if out.left == 0 {
		out.left = MaxPage
	}
	if err := t.ExecuteTemplate(&out, "page", page); err != nil {
		return fmt.Errorf("the page was not finished: %w", err)
	}
	_, err = out.Buffer.WriteTo(w)
	return err
}

// styleHash is the digest by which the security policy knows the page's own
// style: SHA-256 over what stands between the tags (Content Security Policy
// Level 3, 6.7.2.4).
func styleHash(t *template.Template, page *pageView) (string, error) {
	var b bytes.Buffer
	if err := t.ExecuteTemplate(&b, "style", page); err != nil {
		return "", err
	}
	css := bytes.TrimSuffix(bytes.TrimPrefix(b.Bytes(), []byte("<style>")), []byte("</style>"))
	sum := sha256.Sum256(css)
	return base64.StdEncoding.EncodeToString(sum[:]), nil
}

// borrowed are the functions that templates take from sprig. They neither
// change their arguments nor read a clock, a file or a random number.
var borrowed = []string{"default", "ternary"}

// pageTemplates reads the templates when the first page is asked for.
var pageTemplates = sync.OnceValues(func() (*template.Template, error) {
	all, funcs := sprig.HermeticHtmlFuncMap(), template.FuncMap{}
	for _, name := range borrowed {
		funcs[name] = all[name]
	}
	return template.New("").Option("missingkey=error").Funcs(funcs).ParseFS(templates.Files, "*.html")
})

// bounded is a buffer that refuses more than so many bytes, and everything
// once its context has ended.
type bounded struct {
	bytes.Buffer
	ctx  context.Context
	left int
}

// Write implements io.Writer.
func (b *bounded) Write(p []byte) (int, error) {
	if err := b.ctx.Err(); err != nil {
		return 0, err
	}
	if b.left -= len(p); b.left < 0 {
		return 0, ErrTooLarge
	}
	return b.Buffer.Write(p)
}
