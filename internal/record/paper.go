package record

// Paper is papers/<slug>.json: a photo or document: the digests that identify its bytes, its dates kept apart, and what it shows.
type Paper struct {
	Head
	Class       string        `json:"class,omitempty"`
	Original    *Content      `json:"original,omitempty"`
	Preview     *Content      `json:"preview,omitempty"`
	Caption     string        `json:"caption,omitempty"`
	Shows       []Ref         `json:"shows,omitempty" refers:"*"`
	By          Ref           `json:"by,omitempty" refers:"person"`
	Claimed     Date          `json:"claimed,omitempty"`
	Embedded    Date          `json:"embedded,omitempty"`
	Received    Date          `json:"received,omitempty"`
	Camera      string        `json:"camera,omitempty"`
	Clock       Ref           `json:"clock,omitempty" refers:"paper"`
	WrittenDate string        `json:"written-date,omitempty"`
	Country     string        `json:"country,omitempty"`
	Way         string        `json:"way,omitempty"`
	Numbers     []Number      `json:"numbers,omitempty"`
	Certificate *Certificate  `json:"certificate,omitempty"`
	Enquiry     *Enquiry      `json:"enquiry,omitempty"`
	CallsFor    []Instruction `json:"calls-for,omitempty"`
	Holder      string        `json:"holder,omitempty"`
	CopyOf      Ref           `json:"copy-of,omitempty" refers:"paper"`
	Revision    string        `json:"revision,omitempty"`
	Replaces    Ref           `json:"replaces,omitempty" refers:"paper"`
	Note        string        `json:"note,omitempty"`
}

// Content is a file known by its digest and size.
type Content struct {
	Digest Digest `json:"digest,omitempty"`
	Bytes  int64  `json:"bytes,omitzero"`
	Type   string `json:"type,omitempty"`
}

// Certificate is what a certificate says of itself.
type Certificate struct {
	Number   string            `json:"number,omitempty"`
	Issuer   string            `json:"issuer,omitempty"`
	Scope    []string          `json:"scope,omitempty"`
	SignedBy Ref               `json:"signed-by,omitempty" refers:"person"`
	SignedOn Date              `json:"signed-on,omitempty"`
	From     Date              `json:"from,omitempty"`
	Until    Date              `json:"until,omitempty"`
	Form     string            `json:"form,omitempty"`
	Mark     string            `json:"mark,omitempty"`
	Lines    []CertificateLine `json:"lines,omitempty"`
}

// CertificateLine is one statement of an archive or other certificate, beside what the car shows.
type CertificateLine struct {
	What string `json:"what,omitempty"`
	Says string `json:"says,omitempty"`
	Car  string `json:"car,omitempty"`
}

// Enquiry is an entry of a register of stolen vehicles, as its answer gives it.
type Enquiry struct {
	Register  string `json:"register,omitempty"`
	Number    string `json:"number,omitempty"`
	Make      string `json:"make,omitempty"`
	Type      string `json:"type,omitempty"`
	Year      string `json:"year,omitempty"`
	ClearedBy Ref    `json:"cleared-by,omitempty" refers:"paper"`
}

// Instruction is one step of a supplier's instruction that takes material or joins for good.
type Instruction struct {
	Step  string  `json:"step,omitempty"`
	Does  string  `json:"does,omitempty"`
	Count int64   `json:"count,omitzero"`
	Size  Measure `json:"size,omitempty" dimension:"length"`
	Zone  string  `json:"zone,omitempty"`
}
