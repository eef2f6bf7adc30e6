package dossier_test

import "testing"

func TestTheChainOfKeepersShowsItsGaps(t *testing.T) {
	transfer := func(on, from, to, more string) string {
		return `{"kind":"transfer","on":"` + on + `",` + more + `"from":` + from + `,"to":` + to + `}`
	}
	owner, dealer := `{"sort":"owner"}`, `{"sort":"dealer"}`
	ina, tom := `{"sort":"workshop","person":"people/x/y"}`, `{"sort":"workshop","person":"people/x/z"}`
	tests := []struct {
		name     string
		records  map[string]string
		want     []string
		unwanted string
	}{
		{"none on record", nil, []string{"No change of keeper is on record. Who had the car, and who has the parts that are off it by right, the records do not say."}, "Gap"},
		{"two that join", map[string]string{"transfers/2019-01-01-a.json": transfer("2019-01-01", dealer, owner, ""), "transfers/2020-01-01-b.json": transfer("2020-01-01", owner, ina, "")},
			[]string{"2019-01-01", "workshop, Ina"}, "Gap"},
		{"two that do not", map[string]string{"transfers/2019-01-01-a.json": transfer("2019-01-01", dealer, owner, ""), "transfers/2020-01-01-b.json": transfer("2020-01-01", dealer, owner, "")},
			[]string{"Gap: owner got the car on 2019-01-01, and dealer gave it away on 2020-01-01; how it came from one to the other is (not stated)."}, ""},
		{"two people of one sort do not join", map[string]string{"transfers/2019-01-01-a.json": transfer("2019-01-01", dealer, ina, ""), "transfers/2020-01-01-b.json": transfer("2020-01-01", tom, owner, "")},
			[]string{"Gap: workshop, Ina got the car"}, ""},
		{"a keeper not stated is no gap that the records could name", map[string]string{"transfers/2019-01-01-a.json": transfer("2019-01-01", dealer, `{}`, ""), "transfers/2020-01-01-b.json": transfer("2020-01-01", owner, ina, "")},
			[]string{"Whether the keeper of 2019-01-01 is the one of 2020-01-01 is (not stated)."}, "Gap"},
		{"one without a day stands last", map[string]string{"transfers/0000-00-00-a.json": `{"kind":"transfer","to":{"sort":"museum"}}`, "transfers/2020-01-01-b.json": transfer("2020-01-01", dealer, owner, "")},
			[]string{"2020-01-01", "museum"}, ""},
		{"names and prices are withheld", map[string]string{"transfers/2020-01-01-b.json": transfer("2020-01-01", `{"sort":"owner","name":"`+digest+`"}`, owner, `"price":"`+digest+`",`)},
			[]string{"owner, name (withheld)", "price (withheld)"}, digest[:12]},
		{"a part off the car that the last transfer does not name", map[string]string{"transfers/2026-03-01-b.json": transfer("2026-03-01", ina, owner, ""),
			"work/2026-01-01-a.json": session("2026-01-01", "", `{"act":"removal","parts":["parts/lamp"],"store":"stores/x/loft"}`)},
			[]string{"The last transfer, of 2026-03-01, does not name 1 found part that the records have off the car by then: Lamp."}, ""},
		{"a part that came off later is none of its business", map[string]string{"transfers/2025-03-01-b.json": transfer("2025-03-01", ina, owner, ""),
			"work/2026-01-01-a.json": session("2026-01-01", "", `{"act":"removal","parts":["parts/lamp"],"store":"stores/x/loft"}`)},
			nil, "does not name"},
	}
	for _, tt := range tests {
		t.Run(tt.name, func(t *testing.T) {
			got := section(t, input(load(t, carOf(shop(tt.records)))), "keepers")
			wantAll(t, got, tt.want...)
			if tt.unwanted != "" {
				wantNone(t, got, tt.unwanted)
			}
		})
	}
}

const digest = "dddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddddd"

func TestASettingSaysWhetherItIsStillInForce(t *testing.T) {
	got := section(t, input(load(t, carOf(shop(map[string]string{
		"settings/first.json":  `{"kind":"setting","name":"As delivered","unit":"parts/lamp","version":"1","file":{"digest":"` + digest + `","bytes":12}}`,
		"settings/second.json": `{"kind":"setting","name":"As tuned","unit":"parts/lamp","firmware":"2","version":"2","replaces":"settings/first"}`,
	})))), "settings")
	wantAll(t, got, "no longer in force: replaced by As tuned", "in the place of As delivered", "no fingerprint on record", "firmware (not stated)")
}

func TestWhatNobodyHoldsIsSaidToBeSo(t *testing.T) {
	empty := carOf(shop(nil))
	wantAll(t, section(t, input(load(t, empty)), "codes"), "The records do not say where any key, code or password is held. That does not say that there is none.")
	wantAll(t, section(t, input(load(t, empty)), "settings"), "No setting of a unit is on record.")
	got := section(t, input(load(t, carOf(shop(map[string]string{"codes/lamp.json": `{"kind":"code","sort":"PIN","opens":"the lamp"}`})))), "codes")
	wantAll(t, got, "nobody is recorded as holding it")
}
