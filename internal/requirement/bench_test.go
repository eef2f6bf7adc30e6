package requirement_test

import (
	"io/fs"
	"testing"
	"time"

	"boltback/internal/ledger"
	"boltback/internal/replay"
	"boltback/internal/requirement"
	"boltback/internal/workings"
	"boltback/records"
)

// sampleCar is the finished car of the sample.
func sampleCar(b testing.TB) *ledger.Snapshot {
	fsys, err := fs.Sub(records.Sample(), "cars/tern-1500")
	if err != nil {
		b.Fatal(err)
	}
	s, err := ledger.Load(fsys)
	if err != nil {
		b.Fatal(err)
	}
	return s
}

// BenchmarkOneCarAgainstAllSets compiles every set that ships and asks them all of the finished car.
func BenchmarkOneCarAgainstAllSets(b *testing.B) {
	s := sampleCar(b)
	for b.Loop() {
		library := requirement.NewLibrary(records.Requirements(), s, testDay)
		facts := requirement.Of(replay.Of(s), testDay)
		for _, name := range library.Names() {
			set, err := library.Load(name)
			if err != nil {
				b.Fatal(err)
			}
			requirement.Assess(set, facts)
		}
	}
}

// BenchmarkAThousandCarsAgainstOneSet is what a yard of 1,000 cars costs beyond reading its files: one set compiled once, and for
// each car replay, facts and assessment. Beside it stands what all workings of the cars would cost, printed as a ratio.
func BenchmarkAThousandCarsAgainstOneSet(b *testing.B) {
	const cars = 1000
	s := sampleCar(b)
	for b.Loop() {
		set, err := requirement.NewLibrary(records.Requirements(), nil, testDay).Load("technical-baseline")
		if err != nil {
			b.Fatal(err)
		}
		for range cars {
			requirement.Assess(set, requirement.Of(replay.Of(s), testDay))
		}
	}
	b.ReportMetric(b.Elapsed().Seconds()*1000/float64(b.N)/cars, "ms/car")
	b.StopTimer()
	begun := time.Now()
	const few = 20
	for range few {
		workings.Of(replay.Of(s), testDay, nil).All()
	}
	b.ReportMetric(b.Elapsed().Seconds()/float64(b.N)/cars/(time.Since(begun).Seconds()/few), "of-all-workings")
}

// BenchmarkCompilingTheBaseline makes the language and compiles one set.
func BenchmarkCompilingTheBaseline(b *testing.B) {
	for b.Loop() {
		if _, err := requirement.NewLibrary(records.Requirements(), nil, testDay).Load("technical-baseline"); err != nil {
			b.Fatal(err)
		}
	}
}
