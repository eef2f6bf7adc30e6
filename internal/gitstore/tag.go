package gitstore

import (
	"context"
	"errors"
	"fmt"
	"io/fs"
	"slices"
	"strings"
	"unicode/utf8"

	"boltback/internal/atomicfile"

	"github.com/go-git/go-git/v5/plumbing"
)

// Tag is an annotated tag as it lies in the repository.
type Tag struct {
	ID      Hash
	Name    string // as the tag itself says, without refs/tags/
	Target  Hash
	Kind    string // what the target is: commit, tree, blob or tag
	Tagger  Person
	Message string // without the signature
	// Signature is the armored signature, empty if the tag has none.
	Signature string
	// Payload is what the signature covers: the object's own bytes before it.
	Payload []byte
}

// TagRef is a name below refs/tags and the object that it stands for: an
// annotated tag, or a commit for a light one.
type TagRef struct {
	Name string
	ID   Hash
}

// Tags lists the tags by name.
func (r *Repo) Tags() ([]TagRef, error) {
	names, err := r.namesBelow("refs/tags/")
	if err != nil {
		return nil, err
	}
	list := make([]TagRef, 0, len(names))
	for _, name := range names {
		_, id, err := r.resolve(name)
		if err != nil {
			return nil, fmt.Errorf("tag %s: %w", strings.TrimPrefix(name, "refs/tags/"), err)
		}
		list = append(list, TagRef{strings.TrimPrefix(name, "refs/tags/"), id})
	}
	return list, nil
}

// ReadTag reads an annotated tag and computes its id anew from its bytes.
func (r *Repo) ReadTag(id Hash) (*Tag, error) {
	data, err := r.objects.readAs(plumbing.TagObject, id)
	if err != nil {
		return nil, err
	}
	t, err := parseTag(data)
	if err != nil {
		return nil, fmt.Errorf("tag %s: %w", id, err)
	}
	t.ID = id
	return t, nil
}

// parseTag takes the raw bytes apart. The signature begins at the last line
// that begins one.
func parseTag(data []byte) (*Tag, error) {
	t := &Tag{}
	text := string(data)
	end := len(text)
	for _, begin := range []string{"-----BEGIN SSH SIGNATURE-----", "-----BEGIN PGP SIGNATURE-----", "-----BEGIN PGP MESSAGE-----", "-----BEGIN SIGNED MESSAGE-----"} {
		if i := strings.LastIndex(text, "\n"+begin); i >= 0 && (end == len(text) || i+1 > end) {
			end = i + 1
		}
	}
	t.Payload, t.Signature = data[:end:end], text[end:]
	head, message, ok := strings.Cut(text[:end], "\n\n")
	if !ok {
		return nil, errors.New("it has no message")
	}
	t.Message = message
	for line := range strings.SplitSeq(head, "\n") {
		key, value, _ := strings.Cut(line, " ")
		var err error
		switch key {
		case "object":
			t.Target, err = ParseHash(value)
		case "type":
			t.Kind = value
		case "tag":
			t.Name = value
		case "tagger":
			t.Tagger, err = parsePerson(value)
		}
		if err != nil {
			return nil, err
		}
	}
	if t.Target.IsZero() {
		return nil, errors.New("it names no object")
	}
	return t, nil
}

// TagRequest asks for an annotated tag on a commit.
type TagRequest struct {
	Name    string // without refs/tags/
	Target  Hash
	Tagger  Person
	Message string
	// Signer returns the armored signature over the payload; nil makes an
	// unsigned tag.
	Signer func(payload []byte) (armored string, err error)
}

// CreateTag stores an annotated tag and gives it its name, under Git's lock on
// that name. A name that is taken is fs.ErrExist: tags do not move.
func (r *Repo) CreateTag(ctx context.Context, req TagRequest) (Hash, error) {
	ref := "refs/tags/" + req.Name
	if r.Traits.Foreign {
		return Hash{}, ErrForeignOwner
	}
	if err := errors.Join(checkRefName(ref), CheckPath(req.Name), req.Tagger.check("tagger")); err != nil {
		return Hash{}, err
	}
	if strings.TrimSpace(req.Message) == "" || !utf8.ValidString(req.Message) || strings.ContainsRune(req.Message, 0) {
		return Hash{}, errors.New("the tag's message must be some text in UTF-8")
	}
	if _, err := r.ReadCommit(req.Target); err != nil {
		return Hash{}, err
	}
	if err := r.mendLeftovers(); err != nil {
		return Hash{}, err
	}
	raw, err := req.encode()
	if err != nil {
		return Hash{}, err
	}
	tag := newObject(plumbing.TagObject, raw)
	l, err := r.lock(ctx, r.refPath(ref)+".lock")
	if err != nil {
		return Hash{}, err
	}
	// A lock that cannot be removed is removed by the next run.
	defer func() { _ = l.release() }()
	if _, _, err := r.resolve(ref); !errors.Is(err, fs.ErrNotExist) {
		return Hash{}, errors.Join(err, &fs.PathError{Op: "tag", Path: req.Name, Err: fs.ErrExist})
	}
	if err := r.objects.write(r.writer(), []object{tag}); err != nil {
		return Hash{}, err
	}
	return tag.id, r.nameTag(ref, tag.id)
}

func (r *Repo) nameTag(ref string, id Hash) error {
	p, err := r.pendingRef(ref, id)
	if err != nil {
		return err
	}
	err = p.Install()
	if errors.Is(err, atomicfile.ErrNotRegular) {
		return fmt.Errorf("%s: %w", ref, err)
	}
	return err
}

func (q TagRequest) encode() ([]byte, error) {
	message := strings.TrimRight(strings.TrimLeft(q.Message, "\n"), "\n")
	payload := fmt.Appendf(nil, "object %s\ntype commit\ntag %s\ntagger %s\n\n%s\n", q.Target, q.Name, q.Tagger.encode(), message)
	if t, err := parseTag(payload); err != nil || t.Signature != "" {
		return nil, errors.New("the tag's message has a line that would be taken for a signature")
	}
	if q.Signer == nil {
		return payload, nil
	}
	armored, err := q.Signer(slices.Clone(payload))
	if err != nil {
		return nil, fmt.Errorf("sign the tag: %w", err)
	}
	raw := append(payload, strings.TrimRight(armored, "\n")+"\n"...)
	if t, err := parseTag(raw); err != nil || len(t.Payload) != len(payload) {
		return nil, errors.New("sign the tag: what came back is not an armored signature")
	}
	return raw, nil
}
