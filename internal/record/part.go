package record

// Part is parts/<slug>.json: a part of the car, old or new: what it is, whether it was on the car, where it belongs and whether it may go back.
type Part struct {
	Head
	Found           string      `json:"found,omitempty"`
	Origin          string      `json:"origin,omitempty"`
	Class           string      `json:"class,omitempty"`
	Contains        []Ref       `json:"contains,omitempty" refers:"part"`
	Count           int64       `json:"count,omitzero"`
	Interchangeable string      `json:"interchangeable,omitempty"`
	Runs            []Run       `json:"runs,omitempty"`
	Position        string      `json:"position,omitempty"`
	PositionSingle  string      `json:"position-single,omitempty"`
	Zone            string      `json:"zone,omitempty"`
	Side            string      `json:"side,omitempty"`
	Mass            Measure     `json:"mass,omitempty" dimension:"mass"`
	MassSource      string      `json:"mass-source,omitempty"`
	Station         Measure     `json:"station,omitempty" dimension:"length"`
	Tag             string      `json:"tag,omitempty"`
	Numbers         []Number    `json:"numbers,omitempty"`
	Ratings         []Rating    `json:"ratings,omitempty"`
	Value           Sealed      `json:"value,omitempty"`
	MayGoBack       string      `json:"may-go-back,omitempty"`
	Hazards         []string    `json:"hazards,omitempty"`
	Condition       []Condition `json:"condition,omitempty"`
	Facets          []string    `json:"facets,omitempty"`
	Maker           string      `json:"maker,omitempty"`
	Source          string      `json:"source,omitempty"`
	SameAs          Ref         `json:"same-as,omitempty" refers:"part"`
	Papers          []Ref       `json:"papers,omitempty" refers:"paper"`
	Note            string      `json:"note,omitempty"`
}

// Run is one end, fixing or grommet of a loom or hose.
type Run struct {
	End   string `json:"end,omitempty"`
	State string `json:"state,omitempty"`
	To    string `json:"to,omitempty"`
	Note  string `json:"note,omitempty"`
}

// Condition is what state a part was in on a day, and what was renewed.
type Condition struct {
	On      Date     `json:"on,omitempty"`
	State   string   `json:"state,omitempty"`
	By      Ref      `json:"by,omitempty" refers:"person"`
	Renewed []string `json:"renewed,omitempty"`
	Paper   Ref      `json:"paper,omitempty" refers:"paper"`
	Note    string   `json:"note,omitempty"`
}
