package stock

import (
	"context"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/trials"
)

// What a perfect meter shows of a made-up part, taken apart again, is the
// part: in either mode, warm or cold, and at any band.
func TestReadingsAreUndone(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260304), 1))
	for range trials.Count(10) {
		parts, truths := drawer(rng, 40, 150, 0, exact())
		for i, p := range parts {
			if !p.Measured() {
				continue
			}
			band, celsius := 63*math.Pow(100, rng.Float64()), 15+40*rng.Float64()
			e := p.SeriesAt(band, celsius, exact())
			is := truths[i].model
			is.DCR = Copper(is.DCR, 20, celsius)
			if p.Kind == Capacitor { // of less loss nothing is written down
				is.Loss = max(is.Loss, leastRead)
			}
			z := is.Impedance(band)
			near(t, p.ID+" ohms", e.Ohms, real(z), 1e-7)
			near(t, p.ID+" farads", e.Model.Farads, is.Farads, 1e-9)
			near(t, p.ID+" henries", e.Model.Henries, is.Henries, 1e-9)
			near(t, p.ID+" core", e.Model.CoreOhms, is.CoreOhms, 1e-6)
			near(t, p.ID+" copper", e.Model.DCR, is.DCR, 1e-12)
			if p.Kind == Coil {
				near(t, p.ID+" seen", e.Value, imag(z)/(2*math.Pi*band), 1e-9)
				near(t, p.ID+" Q", e.Q, imag(z)/real(z), 1e-7)
			} else {
				near(t, p.ID+" seen", e.Value, -1/(imag(z)*2*math.Pi*band), 1e-9)
			}
		}
	}
}

// The same model as the circuit has: its impedance is that of the circuit's
// own coil and capacitor, in series with a resistor that shows it.
func TestImpedanceIsTheCircuits(t *testing.T) {
	m := Model{Henries: 1.2, DCR: 310, CoreOhms: 2e5, SelfFarads: 220e-12}
	c := Model{Farads: 220e-9, Loss: 0.01}
	for _, part := range []struct {
		model Model
		is    circuit.Part
	}{
		{m, circuit.Inductor{Name: "x", A: "a", B: "b", Henries: m.Henries, DCR: m.DCR, CoreOhms: m.CoreOhms, SelfFarads: m.SelfFarads}},
		{c, circuit.Capacitor{Name: "x", A: "a", B: "b", Farads: c.Farads, Loss: c.Loss}},
	} {
		net, err := circuit.New(circuit.VoltageSource{Name: "source", Plus: "a", Minus: "0"}, part.is,
			circuit.Resistor{Name: "r", A: "b", B: "0", Ohms: 1000})
		if err != nil {
			t.Fatal(err)
		}
		state, err := net.Solve(context.Background(), curve.Setting{}, circuit.Conditions{})
		if err != nil {
			t.Fatal(err)
		}
		hz := []float64{63, 1000, 6300}
		r, err := state.Response(context.Background(), "source", []string{"b"}, hz)
		if err != nil {
			t.Fatal(err)
		}
		for i, f := range hz {
			want := 1000 / (1000 + part.model.Impedance(f))
			if got := r.Gains[0][i]; cmplx.Abs(got-want) > 1e-9*cmplx.Abs(want) {
				t.Errorf("%v Hz: %v, want %v", f, got, want)
			}
		}
	}
}

// The standard uncertainties against drawn meter errors: over a whole drawer
// the estimates lie off the truth by one of them, root mean square.
func TestUncertaintyAgainstSampling(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260305), 1))
	var value, ohms, model, dcr rms
	worst := 0.0
	for range trials.Count(40) {
		parts, truths := drawer(rng, 40, 40, 0, HandMeter())
		for i, p := range parts {
			if !p.Measured() {
				continue
			}
			is := truths[i].model
			band := p.Readings[0].Hertz * (0.5 + rng.Float64())
			e := p.SeriesAt(band, 20, HandMeter())
			z := is.Impedance(band)
			if p.Kind == Capacitor {
				value.add((e.Value + 1/(imag(z)*2*math.Pi*band)) / e.SE)
				model.add((e.Model.Farads - is.Farads) / e.ModelSE)
				continue
			}
			v := (e.Value - imag(z)/(2*math.Pi*band)) / e.SE
			value.add(v)
			worst = max(worst, math.Abs(v))
			model.add((e.Model.Henries - is.Henries) / e.ModelSE)
			ohms.add((e.Ohms - real(z)) / e.OhmsSE)
			dcr.add((e.Model.DCR - is.DCR) / e.DCRSE)
		}
	}
	t.Logf("rms z: value %.3f, model %.3f, ohms %.3f, DCR %.3f; worst value %.2f", value.root(), model.root(), ohms.root(), dcr.root(), worst)
	for what, z := range map[string]rms{"value": value, "model": model, "ohms": ohms, "DCR": dcr} {
		if r := z.root(); r < 0.85 || r > 1.15 || z.count < 1000 {
			t.Errorf("%s: rms z %.3f of %d", what, r, z.count)
		}
	}
}

type rms struct {
	sum   float64
	count int
}

func (r *rms) add(z float64) { r.sum, r.count = r.sum+z*z, r.count+1 }

func (r rms) root() float64 { return math.Sqrt(r.sum / float64(r.count)) }

// A mode nobody wrote down: the value lies half way, and the uncertainty
// covers both meanings evenly.
func TestModeUnknown(t *testing.T) {
	p := Part{ID: "L1", Kind: Coil, Count: 1, Readings: []Reading{{Value: 1, Hertz: 1000, Q: 4, DCR: 300}}}
	e := p.SeriesAt(1000, 20, exact())
	series, parallel := 1.0, SeriesHenries(1, 4)
	near(t, "half way", e.Value, (series+parallel)/2, 1e-12)
	near(t, "half the way over √3", e.SE, (series-parallel)/2/math.Sqrt(3), 1e-6)
	if ids(e.Findings) != "no-mode" {
		t.Error(e.Findings)
	}
}

// A parallel reading without Q, turned by the DCR alone: exact for a coil
// without core loss.
func TestParallelByCopper(t *testing.T) {
	is := Model{Henries: 0.8, DCR: 900}
	lp, _ := shown(is, Coil, Parallel, 1000)
	p := Part{ID: "L1", Kind: Coil, Count: 1, Readings: []Reading{{Value: lp, Hertz: 1000, Mode: Parallel, DCR: 900}}}
	near(t, "Ls", p.SeriesAt(400, 20, exact()).Value, 0.8, 1e-12)
}

// Of several readings the nearest counts, but a doubtful one only for want of
// a better.
func TestWhichReading(t *testing.T) {
	p := Part{ID: "L1", Kind: Coil, Count: 1, Readings: []Reading{
		{Value: 0.69, Hertz: 120, Mode: Series, Q: 2.4}, {Value: 0.71, Hertz: 10e3, Mode: Series, Q: 30},
		{Value: 0.70, Hertz: 1000, Mode: Series, Q: 12, DCR: 210}, {Value: 0.72, Mode: Series, Q: 12}}}
	for band, want := range map[float64]float64{63: 0.70, 160: 0.70, 1000: 0.70, 6300: 0.71} {
		if r, ok := p.at(band); !ok || r.Value != want {
			t.Errorf("at %v Hz the reading %+v", band, r)
		}
	}
	p.Readings = []Reading{p.Readings[3], p.Readings[0]}
	if r, _ := p.at(63); r.Value != 0.69 {
		t.Errorf("%+v", r)
	}
}

// Self-resonance in the place of self-capacitance says the same.
func TestSelfResonanceServes(t *testing.T) {
	is := Model{Henries: 1, DCR: 1e-6, SelfFarads: 300e-12}
	value, loss := shown(is, Coil, Series, 1000)
	p := Part{ID: "L1", Kind: Coil, Count: 1, SelfResonance: ResonantHertz(1, 300e-12),
		Readings: []Reading{{Value: value, Hertz: 1000, Mode: Series, Q: 1 / loss, DCR: 1e-6}}}
	e := p.SeriesAt(400, 20, exact())
	near(t, "L", e.Model.Henries, 1, 1e-9)
	near(t, "C", e.Model.SelfFarads, 300e-12, 1e-9)
}

// What is warned of at a band.
func TestSeriesFindings(t *testing.T) {
	dcr := Reading{Value: 1.1, Hertz: 1000, Mode: Series, Q: 12, DCR: 390}
	with := func(change func(*Part, *Reading)) Part {
		p := Part{ID: "L1", Kind: Coil, Marked: 1, Count: 1}
		r := dcr
		change(&p, &r)
		p.Readings = []Reading{r}
		return p
	}
	for want, p := range map[string]Part{
		"test-frequency": with(func(*Part, *Reading) {}),
		"":               with(func(_ *Part, r *Reading) { r.Value = 0.9 }),
		"low-q":          with(func(_ *Part, r *Reading) { r.Value, r.Q = 0.9, 2.9 }),
		"no-dcr":         with(func(_ *Part, r *Reading) { r.Value, r.DCR = 0.9, 0 }),
		"no-frequency":   with(func(_ *Part, r *Reading) { r.Hertz = 0 }),
		"no-loss no-dcr": with(func(_ *Part, r *Reading) { r.Value, r.Q, r.DCR, r.Mode = 0.9, 0, 0, Parallel }),
		"near-resonance near-resonance": with(func(p *Part, r *Reading) {
			r.Value, p.SelfResonance = 0.9, 4500
		}),
		"above-resonance":                   with(func(p *Part, r *Reading) { r.Value, p.SelfResonance = 0.9, 900 }),
		"not-measured no-tolerance no-dcr":  {ID: "L2", Kind: Coil, Marked: 1, Count: 1},
		"not-measured no-tolerance no-dcr ": {ID: "L2", Kind: Coil, Marked: 1, Count: 5, Readings: []Reading{{Value: 2}}},
		"not-measured no-tolerance":         {ID: "C2", Kind: Capacitor, Marked: 1e-7, Count: 1},
	} {
		e := p.SeriesAt(1600, 20, HandMeter())
		if got := ids(e.Findings); got != strings.TrimSpace(want) {
			t.Errorf("%q, want %q: %v", got, want, e.Findings)
		}
		for _, f := range e.Findings {
			if f.Place.Part != p.ID || f.Level == finding.Error {
				t.Errorf("%v", f)
			}
		}
	}
	// A meter whose leaflet says nothing of this field.
	m := Meter{Name: "box", Limits: []Limit{{Kind: Capacitor, Basic: 0.01}}}
	p := with(func(_ *Part, r *Reading) { r.Value = 0.9 })
	if e := p.SeriesAt(1600, 20, m); ids(e.Findings) != "meter-gap" || e.SE != p.SeriesAt(1600, 20, HandMeter()).SE {
		t.Errorf("%+v", e)
	}
}

// A coil without DCR and loss exactly at its self-resonance stays finite, and
// above it is what it is: no coil.
func TestAtAndAboveResonance(t *testing.T) {
	p := Part{ID: "L1", Kind: Coil, Marked: 1, Count: 1, SelfFarads: 1 / square(2*math.Pi*1000)}
	for _, hertz := range []float64{1000, math.Nextafter(1000, 0), math.Nextafter(1000, 2000)} {
		if e := p.SeriesAt(hertz, 20, HandMeter()); math.IsNaN(e.Value) || math.IsInf(e.Value, 0) || math.IsNaN(e.SE) || math.IsInf(e.SE, 0) {
			t.Errorf("%+v", e)
		}
	}
	if e := p.SeriesAt(2000, 20, HandMeter()); e.Value >= 0 {
		t.Errorf("%+v", e)
	}
}

// The laws' deviations against samples drawn by their shapes.
func TestLaws(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260306), 1))
	z := quantity.Tolerance{Minus: 0.2, Plus: 0.8}
	five := quantity.Tolerance{Minus: 0.05, Plus: 0.05}
	for _, c := range []struct {
		law  Law
		draw func(Law) float64
	}{
		{FlatLaw(100, five), func(l Law) float64 { return l.Low + rng.Float64()*(l.High-l.Low) }},
		{SkewedLaw(100, z), func(l Law) float64 { return triangle(rng, l) }},
		{NormalLaw(100, five), func(l Law) float64 { return l.Nominal + rng.NormFloat64()*l.SD }},
	} {
		const n = 40000
		sum, squares := 0.0, 0.0
		for range n {
			v := c.draw(c.law) - c.law.Nominal
			sum, squares = sum+v, squares+v*v
		}
		sd := math.Sqrt(squares/n - square(sum/n))
		near(t, string(c.law.Shape)+" SD", c.law.SD, sd, 0.02)
	}
	// Worked out from the definition: uniform ±5 % has 2.887 % deviation.
	near(t, "±5 % flat", FlatLaw(1, five).SD, 0.0288675, 1e-6)
	p := Part{ID: "C1", Kind: Capacitor, Marked: 1e-7, Tolerance: &z, Count: 3}
	if law, _ := p.Law(1000, 20, HandMeter()); law.Shape != Skewed || law.High != 1.8e-7 {
		t.Errorf("%+v", law)
	}
	p = Part{ID: "C1", Kind: Capacitor, Marked: 1e-7, Count: 1, Readings: []Reading{{Value: 1.03e-7, Hertz: 1000, Mode: Parallel}}}
	law, list := p.Law(1000, 20, HandMeter())
	limit := 0.007*1.03e-7 + 3*0.1e-9
	if near(t, "SD", law.SD, limit/math.Sqrt(3), 1e-6); law.Shape != FromReadings || law.Nominal != 1.03e-7 || len(list) > 0 {
		t.Errorf("%+v %v", law, list)
	}
	for kind, want := range map[Kind]float64{Coil: 0.2, Capacitor: 0.1, Resistor: 0.05} {
		law, list := Part{ID: "x", Kind: kind, Marked: 1, Count: 1}.Law(1000, 20, HandMeter())
		if near(t, "assumed", law.High, 1+want, 1e-12); ids(list) != "no-tolerance" {
			t.Errorf("%v", list)
		}
	}
}

// triangle draws from a triangle by the sum rule of two branches.
func triangle(rng *rand.Rand, l Law) float64 {
	u, split := rng.Float64(), (l.Nominal-l.Low)/(l.High-l.Low)
	if u < split {
		return l.Low + math.Sqrt(u*(l.High-l.Low)*(l.Nominal-l.Low))
	}
	return l.High - math.Sqrt((1-u)*(l.High-l.Low)*(l.High-l.Nominal))
}
