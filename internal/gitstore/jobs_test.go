package gitstore

import (
	"context"
	"fmt"
	"os"
	"os/exec"
	"strconv"

	"boltback/internal/atomicfile"
)

// job starts the test binary as a process of its own that does one job.
func job(what, dir, name string) *exec.Cmd {
	cmd := exec.Command(os.Args[0])
	cmd.Env = append(os.Environ(), "GITSTORE_TEST_JOB="+what, "GITSTORE_TEST_DIR="+dir, "GITSTORE_TEST_NAME="+name)
	return cmd
}

func runJob(what string) int {
	if err := doJob(what, os.Getenv("GITSTORE_TEST_DIR"), os.Getenv("GITSTORE_TEST_NAME")); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

func doJob(what, dir, name string) error {
	opt, req := Options{}, request("add "+name, name, "content of "+name+"\n")
	switch what {
	case "commit":
	case "killed":
		req = sceneRequest()
		opt.Files = atomicfile.Intercept(atomicfile.OS{}, killAt(os.Getenv("GITSTORE_TEST_STEP")))
	default:
		return fmt.Errorf("no job %q", what)
	}
	r, err := OpenWith(dir, opt)
	if err != nil {
		return err
	}
	defer r.Close()
	_, err = r.Commit(context.Background(), req)
	return err
}

// killAt ends the process, with no chance to clean up, ahead of the nth
// operation that changes something.
func killAt(step string) func(atomicfile.Op) error {
	at, err := strconv.Atoi(step)
	if err != nil {
		panic(err)
	}
	n := 0
	return func(op atomicfile.Op) error {
		if op.Changes() {
			if n++; n == at {
				self, err := os.FindProcess(os.Getpid())
				if err == nil {
					err = self.Kill()
				}
				if err != nil {
					panic(err)
				}
				select {}
			}
		}
		return nil
	}
}
