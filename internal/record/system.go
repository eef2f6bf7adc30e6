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
	Sort           string     `json:"sort,omitempty"`
	Voltage        Measure    `json:"voltage,omitempty" dimension:"voltage"`
	Conductor      Measure    `json:"conductor,omitempty" dimension:"area"`
	Length         Measure    `json:"length,omitempty" dimension:"length"`
	Fuse           Measure    `json:"fuse,omitempty" dimension:"current"`
	Load           Measure    `json:"load,omitempty" dimension:"current"`
	Carries        Measure    `json:"carries,omitempty" dimension:"current"`
	Temperature    Measure    `json:"temperature,omitempty" dimension:"temperature"`
	FuseVoltage    Measure    `json:"fuse-voltage,omitempty" dimension:"voltage"`
	FuseBreaks     Measure    `json:"fuse-breaks,omitempty" dimension:"current"`
	FuseBreaksFrom Measure    `json:"fuse-breaks-from,omitempty" dimension:"current"`
	Resistance     Measure    `json:"resistance,omitempty" dimension:"resistance"`
	PreCharge      *PreCharge `json:"pre-charge,omitempty"`
	Consumers      []Consumer `json:"consumers,omitempty"`
	Colour         string     `json:"colour,omitempty"`
	Labels         []string   `json:"labels,omitempty"`
}

// PreCharge is how the capacitors behind the contactors are charged before these close.
type PreCharge struct {
	Resistance       Measure `json:"resistance,omitempty" dimension:"resistance"`
	Capacitance      Measure `json:"capacitance,omitempty" dimension:"capacitance"`
	Time             Measure `json:"time,omitempty" dimension:"duration"`
	ContactorVoltage Measure `json:"contactor-voltage,omitempty" dimension:"voltage"`
	ResistorEnergy   Measure `json:"resistor-energy,omitempty" dimension:"energy"`
	Retries          int64   `json:"retries,omitzero"`
	Source           string  `json:"source,omitempty"`
}

// Consumer is something that draws current.
type Consumer struct {
	What    string  `json:"what,omitempty"`
	Current Measure `json:"current,omitempty" dimension:"current"`
	Steady  string  `json:"steady,omitempty"`
}
