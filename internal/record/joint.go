package record

// Joint is joints/<slug>.json: where parts are clamped together: the parts, the fasteners, how it is to be tightened and who says so.
type Joint struct {
	Head
	Clamps        []Ref          `json:"clamps,omitempty" refers:"part"`
	Host          string         `json:"host,omitempty"`
	Zone          string         `json:"zone,omitempty"`
	Original      string         `json:"original,omitempty"`
	Uses          []Ref          `json:"uses,omitempty" refers:"existing"`
	PicksUp       Ref            `json:"picks-up,omitempty" refers:"joint"`
	Fasteners     []Fastener     `json:"fasteners,omitempty"`
	Specification *Specification `json:"specification,omitempty"`
	Sheet         *Sheet         `json:"sheet,omitempty"`
	Restrains     string         `json:"restrains,omitempty"`
	Bears         Measure        `json:"bears,omitempty" dimension:"force"`
	BearsSource   string         `json:"bears-source,omitempty"`
	Papers        []Ref          `json:"papers,omitempty" refers:"paper"`
	Note          string         `json:"note,omitempty"`
}

// Fastener is fasteners of one kind in a joint.
type Fastener struct {
	What      string `json:"what,omitempty"`
	Size      string `json:"size,omitempty"`
	Class     string `json:"class,omitempty"`
	Count     int64  `json:"count,omitzero"`
	SingleUse string `json:"single-use,omitempty"`
	Bag       string `json:"bag,omitempty"`
	Origin    string `json:"origin,omitempty"`
}

// Specification is how a joint is to be tightened and who says so.
type Specification struct {
	Torque         Measure `json:"torque,omitempty" dimension:"torque"`
	Angle          Measure `json:"angle,omitempty" dimension:"angle"`
	Tolerance      Measure `json:"tolerance,omitempty" dimension:"ratio"`
	Surface        string  `json:"surface,omitempty"`
	Source         string  `json:"source,omitempty"`
	Paper          Ref     `json:"paper,omitempty" refers:"paper"`
	SecondCheck    string  `json:"second-check,omitempty"`
	RetightenAfter Measure `json:"retighten-after,omitempty" dimension:"length"`
}

// Sheet is the metal of the car that a joint bears on.
type Sheet struct {
	Thickness Measure `json:"thickness,omitempty" dimension:"length"`
	Strength  Measure `json:"strength,omitempty" dimension:"pressure"`
	Material  string  `json:"material,omitempty"`
	Condition string  `json:"condition,omitempty"`
	Spread    Measure `json:"spread,omitempty" dimension:"length"`
}

// Existing is existing/<slug>.json: a hole, dent, weld or repair that was seen before the first work on its zone.
type Existing struct {
	Head
	What   string  `json:"what,omitempty"`
	Zone   string  `json:"zone,omitempty"`
	Where  string  `json:"where,omitempty"`
	Size   Measure `json:"size,omitempty" dimension:"length"`
	Count  int64   `json:"count,omitzero"`
	SeenOn Date    `json:"seen-on,omitempty"`
	SeenBy Ref     `json:"seen-by,omitempty" refers:"person"`
	Papers []Ref   `json:"papers,omitempty" refers:"paper"`
	Note   string  `json:"note,omitempty"`
}
