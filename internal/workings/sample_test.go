package workings

import (
	"io/fs"
	"os"
	"sync"
	"testing"

	"boltback/internal/edtf"
	"boltback/internal/ledger"
	"boltback/internal/replay"
)

var sampleWork = sync.OnceValues(func() (*replay.Work, error) {
	s, err := ledger.Load(sampleFS())
	if err != nil {
		return nil, err
	}
	return replay.Of(s), nil
})

func sampleFS() fs.FS { return os.DirFS("../../records/sample/cars/tern-1500") }

// sampleCar is the car of the sample on the day of its inspection.
func sampleCar(t testing.TB) *Car {
	t.Helper()
	work, err := sampleWork()
	if err != nil {
		t.Fatal(err)
	}
	return Of(work, edtf.NewDay(2026, 6, 12), nil)
}
