package dossier

import (
	"strings"

	"boltback/internal/doc"
	"boltback/internal/replay"
)

// Stale tells which readings, certificates and sign-offs no longer describe the car on a day, by which work, and what of
// them is still good.
func Stale(work *replay.Work, day replay.Day) *doc.Section {
	return open(Input{Snapshot: work.Snapshot()}).stale(work, day)
}

func (b *book) stale(work *replay.Work, day replay.Day) *doc.Section {
	list := replay.Staleness(work, day)
	s := doc.NewSection("stale", "What no longer describes the car")
	groups := map[replay.Freshness][]replay.Description{}
	for _, d := range list {
		groups[d.Fresh()] = append(groups[d.Fresh()], d)
	}
	if len(list) == 0 {
		s.Add(doc.Lead("No reading, certificate or sign-off is on record."))
		return s
	}
	s.Add(doc.Lead("Of {} readings, certificates and sign-offs {} no longer describe the car, {} perhaps, {} still do. {}",
		len(list), len(groups[replay.Stale]), len(groups[replay.PerhapsStale]), len(groups[replay.StillGood]), doc.NotExamined),
		doc.Para("{}.", capital(replay.StaleLimits())))
	for _, fresh := range []replay.Freshness{replay.Stale, replay.PerhapsStale, replay.StillGood} {
		if len(groups[fresh]) == 0 {
			continue
		}
		s.Add(b.staleGroup(fresh, groups[fresh]))
	}
	return oneLined(s)[0]
}

// staleGroup is one list of descriptions with what became of each facet.
func (b *book) staleGroup(fresh replay.Freshness, list []replay.Description) *doc.Section {
	s := doc.NewSection(doc.Anchor("stale "+fresh.String()), capital(fresh.String()))
	if fresh == replay.StillGood && b.asked() {
		s.Add(b.stillGood(list))
		return s
	}
	bullets := doc.Bullets()
	for _, d := range list {
		item := doc.Item{Text: doc.Say("{} of {}", b.called(d.Record), stated(string(d.On))).From(b.pathOf(d.Record))}
		facets := doc.Bullets()
		for _, f := range d.Facets {
			facets.Items = append(facets.Items, doc.Item{Text: doc.Say("{}", capital(f.Text)).From(b.few(b.touches(f.Touches))...)})
		}
		if len(facets.Items) > 0 {
			item = item.With(facets)
		}
		bullets.Items = append(bullets.Items, item)
	}
	s.Add(bullets)
	return s
}

// stillGood says of those that nothing touched no more than what they are and of what.
func (b *book) stillGood(list []replay.Description) *doc.Paragraph {
	var names []doc.Text
	for _, d := range list {
		var facets []string
		for _, f := range d.Facets {
			facets = append(facets, string(f.Facet))
		}
		names = append(names, doc.Say("{} of {} ({})", b.called(d.Record), stated(string(d.On)), strings.Join(facets, ", ")).From(b.pathOf(d.Record)))
	}
	return doc.Para("Nothing on record has touched what they describe: {}.", joinTexts(names, "; "))
}

// touches names the lines that touched a facet, each once, up to a handful.
func (b *book) touches(list []replay.Touch) []doc.Span {
	const most = 6
	var spans []doc.Span
	seen := map[string]bool{}
	for _, t := range list {
		span := b.source(t.Line.Session, t.Line.Pointer())
		if seen[span.Text] {
			continue
		}
		seen[span.Text] = true
		if len(spans) == most {
			return append(spans, doc.FromClause("and more"))
		}
		spans = append(spans, span)
	}
	return spans
}
