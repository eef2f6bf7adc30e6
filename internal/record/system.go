package record

// System is systems/<slug>.json: a fill of the car or an electrical circuit.
type System struct {
	Head
	Sort    string   `json:"sort,omitempty"`
	Fill    *Fill    `json:"fill,omitempty"`
	Circuit *Circuit `json:"circuit,omitempty"`
	Parts   []Ref    `json:"parts,omitempty" refers:"part"`
	Papers  []Ref    `json:"papers,omitempty" refers:"paper"`
	Note    string   `json:"note,omitempty"`
}

// Fill is a fluid or gas.
type Fill struct {
	Of       string  `json:"of,omitempty"`
	Quantity Measure `json:"quantity,omitempty" dimension:"volume"`
	Drained  Date    `json:"drained,omitempty"`
	Waste    string  `json:"waste,omitempty"`
}

// Circuit is an electrical circuit.
type Circuit struct {
	Sort      string   `json:"sort,omitempty"`
	Voltage   Measure  `json:"voltage,omitempty" dimension:"voltage"`
	Conductor Measure  `json:"conductor,omitempty" dimension:"area"`
	Length    Measure  `json:"length,omitempty" dimension:"length"`
	Fuse      Measure  `json:"fuse,omitempty" dimension:"current"`
	Load      Measure  `json:"load,omitempty" dimension:"current"`
	Colour    string   `json:"colour,omitempty"`
	Labels    []string `json:"labels,omitempty"`
}
