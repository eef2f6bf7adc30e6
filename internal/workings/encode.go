package workings

import (
	"io"

	"boltback/internal/finding"
	"boltback/internal/quantity"
)

// Format names the shape of the encoded workings and its edition. Members are
// only ever added within one edition.
const Format = "boltback workings 1"

// Heading says of which car, day and revision encoded workings are.
type Heading struct {
	Car      string `json:"car,omitempty"`
	Workshop string `json:"workshop,omitempty"`
	Commit   string `json:"commit,omitempty"`
	Day      string `json:"day,omitempty"`
	Program  string `json:"program,omitempty"`
	// Cars are those that a sum over several cars was made from.
	Cars []CarHeading `json:"cars,omitempty"`
}

// CarHeading is a car with the revision that was read.
type CarHeading struct {
	Car    string `json:"car"`
	Commit string `json:"commit,omitempty"`
}

// Encode writes workings as JSON: everything that a page shows, and the exact
// numbers behind it, so that another program can redo each line. Strings are as
// the records hold them.
func Encode(w io.Writer, heading Heading, list []Working) error {
	out := encoded{Format: Format, Basis: "computed from records; the car was not examined", Heading: heading, Workings: make([]encodedWorking, len(list))}
	for i := range list {
		out.Workings[i] = encodeWorking(&list[i])
	}
	return finding.WriteJSON(w, out)
}

type encoded struct {
	Format   string           `json:"format"`
	Basis    string           `json:"basis"`
	Heading  Heading          `json:"of"`
	Workings []encodedWorking `json:"workings"`
}

type encodedWorking struct {
	Subject     Subject          `json:"subject"`
	ID          string           `json:"id"`
	Title       string           `json:"title"`
	About       []string         `json:"about,omitempty"`
	Computed    bool             `json:"computed"`
	Answer      string           `json:"answer"`
	Value       *encodedQuantity `json:"value,omitempty"`
	Low         *encodedQuantity `json:"low,omitempty"`
	High        *encodedQuantity `json:"high,omitempty"`
	Outcome     Outcome          `json:"outcome"`
	Steps       []encodedStep    `json:"steps,omitempty"`
	Inputs      []encodedInput   `json:"inputs,omitempty"`
	Sources     []encodedSource  `json:"sources,omitempty"`
	Assumptions []string         `json:"assumptions,omitempty"`
	Missing     []string         `json:"missing,omitempty"`
	Verdicts    []encodedVerdict `json:"verdicts,omitempty"`
	Notes       []string         `json:"notes,omitempty"`
	Caution     string           `json:"caution,omitempty"`
}

// encodedQuantity is a quantity as shown and exactly: a fraction in its unit.
type encodedQuantity struct {
	Shown       string `json:"shown"`
	Exact       string `json:"exact,omitempty"`
	Unit        string `json:"unit,omitempty"`
	Bound       string `json:"bound,omitempty"`
	Uncertainty string `json:"uncertainty,omitempty"`
	Coverage    string `json:"coverage,omitempty"`
}

type encodedStep struct {
	Sentence string           `json:"sentence"`
	Symbol   string           `json:"symbol,omitempty"`
	Formula  string           `json:"formula,omitempty"`
	Numbers  string           `json:"numbers,omitempty"`
	Result   string           `json:"result"`
	Value    *encodedQuantity `json:"value,omitempty"`
}

type encodedInput struct {
	Symbol   string           `json:"symbol,omitempty"`
	Name     string           `json:"name"`
	Text     string           `json:"text"`
	Value    *encodedQuantity `json:"value,omitempty"`
	Record   string           `json:"record,omitempty"`
	Path     string           `json:"path,omitempty"`
	Pointer  string           `json:"pointer,omitempty"`
	Line     int              `json:"line,omitempty"`
	Source   *encodedSource   `json:"source,omitempty"`
	Exact    bool             `json:"exact,omitempty"`
	Unusable string           `json:"unusable,omitempty"`
}

type encodedSource struct {
	Text  string `json:"text"`
	Basis Basis  `json:"basis,omitempty"`
}

type encodedVerdict struct {
	Of      string         `json:"of"`
	Against string         `json:"against,omitempty"`
	Rule    string         `json:"decision-rule,omitempty"`
	Outcome Outcome        `json:"outcome"`
	Reason  string         `json:"reason"`
	Why     string         `json:"why-this-limit,omitempty"`
	Source  *encodedSource `json:"source,omitempty"`
}

func encodeWorking(w *Working) encodedWorking {
	e := encodedWorking{Subject: w.Subject, ID: w.ID, Title: w.Title, Computed: w.Computed(), Answer: w.Answer, Value: encodeQuantity(w.Value), Low: encodeQuantity(w.Low), High: encodeQuantity(w.High),
		Outcome: w.Worst(), Assumptions: w.Assumptions, Missing: w.Missing, Notes: w.Notes, Caution: w.Caution}
	for _, ref := range w.About {
		e.About = append(e.About, string(ref))
	}
	for _, s := range w.Steps {
		e.Steps = append(e.Steps, encodedStep{s.Sentence, s.Symbol, s.Formula(), s.Numbers(), s.Result(), encodeQuantity(s.Value)})
	}
	for _, in := range w.Inputs {
		e.Inputs = append(e.Inputs, encodedInput{Symbol: in.Symbol, Name: in.Name, Text: in.Text, Value: encodeQuantity(in.Value), Record: string(in.Record), Path: in.Path,
			Pointer: in.Pointer, Line: in.Line, Source: encodeSource(in.Source), Exact: in.Exact, Unusable: in.Err})
	}
	for _, s := range w.Sources {
		e.Sources = append(e.Sources, encodedSource(s))
	}
	for _, v := range w.Verdicts {
		e.Verdicts = append(e.Verdicts, encodedVerdict{v.Of, v.Against, string(v.Rule), v.Outcome, v.Reason, v.Why, encodeSource(v.Source)})
	}
	return e
}

func encodeSource(s Source) *encodedSource {
	if s.Text == "" {
		return nil
	}
	e := encodedSource(s)
	return &e
}

func encodeQuantity(q quantity.Quantity) *encodedQuantity {
	if q.IsZero() {
		return nil
	}
	e := &encodedQuantity{Shown: Show(q), Unit: q.Unit(), Bound: q.Bound().String()}
	if v, ok := q.Rat(); ok {
		e.Exact = v.RatString()
	}
	if u, k, ok := q.Uncertainty(); ok {
		e.Uncertainty, e.Coverage = Show(u), k.RatString()
	}
	return e
}
