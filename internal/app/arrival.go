package app

import (
	"bytes"
	"context"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"path"
	"path/filepath"
	"strings"

	"boltback/internal/attest"
	"boltback/internal/bag"
	"boltback/internal/edtf"
	"boltback/internal/record"
)

// arrival is a bag that was checked, on its way into a yard.
type arrival struct {
	env     Env
	source  bag.Source
	yard    string
	request ReceiveRequest
	report  *bag.Report
	head    string // the commit that the bag says its history ends at
	ledger  string // the ledger's id, "" where it has none
	// handedOver says that the records are marked as handed over.
	handedOver bool
	laid       []string // files that were not there before
}

// Bounds on what a stranger's bag may ask of a receipt that holds one of its files in memory.
const (
	largestLedger   = 1 << 20
	largestCheckout = 256 << 20 // as the history's own objects
)

// look reads what the payload says of itself: that a history is in it, and which ledger's.
func (in *arrival) look() error {
	history, ledger := false, []byte(nil)
	err := bag.Payload(in.source, func(name string, size int64, open bag.Open) (err error) {
		switch name {
		case "history.bundle":
			history = true
		case "car/ledger.json":
			ledger, err = whole(size, largestLedger, open)
		}
		if err == nil && history && ledger != nil {
			return fs.SkipAll
		}
		return err
	})
	if err != nil {
		return fmt.Errorf("the records in the bag: %w", err)
	}
	if !history || ledger == nil {
		return &Usage{Message: in.request.Bag + " is a bag without data/history.bundle or data/car/ledger.json in it", Hint: "only the bags that boltback handover makes are received"}
	}
	r, err := record.Decode("ledger.json", ledger)
	if err != nil {
		return &Doubtful{fmt.Errorf("data/car/ledger.json: %w", err)}
	}
	if head, ok := r.Body.(*record.Ledger); ok {
		in.ledger, in.handedOver = head.ID, head.HandedOver != nil
	}
	if said := in.request; !in.handedOver && (said.Distance != "" || said.How != "" || said.By != "") {
		return &Usage{Message: said.Bag + " is a copy of the records and hands nothing over, so there is no receipt to write", Hint: "receive it without --distance, --how and --by"}
	}
	return nil
}

// whole reads a small file of the payload.
func whole(size, most int64, open bag.Open) ([]byte, error) {
	if size > most {
		return nil, &Doubtful{fmt.Errorf("a file has %d bytes where %d at most are read", size, most)}
	}
	r, err := open()
	if err != nil {
		return nil, err
	}
	content, err := io.ReadAll(io.LimitReader(r, size+1))
	return content, errors.Join(err, r.Close())
}

// layDown copies originals and disclosures from the bag in one walk, as streams and read-only.
func (in *arrival) layDown(ctx context.Context, car Car) error {
	return bag.Payload(in.source, func(name string, _ int64, open bag.Open) error {
		kind, file, below := strings.Cut(name, "/")
		switch {
		case ctx.Err() != nil:
			return ctx.Err()
		case below && kind == "originals":
			return in.lay(filepath.Join(in.yard, "originals"), kind, file, 0o444, open)
		case below && kind == "private":
			return in.lay(car.privateFolder(), kind, file, 0o400, open)
		}
		return nil
	})
}

// lay puts one file, which is named by its SHA-256, into a folder, or finds that it is there. One whose bytes are others is
// refused, there or here.
func (in *arrival) lay(to, kind, file string, perm fs.FileMode, open bag.Open) (err error) {
	digest, _, _ := strings.Cut(file, ".")
	if !record.IsDigest(digest) || len(file) > 80 || strings.Contains(file, "/") {
		return &Doubtful{fmt.Errorf("data/%s/%s is not named by a SHA-256", kind, file)}
	}
	if err := in.env.Files.MakeFolder(to); err != nil {
		return err
	}
	if in.env.has(to, file) {
		return copied(in.env.Files.Folder(to), file, record.Digest(digest))(io.Discard)
	}
	r, err := open()
	if err != nil {
		return err
	}
	defer func() { err = errors.Join(err, r.Close()) }()
	at := filepath.Join(to, file)
	err = in.env.Files.Assemble(at, perm, func(w io.Writer) error { return held(w, r, kind+"/"+file, record.Digest(digest)) }, nil)
	if err == nil {
		in.laid = append(in.laid, at)
	}
	return err
}

// takeBack removes what was laid down for a car that did not come.
func (in *arrival) takeBack() error {
	var errs []error
	for _, file := range in.laid {
		errs = append(errs, in.env.Files.Remove(file))
	}
	return errors.Join(errs...)
}

// build makes the car out of sight: its repository out of the bundle, held against the plain files, and the receipt as its
// next commit, where the records are handed over.
func (in *arrival) build(ctx context.Context, car Car, folder string) (done Received, repo Repository, err error) {
	if repo, err = in.unbundle(ctx, folder); err != nil {
		return done, nil, err
	}
	head, err := repo.Head()
	if err != nil {
		return done, nil, err
	}
	if head != in.head {
		return done, nil, &Doubtful{fmt.Errorf("the history ends at %s, and the bag says %q", head, in.head)}
	}
	committed, err := repo.Files(head)
	if err != nil {
		return done, nil, err
	}
	if err := in.sameFiles(ctx, committed); err != nil {
		return done, nil, err
	}
	if done.Doubts, err = in.sameReadme(ctx, repo, committed); err != nil {
		return done, nil, err
	}
	car.Path = folder
	if !in.handedOver {
		done.Copy = true
		return done, repo, nil
	}
	done.Written, err = in.transfer(ctx, car)
	if err == nil {
		done.Counts, done.Standing, err = in.env.counts(car, in.request.On)
	}
	return done, repo, err
}

// counts says whether the last commit of a car is signed with a key that counts in its history, and what its signature is
// worth.
func (e Env) counts(car Car, on edtf.Day) (bool, attest.Standing, error) {
	_, report, err := e.Verify(car, VerifyRequest{On: on})
	if err != nil {
		return false, 0, err
	}
	step, _ := report.Trust.Step(report.Head)
	return step.Good(), step.Standing, nil
}

// unbundle makes the repository out of the bag's history.
func (in *arrival) unbundle(ctx context.Context, folder string) (repo Repository, err error) {
	err = bag.Payload(in.source, func(name string, _ int64, open bag.Open) error {
		if name != "history.bundle" {
			return nil
		}
		file, err := open()
		if err != nil {
			return err
		}
		if repo, err = in.env.Git.Unbundle(ctx, folder, file); err != nil {
			return errors.Join(err, file.Close())
		}
		if err := file.Close(); err != nil {
			return err
		}
		return fs.SkipAll
	})
	if err == nil && repo == nil {
		err = &Doubtful{errors.New("data/history.bundle went away while the bag was read")}
	}
	return repo, err
}

// sameFiles holds the plain files of the bag against those of the last commit: each is there, is the same, and no other is.
func (in *arrival) sameFiles(ctx context.Context, committed fs.FS) error {
	met := map[string]bool{}
	err := bag.Payload(in.source, func(name string, size int64, open bag.Open) error {
		name, below := strings.CutPrefix(name, "car/")
		if !below {
			return ctx.Err()
		}
		met[name] = true
		plain, err := whole(size, largestCheckout, open)
		if err != nil {
			return err
		}
		if file, err := fs.ReadFile(committed, name); err != nil || !bytes.Equal(file, plain) {
			return otherwise(name)
		}
		return nil
	})
	if err != nil {
		return err
	}
	return fs.WalkDir(committed, ".", func(name string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() && !met[name] {
			return otherwise(name)
		}
		return err
	})
}

func otherwise(name string) error {
	return &Doubtful{fmt.Errorf("data/car/%s is not as the last commit of the bundle has it", path.Clean(name))}
}
