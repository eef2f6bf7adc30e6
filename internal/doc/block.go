package doc

// Paragraph is a run of text. A leading one holds the answer that the section
// is asked for, and is set larger.
type Paragraph struct {
	Text Text
	Lead bool
}

// Para returns a paragraph of a sentence; see [Say].
func Para(sentence string, args ...any) *Paragraph {
	return &Paragraph{Text: Say(sentence, args...)}
}

// Lead returns a leading paragraph; see [Say].
func Lead(sentence string, args ...any) *Paragraph {
	return &Paragraph{Text: Say(sentence, args...), Lead: true}
}

// Facts are pairs of a label and a value.
type Facts struct {
	Caption string
	Items   []Fact
}

// Fact is one labelled value.
type Fact struct {
	Label string
	Value Text
}

// FactsOf returns the pairs without a caption.
func FactsOf(items ...Fact) *Facts { return &Facts{Items: items} }

// Is returns a fact; see [Say]. A lone argument is given as Is("Mass", "{}", v).
func Is(label, sentence string, args ...any) Fact {
	return Fact{Label: label, Value: Say(sentence, args...)}
}

// Add appends a fact; see [Say].
func (f *Facts) Add(label, sentence string, args ...any) {
	f.Items = append(f.Items, Is(label, sentence, args...))
}

// List is a list of bullets, or of steps that are done in order.
type List struct {
	Ordered bool
	// Boxes asks for a box to tick in front of each item, for whoever works from paper.
	Boxes bool
	// Start is the number of the first step; 0 stands for 1.
	Start int
	Items []Item
}

// Item is one bullet or step. What stands beside it, such as a caution or a
// list below it, follows in Blocks.
type Item struct {
	Text   Text
	Blocks []Block
}

// Bullets returns an unordered list.
func Bullets(items ...Item) *List { return &List{Items: items} }

// Steps returns an ordered list that counts from 1.
func Steps(items ...Item) *List { return &List{Ordered: true, Items: items} }

// Point returns an item; see [Say].
func Point(sentence string, args ...any) Item { return Item{Text: Say(sentence, args...)} }

// With returns the item with blocks beside it.
func (i Item) With(blocks ...Block) Item {
	i.Blocks = append(i.Blocks[:len(i.Blocks):len(i.Blocks)], blocks...)
	return i
}

// Drawing is a vector picture that the program itself has drawn.
type Drawing interface {
	// Size is width and height on paper in millimetres.
	Size() (width, height float64)
	// SVG is one complete svg element that refers to nothing outside itself.
	// Renderers show it as a picture, where no script runs.
	SVG() string
}

// Figure is a drawing with its caption.
type Figure struct {
	// ID is the anchor; it may be empty.
	ID      string
	Caption Text
	// Alt says in words what the drawing shows, for those who can't see it and
	// for renderers that can't draw it.
	Alt     string
	Drawing Drawing
}

// PhotoSheet is a sheet of photos.
type PhotoSheet struct {
	Caption string
	Photos  []Photo
}

// Photo is a picture taken with a camera, or the note that it is not here.
type Photo struct {
	// Image holds a JPEG or PNG file, or nothing.
	Image []byte
	// Absent says why there is no picture, such as "not here"; it is printed in
	// the picture's place when Image is empty.
	Absent string
	// Alt says in words what is to be seen; if empty, the caption does.
	Alt     string
	Caption Text
	// Source is where the photo comes from: a record, a digest, a person.
	Source Text
	// Taken is the day by the camera; Claimed is the day that somebody states.
	// Either may be empty.
	Taken, Claimed string
}

// Caution warns of a way to be hurt. It stands out on paper and is never
// parted from its kind.
type Caution struct {
	// Kind is the hazard in the workshop's words, such as "High voltage".
	Kind string
	Text Text
}

// Warn returns a caution; see [Say].
func Warn(kind, sentence string, args ...any) *Caution {
	return &Caution{Kind: kind, Text: Say(sentence, args...)}
}

// Signature says who put a name to what, and what that is worth today.
type Signature struct {
	Name string
	// Time is when it was signed, in the signer's own words if need be.
	Time Text
	// Meaning is what the signer stands for.
	Meaning Text
	// Status is what the signature is worth today, in words.
	Status Text
}

// Findings is a list of what is wrong with the records.
type Findings struct {
	Caption string
	Items   []Finding
}

// Finding is one thing that is wrong.
type Finding struct {
	// Level is the severity in a word, such as "error" or "warning".
	Level string
	// Where is the place: file, line, column.
	Where string
	// What is wrong, and what would be right (may be empty).
	What, Right Text
	// Code is the rule's short name; it may be empty.
	Code string
}

// Verbatim is text whose lines and spaces are kept, such as a command to type
// or a working's steps.
type Verbatim struct {
	Caption string
	Text    string
}
