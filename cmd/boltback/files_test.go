package main

import (
	"os"
	"path/filepath"
	"testing"
)

// TestAFolderIsNotLeftWhoseMakingWasNotDurable fails the second step: the folder is there, and its parent cannot be written through.
func TestAFolderIsNotLeftWhoseMakingWasNotDurable(t *testing.T) {
	in := t.TempDir()
	disk := worldOn((&full{at: 2}).disk()).App.Files
	if err := disk.Build(filepath.Join(in, "bag"), func(string) error { return nil }); err == nil {
		t.Error("a full disk made a folder")
	}
	if left, err := os.ReadDir(in); err != nil || len(left) > 0 {
		t.Errorf("it leaves %v (%v)", left, err)
	}
}
