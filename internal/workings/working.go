package workings

import (
	"slices"
	"strings"

	"boltback/internal/quantity"
	"boltback/internal/record"
)

// Subject is the chapter to which a working belongs.
type Subject string

// The subjects, in the order in which they are printed.
const (
	Mass       Subject = "mass"
	Insulation Subject = "insulation"
	Joints     Subject = "joints"
	Pack       Subject = "pack"
	Restraint  Subject = "restraint"
	Brakes     Subject = "brakes"
	Distance   Subject = "distance"
	Driving    Subject = "driving"
	Custody    Subject = "custody"
)

// Subjects lists the subjects in the order in which they are printed.
func Subjects() []Subject {
	return []Subject{Mass, Insulation, Joints, Pack, Restraint, Brakes, Distance, Driving, Custody}
}

// Title is the heading of a subject.
func (s Subject) Title() string {
	switch s {
	case Mass:
		return "Mass, axles and centre of gravity"
	case Insulation:
		return "Insulation, bonding and proving dead"
	case Joints:
		return "Joints and torque tools"
	case Pack:
		return "Pack, circuits and power"
	case Restraint:
		return "Restraint of the pack"
	case Brakes:
		return "Brakes and alignment"
	case Distance:
		return "Distance"
	case Driving:
		return "Driving and charging"
	case Custody:
		return "Custody, time, money and authority"
	}
	return string(s)
}

// Working is one sum with everything needed to redo it.
type Working struct {
	Subject Subject
	// ID is the working's name within its subject, stable from one run to the
	// next: what is computed, then the record it is about.
	ID, Title string
	// About are the records it is about.
	About []record.Ref
	// Value is the answer, with its uncertainty or bound; nothing recorded where
	// it could not be computed or where the answer is no quantity.
	Value quantity.Quantity
	// Low and High stand for an answer that is a range; both may be absent.
	Low, High quantity.Quantity
	// Answer is the result in a sentence without full stop.
	Answer      string
	Steps       []Step
	Inputs      []Input
	Sources     []Source
	Assumptions []string
	// Missing names what the records lack, in the words of the trade.
	Missing  []string
	Verdicts []Verdict
	// Notes are remarks that a reader must not miss, such as two figures that
	// contradict each other.
	Notes []string
	// Caution is the hazard that the page must show beside it; often empty.
	Caution string

	values map[string]quantity.Quantity // of the lines, by symbol
}

// about is the working with more records that it is about, each once.
func (w Working) about(records ...record.Ref) Working {
	for _, r := range records {
		if !slices.Contains(w.About, r) {
			w.About = append(w.About, r)
		}
	}
	return w
}

// Input is one value that went into a working.
type Input struct {
	Symbol, Name string
	// Text is the value as recorded, or as it stands in the source.
	Text  string
	Value quantity.Quantity
	// Record, Path, Pointer and Line say where it is recorded; empty for a
	// constant or a value that somebody asked about.
	Record  record.Ref
	Path    string
	Pointer string
	Line    int
	// Source is where a value that is not recorded comes from.
	Source Source
	// Exact says that it has no uncertainty: a definition, or a figure set by a rule.
	Exact bool
	// Err says why the recorded text is no usable value.
	Err string
}

// Basis says how a source is known to this program's authors.
type Basis string

// The bases.
const (
	Read       Basis = "read"        // the text was read
	SecondHand Basis = "second-hand" // another text that reports it was read
	Recalled   Basis = "recalled"    // from memory, not read again: check it before relying on it
	Physics    Basis = "physics"     // follows from definitions and arithmetic
	Habit      Basis = "habit"       // what careful workshops do; no rule demands it
)

// Source is a standard, a rule or a law of nature that a working rests on.
type Source struct {
	Text  string // "FMVSS 305 S5.4.3.1"
	Basis Basis
}

// String is the source with its basis, as it is printed.
func (s Source) String() string {
	if s.Basis == "" {
		return s.Text
	}
	return s.Text + " (" + string(s.Basis) + ")"
}

// Outcome is the result of holding a value against a requirement.
type Outcome string

// The outcomes. EvidenceMissing is neither good nor bad; NotEvidenced is work
// that stands as done and that no valid instrument shows.
const (
	Met             Outcome = "met"
	NotMet          Outcome = "not met"
	TooClose        Outcome = "too close to call"
	EvidenceMissing Outcome = "evidence missing"
	NotEvidenced    Outcome = "recorded, not evidenced"
	NotComparable   Outcome = "not comparable"
	Stale           Outcome = "stale" // good on its day; later work touched what it describes
	Contradiction   Outcome = "contradiction"
	NoVerdict       Outcome = "no verdict" // shown for information; somebody else judges
)

// Verdict holds a value against one limit.
type Verdict struct {
	// Of is what is judged, Against the limit in words.
	Of, Against string
	// Rule is the decision rule that was applied; empty where no reading is held against a number.
	Rule    quantity.Rule
	Outcome Outcome
	// Reason is a sentence without full stop; Why says why this limit applies.
	Reason, Why string
	Source      Source
}

// Computed reports whether the working has an answer.
func (w *Working) Computed() bool { return w.Answer != "" && !strings.HasPrefix(w.Answer, notComputed) }

const notComputed = "not computed"

// Worst is the outcome of the verdicts that a reader must see first; NoVerdict
// where there is none.
func (w *Working) Worst() Outcome {
	order := []Outcome{NotMet, Contradiction, TooClose, NotEvidenced, Stale, NotComparable, EvidenceMissing, Met}
	for _, o := range order {
		for _, v := range w.Verdicts {
			if v.Outcome == o {
				return o
			}
		}
	}
	return NoVerdict
}
