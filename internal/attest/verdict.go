package attest

import (
	"errors"
	"time"
)

// Standing is what a signature is worth against a list of allowed signers.
type Standing int

// The standings. Only Good is good; the zero value is Unsigned, so that what was
// never judged does not count.
const (
	Unsigned        Standing = iota // there is no signature
	Bad                             // the signature does not fit, or cannot be read
	UnknownKey                      // it fits, and the list does not hold the key for that name
	NotForPurpose                   // the list holds the key for other purposes only
	OutsideValidity                 // the list holds the key for another time
	Revoked                         // the key was revoked
	Good                            // it fits, and the list lets the key in
)

// String gives the standing in words.
func (s Standing) String() string {
	switch s {
	case Unsigned:
		return "unsigned"
	case Bad:
		return "bad signature"
	case UnknownKey:
		return "unknown key"
	case NotForPurpose:
		return "key not allowed for this purpose"
	case OutsideValidity:
		return "key outside its validity"
	case Revoked:
		return "revoked key"
	case Good:
		return "good signature"
	}
	return "unknown standing"
}

// Verdict is the judgement of one signature.
type Verdict struct {
	Standing Standing
	// Signature is what it says of itself: facts, unless Standing is Bad.
	Signature Signature
	// Signer is the line of the list that decided: that lets the key in, or whose
	// limits it missed. It is empty for Unsigned, Bad, UnknownKey and Revoked.
	Signer AllowedSigner
	// Fault and Detail say what is wrong with a Bad one.
	Fault  Fault
	Detail string
}

// Judge verifies a signature over payload and looks its key up. Principal is the
// name that must have signed, "" for any on the list. At is the instant for
// which validity counts; for a commit stock Git takes the committer's date,
// which whoever commits chooses. An empty armored signature is Unsigned.
//
// The outcome is that of "ssh-keygen -Y verify -O verify-time" with the same
// list, purpose, name, instant and revoked keys.
func (a AllowedSigners) Judge(payload, armored []byte, ns Namespace, principal string, at time.Time, revoked KeyList) Verdict {
	if len(armored) == 0 {
		return Verdict{Standing: Unsigned}
	}
	facts, err := Verify(payload, armored, ns)
	if err != nil {
		v := Verdict{Standing: Bad, Signature: facts, Detail: err.Error()}
		var fault *SignatureError
		if errors.As(err, &fault) {
			v.Fault, v.Detail = fault.Fault, fault.Detail
		}
		return v
	}
	if revoked.Holds(facts.Key) {
		return Verdict{Standing: Revoked, Signature: facts}
	}
	standing, signer := a.Look(facts.Key, principal, ns, at)
	return Verdict{Standing: standing, Signature: facts, Signer: signer}
}

// Look looks a key up: may it sign for that purpose in that name ("" for any) at
// that instant? One line that lets it in is enough; otherwise the line that came
// nearest is given: right purpose and wrong time before wrong purpose.
func (a AllowedSigners) Look(key PublicKey, principal string, ns Namespace, at time.Time) (Standing, AllowedSigner) {
	best, nearest := UnknownKey, AllowedSigner{}
	for _, i := range a.byKey[key] {
		e := a.entries[i]
		if principal != "" && !fits(e.Principals, principal) {
			continue
		}
		standing := e.standing(ns, at)
		if standing == Good {
			return Good, e
		}
		if standing > best {
			best, nearest = standing, e
		}
	}
	return best, nearest
}

// standing judges one line that holds the key.
func (e AllowedSigner) standing(ns Namespace, at time.Time) Standing {
	at = at.Truncate(time.Second)
	switch {
	case len(e.Namespaces) > 0 && !fits(e.Namespaces, string(ns)):
		return NotForPurpose
	case !e.After.IsZero() && at.Before(e.After), !e.Before.IsZero() && at.After(e.Before):
		return OutsideValidity
	}
	return Good
}
