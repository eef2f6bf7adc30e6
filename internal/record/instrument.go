package record

// Instrument is instruments/<workshop>/<slug>/instrument.json: a measuring tool.
type Instrument struct {
	Head
	Sort         string  `json:"sort,omitempty"`
	Maker        string  `json:"maker,omitempty"`
	Serial       string  `json:"serial,omitempty"`
	Range        *Range  `json:"range,omitempty"`
	Accuracy     string  `json:"accuracy,omitempty"`
	Division     string  `json:"division,omitempty"`
	Class        string  `json:"class,omitempty"`
	Resistance   Measure `json:"resistance,omitempty" dimension:"resistance"`
	RatedForLive string  `json:"rated-for-live,omitempty"`
	Note         string  `json:"note,omitempty"`
}

// Range is from where to where an instrument may be used.
type Range struct {
	From string `json:"from,omitempty"`
	To   string `json:"to,omitempty"`
}

// Calibration is instruments/<workshop>/<slug>/<entry>.json: one calibration of an instrument. An entry never changes.
type Calibration struct {
	Head
	On          Date    `json:"on,omitempty"`
	Due         Date    `json:"due,omitempty"`
	By          string  `json:"by,omitempty"`
	Certificate string  `json:"certificate,omitempty"`
	AsFound     string  `json:"as-found,omitempty"`
	Deviation   Measure `json:"deviation,omitempty" dimension:"ratio"`
	AsLeft      string  `json:"as-left,omitempty"`
	Paper       Ref     `json:"paper,omitempty" refers:"paper"`
	Note        string  `json:"note,omitempty"`
}

// Store is stores/<workshop>/<slug>/store.json: a place where parts are kept.
type Store struct {
	Head
	At         string `json:"at,omitempty"`
	Conditions string `json:"conditions,omitempty"`
	Note       string `json:"note,omitempty"`
}
