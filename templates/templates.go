// Package templates holds the templates of the printed pages. They come from
// the program alone: no file of a car is ever read as a template.
package templates

import "embed"

// Files holds the templates of the HTML page.
//
//go:embed *.html
var Files embed.FS
