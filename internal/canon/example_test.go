package canon_test

import (
	"fmt"

	"boltback/internal/canon"
)

func ExampleParse() {
	const src = `{
  "name": "fuel tank",
  "mass": 12.5
}
`
	_, err := canon.Parse([]byte(src), canon.DefaultLimits())
	fault := err.(*canon.SyntaxError)
	fmt.Printf("parts/fuel-tank.json:%v\nhint: %s\n", fault, fault.Hint)
	// Output:
	// parts/fuel-tank.json:3:11: 12.5: numbers in a record are whole
	// hint: write a measure as text with its unit, as in "12.5 kg"
}

func ExampleDocument_LocateName() {
	doc, err := canon.Parse([]byte("{\n  \"name\": \"fuel tank\",\n  \"colour\": \"red\"\n}\n"), canon.DefaultLimits())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println("name", doc.LocateName("/colour"), "value", doc.Locate("/colour"))
	// Output: name {3 3} value {3 13}
}

func ExampleCheckLayout() {
	doc, err := canon.Parse([]byte("{\n\t\"name\": \"fuel tank\"\n}\n"), canon.DefaultLimits())
	if err != nil {
		fmt.Println(err)
		return
	}
	fmt.Println(canon.CheckLayout(doc))
	fmt.Printf("%s", canon.Layout(doc))
	// Output:
	// 2:1: a tab stands here
	// {
	//   "name": "fuel tank"
	// }
}
