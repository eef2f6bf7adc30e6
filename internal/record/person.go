package record

// Person is people/<workshop>/<slug>/person.json: somebody who works on, inspects or signs for the car.
type Person struct {
	Head
	Role      string `json:"role,omitempty"`
	Workshop  string `json:"workshop,omitempty"`
	Telephone Sealed `json:"telephone,omitempty"`
	Note      string `json:"note,omitempty"`
}

// Licence is people/<workshop>/<slug>/<entry>.json: what somebody is licensed or trained to do. An entry never changes; a new one is added.
type Licence struct {
	Head
	Scope     []string `json:"scope,omitempty"`
	Authority string   `json:"authority,omitempty"`
	Number    string   `json:"number,omitempty"`
	From      Date     `json:"from,omitempty"`
	Until     Date     `json:"until,omitempty"`
	Checked   string   `json:"checked,omitempty"`
	CheckedOn Date     `json:"checked-on,omitempty"`
	CheckedBy Ref      `json:"checked-by,omitempty" refers:"person"`
	Paper     Ref      `json:"paper,omitempty" refers:"paper"`
	Note      string   `json:"note,omitempty"`
}

// Key is people/<workshop>/<slug>/<entry>.json: a public signing key of somebody. An entry never changes.
type Key struct {
	Head
	Public string `json:"public,omitempty"`
	From   Date   `json:"from,omitempty"`
	Until  Date   `json:"until,omitempty"`
	Note   string `json:"note,omitempty"`
}

// Revocation is people/<workshop>/<slug>/<entry>.json: ends a key or licence before its time.
type Revocation struct {
	Head
	Of   Ref    `json:"of,omitempty" refers:"key,licence"`
	On   Date   `json:"on,omitempty"`
	Why  string `json:"why,omitempty"`
	Note string `json:"note,omitempty"`
}
