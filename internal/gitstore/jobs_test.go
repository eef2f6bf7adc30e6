package gitstore

import (
	"context"
	"fmt"
	"os"
)

// runJob is what the test binary does when a test starts it as a process of
// its own; the job's words come in the environment.
func runJob(job string) int {
	if err := doJob(job); err != nil {
		fmt.Fprintln(os.Stderr, err)
		return 1
	}
	return 0
}

func doJob(job string) error {
	r, err := Open(os.Getenv("GITSTORE_TEST_DIR"))
	if err != nil {
		return err
	}
	defer r.Close()
	name := os.Getenv("GITSTORE_TEST_NAME")
	switch job {
	case "commit":
		res, err := r.Commit(context.Background(), request("add "+name, name, "content of "+name+"\n"))
		if err == nil {
			fmt.Println(res.Commit)
		}
		return err
	}
	return fmt.Errorf("no job %q", job)
}
