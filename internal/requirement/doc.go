// Package requirement holds a car's records against requirement sets: what an authority, an insurer or good practice asks,
// item by item. A set is a record (record.RequirementSet); its tests are expressions in CEL, the Common Expression
// Language, over facts that this package takes from the records and workings of a car.
//
// Facts are typed: an expression that names a fact which does not exist is refused with its position. A fact that the
// records do not carry is unknown, and so is what depends on it; the outcome then names what would settle it. Measured
// quantities have no value that an expression could see: comparing them applies the item's decision rule.
package requirement
