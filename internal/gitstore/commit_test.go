package gitstore

import (
	"fmt"
	"strings"
	"testing"
)

func TestStockGitAcceptsASignedCommit(t *testing.T) {
	b := newBench(t)
	sign, allowed := signer(t)
	req := request("Begin the ledger\n\nWith a body.", ".gitattributes", "* -text\n", "parts/fuel-tank.json", "{}\n")
	req.Signer = sign
	res, err := b.repo.Commit(t.Context(), req)
	if err != nil {
		t.Fatal(err)
	}
	b.sound()
	b.clean()
	if got := b.git("log", "--format=%H|%an|%ae|%ad|%s|%D", "--date=iso"); got != res.Commit.String()+"|Odile Brandt|odile@corvane.invalid|2026-03-01 12:00:00 +0100|Begin the ledger|HEAD -> main" {
		t.Errorf("git log says %s", got)
	}
	out := b.git("-c", "gpg.ssh.allowedSignersFile="+allowed, "verify-commit", "--raw", "HEAD")
	if !strings.Contains(out, "Good \"git\" signature for odile@corvane.invalid") {
		t.Errorf("git verify-commit says %s", out)
	}
	c, err := b.repo.ReadCommit(res.Commit)
	if err != nil {
		t.Fatal(err)
	}
	if again, _ := sign(c.Payload); again != c.Signature {
		t.Errorf("the payload read back is not the one that was signed")
	}
	if got := b.git("reflog", "show", "--format=%gs", "main"); got != "commit (initial): Begin the ledger" {
		t.Errorf("reflog says %q", got)
	}
}

func TestASecondCommitKeepsEverythingElse(t *testing.T) {
	b := newBench(t)
	b.commit("one", "a.json", "1\n", "parts/b.json", "1\n", "parts/c.json", "1\n")
	b.write("staged.json", "staged\n")
	b.git("add", "staged.json")
	b.write("parts/c.json", "edited, not staged\n")
	b.write("untracked.json", "new\n")
	b.commit("two", "parts/b.json", "2\n", "work/2026/x.json", "x\n", "a.json", "-")
	b.sound()
	if got, want := b.git("status", "--porcelain"), " M parts/c.json\nA  staged.json\n?? untracked.json"; got != want {
		t.Errorf("status says\n%s\nwant\n%s", got, want)
	}
	if got := b.git("show", "--name-status", "--format=%s"); got != "two\n\nD\ta.json\nM\tparts/b.json\nA\twork/2026/x.json" {
		t.Errorf("the commit holds %s", got)
	}
	if b.read("parts/b.json") != "2\n" {
		t.Error("the work tree was not written")
	}
}

func TestCommittingTheSameBytesMakesNoCommit(t *testing.T) {
	b := newBench(t)
	first := b.commit("one", "a.json", "1\n")
	again := b.commit("two", "a.json", "1\n", "absent.json", "-")
	if !again.Unchanged || again.Commit != first.Commit {
		t.Errorf("got %+v after %+v", again, first)
	}
	if n := b.git("rev-list", "--count", "HEAD"); n != "1" {
		t.Errorf("%s commits", n)
	}
}

func TestAThousandRecordsAreOneCommit(t *testing.T) {
	b := newBench(t)
	var files []string
	for i := range 1000 {
		files = append(files, fmt.Sprintf("parts/%04d.json", i), fmt.Sprint(i))
	}
	b.commit("many", files...)
	b.sound()
	b.clean()
	b.swept()
	if n := len(b.lines("ls-files")); n != 1000 {
		t.Errorf("%d files", n)
	}
}
