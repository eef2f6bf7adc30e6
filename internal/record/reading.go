package record

// Reading is readings/<date>-<who>-<slug>.json: something measured: the figures as read, with method, instrument and uncertainty.
type Reading struct {
	Head
	What         string        `json:"what,omitempty"`
	Values       []Value       `json:"values,omitempty"`
	Checks       []Check       `json:"checks,omitempty"`
	On           Date          `json:"on,omitempty"`
	By           Ref           `json:"by,omitempty" refers:"person"`
	EnteredBy    Ref           `json:"entered-by,omitempty" refers:"person"`
	Entered      Date          `json:"entered,omitempty"`
	Instrument   Ref           `json:"instrument,omitempty" refers:"instrument"`
	Method       string        `json:"method,omitempty"`
	Place        string        `json:"place,omitempty"`
	Zone         string        `json:"zone,omitempty"`
	Parts        []Ref         `json:"parts,omitempty" refers:"part"`
	Holes        []Ref         `json:"holes,omitempty" refers:"existing"`
	Weighing     *Weighing     `json:"weighing,omitempty"`
	Insulation   *Insulation   `json:"insulation,omitempty"`
	Bonding      *Bonding      `json:"bonding,omitempty"`
	Cells        *Cells        `json:"cells,omitempty"`
	Sign         string        `json:"sign,omitempty"`
	Counts       string        `json:"counts,omitempty"`
	Digits       int64         `json:"digits,omitzero"`
	Surroundings *Surroundings `json:"surroundings,omitempty"`
	Result       string        `json:"result,omitempty"`
	Papers       []Ref         `json:"papers,omitempty" refers:"paper"`
	Note         string        `json:"note,omitempty"`
}

// Value is one figure of a reading.
type Value struct {
	Of     string `json:"of,omitempty"`
	Value  string `json:"value,omitempty"`
	Poles  string `json:"poles,omitempty"`
	Note   string `json:"note,omitempty"`
	Locked string `json:"locked,omitempty"`
}

// Weighing is the state the car was in on the scales.
type Weighing struct {
	Condition string   `json:"condition,omitempty"`
	Fuel      string   `json:"fuel,omitempty"`
	Driver    string   `json:"driver,omitempty"`
	Division  Measure  `json:"division,omitempty" dimension:"mass"`
	FigureBy  string   `json:"figure-by,omitempty"`
	Ballast   string   `json:"ballast,omitempty"`
	Aboard    []Aboard `json:"aboard,omitempty"`
}

// Aboard is something aboard at a weighing that the bare car does not include.
type Aboard struct {
	What    string  `json:"what,omitempty"`
	Mass    Measure `json:"mass,omitempty" dimension:"mass"`
	Station Measure `json:"station,omitempty" dimension:"length"`
}

// Cells is how cells were surveyed.
type Cells struct {
	State string `json:"state,omitempty"`
	Taken string `json:"taken,omitempty"`
	Count int64  `json:"count,omitzero"`
}

// Insulation is how insulation was tested.
type Insulation struct {
	Circuit        string  `json:"circuit,omitempty"`
	State          string  `json:"state,omitempty"`
	TestVoltage    Measure `json:"test-voltage,omitempty" dimension:"voltage"`
	Duration       Measure `json:"duration,omitempty" dimension:"duration"`
	WorkingVoltage Measure `json:"working-voltage,omitempty" dimension:"voltage"`
	Resistor       Measure `json:"resistor,omitempty" dimension:"resistance"`
	Protection     string  `json:"protection,omitempty"`
	BMS            string  `json:"bms,omitempty"`
}

// Bonding is how bonding was tested.
type Bonding struct {
	Current    Measure `json:"current,omitempty" dimension:"current"`
	Resolution Measure `json:"resolution,omitempty" dimension:"resistance"`
	Between    string  `json:"between,omitempty"`
}

// Surroundings is the air around the car.
type Surroundings struct {
	Temperature Measure `json:"temperature,omitempty" dimension:"temperature"`
	Humidity    Measure `json:"humidity,omitempty" dimension:"ratio"`
	Weather     string  `json:"weather,omitempty"`
}

// Concern is concerns/<slug>.json: something that was not right: what was seen, the cause, how it was rectified and who rechecked.
type Concern struct {
	Head
	RaisedOn    Date   `json:"raised-on,omitempty"`
	RaisedBy    Ref    `json:"raised-by,omitempty" refers:"person"`
	Weight      string `json:"weight,omitempty"`
	Concern     string `json:"concern,omitempty"`
	Cause       string `json:"cause,omitempty"`
	State       string `json:"state,omitempty"`
	RectifiedBy []Ref  `json:"rectified-by,omitempty" refers:"session"`
	RecheckedBy Ref    `json:"rechecked-by,omitempty" refers:"person"`
	RecheckedOn Date   `json:"rechecked-on,omitempty"`
	Papers      []Ref  `json:"papers,omitempty" refers:"paper"`
	Note        string `json:"note,omitempty"`
}
