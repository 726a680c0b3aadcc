package stock

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/trials"
)

// near wants got within a relative distance of want.
func near(t *testing.T, what string, got, want, relative float64) {
	t.Helper()
	if !(math.Abs(got-want) <= relative*math.Abs(want)) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// Worked out from the definition: Lp/Ls = 1 + 1/Q², Cs/Cp = 1 + D².
func TestSeriesParallelTable(t *testing.T) {
	for _, c := range []struct{ q, ratio float64 }{
		{1, 2}, {2, 1.25}, {3, 10.0 / 9}, {5, 1.04}, {10, 1.01}, {100, 1.0001},
	} {
		near(t, "Lp", ParallelHenries(0.68, c.q), 0.68*c.ratio, 1e-15)
		near(t, "Ls", SeriesHenries(0.68*c.ratio, c.q), 0.68, 1e-15)
		near(t, "Cs", SeriesFarads(100e-9, 1/c.q), 100e-9*c.ratio, 1e-15)
		near(t, "Cp", ParallelFarads(100e-9*c.ratio, 1/c.q), 100e-9, 1e-15)
	}
}

// Every conversion is undone by its inverse and agrees with the impedance it
// stands for, over the whole range of a drawer.
func TestConversionsRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260303), 1))
	for range trials.Count(5000) {
		henries, q := math.Pow(10, -4+5*rng.Float64()), math.Pow(10, -1+4*rng.Float64())
		hertz, farads := math.Pow(10, 1+4*rng.Float64()), math.Pow(10, -12+4*rng.Float64())
		near(t, "Ls → Lp → Ls", SeriesHenries(ParallelHenries(henries, q), q), henries, 1e-14)
		near(t, "Cp → Cs → Cp", ParallelFarads(SeriesFarads(farads, 1/q), 1/q), farads, 1e-14)
		near(t, "Rc → Q → Rc", CoreOhms(henries, CoreQ(henries, q, hertz), hertz), q, 1e-14)
		near(t, "C → f → C", ResonantFarads(henries, ResonantHertz(henries, farads)), farads, 1e-13)
		w := 2 * math.Pi * hertz
		z := complex(w*henries/q, w*henries) // Ls and its resistance
		y := 1 / z
		near(t, "Lp of the impedance", ParallelHenries(henries, q), -1/(imag(y)*w), 1e-12)
		if seen, ok := SeenHenries(henries, farads, hertz); ok {
			if w*w*henries*farads < 0.99 {
				near(t, "L → seen → L", TrueHenries(seen, farads, hertz), henries, 1e-12)
			}
		} else if hertz < ResonantHertz(henries, farads) {
			t.Errorf("%v H with %v F is no coil at %v Hz", henries, farads, hertz)
		}
		from, to := -20+80*rng.Float64(), -20+120*rng.Float64()
		near(t, "copper there and back", Copper(Copper(q, from, to), to, from), q, 1e-14)
	}
}

// 1 H with 300 pF reads 1.2 % high at 1 kHz: worked out from the definition.
func TestSelfCapacitanceLifts(t *testing.T) {
	seen, ok := SeenHenries(1, 300e-12, 1000)
	if !ok || math.Abs(seen-1.0120) > 5e-5 {
		t.Errorf("%v %v", seen, ok)
	}
	if _, ok := SeenHenries(1, 300e-12, 9200); ok {
		t.Error("a coil above its self-resonance of 9189 Hz")
	}
}

// Copper with the 0.00393/K of IEC 60028 (as quoted by a second text). The
// first value is worked out from it; +40 K brings +15.7 %.
func TestCopper(t *testing.T) {
	near(t, "15 ohm from 20 to 35 °C", Copper(15, 20, 35), 15.88425, 1e-12)
	near(t, "+40 K", Copper(100, 20, 60), 115.72, 1e-12)
	near(t, "cooled to 20 °C", Copper(115.72, 60, 20), 100, 1e-12)
}

func TestTestFrequency(t *testing.T) {
	for henries, want := range map[float64]float64{
		0.005: 10e3, 0.0199: 10e3, 0.02: 1000, 0.3: 1000, 1: 1000, 1.01: 120, 4: 120,
	} {
		if wanted, _ := TestFrequency(henries); wanted != want {
			t.Errorf("%v H: %v Hz", henries, wanted)
		}
	}
}

// The step of the last digit: 2000 counts show 199.9 and 0.200 k.
func TestStep(t *testing.T) {
	for _, c := range []struct{ value, counts, want float64 }{
		{1999, 2000, 1}, {2000, 2000, 10}, {0.701, 2000, 0.001}, {103e-9, 2000, 0.1e-9}, {5.999, 6000, 0.001}, {6.0, 6000, 0.01}, {1, 0, 0}, {0, 2000, 0},
	} {
		if c.want == 0 {
			if step(c.value, c.counts) != 0 {
				t.Errorf("%+v: %v", c, step(c.value, c.counts))
			}
			continue
		}
		near(t, "step", step(c.value, c.counts), c.want, 1e-12)
	}
	l := Limit{Basic: 0.01, Digits: 5, Counts: 2000, PerQ: 3, Floor: 1e-6}
	near(t, "limit", l.Greatest(0.7, 0.1), (0.007+0.005)*1.3+1e-6, 1e-12)
}
