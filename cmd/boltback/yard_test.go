package main

import (
	"fmt"
	"os"
	"path/filepath"
	"strings"
	"testing"

	"boltback/internal/validate"
)

// made is a yard of cars with as many records as wanted, about 1 KB each: parts, the joints that hold them, sessions that
// take them off and put them back, readings. It is made for counting and timing; nothing in it is meant to be read.
type made struct {
	yard string
	cars []string
}

func makeYard(t testing.TB, cars, records int) made {
	t.Helper()
	m := made{yard: filepath.Join(t.TempDir(), "yard")}
	write(t, filepath.Join(m.yard, "yard.json"), "{\n  \"workshop\": \"quayside\"\n}\n")
	for c := range cars {
		car := filepath.Join(m.yard, "cars", fmt.Sprintf("car-%02d", c))
		makeCar(t, car, c, (records+cars-1-c)/cars)
		m.cars = append(m.cars, car)
	}
	return m
}

// playSample lays the sample out with the program as built, which is quicker than the same with the race detector.
func playSample(t *testing.T, yard string) {
	t.Helper()
	run(t, program(filepath.Dir(yard), "demo", yard))
}

func write(t testing.TB, path, text string) {
	t.Helper()
	if err := os.MkdirAll(filepath.Dir(path), 0o755); err != nil {
		t.Fatal(err)
	}
	if err := os.WriteFile(path, []byte(text), 0o644); err != nil {
		t.Fatal(err)
	}
}

// makeCar writes a car of so many records; its number goes before its tags, which no other car of the yard may have.
func makeCar(t testing.TB, at string, number, records int) {
	put := func(path string, lines ...string) {
		records--
		write(t, filepath.Join(at, path), "{\n  "+strings.Join(lines, ",\n  ")+"\n}\n")
	}
	write(t, filepath.Join(at, ".gitattributes"), validate.GitAttributes)
	put("ledger.json", `"kind": "ledger"`, `"edition": "1"`, `"workshop": "quayside"`, `"started": "2026-01-05"`)
	put("car.json", `"kind": "car"`, `"make": "Corvane"`, `"model": "Tern"`, `"year": "1967"`)
	put("people/quayside/odile/person.json", `"kind": "person"`, `"name": "Odile Brandt"`)
	put("stores/quayside/loft/store.json", `"kind": "store"`, `"name": "Loft"`)
	madePart := func(i int) (string, []string) { return madePart(number, i) }
	for i := 0; records > 0; i++ {
		for _, one := range []func(int) (string, []string){madePart, madeJoint, madeSession, madeReading} {
			if path, lines := one(i); records > 0 {
				put(path, lines...)
			}
		}
	}
}

var filler = strings.Repeat("cleaned, no cracks, thread good; ", 14)

func madePart(car, i int) (string, []string) {
	return fmt.Sprintf("parts/bracket-%05d.json", i), []string{`"kind": "part"`, fmt.Sprintf(`"name": "Bracket %d"`, i),
		`"found": "yes"`, fmt.Sprintf(`"tag": "%02d-%05d"`, car, i), `"mass": "1.2 kg"`, fmt.Sprintf(`"note": %q`, filler)}
}

func madeJoint(i int) (string, []string) {
	return fmt.Sprintf("joints/bracket-%05d.json", i), []string{`"kind": "joint"`, fmt.Sprintf(`"name": "Bracket %d to shell"`, i),
		fmt.Sprintf("\"clamps\": [\n    \"parts/bracket-%05d\",\n    \"parts/bracket-00000\"\n  ]", i), "\"specification\": {\n    \"torque\": \"47 N.m\",\n    \"tolerance\": \"10 %\"\n  }",
		fmt.Sprintf(`"note": %q`, filler)}
}

func madeSession(i int) (string, []string) {
	line := func(act, more string) string {
		return fmt.Sprintf("    {\n      \"act\": %q,\n      \"parts\": [\n        \"parts/bracket-%05d\"\n      ],\n      \"joints\": [\n        \"joints/bracket-%05d\"\n      ]%s\n    }", act, i, i, more)
	}
	return fmt.Sprintf("work/2026-02-%02d-odile-bracket-%05d.json", 1+i%28, i), []string{`"kind": "session"`, fmt.Sprintf(`"name": "Bracket %d off and on"`, i),
		`"by": "people/quayside/odile"`, fmt.Sprintf(`"started": "2026-02-%02dT09:00"`, 1+i%28), `"basis": "seen"`,
		"\"lines\": [\n" + line("removal", ",\n      \"store\": \"stores/quayside/loft\"") + ",\n" + line("fitting", "") + ",\n" + line("tightening", ",\n      \"method\": \"click\",\n      \"set\": \"47 N.m\"") + "\n  ]",
		fmt.Sprintf(`"note": %q`, filler)}
}

func madeReading(i int) (string, []string) {
	return fmt.Sprintf("readings/2026-03-%02d-odile-height-%05d.json", 1+i%28, i), []string{`"kind": "reading"`, fmt.Sprintf(`"name": "Ride height %d"`, i),
		`"what": "ride-height"`, fmt.Sprintf(`"on": "2026-03-%02d"`, 1+i%28), `"by": "people/quayside/odile"`,
		"\"values\": [\n    {\n      \"value\": \"412 mm\"\n    }\n  ]", fmt.Sprintf(`"note": %q`, filler)}
}

func TestTheMadeYardHasNothingWrongWithIt(t *testing.T) {
	m := makeYard(t, 2, 90)
	env := world()
	env.App.Memories = nil
	for _, car := range m.cars {
		t.Chdir(car)
		cars, err := env.App.Find("")
		if err != nil || len(cars) != 1 {
			t.Fatal(cars, err)
		}
		checked, err := env.App.Check(cars, checkOn)
		if err != nil {
			t.Fatal(err)
		}
		for _, f := range checked[0].Findings {
			t.Error(f, f.Hint)
		}
	}
}
