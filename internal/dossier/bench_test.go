package dossier_test

import (
	"testing"

	"boltback/internal/dossier"
)

func BenchmarkTheDossierOfTheCompactCar(b *testing.B) {
	in := input(load(b, compactCar(b)))
	for b.Loop() {
		dossier.Build(in)
	}
}
