package gitstore

import (
	"bytes"
	"os"
	"path/filepath"
	"testing"
)

func TestAFileThatIsReplacedWhileItIsReadIsTheOldOneOrTheNew(t *testing.T) {
	dir := t.TempDir()
	versions := [][]byte{bytes.Repeat([]byte("old"), 100), bytes.Repeat([]byte("newer"), 1000)}
	put := func(i int) error {
		aside := filepath.Join(dir, "aside")
		if err := os.WriteFile(aside, versions[i%2], 0o600); err != nil {
			return err
		}
		return os.Rename(aside, filepath.Join(dir, "index"))
	}
	if err := put(0); err != nil {
		t.Fatal(err)
	}
	stop, done := make(chan struct{}), make(chan error)
	go func() {
		for i := 1; ; i++ {
			select {
			case <-stop:
				done <- nil
				return
			default:
			}
			if err := put(i); err != nil {
				done <- err
				return
			}
		}
	}()
	for range 3000 {
		if got, err := readWithin(dir, "index"); err != nil || !bytes.Equal(got, versions[0]) && !bytes.Equal(got, versions[1]) {
			t.Errorf("%d bytes that nobody wrote: %v", len(got), err)
			break
		}
	}
	close(stop)
	if err := <-done; err != nil {
		t.Error(err)
	}
}
