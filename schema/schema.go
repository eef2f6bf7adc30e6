// Package schema embeds the JSON Schemas of the records, one file a kind, in a folder for each edition of the format. The
// texts in them are the reference of the format: titles, descriptions and examples are what "boltback schema" prints.
package schema

import (
	"embed"
	"io/fs"
)

// Edition is the edition of the record format that this program writes.
const Edition = "1"

// Base is what the $id of every schema of the current edition begins with.
const Base = "https://boltback.example/schema/" + Edition + "/"

//go:embed 1/*.json
var files embed.FS

// Files holds the schemas of the current edition: <kind>.json, and common.json for what kinds share.
func Files() fs.FS {
	sub, err := fs.Sub(files, Edition)
	if err != nil {
		panic(err) // the folder is embedded: only a broken build gets here
	}
	return sub
}

// Text gives the schema of a kind, or of "common".
func Text(kind string) ([]byte, error) { return fs.ReadFile(Files(), kind+".json") }
