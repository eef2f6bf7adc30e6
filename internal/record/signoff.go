package record

// SignOff is signoffs/<date>-<who>-<slug>.json: somebody's signature over a closed list of records.
type SignOff struct {
	Head
	By      Ref       `json:"by,omitempty" refers:"person"`
	On      Date      `json:"on,omitempty"`
	Meaning string    `json:"meaning,omitempty"`
	Form    string    `json:"form,omitempty"`
	Key     Ref       `json:"key,omitempty" refers:"key"`
	RestsOn []Ref     `json:"rests-on,omitempty" refers:"licence,calibration"`
	Covers  []Covered `json:"covers,omitempty"`
	Ledger  string    `json:"ledger,omitempty"`
	Tree    string    `json:"tree,omitempty"`
	Numbers []string  `json:"numbers,omitempty"`
	Path    string    `json:"path,omitempty"`
	Facets  []string  `json:"facets,omitempty"`
	Scan    Ref       `json:"scan,omitempty" refers:"paper"`
	SeenBy  Ref       `json:"seen-by,omitempty" refers:"person"`
	Note    string    `json:"note,omitempty"`
}

// Covered is a record covered by a sign-off, as it was then.
type Covered struct {
	Record Ref    `json:"record,omitempty" refers:"*"`
	Digest Digest `json:"digest,omitempty"`
}
