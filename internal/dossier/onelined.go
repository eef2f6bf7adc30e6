package dossier

import "boltback/internal/doc"

// oneLined keeps every text of the sections on its line: a line feed in a record
// is shown, so that a name or a note cannot pose as a line of the document.
func oneLined(sections ...*doc.Section) []*doc.Section {
	blocks := make([]doc.Block, len(sections))
	for i, s := range sections {
		blocks[i] = s
	}
	_ = doc.Walk(blocks, func(b doc.Block, _ int) error {
		for _, text := range doc.Texts(b) {
			for i := range text {
				text[i].Text = doc.CleanLine(text[i].Text, 0)
			}
		}
		return nil
	})
	return sections
}
