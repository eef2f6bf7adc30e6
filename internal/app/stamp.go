package app

import (
	"context"
	"crypto/sha256"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"time"

	"boltback/internal/attest"
	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/sheet"
	"boltback/internal/signoff"
)

// StampRequest says how a stamp is to be made.
type StampRequest struct {
	// Authority is the address of a time-stamping authority, or a file with its answer; "" is the one of the user's own
	// configuration, and NoAuthority asks nobody.
	Authority   string
	NoAuthority bool
	// Roots is a file with the certificates of trusted authorities; "" leaves them to the user's own configuration.
	Roots string
	// Request is a file to which the request for an authority is written, and then no stamp is made; "" for none.
	Request string
}

// Stamping is what stamp did. Tag is "" where only a request was written.
type Stamping struct {
	Tag    string
	Digest string
	Token  *attest.Stamp
	Notes  []string
}

// Stamp makes a signed tag over the digests of all files of the last commit. An answer of an authority is checked whole before
// anything is written: one that would show nothing is refused, and nothing is tagged.
func (d *Desk) Stamp(ctx context.Context, want StampRequest) (Stamping, error) {
	_, r, err := d.env.Verify(d.car, VerifyRequest{On: d.today, Roots: want.Roots})
	if err != nil {
		return Stamping{}, err
	}
	signer, err := d.env.Signer()
	if errors.Is(err, ErrNoKey) {
		return Stamping{}, &Usage{Message: err.Error(), Hint: `put "key": "/home/you/.ssh/id_ed25519" into your configuration: a stamp is a signed tag`}
	} else if err != nil {
		return Stamping{}, fmt.Errorf("the key to sign with: %w", err)
	}
	if _, err := d.ownKey(r, signer.Public()); err != nil {
		return Stamping{}, err
	}
	m, err := d.manifest(r)
	if err != nil {
		return Stamping{}, err
	}
	if want.Request != "" {
		return d.writeRequest(m, want.Request)
	}
	answer, token, err := d.token(ctx, m, want)
	if err != nil {
		return Stamping{}, err
	}
	return d.tag(ctx, r, m, answer, token, signer)
}

// manifest is that of the last commit, behind the last stamp.
func (d *Desk) manifest(r *signoff.Report) (signoff.Manifest, error) {
	if len(r.OddTags) > 0 {
		return signoff.Manifest{}, fmt.Errorf("a tag calls itself a stamp and is none, so the chain cannot go on: %s", r.OddTags[0].Fault)
	}
	step, _ := r.Trust.Step(r.Head)
	files, err := d.repo.Tree(r.Head)
	if err != nil {
		return signoff.Manifest{}, err
	}
	var last signoff.Link
	if n := len(r.Stamps); n > 0 {
		last = signoff.Link{Tag: r.Stamps[n-1].Tag, Digest: r.Stamps[n-1].Digest}
	}
	return signoff.NewManifest(files, r.Trust.First(), r.Head, step.Tree, last)
}

// nonce is fresh for each request.
func (e Env) nonce() []byte {
	b := make([]byte, 16)
	e.Random(b)
	b[0] |= 1 // a number without leading zero bytes, and never zero
	return b
}

func (d *Desk) writeRequest(m signoff.Manifest, name string) (Stamping, error) {
	request, err := attest.StampRequest(sha256.Sum256(m.Bytes()), d.env.nonce())
	if err != nil {
		return Stamping{}, err
	}
	path, err := d.env.Files.Absolute(name)
	if err != nil {
		return Stamping{}, err
	}
	if err := d.env.Files.Create(path, request); err != nil {
		return Stamping{}, fmt.Errorf("write the request: %w", err)
	}
	return Stamping{Digest: string(m.Digest()), Notes: []string{"nothing is stamped yet: take the request to an authority before anything else is committed or stamped, then: boltback stamp --tsa ANSWER"}}, nil
}

// token gets an authority's answer over a manifest and checks it; none is asked where none is named.
func (d *Desk) token(ctx context.Context, m signoff.Manifest, want StampRequest) ([]byte, *attest.Stamp, error) {
	roots, configured, err := d.env.authorities(want.Roots)
	if err != nil {
		return nil, nil, err
	}
	from := want.Authority
	if from == "" {
		from = configured
	}
	if want.NoAuthority || from == "" {
		return nil, nil, nil
	}
	if len(roots.Fingerprints()) == 0 {
		return nil, nil, &Usage{Message: "you trust no time-stamping authority, so no answer of one could be checked", Hint: `--authorities CERTIFICATES.pem, or "authorities": "/path/certificates.pem" in your configuration; get its root certificate by another way than the answer`}
	}
	sum := sha256.Sum256(m.Bytes())
	answer, nonce, err := d.answer(ctx, from, sum)
	if err != nil {
		return nil, nil, err
	}
	token, err := attest.VerifyStamp(answer, sum, nonce, roots)
	if err != nil {
		return nil, nil, fmt.Errorf("nothing was stamped: the answer of %s: %w", from, err)
	}
	return answer, &token, nil
}

// answer asks an address, or reads a file. What was asked for with another nonce is known by the digest alone.
func (d *Desk) answer(ctx context.Context, from string, sum [32]byte) (answer, nonce []byte, err error) {
	if !strings.Contains(from, "://") {
		answer, err = d.env.readUpTo(from, 1<<20)
		return answer, nil, err
	}
	nonce = d.env.nonce()
	request, err := attest.StampRequest(sum, nonce)
	if err != nil {
		return nil, nil, err
	}
	if answer, err = d.env.AskAuthority(ctx, from, request); err != nil {
		return nil, nil, fmt.Errorf("nothing was stamped: %s: %w", from, err)
	}
	return answer, nonce, nil
}

// tag signs and names the stamp: stamp-2026-03-02, and a number behind it where the day has one already.
func (d *Desk) tag(ctx context.Context, r *signoff.Report, m signoff.Manifest, answer []byte, token *attest.Stamp, signer attest.Signer) (Stamping, error) {
	done := Stamping{Digest: string(signoff.Stamped{Manifest: m, Answer: answer}.Digest()), Token: token}
	if n := len(r.Condition.Unsaved); n > 0 {
		done.Notes = append(done.Notes, fmt.Sprintf("files that are not as the last commit has them, which no stamp covers: %d", n))
	}
	if token == nil {
		done.Notes = append(done.Notes, "no outside clock was asked: the stamp shows no more than your own signature; --tsa asks one, and --print puts it on paper for somebody to keep")
	}
	name := "stamp-" + d.today.String()
	for n := 2; ; n++ {
		err := d.repo.Tag(ctx, Tagging{
			Name: name, Commit: m.Commit, Message: string(m.Message(answer)), Tagger: d.author(), When: d.env.Now(),
			Sign: func(payload []byte) (string, error) {
				armored, err := attest.Sign(signer, attest.Commits, payload)
				return string(armored), err
			},
		})
		if err == nil {
			done.Tag = name
			return done, nil
		}
		if !errors.Is(err, fs.ErrExist) || n > 1000 {
			return Stamping{}, fmt.Errorf("%s: %w", d.car.Name, err)
		}
		name = fmt.Sprintf("stamp-%s-%d", d.today, n)
	}
}

// authorities are the certificates that the reader trusts, and the address of the user's own authority.
func (e Env) authorities(file string) (attest.Roots, string, error) {
	who, err := e.Identity()
	if err != nil {
		return attest.Roots{}, "", fmt.Errorf("your configuration: %w", err)
	}
	if file == "" {
		return who.Roots, who.Authority, nil
	}
	text, err := e.readUpTo(file, 1<<20)
	if err != nil {
		return attest.Roots{}, "", err
	}
	roots, err := attest.ParseRoots(text)
	if err != nil {
		return roots, "", &Usage{Message: fmt.Sprintf("--authorities %s: %v", file, err), Hint: "the root certificates in PEM, as openssl takes them with -CAfile"}
	}
	return roots, who.Authority, nil
}

// judgeStamps holds the stamps of a repository against its history.
func (e Env) judgeStamps(r *signoff.Report, repo Repository, file string) error {
	roots, _, err := e.authorities(file)
	if err != nil {
		return err
	}
	return readStamps(r, repo, roots)
}

// readStamps reads the stamps of a repository and judges them by these roots.
func readStamps(r *signoff.Report, repo Repository, roots attest.Roots) error {
	tags, err := repo.Stamps()
	if err != nil {
		return fmt.Errorf("the stamps: %w", err)
	}
	r.Roots = len(roots.Fingerprints())
	var stamps []signoff.Stamped
	stamps, r.OddTags = signoff.ReadStamps(tags)
	r.Stamps, err = r.Trust.CheckStamps(r.Head, stamps, repo.Tree, roots)
	return err
}

// StampSaved gives the last stamp of a car as an outsider can keep it: the whole tag, as "git cat-file tag NAME" prints it.
func (e Env) StampSaved(car Car) ([]byte, signoff.StampVerdict, error) {
	_, r, err := e.lastStamp(car, "")
	if err != nil {
		return nil, signoff.StampVerdict{}, err
	}
	repo, err := e.repository(car)
	if err != nil {
		return nil, signoff.StampVerdict{}, err
	}
	tags, err := repo.Stamps()
	if err != nil {
		return nil, signoff.StampVerdict{}, err
	}
	last := r.Stamps[len(r.Stamps)-1]
	i := slices.IndexFunc(tags, func(t signoff.Tag) bool { return t.Name == last.Tag })
	if i < 0 {
		return nil, last, fmt.Errorf("%s: the stamp %s went away meanwhile", car.Name, last.Tag)
	}
	return slices.Concat(tags[i].Payload, tags[i].Signature), last, nil
}

// lastStamp verifies a car, which must have a stamp, and whose last one must be what it says.
func (e Env) lastStamp(car Car, roots string) (*ledger.Snapshot, *signoff.Report, error) {
	s, r, err := e.Verify(car, VerifyRequest{On: edtf.DayOf(e.Now().In(e.Zone)), Roots: roots})
	if err != nil {
		return nil, nil, err
	}
	if len(r.Stamps) == 0 {
		return nil, nil, &Usage{Message: car.Name + " has no stamp yet", Hint: "boltback stamp makes one"}
	}
	if last := r.Stamps[len(r.Stamps)-1]; last.Faulty() {
		return nil, nil, &Usage{Message: "the last stamp, " + last.Tag + ", is not what it says, and nobody should keep it", Hint: "boltback verify says what is wrong with it"}
	}
	return s, r, nil
}

// StampPage prints the last stamp for somebody outside to keep.
func (e Env) StampPage(car Car, paper, roots string) (Printed, error) {
	s, r, err := e.lastStamp(car, roots)
	if err != nil {
		return Printed{}, err
	}
	habits, err := e.habits(car.Yard)
	if err != nil {
		return Printed{}, err
	}
	v := r.Stamps[len(r.Stamps)-1]
	order := sheet.StampPage{
		Car: car.Name, Name: sheet.HeadFrom(s, car.Name).Car, Tag: v.Tag, Digest: string(v.Digest), Commit: v.Commit, Ledger: r.Trust.First(),
		Key: v.Signature.Key.Fingerprint(), Clock: "none was asked", Workshop: habits.Name,
	}
	if v.Stamped {
		order.Clock = v.Token.Time.Format(time.RFC3339) + " by " + v.Token.Authority
	} else if v.NobodyTrusted {
		order.Clock = "claims " + v.Token.Time.Format(time.RFC3339) + "; not checked"
	}
	if order.Paper, err = paperFor(paper, habits); err != nil {
		return Printed{}, err
	}
	p, err := sheet.NewStamp(order)
	if err != nil {
		return Printed{}, sheetRefused(err)
	}
	return printed(p, nil)
}
