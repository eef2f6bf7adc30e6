package app

import (
	"context"
	"io/fs"
	"path"
	"path/filepath"
	"slices"
	"strings"

	"boltback/internal/ledger"
	"boltback/internal/record"
	"boltback/internal/replay"
	"boltback/internal/signoff"
)

// transfer writes that the car came, as the next commit: the day, who has it now, the distance if it was read, and each part
// off the car, of which nobody has said yet what became of it.
func (in *arrival) transfer(ctx context.Context, car Car) (Written, error) {
	d, err := in.env.Open(car, in.request.By, in.request.On)
	if err != nil {
		return Written{}, err
	}
	day := in.request.On.String()
	body := record.New(record.KindTransfer).(*record.Transfer)
	body.On, body.Basis, body.How = record.Date(day), "seen", in.request.How
	if body.How == "" {
		body.How = "not stated"
	}
	body.From = lastKeeper(d.s)
	body.To = &record.Keeper{Sort: "workshop", Person: d.person, Country: d.habits.Country}
	body.Custody = offTheCar(d.s, in.request)
	bodies := []record.Body{body}
	var changes []Change
	var notes []string
	if in.request.Distance != "" {
		reading := record.New(record.KindReading)
		notes, err = d.context().Apply(reading, []string{"what=distance", "values.0.of=odometer", "values.0.value=" + in.request.Distance, "by=" + string(d.person), "on=" + day})
		if err != nil {
			return Written{}, usageOf(err)
		}
		at := d.free("readings/" + day + "-" + d.slug() + "-odometer-at-receipt")
		if changes, err = added(changes, at, reading); err != nil {
			return Written{}, err
		}
		body.Distance = record.Ref(strings.TrimSuffix(at, ".json"))
		bodies = append(bodies, reading)
	}
	if changes, err = added(changes, d.free("transfers/"+day+"-received"), body); err != nil {
		return Written{}, err
	}
	ended, err := d.takeKeeping()
	if err != nil {
		return Written{}, err
	}
	w, err := d.save(ctx, append(changes, ended...), bodies, "receive the car")
	w.Notes = append(notes, w.Notes...)
	return w, err
}

// takeKeeping takes the mark of the handover away, and ends the keys of the workshop that handed over: they counted until now.
// Where nobody let the receiver's own key in they stay, for theirs are the only ones that can still do so.
func (d *Desk) takeKeeping() ([]Change, error) {
	head := *d.s.Head()
	before := path.Dir(string(head.HandedOver.By))
	head.HandedOver = nil
	text, err := record.Encode(&head)
	if err != nil {
		return nil, err
	}
	changes := append(d.ownName(), Change{Path: "ledger.json", Content: text})
	if before == path.Dir(string(d.person)) {
		return changes, nil // one workshop, in two yards
	}
	set, err := signoff.ReadKeys(d.env.Files.Folder(d.car.Path))
	if err != nil {
		return nil, err
	}
	keys := openKeys(set)
	if !slices.ContainsFunc(keys, func(k signoff.KeyEntry) bool { return k.Person == d.person }) {
		return changes, nil
	}
	for _, key := range keys {
		if path.Dir(string(key.Person)) != before {
			continue
		}
		body := &record.Revocation{Head: record.Head{Kind: record.KindRevocation}, Of: key.Ref,
			On: record.Date(d.env.Now().UTC().Format("2006-01-02T15:04:05Z")), Why: "the records were handed over, and received"}
		if changes, err = added(changes, d.free(string(key.Ref)+"-ended"), body); err != nil {
			return nil, err
		}
	}
	return changes, nil
}

// ownName gives the receiver's own record, where the handover brought in one that does not say how they are called.
func (d *Desk) ownName() []Change {
	there := d.s.Record(d.person)
	if there == nil || there.Body.Heading().Name != "" || d.car.Yard == "" {
		return nil
	}
	text, err := fs.ReadFile(d.env.Files.Folder(filepath.Join(d.car.Yard, "workshop")), record.PathOf(d.person))
	if err != nil {
		return nil // the address book has none either
	}
	return []Change{{Path: record.PathOf(d.person), Content: text}}
}

func added(changes []Change, at string, body record.Body) ([]Change, error) {
	text, err := record.Encode(body)
	return append(changes, Change{Path: at, Content: text}), err
}

// lastKeeper is who the records say had the car, by sort alone: the next keeper knows no more than they say.
func lastKeeper(s *ledger.Snapshot) *record.Keeper {
	var last *record.Transfer
	for _, t := range ledger.All[record.Transfer](s) {
		if last == nil || t.Body.On > last.On {
			last = t.Body
		}
	}
	if last == nil || last.To == nil || last.To.Sort == "" {
		return &record.Keeper{Sort: "not known"}
	}
	return &record.Keeper{Sort: last.To.Sort, Person: last.To.Person, Country: last.To.Country}
}

// offTheCar is the receipt for what is off the car: one entry a store, of what the records leave there.
func offTheCar(s *ledger.Snapshot, r ReceiveRequest) []record.Custody {
	var list []record.Custody
	at := map[record.Ref]int{}
	for _, p := range replay.Of(s).On(r.On).Parts() {
		if p.Where.Place != replay.InStore && p.Where.Place != replay.WithSomeone {
			continue
		}
		i, known := at[p.Where.Store]
		if !known {
			i = len(list)
			at[p.Where.Store] = i
			list = append(list, record.Custody{Goes: "not stated", Seen: "not stated", Store: p.Where.Store})
		}
		list[i].Parts = append(list[i].Parts, p.Ref)
	}
	return list
}
