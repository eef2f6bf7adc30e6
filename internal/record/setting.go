package record

// Setting is settings/<slug>.json: what a unit was set to: unit, firmware, version and fingerprint of the file together.
type Setting struct {
	Head
	Sort         string         `json:"sort,omitempty"`
	Unit         Ref            `json:"unit,omitempty" refers:"part"`
	Serial       string         `json:"serial,omitempty"`
	Firmware     string         `json:"firmware,omitempty"`
	Version      string         `json:"version,omitempty"`
	File         *Content       `json:"file,omitempty"`
	Held         string         `json:"held,omitempty"`
	ReadsWith    string         `json:"reads-with,omitempty"`
	ReadOn       Date           `json:"read-on,omitempty"`
	ReadBy       Ref            `json:"read-by,omitempty" refers:"person"`
	LoadedOn     Date           `json:"loaded-on,omitempty"`
	LoadedBy     Ref            `json:"loaded-by,omitempty" refers:"person"`
	Session      Ref            `json:"session,omitempty" refers:"session"`
	Replaces     Ref            `json:"replaces,omitempty" refers:"setting"`
	Values       []SettingValue `json:"values,omitempty"`
	FaultsBefore []string       `json:"faults-before,omitempty"`
	Codes        []Ref          `json:"codes,omitempty" refers:"code"`
	Papers       []Ref          `json:"papers,omitempty" refers:"paper"`
	Note         string         `json:"note,omitempty"`
}

// SettingValue is one figure of a setting.
type SettingValue struct {
	Of    string `json:"of,omitempty"`
	Value string `json:"value,omitempty"`
	Note  string `json:"note,omitempty"`
}

// Code is codes/<slug>.json: where a key, code or password of the car is held, and by whom. The secret itself never
// stands in a ledger.
type Code struct {
	Head
	Sort       string    `json:"sort,omitempty"`
	Opens      string    `json:"opens,omitempty"`
	Units      []Ref     `json:"units,omitempty" refers:"part"`
	Held       []Holding `json:"held,omitempty"`
	HandedOver Ref       `json:"handed-over,omitempty" refers:"transfer"`
	IfLost     string    `json:"if-lost,omitempty"`
	Papers     []Ref     `json:"papers,omitempty" refers:"paper"`
	Note       string    `json:"note,omitempty"`
}

// Holding is who holds a key, code or password, and where.
type Holding struct {
	Sort      string `json:"sort,omitempty"`
	Person    Ref    `json:"person,omitempty" refers:"person"`
	Where     string `json:"where,omitempty"`
	Copies    int64  `json:"copies,omitzero"`
	CheckedOn Date   `json:"checked-on,omitempty"`
	CheckedBy Ref    `json:"checked-by,omitempty" refers:"person"`
	Note      string `json:"note,omitempty"`
}
