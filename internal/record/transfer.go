package record

// Transfer is transfers/<date>-<slug>.json: the car goes from one keeper to another, with what is handed over and what
// becomes of the parts in store.
type Transfer struct {
	Head
	On         Date      `json:"on,omitempty"`
	From       *Keeper   `json:"from,omitempty"`
	To         *Keeper   `json:"to,omitempty"`
	How        string    `json:"how,omitempty"`
	Basis      string    `json:"basis,omitempty"`
	Distance   Ref       `json:"distance,omitempty" refers:"reading"`
	Custody    []Custody `json:"custody,omitempty"`
	HandedOver []Ref     `json:"handed-over,omitempty" refers:"paper"`
	Codes      []Ref     `json:"codes,omitempty" refers:"code"`
	Settings   []Ref     `json:"settings,omitempty" refers:"setting"`
	Receipt    Ref       `json:"receipt,omitempty" refers:"paper"`
	Price      Sealed    `json:"price,omitempty"`
	Papers     []Ref     `json:"papers,omitempty" refers:"paper"`
	Note       string    `json:"note,omitempty"`
}

// Keeper is a keeper of the car, named only in private.
type Keeper struct {
	Sort    string `json:"sort,omitempty"`
	Person  Ref    `json:"person,omitempty" refers:"person"`
	Name    Sealed `json:"name,omitempty"`
	Address Sealed `json:"address,omitempty"`
	Country string `json:"country,omitempty"`
	Note    string `json:"note,omitempty"`
}

// Custody is what becomes of parts that are off the car when it changes hands.
type Custody struct {
	Parts []Ref  `json:"parts,omitempty" refers:"part"`
	Goes  string `json:"goes,omitempty"`
	Store Ref    `json:"store,omitempty" refers:"store"`
	Place string `json:"place,omitempty"`
	Until Date   `json:"until,omitempty"`
	Seen  string `json:"seen,omitempty"`
	Note  string `json:"note,omitempty"`
}

// Joins reports whether the keeper who got a car may be the one who later gave it away: the same person where both are
// named, else the same sort. Names are private and salted, so that their digests tell nothing.
func (k *Keeper) Joins(next *Keeper) bool {
	if k.Person != "" && next.Person != "" {
		return k.Person == next.Person
	}
	return k.Sort == next.Sort
}
