package records

import (
	"bytes"
	"fmt"
	"io/fs"
	"maps"
	"slices"
	"strings"
	"testing"

	"boltback/internal/canon"
	"boltback/internal/quantity"
	"boltback/internal/record"
)

// The cars of the sample: one finished, one begun from boxes and half-way, one in trouble.
const (
	car      = "cars/tern-1500"
	boxed    = "cars/sesta-700"
	troubled = Troubled
)

// cars are the cars, repositories the folders of the yard that become a repository each.
var (
	cars         = []string{car, boxed, troubled}
	repositories = append([]string{"workshop"}, cars...)
)

// recordsUnder decodes every record below a folder of the sample, by name.
func recordsUnder(t *testing.T, root string) map[record.Ref]*record.Record {
	t.Helper()
	found := map[record.Ref]*record.Record{}
	for _, p := range filesUnder(t, root) {
		if strings.HasPrefix(p, "previews/") {
			continue
		}
		if p == "allowed_signers" {
			continue // derived from the keys
		}
		r, err := record.Decode(p, read(t, root+"/"+p))
		if err != nil {
			t.Errorf("%s/%s:%v", root, p, err)
			continue
		}
		found[r.ID] = r
	}
	return found
}

// filesUnder lists the files below a folder of the sample, their paths relative to it.
func filesUnder(t testing.TB, root string) []string {
	t.Helper()
	var paths []string
	err := fs.WalkDir(Sample(), root, func(p string, d fs.DirEntry, err error) error {
		if err == nil && !d.IsDir() {
			paths = append(paths, strings.TrimPrefix(p, root+"/"))
		}
		return err
	})
	if err != nil {
		t.Fatal(err)
	}
	return paths
}

func read(t testing.TB, p string) []byte {
	t.Helper()
	src, err := fs.ReadFile(Sample(), p)
	if err != nil {
		t.Fatal(err)
	}
	return src
}

// of gives the bodies of one Go type among records, by name.
func of[T any](all map[record.Ref]*record.Record) map[record.Ref]*T {
	bodies := map[record.Ref]*T{}
	for id, r := range all {
		if b, ok := r.Body.(any).(*T); ok {
			bodies[id] = b
		}
	}
	return bodies
}

func TestEveryFileOfTheSampleIsARecordInTheLayoutOfTheLedger(t *testing.T) {
	for _, root := range append(repositories, "earlier") {
		for _, p := range filesUnder(t, root) {
			if !strings.HasSuffix(p, ".json") {
				continue
			}
			src := read(t, root+"/"+p)
			doc, err := canon.Parse(src, canon.Limits{})
			if err != nil {
				t.Errorf("%s/%s:%v", root, p, err)
				continue
			}
			if !bytes.Equal(canon.Layout(doc), src) {
				t.Errorf("%s/%s is not in the one layout", root, p)
			}
			at := p
			if root == "earlier" {
				_, at, _ = strings.Cut(p, "/")
			}
			r, err := record.Decode(at, src)
			if err != nil {
				t.Errorf("%s/%s:%v", root, p, err)
				continue
			}
			again, err := record.Encode(r.Body)
			if err != nil || !bytes.Equal(again, src) {
				t.Errorf("%s/%s: members are not in schema order (%v)", root, p, err)
			}
		}
	}
}

func TestTheSampleIsLargeEnoughToShowAWholeJob(t *testing.T) {
	kinds, total := map[record.Kind]int{}, 0
	for _, root := range cars {
		all := recordsUnder(t, root)
		if len(all) < 60 {
			t.Errorf("%s: %d records, want 60 or more", root, len(all))
		}
		for _, r := range all {
			total++
			if root == car {
				kinds[r.Kind]++
			}
		}
	}
	if total < 300 {
		t.Errorf("%d records in all, want 300 or more", total)
	}
	for _, k := range record.Kinds() {
		if kinds[k] == 0 && k != record.KindKey && k != record.KindRevocation && k != record.KindRequirementSet {
			t.Errorf("no %s among the records", k)
		}
	}
	t.Logf("%d records in all; of the finished car: %v", total, kinds)
}

func TestEveryReferenceLeadsToARecordOfTheRightKind(t *testing.T) {
	for _, root := range repositories {
		all := recordsUnder(t, root)
		for _, r := range all {
			for _, leaf := range r.Leaves() {
				if leaf.Role != record.Reference {
					continue
				}
				target := all[record.Ref(leaf.Text)]
				if target == nil && (planted(root, r.Path, "unknown-reference") || planted(root, r.Path, "undeclared-part")) {
					continue
				}
				if target == nil {
					t.Errorf("%s/%s%s: there is no %s", root, r.Path, leaf.Pointer, leaf.Text)
				} else if !slices.Contains(leaf.Kinds, target.Kind) && !slices.Contains(leaf.Kinds, "*") {
					t.Errorf("%s/%s%s: %s is a %s", root, r.Path, leaf.Pointer, leaf.Text, target.Kind)
				}
			}
		}
	}
}

func TestEveryQuantityIsCanonicalAndOfItsDimension(t *testing.T) {
	for _, root := range repositories {
		for _, r := range recordsUnder(t, root) {
			for _, leaf := range r.Leaves() {
				if leaf.Role != record.Quantity {
					continue
				}
				d, known := quantity.DimensionNamed(leaf.Dimension)
				if !known {
					t.Errorf("%s%s: unknown dimension %q", r.Path, leaf.Pointer, leaf.Dimension)
				} else if err := quantity.Check(leaf.Text, d); err != nil {
					t.Errorf("%s/%s%s: %v", root, r.Path, leaf.Pointer, err)
				}
			}
			for what, text := range measuredTexts(r) {
				if err := quantity.Check(text, quantity.Unknown); err != nil {
					t.Errorf("%s/%s: %s: %v", root, r.Path, what, err)
				}
			}
		}
	}
}

// measuredTexts are figures that stand in fields which may also hold words.
func measuredTexts(r *record.Record) map[string]string {
	texts := map[string]string{}
	ratings := func(list []record.Rating) {
		for i, g := range list {
			if g.Value != "none published" && g.Value != "not looked for" {
				texts[fmt.Sprintf("rating %d", i)] = g.Value
			}
		}
	}
	switch b := r.Body.(type) {
	case *record.Car:
		ratings(b.Ratings)
	case *record.Part:
		ratings(b.Ratings)
	case *record.Reading:
		for i, v := range b.Values {
			texts[fmt.Sprintf("value %d", i)] = v.Value
		}
	case *record.Instrument:
		if b.Range != nil {
			texts["range from"], texts["range to"] = b.Range.From, b.Range.To
		}
	}
	return texts
}

func TestTheCarsHoldCopiesOfTheAddressBook(t *testing.T) {
	for _, root := range cars {
		holdsCopies(t, root)
	}
}

func holdsCopies(t *testing.T, root string) {
	book := filesUnder(t, "workshop")
	for _, p := range filesUnder(t, root) {
		top, _, _ := strings.Cut(p, "/")
		if !slices.Contains([]string{"people", "instruments", "stores"}, top) {
			continue
		}
		if !slices.Contains(book, p) {
			t.Errorf("the address book lacks %s", p)
		} else if !bytes.Equal(read(t, root+"/"+p), read(t, "workshop/"+p)) {
			t.Errorf("the copy of %s in %s differs from the address book", p, root)
		}
	}
}

func TestNoTagIsOnTwoThings(t *testing.T) {
	on := map[string]record.Ref{}
	for _, root := range cars {
		parts := of[record.Part](recordsUnder(t, root))
		for _, id := range slices.Sorted(maps.Keys(parts)) {
			tag := parts[id].Tag
			if other := on[tag]; tag != "" && other != "" && !planted(root, record.PathOf(id), "tag-twice") {
				t.Errorf("%s: tag %s is on %s and on %s", root, tag, other, id)
			}
			on[tag] = id
		}
	}
}
