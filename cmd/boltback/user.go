package main

import (
	"errors"
	"fmt"
	"io/fs"
	"net"
	"os"
	"path/filepath"

	"golang.org/x/term"

	"boltback/internal/app"
	"boltback/internal/attest"
	"boltback/internal/canon"
	"boltback/internal/record"
)

// user is what the file config.json in the user's own configuration folder says. A repository never says it.
type user struct {
	// Person is the name of the person's record.
	Person record.Ref `json:"person,omitempty"`
	// Key is the private key file that signs commits; the agent signs where it is a public key's file.
	Key string `json:"key,omitempty"`
	// Pins are fingerprints of keys by a ledger's first commit or by a car's handle.
	Pins map[string][]string `json:"pins,omitempty"`
	// Authority is the address of a time-stamping authority; Authorities is a file with the certificates (PEM) of those that
	// are trusted.
	Authority   string `json:"authority,omitempty"`
	Authorities string `json:"authorities,omitempty"`
}

// readUser reads the configuration; BOLTBACK_PERSON goes before its person.
func readUser() (user, error) {
	var u user
	folder, err := os.UserConfigDir()
	if err == nil {
		path := filepath.Join(folder, "boltback", "config.json")
		text, err := os.ReadFile(path)
		switch {
		case errors.Is(err, fs.ErrNotExist):
		case err != nil:
			return u, err
		default:
			doc, err := canon.Parse(text, canon.DefaultLimits())
			if err == nil {
				err = canon.Unmarshal(doc, &u)
			}
			if err != nil {
				return u, fmt.Errorf("%s:%w", path, err)
			}
		}
	}
	if p := os.Getenv("BOLTBACK_PERSON"); p != "" {
		u.Person = record.Ref(p)
	}
	return u, nil
}

func identity() (app.Identity, error) {
	u, err := readUser()
	who := app.Identity{Person: u.Person, Pins: u.Pins, Authority: u.Authority}
	if err != nil || u.Authorities == "" {
		return who, err
	}
	text, err := os.ReadFile(u.Authorities)
	if err == nil {
		who.Roots, err = attest.ParseRoots(text)
	}
	if err != nil {
		err = fmt.Errorf("the trusted authorities: %s: %w", u.Authorities, err)
	}
	return who, err
}

// commitSigner gives what signs commits with the configured key; nil where none is configured, and commits are unsigned.
func commitSigner() (func(payload []byte) (string, error), error) {
	u, err := readUser()
	if err != nil || u.Key == "" {
		return nil, err
	}
	return func(payload []byte) (string, error) {
		signer, err := signerFor(u.Key)
		if err != nil {
			return "", fmt.Errorf("%s: %w", u.Key, err)
		}
		armored, err := attest.Sign(signer, attest.Commits, payload)
		return string(armored), err
	}, nil
}

// configuredSigner opens the key that the user's own configuration names.
func configuredSigner() (attest.Signer, error) {
	u, err := readUser()
	if err != nil {
		return attest.Signer{}, err
	}
	if u.Key == "" {
		return attest.Signer{}, app.ErrNoKey
	}
	signer, err := signerFor(u.Key)
	if err != nil {
		return attest.Signer{}, fmt.Errorf("%s: %w", u.Key, err)
	}
	return signer, nil
}

// signerFor opens a private key file, or finds the key of a public key's file in the agent.
func signerFor(path string) (attest.Signer, error) {
	text, err := os.ReadFile(path)
	if err != nil {
		return attest.Signer{}, err
	}
	if public, err := attest.ParsePublicKey(string(text)); err == nil {
		return agentSigner(public)
	}
	return attest.SignerFromKey(text, askPassphrase())
}

func agentSigner(public attest.PublicKey) (attest.Signer, error) {
	socket, err := net.Dial("unix", os.Getenv("SSH_AUTH_SOCK"))
	if err != nil {
		return attest.Signer{}, fmt.Errorf("no agent answers: %w", err)
	}
	signers, err := attest.AgentSigners(socket)
	if err != nil {
		return attest.Signer{}, err
	}
	for _, s := range signers {
		if s.Public() == public {
			return s, nil
		}
	}
	return attest.Signer{}, errors.New("the agent does not hold this key: ssh-add it")
}

// askPassphrase asks on a terminal, and nowhere else.
func askPassphrase() func() ([]byte, error) {
	if !term.IsTerminal(int(os.Stdin.Fd())) {
		return nil
	}
	return func() ([]byte, error) {
		fmt.Fprint(os.Stderr, "passphrase of the key: ")
		defer fmt.Fprintln(os.Stderr)
		return term.ReadPassword(int(os.Stdin.Fd()))
	}
}
