package record

// Number is a number as it was read, character by character; nothing is corrected or filled in.
type Number struct {
	What          string `json:"what,omitempty"`
	Raw           string `json:"raw,omitempty"`
	Base          string `json:"base,omitempty"`
	Addition      string `json:"addition,omitempty"`
	Where         string `json:"where,omitempty"`
	Place         string `json:"place,omitempty"`
	ReadBy        Ref    `json:"read-by,omitempty" refers:"person"`
	On            Date   `json:"on,omitempty"`
	Legibility    string `json:"legibility,omitempty"`
	FactoryMethod string `json:"factory-method,omitempty"`
	OnCar         string `json:"on-car,omitempty"`
	Status        string `json:"status,omitempty"`
	Part          Ref    `json:"part,omitempty" refers:"part"`
	Paper         Ref    `json:"paper,omitempty" refers:"paper"`
	Note          string `json:"note,omitempty"`
}

// Rating is a published or measured figure that limits or describes the car or a part.
type Rating struct {
	Of        string `json:"of,omitempty"`
	Value     string `json:"value,omitempty"`
	Basis     string `json:"basis,omitempty"`
	Condition string `json:"condition,omitempty"`
	Source    string `json:"source,omitempty"`
	Paper     Ref    `json:"paper,omitempty" refers:"paper"`
	Country   string `json:"country,omitempty"`
	Note      string `json:"note,omitempty"`
}
