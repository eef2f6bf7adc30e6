package dossier

import (
	"boltback/internal/doc"
	"boltback/internal/record"
	"boltback/internal/replay"
)

// StockTakes tells of each place that holds something, or was looked at: what should be there, when somebody last looked,
// and what was missed or lay there and should not. Car tells the cars of a yard apart.
func StockTakes(work *replay.Work, shelves []replay.Shelf, day replay.Day, car string) *doc.Section {
	b := stateBook{open(Input{Snapshot: work.Snapshot()}), work, work.On(day)}
	s := doc.NewSection("stock-take", "Stores of "+car)
	if len(shelves) == 0 {
		s.Add(doc.Lead("By the records nothing lies in a store on {}, and no stock-take was made.", day.String()))
		return s
	}
	s.Add(doc.Lead("As the records leave it on {}. {}", day.String(), doc.NotExamined), b.shelves(shelves))
	for _, take := range latestTakes(shelves) {
		s.Add(b.taken(take)...)
	}
	return oneLined(s)[0]
}

// latestTakes are the last stock-takes of the shelves, each once.
func latestTakes(shelves []replay.Shelf) []*replay.StockTake {
	var takes []*replay.StockTake
	seen := map[replay.Step]bool{}
	for _, shelf := range shelves {
		if shelf.Last != nil && !seen[shelf.Last.Step] {
			seen[shelf.Last.Step] = true
			takes = append(takes, shelf.Last)
		}
	}
	return takes
}

func (b stateBook) shelves(shelves []replay.Shelf) *doc.Table {
	t := doc.NewTable("Places", doc.Col("Place", 6), doc.Col("Should hold", 3), doc.Col("Last looked at", 4), doc.Col("Then", 6))
	for _, shelf := range shelves {
		last, then := doc.Text{doc.Missing("never")}, doc.Text{doc.Missing("")}
		if take := shelf.Last; take != nil {
			last = doc.Say("{}", b.work.DayOf(take.Step).String()).From(b.at(take.Step))
			then = doc.Say("{} seen, {} missed, {} not expected", len(take.Seen), len(take.Missed), len(take.Strange))
			switch {
			case take.Nothing() && len(take.Missed) == 0:
				then = doc.Say("nothing was seen or missed")
			case take.Nothing():
				then = doc.Say("nothing was seen, {} missed", len(take.Missed))
			case take.Sealed:
				then = doc.Say("seal unbroken, not opened: {} behind it", len(take.Seen))
			}
		}
		place := b.where(replay.Where{Place: replay.InStore, Store: shelf.Store, Shelf: shelf.Place})
		if shelf.Sealed != replay.NoStep {
			place = place.And("; sealed since {}", b.work.DayOf(shelf.Sealed).String())
		}
		t.Row(place, count(len(shelf.Holds), "part"), last, then)
	}
	return t
}

// taken lists what a stock-take missed, and what it found that should not be there.
func (b stateBook) taken(take *replay.StockTake) []doc.Block {
	var blocks []doc.Block
	if len(take.Missed) > 0 {
		list := doc.Bullets()
		for _, part := range take.Missed {
			list.Items = append(list.Items, doc.Item{Text: b.missed(part, take.Step)})
		}
		blocks = append(blocks, doc.Para("{}: missed on {}, which does not say that it is lost:", b.shelfName(take), b.work.DayOf(take.Step).String()), list)
	}
	if len(take.Strange) > 0 {
		list := doc.Bullets()
		for _, stray := range take.Strange {
			list.Items = append(list.Items, doc.Item{Text: doc.Say("{}{}; by the records before: {}", b.tagOf(stray.Part), b.name(stray.Part), b.where(stray.Was))})
		}
		blocks = append(blocks, doc.Para("{}: found on {} and not expected there:", b.shelfName(take), b.work.DayOf(take.Step).String()), list)
	}
	return blocks
}

func (b stateBook) shelfName(take *replay.StockTake) doc.Text {
	name := doc.Say("{}", b.called(take.Store))
	if take.Place != "" {
		name = name.And(", {}", take.Place)
	}
	return name.From(b.at(take.Step))
}

// missed names a part that was not found, and says whether it was seen since.
func (b stateBook) missed(part record.Ref, by replay.Step) doc.Text {
	t := doc.Say("{}{}", b.tagOf(part), b.name(part))
	if b.state.MissedBy(part) == by {
		return t.And("; not seen since")
	}
	if p, ok := b.state.Part(part); ok {
		t = t.And("; seen since: {}", b.where(p.Where))
	}
	return t
}

func (b stateBook) tagOf(part record.Ref) doc.Text {
	if info, ok := b.work.Part(part); ok && info.Body.Tag != "" {
		return doc.Say("{} ", info.Body.Tag)
	}
	return nil
}
