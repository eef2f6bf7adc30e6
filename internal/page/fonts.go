package page

import (
	"fmt"
	"maps"
	"slices"
	"strings"
	"sync"
	"unicode/utf16"

	"github.com/carlos7ags/folio/core"
	"github.com/carlos7ags/folio/font"

	"boltback/internal/figure"
)

// faceNames are the names of the faces in the pages' resources.
var faceNames = [3]string{figure.Regular: "R", figure.Bold: "B", figure.Mono: "M"}

// parsed holds each face as the library reads it.
var parsed [len(faceNames)]struct {
	once sync.Once
	face font.Face
	err  error
}

func faceOf(f figure.Face) (font.Face, error) {
	slot := &parsed[f]
	slot.once.Do(func() { slot.face, slot.err = font.ParseTTF(f.File()) })
	return slot.face, slot.err
}

// usedFace is a face with the glyphs that the file shows, each with the
// character that it stands for.
type usedFace struct {
	glyphs map[uint16]rune
	// known remembers glyphs by character.
	known map[rune]uint16
}

// encode turns a text into glyph numbers of two bytes each.
func (u *usedFace) encode(f figure.Face, s string) []byte {
	face, err := faceOf(f)
	if err != nil {
		return nil // embed reports it
	}
	if u.glyphs == nil {
		u.glyphs, u.known = map[uint16]rune{}, map[rune]uint16{}
	}
	codes := make([]byte, 0, 2*len(s))
	for _, r := range s {
		g, ok := u.known[r]
		if !ok {
			g = face.GlyphIndex(r)
			u.known[r] = g
			if _, taken := u.glyphs[g]; !taken {
				u.glyphs[g] = r
			}
		}
		codes = append(codes, byte(g>>8), byte(g))
	}
	return codes
}

// embed adds the face, cut down to the glyphs that were used, as a composite
// font whose codes are glyph numbers (ISO 32000-1, 9.7). Widths and heights are
// in thousandths of the size, to a thousandth, so that no line drifts.
func (u *usedFace) embed(f *file, fonts *core.PdfDictionary, i int) error {
	if len(u.glyphs) == 0 {
		return nil
	}
	face, err := faceOf(figure.Face(i))
	if err != nil {
		return fmt.Errorf("a built-in typeface cannot be read: %w", err)
	}
	subset, err := font.Subset(face.RawData(), u.glyphs)
	if err != nil {
		return fmt.Errorf("a built-in typeface cannot be cut down: %w", err)
	}
	glyphs := slices.Sorted(maps.Keys(u.glyphs))
	base := name(subsetTag(glyphs) + "+" + face.PostScriptName())
	program := core.NewPdfStreamCompressed(subset)
	program.Dict.Set("Length1", core.NewPdfInteger(len(subset)))
	scale := 1000 / float64(face.UnitsPerEm())
	box := core.NewPdfArray()
	for _, v := range face.BBox() {
		box.Add(real(float64(v) * scale))
	}
	descriptor := f.add(dict("Type", name("FontDescriptor"), "FontName", base, "Flags", core.NewPdfInteger(int(face.Flags())),
		"FontBBox", box, "ItalicAngle", real(face.ItalicAngle()), "Ascent", real(float64(face.Ascent())*scale),
		"Descent", real(float64(face.Descent())*scale), "CapHeight", real(figure.CapHeight*1000),
		"StemV", core.NewPdfInteger(face.StemV()), "FontFile2", f.add(program)))
	widths := core.NewPdfArray()
	for _, g := range glyphs {
		widths.Add(core.NewPdfInteger(int(g)))
		widths.Add(core.NewPdfArray(real(float64(face.GlyphAdvance(g)) * scale)))
	}
	descendant := f.add(dict("Type", name("Font"), "Subtype", name("CIDFontType2"), "BaseFont", base,
		"CIDSystemInfo", dict("Registry", core.NewPdfLiteralString("Adobe"), "Ordering", core.NewPdfLiteralString("Identity"), "Supplement", core.NewPdfInteger(0)),
		"FontDescriptor", descriptor, "DW", core.NewPdfInteger(1000), "W", widths, "CIDToGIDMap", name("Identity")))
	fonts.Set(faceNames[i], f.add(dict("Type", name("Font"), "Subtype", name("Type0"), "BaseFont", base, "Encoding", name("Identity-H"),
		"DescendantFonts", core.NewPdfArray(descendant), "ToUnicode", f.add(core.NewPdfStreamCompressed(u.characters(glyphs))))))
	return nil
}

// subsetTag is the six letters that mark a cut-down face (9.6.4), made from the
// glyphs in it.
func subsetTag(glyphs []uint16) string {
	hash := uint32(2166136261) // FNV-1a
	for _, g := range glyphs {
		hash = (hash ^ uint32(g)) * 16777619
	}
	var tag [6]byte
	for i := range tag {
		tag[i] = 'A' + byte(hash%26)
		hash /= 26
	}
	return string(tag[:])
}

// characters maps glyphs back to characters, for searching and copying (9.10.3).
func (u *usedFace) characters(glyphs []uint16) []byte {
	const most = 100 // entries of one list
	var b strings.Builder
	b.WriteString("/CIDInit /ProcSet findresource begin\n12 dict begin\nbegincmap\n" +
		"/CIDSystemInfo << /Registry (Adobe) /Ordering (UCS) /Supplement 0 >> def\n" +
		"/CMapName /Adobe-Identity-UCS def\n/CMapType 2 def\n" +
		"1 begincodespacerange\n<0000> <FFFF>\nendcodespacerange\n")
	for part := range slices.Chunk(glyphs, most) {
		fmt.Fprintf(&b, "%d beginbfchar\n", len(part))
		for _, g := range part {
			fmt.Fprintf(&b, "<%04X> <", g)
			for _, unit := range utf16.Encode([]rune{u.glyphs[g]}) {
				fmt.Fprintf(&b, "%04X", unit)
			}
			b.WriteString(">\n")
		}
		b.WriteString("endbfchar\n")
	}
	b.WriteString("endcmap\nCMapName currentdict /CMap defineresource pop\nend\nend\n")
	return []byte(b.String())
}
