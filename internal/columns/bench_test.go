package columns

import (
	"encoding/csv"
	"encoding/json"
	"fmt"
	"runtime"
	"slices"
	"strings"
	"testing"
	"time"

	"boltback/internal/record"
	"boltback/internal/table"
)

// longTables are tables of a kind with so many rows, in which every row names something new.
var longTables = map[Kind]func(rows int) string{
	StripDown: func(rows int) string {
		return longTable("Tag,Part,Fasteners,Size,Crate,Date,By\n", rows, func(i int) string {
			return fmt.Sprintf("%d,bracket %d,4,M8,loft crate %d,%d/03/2026,bram", 10000+i, i, i/20, 1+i%28)
		})
	},
	Parts: func(rows int) string {
		return longTable("Part,Tag,Mass (kg),Side,Note\n", rows, func(i int) string {
			return fmt.Sprintf("bracket %d,%d,%d.5,left,bent", i, 10000+i, i%40)
		})
	},
	Readings: func(rows int) string {
		return longTable("What,Where,Value,Date,By\n", rows, func(i int) string {
			return fmt.Sprintf("weighing,wheel %d,%d kg,2026-03-%02d,ines", i, 200+i%50, 1+i%28)
		})
	},
	StockTake: func(rows int) string {
		return longTable("Tag,Part,Crate,Today,Date\n", rows, func(i int) string {
			return fmt.Sprintf("%d,bracket %d,loft crate %d,%s,2026-03-02", 10000+i, i, i/20, []string{"seen", "missed"}[i%2])
		})
	},
}

func longTable(head string, rows int, row func(i int) string) string {
	var b strings.Builder
	b.WriteString(head)
	for i := range rows {
		b.WriteString(row(i) + "\n")
	}
	return b.String()
}

// become reads a table and writes the records of it, as far as that needs no disk.
func become(tb testing.TB, text string, b Options) (rows int) {
	tb.Helper()
	tab, err := table.Read([]byte(text), Known(""))
	if err != nil {
		tb.Fatal(err)
	}
	p, err := Make(tab, b)
	if err != nil || p.Faults() > 0 {
		tb.Fatal(err, p.Faults())
	}
	var bodies []record.Body
	for _, n := range p.Records {
		bodies = append(bodies, n.Body)
	}
	for _, w := range p.Works {
		bodies = append(bodies, w)
	}
	for _, r := range p.Readings {
		bodies = append(bodies, r)
	}
	for _, body := range bodies {
		if _, err := record.Encode(body); err != nil {
			tb.Fatal(err)
		}
	}
	return len(p.Fates)
}

// peer reads the same cells and writes each row as an object, and knows nothing of what they mean.
func peer(tb testing.TB, text string) {
	tb.Helper()
	rows, err := csv.NewReader(strings.NewReader(text)).ReadAll()
	if err != nil {
		tb.Fatal(err)
	}
	for _, row := range rows[1:] {
		object := map[string]string{}
		for i, cell := range row {
			object[rows[0][i]] = cell
		}
		if _, err := json.MarshalIndent(object, "", "  "); err != nil {
			tb.Fatal(err)
		}
	}
}

// BenchmarkTable reports what a row costs, and how much that is beside a program that only reads the cells and writes them as
// JSON, in turns, by their medians. Quote the ratio:
//
//	go test ./internal/columns -run '^$' -bench Table -benchtime 5x
func BenchmarkTable(b *testing.B) {
	o := Options{Bench: bench(b)}
	for _, kind := range []Kind{StripDown, Parts, Readings, StockTake} {
		for _, rows := range []int{300, 3000, 30000} {
			b.Run(fmt.Sprintf("%s/%d", kind, rows), func(b *testing.B) {
				text := longTables[kind](rows)
				var ours, theirs []time.Duration
				for b.Loop() {
					start := time.Now()
					become(b, text, o)
					half := time.Now()
					peer(b, text)
					ours, theirs = append(ours, half.Sub(start)), append(theirs, time.Since(half))
				}
				slices.Sort(ours)
				slices.Sort(theirs)
				b.ReportMetric(float64(ours[len(ours)/2])/float64(theirs[len(theirs)/2]), "ours/peer")
				b.ReportMetric(float64(ours[len(ours)/2])/float64(rows), "ns/row")
			})
		}
	}
}

// TestARowOfALongTableTakesNoMoreMemoryThanOneOfAShortOne holds that no row looks through all the others, or copies them.
func TestARowOfALongTableTakesNoMoreMemoryThanOneOfAShortOne(t *testing.T) {
	o := Options{Bench: bench(t)}
	bytesARow := func(kind Kind, rows int) float64 {
		text := longTables[kind](rows)
		var before, after runtime.MemStats
		runtime.ReadMemStats(&before)
		if n := become(t, text, o); n != rows {
			t.Fatalf("%s: %d rows", kind, n)
		}
		runtime.ReadMemStats(&after)
		return float64(after.TotalAlloc-before.TotalAlloc) / float64(rows)
	}
	for kind := range longTables {
		bytesARow(kind, 20) // what is read once is read
		short, long := bytesARow(kind, 60), bytesARow(kind, 600)
		if long > short*1.5 {
			t.Errorf("%s: a row of 60 takes %.0f bytes, one of 600 takes %.0f", kind, short, long)
		}
	}
}
