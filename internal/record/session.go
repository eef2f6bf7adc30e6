package record

// Session is work/<date>-<who>-<slug>.json: work done in one go: who, when, how it is known, and the lines in the order done.
type Session struct {
	Head
	By        Ref    `json:"by,omitempty" refers:"person"`
	Helpers   []Ref  `json:"helpers,omitempty" refers:"person"`
	Witness   Ref    `json:"witness,omitempty" refers:"person"`
	EnteredBy Ref    `json:"entered-by,omitempty" refers:"person"`
	Entered   Date   `json:"entered,omitempty"`
	Started   Date   `json:"started,omitempty"`
	Ended     Date   `json:"ended,omitempty"`
	Basis     string `json:"basis,omitempty"`
	Zone      string `json:"zone,omitempty"`
	After     []Ref  `json:"after,omitempty" refers:"session"`
	Lines     []Line `json:"lines,omitempty"`
	Papers    []Ref  `json:"papers,omitempty" refers:"paper"`
	Note      string `json:"note,omitempty"`
}

// Line is one thing done, in the order it was done. Only the act and what it was done to are required: the parts,
// or the system that was drained or filled; a stock-take of a place where nothing was names neither.
type Line struct {
	Act         string   `json:"act,omitempty"`
	Parts       []Ref    `json:"parts,omitempty" refers:"part"`
	Position    string   `json:"position,omitempty"`
	Station     Measure  `json:"station,omitempty" dimension:"length"`
	Purpose     string   `json:"purpose,omitempty"`
	Joints      []Ref    `json:"joints,omitempty" refers:"joint"`
	Store       Ref      `json:"store,omitempty" refers:"store"`
	Place       string   `json:"place,omitempty"`
	Counted     string   `json:"counted,omitempty"`
	Seal        string   `json:"seal,omitempty"`
	Tag         string   `json:"tag,omitempty"`
	Bag         string   `json:"bag,omitempty"`
	Fasteners   int64    `json:"fasteners,omitzero"`
	Method      string   `json:"method,omitempty"`
	Set         Measure  `json:"set,omitempty" dimension:"torque"`
	Indicated   Measure  `json:"indicated,omitempty" dimension:"torque"`
	Angle       Measure  `json:"angle,omitempty" dimension:"angle"`
	Instrument  Ref      `json:"instrument,omitempty" refers:"instrument"`
	SecondCheck Ref      `json:"second-check,omitempty" refers:"person"`
	Alteration  *Hole    `json:"alteration,omitempty"`
	Undoes      Ref      `json:"undoes,omitempty" refers:"session"`
	Ends        []End    `json:"ends,omitempty"`
	System      Ref      `json:"system,omitempty" refers:"system"`
	Quantity    Measure  `json:"quantity,omitempty" dimension:"volume"`
	Waste       string   `json:"waste,omitempty"`
	Product     string   `json:"product,omitempty"`
	Due         Date     `json:"due,omitempty"`
	With        string   `json:"with,omitempty"`
	Gone        string   `json:"gone,omitempty"`
	OtherCar    Sealed   `json:"other-car,omitempty"`
	Became      Ref      `json:"became,omitempty" refers:"part"`
	Concern     Ref      `json:"concern,omitempty" refers:"concern"`
	Facets      []string `json:"facets,omitempty"`
	Uses        []Ref    `json:"uses,omitempty" refers:"existing"`
	Papers      []Ref    `json:"papers,omitempty" refers:"paper"`
	Note        string   `json:"note,omitempty"`
}

// Hole is what an alteration did to the material.
type Hole struct {
	Zone            string  `json:"zone,omitempty"`
	Where           string  `json:"where,omitempty"`
	Size            Measure `json:"size,omitempty" dimension:"length"`
	Count           int64   `json:"count,omitzero"`
	MaterialRemoved string  `json:"material-removed,omitempty"`
	Of              Ref     `json:"of,omitempty" refers:"existing"`
	RequiredBy      string  `json:"required-by,omitempty"`
	Clause          string  `json:"clause,omitempty"`
	Undo            string  `json:"undo,omitempty"`
	Leaves          string  `json:"leaves,omitempty"`
	Safety          string  `json:"safety,omitempty"`
}

// End is what a line did to one end of a loom or hose.
type End struct {
	End   string `json:"end,omitempty"`
	State string `json:"state,omitempty"`
}
