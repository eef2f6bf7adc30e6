package record

// Ledger is ledger.json: the head of a car's ledger: which edition of the format it keeps and which workshop keeps it.
type Ledger struct {
	Head
	Edition    string      `json:"edition,omitempty"`
	ID         string      `json:"id,omitempty"`
	Workshop   string      `json:"workshop,omitempty"`
	Started    Date        `json:"started,omitempty"`
	Signing    *Signing    `json:"signing,omitempty"`
	Limits     *Limits     `json:"limits,omitempty"`
	HandedOver *HandedOver `json:"handed-over,omitempty"`
	Note       string      `json:"note,omitempty"`
}

// HandedOver says that these records were handed over, and that nobody has received them yet. It goes with the receipt.
type HandedOver struct {
	On Date `json:"on,omitempty"`
	By Ref  `json:"by,omitempty" refers:"person"`
}

// Signing is what has to be signed in a ledger; it holds for the commits after the one that says so.
type Signing struct {
	Commits       string   `json:"commits,omitempty"`
	TwoSignatures []string `json:"two-signatures,omitempty"`
}

// Limits are limits of one ledger that are tighter than the program's own; looser ones are not followed.
type Limits struct {
	FoundParts  int64 `json:"found-parts,omitzero"`
	SightingAge int64 `json:"sighting-age,omitzero"`
	Attachments int64 `json:"attachments,omitzero"`
}

// Car is car.json: the car: its identity, the numbers as they were read, published figures with their source, and the root baseline.
type Car struct {
	Head
	Make         string     `json:"make,omitempty"`
	Model        string     `json:"model,omitempty"`
	Year         Date       `json:"year,omitempty"`
	ModelYear    int64      `json:"model-year,omitzero"`
	Body         string     `json:"body,omitempty"`
	Market       string     `json:"market,omitempty"`
	Steering     string     `json:"steering,omitempty"`
	Layout       string     `json:"layout,omitempty"`
	Earth        string     `json:"earth,omitempty"`
	Colour       string     `json:"colour,omitempty"`
	Wheelbase    Measure    `json:"wheelbase,omitempty" dimension:"length"`
	TrackFront   Measure    `json:"track-front,omitempty" dimension:"length"`
	TrackRear    Measure    `json:"track-rear,omitempty" dimension:"length"`
	Seats        int64      `json:"seats,omitzero"`
	Rows         []SeatRow  `json:"rows,omitempty"`
	Construction string     `json:"construction,omitempty"`
	Root         Ref        `json:"root,omitempty" refers:"part"`
	Numbers      []Number   `json:"numbers,omitempty"`
	Ratings      []Rating   `json:"ratings,omitempty"`
	Baseline     *Baseline  `json:"baseline,omitempty"`
	Baselines    []Baseline `json:"baselines,omitempty"`
	Papers       []Ref      `json:"papers,omitempty" refers:"paper"`
	Note         string     `json:"note,omitempty"`
}

// SeatRow is one row of seats.
type SeatRow struct {
	Seats   int64   `json:"seats,omitzero"`
	Station Measure `json:"station,omitempty" dimension:"length"`
}

// Baseline is a day to compare with. The root baseline declares which parts were on the car; it grows as parts are found.
type Baseline struct {
	Name  string         `json:"name,omitempty"`
	On    Date           `json:"on,omitempty"`
	Parts []BaselinePart `json:"parts,omitempty"`
	Note  string         `json:"note,omitempty"`
}

// BaselinePart is a part that was on the car at the baseline.
type BaselinePart struct {
	Part     Ref    `json:"part,omitempty" refers:"part"`
	Position string `json:"position,omitempty"`
	Evidence string `json:"evidence,omitempty"`
	Paper    Ref    `json:"paper,omitempty" refers:"paper"`
}
