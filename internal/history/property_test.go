package history

import (
	"encoding/json"
	"maps"
	"reflect"
	"slices"
	"strings"
	"testing"

	"pgregory.net/rapid"

	"boltback/internal/canon"
	"boltback/internal/record"
)

// tree is the value of each file of a ledger by path, in the shape of JSON.
type tree map[string]any

// pick draws one of a few words, so that records often share some.
func pick(t *rapid.T, label string, words ...string) string {
	return rapid.SampledFrom(words).Draw(t, label)
}

// maybeSet sets a member now and then.
func maybeSet(t *rapid.T, object map[string]any, name string, value func() any) {
	if rapid.IntRange(0, 2).Draw(t, "state "+name) > 0 {
		object[name] = value()
	}
}

func drawRefs(t *rapid.T, label string) any {
	list := []any{}
	for range rapid.IntRange(0, 3).Draw(t, label+" count") {
		list = append(list, pick(t, label, "parts/a", "parts/b", "parts/c", "parts/d"))
	}
	return list
}

func drawLine(t *rapid.T) any {
	line := map[string]any{"act": pick(t, "act", "removal", "fitting", "tightening")}
	maybeSet(t, line, "parts", func() any { return drawRefs(t, "parts") })
	maybeSet(t, line, "joints", func() any { return []any{pick(t, "joint", "joints/a", "joints/b")} })
	maybeSet(t, line, "set", func() any { return pick(t, "set", "35 lbf.ft", "47.5 N.m", "47 N.m", "<3 N.m") })
	maybeSet(t, line, "ends", func() any {
		return []any{map[string]any{"end": pick(t, "end", "A", "B"), "state": pick(t, "state", "free", "cut")}}
	})
	maybeSet(t, line, "note", func() any { return pick(t, "note", "", "n", "m") })
	return line
}

func drawList(t *rapid.T, label string, most int, element func() any) any {
	list := []any{}
	for range rapid.IntRange(0, most).Draw(t, label+" count") {
		list = append(list, element())
	}
	return list
}

func drawSession(t *rapid.T) map[string]any {
	s := map[string]any{"kind": "session"}
	maybeSet(t, s, "name", func() any { return pick(t, "name", "Tank out", "tank out", "Strip") })
	maybeSet(t, s, "started", func() any { return pick(t, "started", "2026-03-02", "2026-03", "2026-03-04T10:00:00Z") })
	maybeSet(t, s, "papers", func() any { return drawRefs(t, "papers") })
	maybeSet(t, s, "lines", func() any { return drawList(t, "lines", 7, func() any { return drawLine(t) }) })
	maybeSet(t, s, "corrects", func() any { return pick(t, "corrects", "work/2026-01-01-a", "work/2026-01-01-b") })
	return s
}

func drawPart(t *rapid.T) map[string]any {
	p := map[string]any{"kind": "part"}
	maybeSet(t, p, "name", func() any { return pick(t, "name", "A", "B", "C") })
	maybeSet(t, p, "mass", func() any { return pick(t, "mass", "1 kg", "1000 g", "1.5 kg", "over-range", "2 m") })
	maybeSet(t, p, "count", func() any { return json.Number(pick(t, "count", "1", "2")) })
	maybeSet(t, p, "value", func() any { return strings.Repeat(pick(t, "value", "a", "b"), 64) })
	maybeSet(t, p, "tag", func() any { return pick(t, "tag", "1", "2") })
	maybeSet(t, p, "numbers", func() any {
		return drawList(t, "numbers", 4, func() any {
			n := map[string]any{"what": pick(t, "what", "engine", "body"), "raw": pick(t, "raw", "1", "2")}
			maybeSet(t, n, "where", func() any { return pick(t, "where", "block", "plate") })
			return n
		})
	})
	maybeSet(t, p, "condition", func() any {
		return drawList(t, "condition", 2, func() any {
			return map[string]any{"on": pick(t, "on", "2025", "2026"), "renewed": []any{pick(t, "renewed", "seal", "bush")}}
		})
	})
	return p
}

// drawTree draws a small ledger.
func drawTree(t *rapid.T) tree {
	files := tree{}
	for _, path := range []string{"parts/a.json", "parts/b.json", "parts/c.json"} {
		if rapid.Bool().Draw(t, path) {
			files[path] = drawPart(t)
		}
	}
	for _, path := range []string{"work/2026-01-01-a.json", "work/2026-01-01-b.json", "work/2026-01-01-c.json"} {
		if rapid.Bool().Draw(t, path) {
			files[path] = drawSession(t)
		}
	}
	return files
}

// written gives the files of a tree as bytes.
func written(t interface{ Fatal(...any) }, files tree) map[string][]byte {
	out := map[string][]byte{}
	for path, value := range files {
		text, err := json.Marshal(value)
		if err != nil {
			t.Fatal(err)
		}
		out[path] = text
	}
	return out
}

func diffTrees(a, b map[string][]byte) []Change {
	paths := slices.Sorted(maps.Keys(a))
	for path := range b {
		if a[path] == nil {
			paths = append(paths, path)
		}
	}
	slices.Sort(paths)
	var pairs []Pair
	for _, path := range paths {
		pairs = append(pairs, Pair{path, a[path], b[path]})
	}
	return DiffFiles(pairs, nil)
}

// twoTrees draws two ledgers, the second of them often made of the first.
func twoTrees(t *rapid.T) (a, b tree) {
	a, b = drawTree(t), drawTree(t)
	for _, path := range slices.Sorted(maps.Keys(a)) {
		if rapid.Bool().Draw(t, "keep "+path) {
			b[path] = a[path]
		}
	}
	for _, path := range []string{"work/2026-01-01-a.json", "work/2026-01-01-b.json"} {
		old, ok := a[path].(map[string]any)
		if lines, has := old["lines"].([]any); ok && has && rapid.Bool().Draw(t, "shuffle "+path) {
			again := maps.Clone(old)
			again["lines"] = rapid.Permutation(append(slices.Clone(lines), drawLine(t))).Draw(t, "lines again")
			b[path] = again
		}
	}
	return a, b
}

func TestEqualLedgersDoNotDiffer(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		files := written(t, drawTree(t))
		if changes := diffTrees(files, files); len(changes) != 0 {
			t.Fatalf("%q", listed(changes))
		}
	})
}

func TestADiffAppliedToOneSideGivesTheOther(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := twoTrees(t)
		changes := diffTrees(written(t, a), written(t, b))
		got, want := plain(apply(t, written(t, a), changes)), plain(written(t, b))
		if !reflect.DeepEqual(got, want) {
			t.Fatalf("got  %v\nwant %v\nby %q", got, want, listed(changes))
		}
	})
}

func TestADiffBackwardsIsItsMirror(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := twoTrees(t)
		there, back := diffTrees(written(t, a), written(t, b)), diffTrees(written(t, b), written(t, a))
		got, want := outlines(there, false), outlines(back, true)
		if !slices.Equal(got, want) {
			t.Fatalf("there %q\nback mirrored %q", got, want)
		}
	})
}

func TestTheOrderOfMembersNeverMatters(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := twoTrees(t)
		want := listed(diffTrees(written(t, a), written(t, b)))
		shuffled := map[string][]byte{}
		for path, value := range b {
			shuffled[path] = backwards(value)
		}
		got := listed(slices.DeleteFunc(diffTrees(written(t, a), shuffled), func(c Change) bool { return c.What == Layout }))
		want = slices.DeleteFunc(want, func(s string) bool { return strings.Contains(s, "another layout") })
		if !slices.Equal(got, want) {
			t.Fatalf("got  %q\nwant %q", got, want)
		}
	})
}

func TestTheResultDoesNotDependOnTheOrderOfTheFiles(t *testing.T) {
	rapid.Check(t, func(t *rapid.T) {
		a, b := twoTrees(t)
		x, y := written(t, a), written(t, b)
		paths := map[string]bool{}
		for path := range x {
			paths[path] = true
		}
		for path := range y {
			paths[path] = true
		}
		var pairs []Pair
		for _, path := range rapid.Permutation(slices.Sorted(maps.Keys(paths))).Draw(t, "paths") {
			pairs = append(pairs, Pair{path, x[path], y[path]})
		}
		if got, want := listed(DiffFiles(pairs, nil)), listed(diffTrees(x, y)); !slices.Equal(got, want) {
			t.Fatalf("got  %q\nwant %q", got, want)
		}
	})
}

// backwards writes a value with the members of each object in reverse order.
func backwards(v any) []byte {
	switch v := v.(type) {
	case map[string]any:
		var pieces []string
		for _, name := range slices.Backward(slices.Sorted(maps.Keys(v))) {
			quoted, _ := json.Marshal(name)
			pieces = append(pieces, string(quoted)+":"+string(backwards(v[name])))
		}
		return []byte("{" + strings.Join(pieces, ",") + "}")
	case []any:
		var pieces []string
		for _, e := range v {
			pieces = append(pieces, string(backwards(e)))
		}
		return []byte("[" + strings.Join(pieces, ",") + "]")
	default:
		text, _ := json.Marshal(v)
		return text
	}
}

// outlines writes changes of files as what they are, mirrored or not, sorted.
// Whether a record counts is left out, for its mirror is no single thing.
func outlines(changes []Change, mirrored bool) []string {
	opposite := map[What]What{Added: Removed, Removed: Added}
	turn := func(w What) What {
		if o, ok := opposite[w]; ok && mirrored {
			return o
		}
		return w
	}
	var list []string
	for _, c := range changes {
		if c.before == nil && c.after == nil {
			continue
		}
		from, to := pathOf(c.before), pathOf(c.after)
		if mirrored {
			from, to = to, from
		}
		head := strings.Join([]string{string(turn(c.What)), from, to}, " ")
		list = append(list, head)
		for _, f := range c.Fields {
			was, at, old, now := f.Was, f.At, f.Old.Text, f.New.Text
			if mirrored {
				was, at, old, now = at, was, now, old
			}
			list = append(list, strings.Join([]string{head, string(turn(f.What)), was, at, old, now}, "|"))
		}
	}
	slices.Sort(list)
	return list
}

func pathOf(f *file) string {
	if f == nil {
		return "-"
	}
	return f.path
}

// plain turns files into values, with lists that have no order sorted.
func plain(files map[string][]byte) map[string]string {
	out := map[string]string{}
	for path, src := range files {
		doc, err := canon.Parse(src, canon.DefaultLimits())
		if err != nil {
			out[path] = string(src)
			continue
		}
		out[path] = aliases{}.fingerprint(doc.Root, "")
	}
	return out
}

func TestEveryListOfEveryKindIsKnown(t *testing.T) {
	for _, kind := range record.Kinds() {
		objectLists(reflect.TypeOf(record.New(kind)).Elem(), "", func(pattern string) {
			if _, ok := lists[pattern]; !ok {
				t.Errorf("%s: nothing says how the elements of %s find their like", kind, pattern)
			}
		})
	}
}

func objectLists(t reflect.Type, pattern string, visit func(string)) {
	for i := range t.NumField() {
		f := t.Field(i)
		name, _, _ := strings.Cut(f.Tag.Get("json"), ",")
		at, inner := pattern+"/"+name, f.Type
		if f.Anonymous {
			at = pattern
		}
		if inner.Kind() == reflect.Pointer {
			inner = inner.Elem()
		}
		if inner.Kind() == reflect.Slice && inner.Elem().Kind() == reflect.Struct {
			visit(at)
			inner = inner.Elem()
		}
		if inner.Kind() == reflect.Struct {
			objectLists(inner, at, visit)
		}
	}
}
