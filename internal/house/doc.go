// Package house holds the rules of this code base as tests: who may import
// whom, what the pure core must not touch, what is documented, how long a
// function may be. It has no code of its own, and nothing imports it.
//
// Where a rule is a table (packages, dependencies, codes), its one home is the
// page that people read, and the tests read it there.
package house
