package attest

import (
	"bytes"
	"crypto/ed25519"
	"crypto/sha256"
	"crypto/x509"
	"errors"
	"fmt"
	"io"

	"golang.org/x/crypto/ssh"
	"golang.org/x/crypto/ssh/agent"
)

// Signer is a private key that can be asked to sign, in a file or in an agent.
// It shows nothing of the private half, also not when it is printed. The zero
// value signs nothing.
type Signer struct {
	inner  ssh.Signer
	public PublicKey
}

// ErrNoPassphrase says that a key file is locked and that nobody can be asked.
var ErrNoPassphrase = errors.New("the key is locked with a passphrase: add it to the agent with ssh-add, or sign at a terminal")

// SignerFromKey reads a private key file, in the form of OpenSSH or PEM.
// Passphrase is called once if the file is locked; it may be nil, which gives
// ErrNoPassphrase. What it returns is overwritten after use.
func SignerFromKey(file []byte, passphrase func() ([]byte, error)) (Signer, error) {
	private, err := ssh.ParsePrivateKey(file)
	var locked *ssh.PassphraseMissingError
	if errors.As(err, &locked) {
		if passphrase == nil {
			return Signer{}, ErrNoPassphrase
		}
		phrase, err := passphrase()
		if err != nil {
			return Signer{}, err
		}
		defer clear(phrase)
		private, err = ssh.ParsePrivateKeyWithPassphrase(file, phrase)
		if errors.Is(err, x509.IncorrectPasswordError) {
			return Signer{}, errors.New("the passphrase does not open the key")
		}
		return newSigner(private, err, file)
	}
	return newSigner(private, err, file)
}

// newSigner finishes SignerFromKey. The message of the library is not passed on,
// because it could quote what it read.
func newSigner(private ssh.Signer, err error, file []byte) (Signer, error) {
	if err != nil {
		if _, err := ParsePublicKey(string(bytes.TrimRight(file, "\n"))); err == nil {
			return Signer{}, errors.New("this is a public key: its private half signs, from its own file or through the agent")
		}
		return Signer{}, errors.New("no private key that can be read: an OpenSSH or PEM file of an Ed25519, ECDSA or RSA key is wanted; a security key signs through the agent")
	}
	return wrap(private)
}

// wrap holds a signer to the rules for keys.
func wrap(private ssh.Signer) (Signer, error) {
	public, err := keyFromWire(private.PublicKey().Marshal())
	if err != nil {
		return Signer{}, err
	}
	return Signer{private, public}, nil
}

// AgentSigners lists the keys that an agent at the other end of a connection
// (the protocol of ssh-agent) can sign with, in its order. Keys that may not
// sign are left out. The connection stays in use while the signers are.
func AgentSigners(connection io.ReadWriter) ([]Signer, error) {
	held, err := agent.NewClient(connection).Signers()
	if err != nil {
		return nil, fmt.Errorf("asking the agent for its keys: %w", err)
	}
	var signers []Signer
	for _, private := range held {
		if s, err := wrap(private); err == nil {
			signers = append(signers, s)
		}
	}
	return signers, nil
}

// DemoSigner derives an Ed25519 key from a seed that everybody knows, so that
// the sample yard is the same bytes on every machine. Anybody can sign with it:
// as evidence it is worthless.
func DemoSigner(seed, name string) Signer {
	sum := sha256.Sum256([]byte("boltback demo key\x00" + seed + "\x00" + name))
	private, err := ssh.NewSignerFromKey(ed25519.NewKeyFromSeed(sum[:]))
	if err != nil {
		return Signer{} // an Ed25519 key of the right length is always taken
	}
	public := PublicKey{private.PublicKey().Type(), string(private.PublicKey().Marshal())}
	return Signer{private, public}
}

// sign signs a message as it is. An RSA key signs over SHA-512, as stock tools
// have it; no randomness is handed in, so what needs none takes none.
func (s Signer) sign(message []byte) (*ssh.Signature, error) {
	if s.public.algorithm != ssh.KeyAlgoRSA {
		return s.inner.Sign(nil, message)
	}
	choosing, ok := s.inner.(ssh.AlgorithmSigner)
	if !ok {
		return nil, errors.New("the key signs over SHA-1 alone, which binds nobody")
	}
	return choosing.SignWithAlgorithm(nil, message, ssh.KeyAlgoRSASHA512)
}

// Public is the public half.
func (s Signer) Public() PublicKey { return s.public }

// String names the key by its fingerprint.
func (s Signer) String() string { return s.public.Fingerprint() }

// Format writes String whatever the verb, so that no way of printing shows the
// private half.
func (s Signer) Format(f fmt.State, _ rune) { _, _ = io.WriteString(f, s.String()) }
