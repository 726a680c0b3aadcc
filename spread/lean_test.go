package spread

import (
	"context"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/equaliser"
)

// sixBands is an invented equaliser with an ideal driver and every value of its
// legs within 5 %.
func sixBands(tb testing.TB, drawing string) Plan {
	tb.Helper()
	s := equaliser.Spec{Drawing: drawing}
	var knobs []circuit.Knob
	for _, b := range []struct {
		name string
		hz   float64
	}{{"63", 63}, {"160", 160}, {"400", 400}, {"1000", 1000}, {"2500", 2500}, {"6300", 6300}} {
		ohms, henries, farads, dcr := equaliser.StartingLeg(b.hz, 12, 0.9, 2200, 60)
		s.Bands = append(s.Bands, equaliser.Band{Name: b.name, Hz: b.hz, Slider: circuit.Slider{Track: 10e3},
			Coil: circuit.Inductor{Henries: henries, DCR: dcr}, Capacitor: circuit.Capacitor{Farads: farads}, Resistor: circuit.Resistor{Ohms: ohms}})
		knobs = append(knobs, circuit.Knob{Part: b.name, Value: "Track"}, circuit.Knob{Part: b.name + ".resistor", Value: "Ohms"},
			circuit.Knob{Part: b.name + ".coil", Value: "Henries"}, circuit.Knob{Part: b.name + ".coil", Value: "DCR"},
			circuit.Knob{Part: b.name + ".capacitor", Value: "Farads"})
	}
	e, err := equaliser.Build(s)
	if err != nil {
		tb.Fatal(err)
	}
	sampling, found, err := e.Sampling(context.Background(), nil, knobs)
	if err != nil || len(found) > 0 {
		tb.Fatal(err, found)
	}
	p := Plan{Ensemble: sampling.Ensemble, Measure: sampling.Measure, Count: 2 * blockBuilds, Seed: 1}
	for i := range knobs {
		l := Law{Shape: []Shape{Flat, Normal, Skewed, Measured}[i%4], Nominal: sampling.Ensemble.Nominal(i)}
		l.Low, l.High, l.SD = 0.95*l.Nominal, 1.05*l.Nominal, 0.02*l.Nominal
		if i%5 == 4 {
			l = l.InBatch("capacitors", 0.3)
		}
		p.Laws = append(p.Laws, l)
	}
	return p
}

// A plan for fewer builds makes the first of the same builds, wherever it
// ends in a block.
func TestFewerBuildsAreTheFirst(t *testing.T) {
	p := sixBands(t, equaliser.DrawingIdeal)
	p.Count = blockBuilds + 40
	whole := newRun(p, p.Measure().Figures())
	whole.measure(context.Background())
	for _, count := range []int{1, circuit.BuildCount - 1, circuit.BuildCount, circuit.BuildCount + 1, blockBuilds + 1} {
		p.Count = count
		r := newRun(p, whole.names)
		r.measure(context.Background())
		for f := range r.values {
			// Builds side by side share the rounds of a search, never their values.
			if !slices.Equal(r.values[f], whole.values[f][:count]) {
				t.Errorf("%d builds: %s differs from the first of more", count, whole.names[f])
			}
		}
	}
}

// A block of builds allocates nothing: not to draw, to turn, to measure or to
// keep.
func TestNoAllocationPerSample(t *testing.T) {
	p := sixBands(t, equaliser.DrawingIdeal)
	w := newWorker(newRun(p, p.Measure().Figures()))
	if n := testing.AllocsPerRun(1, func() { w.block(1) }); n != 0 {
		t.Errorf("%g allocations in %d builds", n, blockBuilds)
	}
}

// BenchmarkSpread is a whole run, sums and shares with it, by the build: of an
// equaliser of the demo's kind.
func BenchmarkSpread(b *testing.B) {
	p := sixBands(b, equaliser.DrawingTwoTransistor)
	p.Count, p.Workers = 8*blockBuilds, 2
	solves := 0
	for b.Loop() {
		r, _, err := Run(context.Background(), p)
		if err != nil {
			b.Fatal(err)
		}
		solves = r.Solves
	}
	b.ReportMetric(float64(b.Elapsed().Nanoseconds())/float64(b.N*p.Count)/1000, "µs/build")
	b.ReportMetric(float64(solves)/float64(p.Count), "solves/build")
}
