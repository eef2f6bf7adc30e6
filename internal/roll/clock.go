package roll

import (
	"cmp"
	"slices"
	"strings"
	"time"

	"boltback/internal/code"
	"boltback/internal/media"
)

// clockHolds is for how long a picture of a clock speaks for its camera.
const clockHolds = 24 * time.Hour

// moments says of each picture when it was taken, and asks for the clocks that
// nobody has read yet.
func (s *sorter) moments() {
	for i, p := range s.pictures {
		s.p.Moments = append(s.p.Moments, s.momentOf(p))
		_, shown := p.first(code.ClockKind)
		_, read := s.answers.Clocks[p.Name]
		if shown && !read && !p.Facts.Taken.IsZero() {
			s.ask(Question{Asked: WhichTime, Picture: i, Waiting: s.takenBy(p.Facts.Camera)})
		}
	}
}

func (s *sorter) takenBy(camera string) (n int) {
	for _, p := range s.pictures {
		if p.Facts.Camera == camera {
			n++
		}
	}
	return n
}

// momentOf sets the time of a picture right by the nearest picture of a clock
// that its camera took.
func (s *sorter) momentOf(p Picture) When {
	w := When{Time: p.Facts.Taken.Clock, Proof: -1}
	if p.Facts.Taken.IsZero() || p.Facts.Camera == "" {
		return w
	}
	nearest := clockHolds + 1
	for i, c := range s.pictures {
		was, read := s.answers.Clocks[c.Name]
		if !read || c.Facts.Camera != p.Facts.Camera || c.Facts.Taken.IsZero() || c.Facts.Taken.Zoned != p.Facts.Taken.Zoned {
			continue
		}
		if apart := since(c.Facts.Taken, p.Facts.Taken); apart.Abs() < nearest {
			nearest = apart.Abs()
			w = When{Time: was.Add(apart), Proof: i}
		}
	}
	return w
}

// since is how much later one moment of a camera's clock is than another.
func since(a, b media.Moment) time.Duration { return b.Clock.Add(-b.East).Sub(a.Clock.Add(-a.East)) }

// benches puts together the cameras that can be held against each other: those
// whose clocks are proven make one bench, each of the others is its own. A
// single camera needs no proof.
func (s *sorter) benches() [][]int {
	const proven, camera = "proven", "camera "
	of := map[string][]int{}
	var names []string
	for i, p := range s.pictures {
		if p.Facts.Taken.IsZero() {
			s.loose(i, NoTime)
			continue
		}
		bench := camera + p.Facts.Camera
		if !s.answers.Apart && s.p.Moments[i].Proven() {
			bench = proven
		}
		if of[bench] == nil {
			names = append(names, bench)
		}
		of[bench] = append(of[bench], i)
	}
	var all [][]int
	for _, name := range names {
		if len(names) > 1 && !s.answers.Apart && name != proven {
			s.p.Unproven = append(s.p.Unproven, strings.TrimPrefix(name, camera))
		}
		slices.SortStableFunc(of[name], s.byTime)
		all = append(all, of[name])
	}
	return all
}

// byTime orders pictures by when they were taken, then by name.
func (s *sorter) byTime(a, b int) int {
	return cmp.Or(s.p.Moments[a].Time.Compare(s.p.Moments[b].Time), cmp.Compare(s.pictures[a].Name, s.pictures[b].Name))
}
