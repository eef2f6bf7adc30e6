package gitstore

import (
	"errors"
	"fmt"
	"strings"
	"testing"
	"time"
)

func TestRevisionsAreFoundAsGitFindsThem(t *testing.T) {
	b := newBench(t)
	for i := range 4 {
		b.commit(fmt.Sprint("commit ", i), "a.json", fmt.Sprint(i))
	}
	b.git("tag", "light", "HEAD~1")
	b.git("tag", "-a", "-m", "heavy", "heavy", "HEAD~2")
	b.git("tag", "-a", "-m", "heavier", "heavier", "heavy")
	b.git("branch", "side/line", "HEAD~3")
	b.git("checkout", "-q", "side/line")
	b.write("s.json", "s")
	b.git("add", "s.json")
	b.git("commit", "-q", "-m", "side")
	b.git("checkout", "-q", "main")
	b.git("merge", "-q", "-m", "merge", "side/line")
	b.git("update-ref", "refs/remotes/origin/main", "HEAD~1")
	full := b.git("rev-parse", "HEAD~1")
	r := at(t, b.dir).repo
	for _, rev := range []string{"HEAD", "@", "main", "heads/main", "refs/heads/main", "side/line", "light", "heavy", "heavier",
		"tags/heavy", "origin/main", full, full[:7], strings.ToUpper(full[:12]), full[:5], "HEAD~2", "HEAD~", "HEAD^", "HEAD^2", "HEAD^2~1",
		"main~1^1~1", "heavy~1", "HEAD^0", "HEAD~0", "HEAD^^", full[:9] + "~2"} {
		want := b.git("rev-parse", rev+"^{commit}")
		if got, err := r.Revision(rev); err != nil || got.String() != want {
			t.Errorf("%s: got %s, %v, want %s", rev, got, err, want)
		}
	}
	for _, rev := range []string{"", "nothing", "HEAD~9", "HEAD^3", "HEAD:a.json", "HEAD~x", "../config", "refs/heads/../../config", "abc",
		"0123456", strings.Repeat("0", 40), b.git("rev-parse", "HEAD:a.json"), "HEAD^{tree}", "main.lock", "2026-02-30"} {
		if got, err := r.Revision(rev); err == nil {
			t.Errorf("%q is %s", rev, got)
		}
	}
}

func TestADayIsTheLastCommitOfThatDayOnTheCommittersCalendar(t *testing.T) {
	b := newBench(t)
	late := time.FixedZone("", -8*3600)
	days := []time.Time{
		time.Date(2026, 3, 1, 9, 0, 0, 0, time.UTC),
		time.Date(2026, 3, 1, 23, 30, 0, 0, late), // already the 2nd in UTC
		time.Date(2026, 3, 4, 12, 0, 0, 0, time.UTC),
	}
	var ids []Hash
	for i, d := range days {
		req := request(fmt.Sprint(i), "a.json", fmt.Sprint(i))
		req.Author.When = d
		res, err := b.repo.Commit(t.Context(), req)
		if err != nil {
			t.Fatal(err)
		}
		ids = append(ids, res.Commit)
	}
	for rev, want := range map[string]Hash{"2026-03-01": ids[1], "2026-03-03": ids[1], "2026-03-04": ids[2], "2030-01-01": ids[2], "2026-03-04~1": ids[1]} {
		if got, err := b.repo.Revision(rev); err != nil || got != want {
			t.Errorf("%s: got %s, %v, want %s", rev, got, err, want)
		}
	}
	if _, err := b.repo.Revision("2026-02-28"); err == nil || !strings.Contains(err.Error(), "the history begins on 2026-03-01") {
		t.Errorf("got %v", err)
	}
}

func TestAnUnbornBranchHasNoRevision(t *testing.T) {
	b := newBench(t)
	if _, err := b.repo.Revision("HEAD"); !errors.Is(err, ErrNoCommits) {
		t.Errorf("got %v", err)
	}
	if h, err := b.repo.Head(); err != nil || h != (Head{Branch: "refs/heads/main"}) {
		t.Errorf("got %+v, %v", h, err)
	}
}
