package record

// Part is parts/<slug>.json: a part of the car, old or new: what it is, whether it was on the car, where it belongs and whether it may go back.
type Part struct {
	Head
	Found           string      `json:"found,omitempty"`
	Origin          string      `json:"origin,omitempty"`
	Role            string      `json:"role,omitempty"`
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
	Pack            *Pack       `json:"pack,omitempty"`
	Tyre            *Tyre       `json:"tyre,omitempty"`
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

// Pack is how the cells of a traction battery, or of one box of it, are joined.
type Pack struct {
	Series          int64   `json:"series,omitzero"`
	Parallel        int64   `json:"parallel,omitzero"`
	Cells           int64   `json:"cells,omitzero"`
	CellNominal     Measure `json:"cell-nominal,omitempty" dimension:"voltage"`
	CellCharged     Measure `json:"cell-charged,omitempty" dimension:"voltage"`
	CellEmpty       Measure `json:"cell-empty,omitempty" dimension:"voltage"`
	CellCapacity    Measure `json:"cell-capacity,omitempty" dimension:"charge"`
	Chemistry       string  `json:"chemistry,omitempty"`
	Resistance      Measure `json:"resistance,omitempty" dimension:"resistance"`
	ResistanceWorst Measure `json:"resistance-worst,omitempty" dimension:"resistance"`
	Source          string  `json:"source,omitempty"`
}

// Tyre is a tyre as marked on its side wall.
type Tyre struct {
	Size         string `json:"size,omitempty"`
	Construction string `json:"construction,omitempty"`
	LoadIndex    int64  `json:"load-index,omitzero"`
	SpeedSymbol  string `json:"speed-symbol,omitempty"`
}
