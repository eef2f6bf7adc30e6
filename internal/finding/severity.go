package finding

import "fmt"

// Severity says how much a finding matters. The smaller value is the graver
// one, and the zero value is Error, so that a forgotten severity errs towards
// being noticed.
type Severity int

const (
	// Error is a record that contradicts its schema, its path or another record.
	Error Severity = iota
	// Warning is a record that is allowed and probably not what was meant.
	Warning
	// Note is worth knowing and asks for nothing.
	Note
)

var severityNames = [...]string{Error: "error", Warning: "warning", Note: "note"}

// String returns "error", "warning" or "note".
func (s Severity) String() string {
	if s < 0 || int(s) >= len(severityNames) {
		return fmt.Sprintf("severity %d", int(s))
	}
	return severityNames[s]
}

// MarshalText writes the name that String gives; an unknown severity is an error.
func (s Severity) MarshalText() ([]byte, error) {
	if s < 0 || int(s) >= len(severityNames) {
		return nil, fmt.Errorf("%s is none of error, warning, note", s)
	}
	return []byte(severityNames[s]), nil
}

// UnmarshalText reads exactly the names that MarshalText writes.
func (s *Severity) UnmarshalText(text []byte) error {
	for value, name := range severityNames {
		if name == string(text) {
			*s = Severity(value)
			return nil
		}
	}
	return fmt.Errorf("severity %q is none of error, warning, note", text)
}
