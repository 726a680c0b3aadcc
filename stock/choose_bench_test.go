package stock

import (
	"math/rand/v2"
	"testing"
)

// A board of six bands from 40 coils and 150 capacitors, with and without
// 2048 draws for the chance.
func BenchmarkChoose(b *testing.B) {
	for _, c := range []struct {
		name  string
		draws int
	}{{"board", 0}, {"board and chance", 2048}} {
		b.Run(c.name, func(b *testing.B) {
			rng := rand.New(rand.NewPCG(20260401, 1))
			q := someBoard(b, rng, sixBands, 40, 150, 30)
			q.Draws, q.Random = c.draws, rng
			b.ReportAllocs()
			for b.Loop() {
				choose(b, q)
			}
		})
	}
}
