package history

import (
	"slices"
	"testing"
)

func TestACommitTellsWhatItMadeOfTheStandingOfOthers(t *testing.T) {
	const path, by, by2 = "work/2026-03-02-ines-tank.json", "work/2026-03-02-ines-tank-again.json", "work/2026-03-02-ines-tank-third.json"
	original := func(p string) []byte {
		if p == path {
			return []byte(work)
		}
		return nil
	}
	for _, tc := range []struct {
		name  string
		files []Pair
		want  []What // of the record that is corrected or withdrawn
	}{
		{"corrected", []Pair{{by, nil, []byte(corrects)}}, []What{Corrected}},
		{"withdrawn", []Pair{{by, nil, []byte(withdraws)}}, []What{Withdrawn}},
		{"claimed twice in one commit", []Pair{{by, nil, []byte(corrects)}, {by2, nil, []byte(withdraws)}}, []What{Disputed}},
		{"the correction is taken away", []Pair{{by, []byte(corrects), nil}}, []What{StandsAgain}},
		{"the correction becomes a withdrawal", []Pair{{by, []byte(corrects), []byte(withdraws)}}, []What{Withdrawn}},
		{"the correction is edited and stays one", []Pair{{by, []byte(corrects), []byte(corrects + "\n")}}, nil},
		{"both come in one commit, and then neither is a change of the other", []Pair{{path, nil, []byte(work)}, {by, nil, []byte(corrects)}}, []What{Added}},
		{"another kind corrects nothing", []Pair{{"parts/a.json", nil, []byte(`{"kind": "part", "corrects": "work/2026-03-02-ines-tank"}`)}}, nil},
		{"a record that corrects itself corrects nothing", []Pair{{path, []byte(work), []byte(`{"kind": "session", "corrects": "work/2026-03-02-ines-tank"}`)}}, []What{Changed}},
		{"what is corrected is not here", []Pair{{by, nil, []byte(`{"kind": "session", "corrects": "work/2026-03-02-ines-gone"}`)}}, nil},
	} {
		t.Run(tc.name, func(t *testing.T) {
			var got []What
			for _, c := range DiffFiles(tc.files, original) {
				if c.Path == path {
					got = append(got, c.What)
				}
			}
			if !slices.Equal(got, tc.want) {
				t.Errorf("got %q, want %q", got, tc.want)
			}
		})
	}
}

func TestAFileThatAppearsOnTheOtherSideOnlyIsNotAskedFor(t *testing.T) {
	DiffFiles([]Pair{
		{"work/2026-03-02-ines-tank.json", []byte(work), nil},
		{"work/2026-03-02-ines-tank-again.json", nil, []byte(corrects)},
	}, func(path string) []byte {
		t.Errorf("it asked for %s, which the commit touched", path)
		return nil
	})
}
