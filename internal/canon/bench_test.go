package canon

import (
	"bytes"
	"encoding/json"
	"fmt"
	"strings"
	"testing"
)

// record is a session of about 1.5 KB, the size of an ordinary record.
var record = sampleRecord()

func sampleRecord() []byte {
	var lines []string
	for i := range 5 {
		lines = append(lines, fmt.Sprintf(`{"act":"removal","part":"parts/bracket-%d","purpose":"conversion","fasteners":[{"size":"M8","count":%d,"bag":"B-%03d"}],"note":"größer als gedacht"}`, i, i+2, i))
	}
	doc, err := Parse([]byte(`{"kind":"session","who":"people/brook/jo","started":"2021-03-04T09:10","lines":[`+strings.Join(lines, ",")+`]}`), Limits{})
	if err != nil {
		panic(err)
	}
	return Layout(doc)
}

func BenchmarkParse(b *testing.B) {
	b.SetBytes(int64(len(record)))
	b.ReportAllocs()
	for b.Loop() {
		if _, err := Parse(record, Limits{}); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPeerDecode is encoding/json with numbers as written, which accepts
// duplicate names and broken UTF-8 and knows no positions: the peer of Parse.
func BenchmarkPeerDecode(b *testing.B) {
	b.SetBytes(int64(len(record)))
	b.ReportAllocs()
	for b.Loop() {
		dec := json.NewDecoder(bytes.NewReader(record))
		dec.UseNumber()
		var v any
		if err := dec.Decode(&v); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkCheckLayout(b *testing.B) {
	doc, err := Parse(record, Limits{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		if fault := CheckLayout(doc); fault != nil {
			b.Fatal(fault)
		}
	}
}

type benchSession struct {
	Kind    string `json:"kind"`
	Who     string `json:"who"`
	Started string `json:"started"`
	Lines   []struct {
		Act       string `json:"act"`
		Part      string `json:"part"`
		Purpose   string `json:"purpose"`
		Note      string `json:"note"`
		Fasteners []struct {
			Size  string `json:"size"`
			Count int    `json:"count"`
			Bag   string `json:"bag"`
		} `json:"fasteners"`
	} `json:"lines"`
}

func BenchmarkUnmarshal(b *testing.B) {
	doc, err := Parse(record, Limits{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		var v benchSession
		if err := Unmarshal(doc, &v); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkPeerUnmarshal is encoding/json into the same type, unknown members refused.
func BenchmarkPeerUnmarshal(b *testing.B) {
	b.ReportAllocs()
	for b.Loop() {
		dec := json.NewDecoder(bytes.NewReader(record))
		dec.DisallowUnknownFields()
		var v benchSession
		if err := dec.Decode(&v); err != nil {
			b.Fatal(err)
		}
	}
}

func BenchmarkAny(b *testing.B) {
	doc, err := Parse(record, Limits{})
	if err != nil {
		b.Fatal(err)
	}
	b.ReportAllocs()
	for b.Loop() {
		doc.Root.Any()
	}
}
