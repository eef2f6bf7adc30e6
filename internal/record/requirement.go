package record

// RequirementSet is requirements/<slug>.json: what an authority, an insurer or good practice asks of a converted car, item by item. Without a test an item is a
// question for somebody else; a set without any test is a list of questions.
type RequirementSet struct {
	Head
	Authority    string                `json:"authority,omitempty"`
	Jurisdiction string                `json:"jurisdiction,omitempty"`
	Edition      string                `json:"edition,omitempty"`
	From         Date                  `json:"from,omitempty"`
	Until        Date                  `json:"until,omitempty"`
	BuildsOn     []string              `json:"builds-on,omitempty"`
	Sources      []RuleSource          `json:"sources,omitempty"`
	Rule         string                `json:"rule,omitempty"`
	Caution      string                `json:"caution,omitempty"`
	Form         string                `json:"form,omitempty"`
	Items        []RequirementItem     `json:"items,omitempty"`
	Overrides    []RequirementOverride `json:"overrides,omitempty"`
	Note         string                `json:"note,omitempty"`
}

// RuleSource is a text that a requirement set rests on, and how it is known.
type RuleSource struct {
	Key      string `json:"key,omitempty"`
	Document string `json:"document,omitempty"`
	Dated    Date   `json:"dated,omitempty"`
	Basis    string `json:"basis,omitempty"`
	Note     string `json:"note,omitempty"`
}

// RequirementItem is one thing that is asked of a car.
type RequirementItem struct {
	Item     string   `json:"item,omitempty"`
	Title    string   `json:"title,omitempty"`
	Asks     string   `json:"asks,omitempty"`
	Source   string   `json:"source,omitempty"`
	Clause   string   `json:"clause,omitempty"`
	Basis    string   `json:"basis,omitempty"`
	To       string   `json:"to,omitempty"`
	Applies  string   `json:"applies,omitempty"`
	Evidence []string `json:"evidence,omitempty"`
	Test     string   `json:"test,omitempty"`
	Rule     string   `json:"rule,omitempty"`
	Judge    string   `json:"judge,omitempty"`
	Bring    []string `json:"bring,omitempty"`
	Remedy   string   `json:"remedy,omitempty"`
	Ask      string   `json:"ask,omitempty"`
	Caution  string   `json:"caution,omitempty"`
	Note     string   `json:"note,omitempty"`
}

// RequirementOverride is a change to an item of a set that this one builds on, for a while and for a reason.
type RequirementOverride struct {
	Item    string `json:"item,omitempty"`
	Reason  string `json:"reason,omitempty"`
	Until   Date   `json:"until,omitempty"`
	Waived  string `json:"waived,omitempty"`
	Asks    string `json:"asks,omitempty"`
	Applies string `json:"applies,omitempty"`
	Test    string `json:"test,omitempty"`
	Rule    string `json:"rule,omitempty"`
	Judge   string `json:"judge,omitempty"`
}

// Check is one point of a function test or visual check, and what was found.
type Check struct {
	Check string `json:"check,omitempty"`
	Found string `json:"found,omitempty"`
	Part  Ref    `json:"part,omitempty" refers:"part"`
	Where string `json:"where,omitempty"`
	Label *Label `json:"label,omitempty"`
	Note  string `json:"note,omitempty"`
}

// Label is a label as it was measured.
type Label struct {
	Side      Measure `json:"side,omitempty" dimension:"length"`
	Letters   Measure `json:"letters,omitempty" dimension:"length"`
	Thickness Measure `json:"thickness,omitempty" dimension:"length"`
}
