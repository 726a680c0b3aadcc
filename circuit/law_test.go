package circuit_test

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
	"bandwright/trials"
)

// TestLaw: a table is joined by straight lines; the zero law is linear.
func TestLaw(t *testing.T) {
	table := circuit.Law{Travel: []float64{0, 0.25, 0.5, 1}, Share: []float64{0, 0.05, 0.15, 1}}
	for _, c := range []struct {
		law                  circuit.Law
		travel, share, slope float64
	}{
		{circuit.Law{}, 0, 0, 1}, {circuit.Law{}, 0.3, 0.3, 1}, {circuit.Law{}, 1, 1, 1},
		{table, 0, 0, 0.2}, {table, 0.125, 0.025, 0.2}, {table, 0.25, 0.05, 0.2}, {table, 0.3, 0.07, 0.4},
		{table, 0.5, 0.15, 0.4}, {table, 0.75, 0.575, 1.7}, {table, 1, 1, 1.7},
	} {
		if s, d := c.law.At(c.travel), c.law.Slope(c.travel); math.Abs(s-c.share) > 1e-15 || math.Abs(d-c.slope) > 1e-12 {
			t.Errorf("at %g: %g rising %g, want %g rising %g", c.travel, s, d, c.share, c.slope)
		}
	}
}

// TestNamedLaws: an audio law has its share at half travel and the fitted
// curve R = (1.4^p − 1)/(1.4^10 − 1), p 0…10, is the one of 15.68 % (a
// newsgroup's fit, from the work; the figure worked out from it). An S law has
// its share in the middle half and is the same from both ends.
func TestNamedLaws(t *testing.T) {
	for _, half := range []float64{0.10, 0.15, 0.1568, 0.20, 0.5, 0.85} {
		law := circuit.AudioLaw(half)
		if got := law.At(0.5); math.Abs(got-half) > 1e-12 {
			t.Errorf("audio %g: %g at half travel", half, got)
		}
		back := law.Reversed()
		for k := range 101 {
			x := float64(k) / 100
			if off := back.At(x) - (1 - law.At(1-x)); math.Abs(off) > 1e-12 {
				t.Errorf("audio %g turned round is %g off at %g", half, off, x)
			}
			if twin := circuit.AudioLaw(1 - half).At(x); math.Abs(back.At(x)-twin) > 1e-12 {
				t.Errorf("audio %g turned round: %g at %g, want %g", half, back.At(x), x, twin)
			}
			a := (1/half - 1) * (1/half - 1)
			want := x
			if half != 0.5 {
				want = (math.Pow(a, x) - 1) / (a - 1)
			}
			if math.Abs(law.At(x)-want) > 6e-4 {
				t.Errorf("audio %g at %g: %g, curve %g", half, x, law.At(x), want)
			}
		}
	}
	fit := func(p float64) float64 { return (math.Pow(1.4, p) - 1) / (math.Pow(1.4, 10) - 1) }
	law := circuit.AudioLaw(fit(5))
	if math.Abs(fit(5)-0.1568) > 5e-5 {
		t.Errorf("the fit has %g at half travel", fit(5))
	}
	for p := range 11 {
		if got := law.At(float64(p) / 10); math.Abs(got-fit(float64(p))) > 6e-4 {
			t.Errorf("fit at %d: %g, want %g", p, got, fit(float64(p)))
		}
	}
	for _, middle := range []float64{0.2, 0.5, 0.8, 0.95} {
		law := circuit.SLaw(middle)
		if got := law.At(0.75) - law.At(0.25); math.Abs(got-middle) > 1e-12 || law.At(0.5) != 0.5 {
			t.Errorf("S %g: %g in the middle half, %g at half travel", middle, got, law.At(0.5))
		}
		for k := range 101 {
			x := float64(k) / 100
			if off := law.At(x) + law.At(1-x) - 1; math.Abs(off) > 1e-12 {
				t.Errorf("S %g is not the same from both ends: %g off at %g", middle, off, x)
			}
		}
		built(t, curve.Setting{}, circuit.Conditions{}, source("a", 0), resistor("load", "w", "0", 1e4),
			circuit.Slider{Name: "P", Boost: "a", Wiper: "w", Cut: "0", Track: 1e4, Law: law},
			circuit.Slider{Name: "Q", Boost: "a", Wiper: "w", Cut: "0", Track: 1e4, Law: circuit.AudioLaw(middle).Reversed()})
	}
}

// TestLawInCircuit: a divider follows its law, the ends and the load
// included, by the formula of the loaded divider.
func TestLawInCircuit(t *testing.T) {
	table := circuit.Law{Travel: []float64{0, 0.5, 1}, Share: []float64{0, 0.15, 1}}
	const track, load, end = 10e3, 47e3, 12.0
	for _, position := range []float64{-1, -0.5, 0, 0.3, 1} {
		st := built(t, curve.Setting{}.WithSlider("P", position), circuit.Conditions{}, source("a", 0), resistor("load", "w", "0", load),
			circuit.Slider{Name: "P", Boost: "a", Wiper: "w", Cut: "0", Track: track, Law: table, BoostEnd: end, CutEnd: end, WiperOhms: 100})
		share := table.At((position + 1) / 2)
		lower, upper := end+track*share, end+track*(1-share)
		// The open divider behind its resistance and the wiper's, loaded.
		behind := lower*upper/(lower+upper) + 100
		want := lower / (lower + upper) * load / (load + behind)
		if got := responded(t, st, "source", "w", 1000)[0]; math.Abs(real(got)-want) > 1e-12 || imag(got) != 0 {
			t.Errorf("position %g: %v, want %g", position, got, want)
		}
	}
}

// TestKept: a wire or contact that is kept carries what the parts behind it
// need, and changes nothing else.
func TestKept(t *testing.T) {
	parts := join(source("a", 12), circuit.Wire{Name: "W", A: "a", B: "b"}, resistor("R1", "b", "c", 1e3), footswitch("c", "d"),
		resistor("R2", "d", "0", 2e3), capacitor("C", "d", "0", 1e-7), coil("L", "c", "0", 1, 1e4))
	plain := built(t, curve.Setting{}, circuit.Conditions{}, parts...)
	kept := built(t, curve.Setting{}, circuit.Conditions{Keep: []string{"W", "lift"}}, parts...)
	for _, name := range []string{"W", "lift", "footswitch"} {
		if i, ok := plain.Current(name); ok {
			t.Errorf("%s gave %g A without being kept", name, i)
		}
	}
	shared := 2e3 * 1e4 / (2e3 + 1e4)
	total := 12 / (1e3 + shared)
	for name, want := range map[string]float64{"W": total, "R1": total, "lift": total * shared / 2e3, "R2": total * shared / 2e3, "L": total * shared / 1e4, "source": -total, "C": 0} {
		if i, ok := kept.Current(name); !ok || math.Abs(i-want) > 1e-12 {
			t.Errorf("%s carries %g A, %t, want %g", name, i, ok, want)
		}
	}
	if i, ok := built(t, lifted, circuit.Conditions{Keep: []string{"lift"}}, parts...).Current("lift"); i != 0 || !ok {
		t.Errorf("open, the contact carries %g A, %t", i, ok)
	}
	for _, point := range kept.Circuit().Points() {
		a, _ := plain.Volts(point)
		b, _ := kept.Volts(point)
		x, y := responded(t, plain, "source", point, 1000)[0], responded(t, kept, "source", point, 1000)[0]
		if math.Abs(a-b) > 1e-12 || math.Abs(real(x-y)) > 1e-14 || math.Abs(imag(x-y)) > 1e-14 {
			t.Errorf("%s: %g V and %v, kept %g V and %v", point, a, x, b, y)
		}
	}
}

// Kept, the contacts of random circuits change nothing but rounding.
func TestKeptOfRandom(t *testing.T) {
	from, contacts := trials.Seed(t, seed+51), 0
	for trial := range uint64(trials.Count(60)) {
		s := known.RandomPassive(rand.New(rand.NewPCG(from, trial)), 3+int(trial%12))
		var keep []string
		for _, p := range s.Parts {
			if c, ok := p.(circuit.Contact); ok {
				keep = append(keep, c.Name)
			}
		}
		contacts += len(keep)
		plain, kept := drawn(t, s), built(t, s.Setting, circuit.Conditions{Keep: keep}, s.Parts...)
		held(t, "kept", s.Parts, kept)
		for _, point := range plain.Circuit().Points() {
			a, _ := plain.Volts(point)
			b, _ := kept.Volts(point)
			if math.Abs(a-b) > 1e-9*math.Abs(a)+1e-12 {
				t.Errorf("trial %d, %s: %g V, kept %g V", trial, point, a, b)
			}
		}
	}
	if contacts == 0 {
		t.Error("no contact was kept")
	}
}
