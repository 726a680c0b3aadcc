package circuit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/known"
	"bandwright/trials"
)

// TestOhmsAmong: one elimination for all pairs gives what each pair on its own
// does, open where that is open, with the same derivatives.
func TestOhmsAmong(t *testing.T) {
	t.Parallel()
	from, pairs, open, slopes := trials.Seed(t, 20260311), 0, 0, 0
	for trial := range uint64(trials.Count(40)) {
		rng := rand.New(rand.NewPCG(from, trial))
		s := known.RandomActive(rng, 3+int(trial%12), int(trial%3))
		c := wired(t, s.Parts...)
		points := append([]string{circuit.Ground}, c.Points()...)
		among, err := c.OhmsAmong(s.Setting, circuit.PowerOff{}, points...)
		if err != nil {
			t.Fatal(err)
		}
		by := make([]float64, len(among.Knobs()))
		for range 12 {
			i, j := rng.IntN(len(points)), rng.IntN(len(points))
			want := ohmsOf(t, c, s.Setting, circuit.PowerOff{}, points[i], points[j])
			got, none := among.Between(i, j)
			if none != want.Open || !none && math.Abs(got-want.Ohms) > 1e-9*want.Ohms+1e-9 {
				t.Fatalf("trial %d, %s to %s: %v (open %v), on its own %v (open %v)", trial, points[i], points[j], got, none, want.Ohms, want.Open)
			}
			pairs++
			if none {
				open++
				continue
			}
			among.By(i, j, by)
			alone := map[circuit.Knob]float64{}
			for _, d := range want.By {
				alone[circuit.Knob{Part: d.Part, Value: d.Value}] = real(d.By)
			}
			for n, k := range among.Knobs() {
				value, err := c.Value(k)
				if err != nil {
					t.Fatal(err)
				}
				slopes++
				if off := math.Abs(by[n] - alone[k]); off*math.Max(value, 1e-3) > 1e-7*(1+want.Ohms) {
					t.Fatalf("trial %d, %s to %s by %v: %v, on its own %v", trial, points[i], points[j], k, by[n], alone[k])
				}
			}
		}
	}
	if open == 0 || slopes < 1000 {
		t.Errorf("%d open pairs, %d derivatives", open, slopes)
	}
	t.Logf("%d pairs, %d open, %d derivatives", pairs, open, slopes)
}
