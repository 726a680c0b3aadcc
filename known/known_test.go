package known

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

const seed = 20260112

func TestEntriesAreWhole(t *testing.T) {
	names := map[string]bool{}
	for _, c := range All() {
		if c.Name == "" || c.Source == "" || names[c.Name] {
			t.Errorf("%q from %q: no name, no source, or twice", c.Name, c.Source)
		}
		names[c.Name] = true
		points, parts := inventory(t, c.Name, c.Parts)
		for _, p := range asked(c) {
			if !points[p] {
				t.Errorf("%s asks about point %q, which no part has", c.Name, p)
			}
		}
		for _, i := range c.Currents {
			if !parts[i.Part] {
				t.Errorf("%s asks about part %q", c.Name, i.Part)
			}
		}
		values := answers(c)
		if len(values) == 0 {
			t.Errorf("%s expects nothing", c.Name)
		}
		for _, v := range values {
			if v.Mark == "" || !(v.Tol > 0 || v.Want == 0) || math.IsNaN(v.Want) || math.IsInf(v.Want, 0) {
				t.Errorf("%s: value %+v without mark, tolerance or figure", c.Name, v)
			}
		}
	}
	t.Logf("%d circuits", len(names))
}

// inventory lists the points and parts of a circuit and checks that part
// names are unique and every point is reached from ground.
func inventory(t *testing.T, circuitName string, parts []circuit.Part) (points, names map[string]bool) {
	t.Helper()
	points, names = map[string]bool{}, map[string]bool{}
	root := map[string]string{}
	var find func(p string) string
	find = func(p string) string {
		if root[p] == "" || root[p] == p {
			return p
		}
		return find(root[p])
	}
	for _, p := range parts {
		if names[p.PartName()] {
			t.Errorf("%s: part %q twice", circuitName, p.PartName())
		}
		names[p.PartName()] = true
		for _, point := range p.Terminals() {
			points[point] = true
			root[find(point)] = find(p.Terminals()[0])
		}
	}
	for point := range points {
		if _, drives := parts[0].(circuit.OpAmp); !drives && find(point) != find(circuit.Ground) {
			t.Errorf("%s: point %q is not joined to ground", circuitName, point)
		}
	}
	return points, names
}

func asked(c Circuit) (points []string) {
	for _, v := range c.Volts {
		points = append(points, v.Plus, v.Minus)
	}
	for _, g := range c.Gains {
		points = append(points, g.Plus, g.Minus)
	}
	for _, e := range c.Extrema {
		points = append(points, e.Plus, e.Minus)
	}
	for _, x := range c.Crossings {
		points = append(points, x.Plus, x.Minus)
	}
	for _, d := range c.Derivatives {
		points = append(points, d.Point)
	}
	for _, n := range c.Noise {
		points = append(points, n.Point)
	}
	return points
}

func answers(c Circuit) (values []Value) {
	for _, v := range c.Volts {
		values = append(values, v.Value)
	}
	for _, i := range c.Currents {
		values = append(values, i.Value)
	}
	for _, g := range c.Gains {
		values = append(values, g.Magnitude)
		if g.Degrees != nil {
			values = append(values, *g.Degrees)
		}
	}
	for _, e := range c.Extrema {
		values = append(values, e.Hz)
		if e.Magnitude != nil {
			values = append(values, *e.Magnitude)
		}
	}
	for _, x := range c.Crossings {
		values = append(values, x.Hz)
	}
	for _, d := range c.Derivatives {
		values = append(values, d.Value)
	}
	for _, n := range c.Noise {
		values = append(values, n.Value)
	}
	return values
}

// Properties of the closed form that need no second computation: flat is 1
// whatever the legs; p → 1−p turns the gain over; R = 3 k and Rs = 1 k give 4,
// which is 12.04 dB, at resonance.
func TestIdealCell(t *testing.T) {
	rng := rand.New(rand.NewPCG(seed, 1))
	for bands := 1; bands <= 31; bands++ {
		ohms, legs := RandomCell(rng, bands)
		hz := logBetween(rng, 10, 40e3)
		h := IdealCell(ohms, legs, hz)
		turned, flat := append([]Leg(nil), legs...), append([]Leg(nil), legs...)
		for i := range legs {
			turned[i].Share = 1 - legs[i].Share
			flat[i].Share = 0.5
		}
		if product := h * IdealCell(ohms, turned, hz); cmplx.Abs(product-1) > 1e-12 {
			t.Errorf("seed %d, %d bands: gain times turned gain is %v", seed, bands, product)
		}
		if g := IdealCell(ohms, flat, hz); cmplx.Abs(g-1) > 1e-12 {
			t.Errorf("seed %d, %d bands: flat is %v", seed, bands, g)
		}
	}
	leg := Leg{Track: 10e3, Share: 1, Ohms: 1000, Henries: 0.1, Farads: 1e-6}
	h := IdealCell(3000, []Leg{leg}, 1/(2*math.Pi*math.Sqrt(0.1e-6)))
	if cmplx.Abs(h-4) > 1e-9 || math.Abs(20*math.Log10(cmplx.Abs(h))-12.04) > 0.005 {
		t.Errorf("R 3k over 1k gives %v", h)
	}
}

// The worked figures of the loaded track: greatest error in parts of full
// scale for a 10 k track, worked out from the formula.
func TestLoadedDividerErrors(t *testing.T) {
	for load, want := range map[float64]float64{200e3: 0.7326e-2, 1e6: 0.1479e-2, 20e3: 6.673e-2} {
		greatest := 0.0
		for i := range 100001 {
			a := float64(i) / 100000
			greatest = max(greatest, a-LoadedDivider(a, 10e3, load))
		}
		if math.Abs(greatest-want) > 0.5e-5 {
			t.Errorf("load %g: greatest error %.6f, want %.6f", load, greatest, want)
		}
	}
}

// Resonances of the table from memory, worked out with L = (R1−R2)·R2·C1.
func TestHandbookResonances(t *testing.T) {
	want := []float64{34.72, 63.11, 127.74, 254.72, 523.35, 964.45, 1997.6, 3770.8, 8098.8, 15761}
	for i, b := range HandbookTable() {
		if got := b.Resonance(); math.Abs(got/want[i]-1) > 2e-4 {
			t.Errorf("band %s: %.2f Hz, want %.2f", b.Name, got, want[i])
		}
		if off := b.Resonance()/b.Nominal - 1; math.Abs(off) > 0.09 {
			t.Errorf("band %s is %.1f %% off its label", b.Name, 100*off)
		}
	}
	all := curve.Setting{}
	for _, b := range HandbookTable() {
		all = all.WithSlider(b.Name, 1)
	}
	for hz := 30.0; hz <= 17e3; hz *= 1.01 {
		if db := 20 * math.Log10(cmplx.Abs(HandbookGain(all, hz))); db < 16.65 || db > 20.05 {
			t.Errorf("all up at %.0f Hz: %.2f dB, want 16.7 to 20.0", hz, db)
		}
	}
}

// A sample depends on its seed alone, is connected, and asks about its own
// points.
func TestRandomCircuits(t *testing.T) {
	for points := 2; points <= 40; points++ {
		for name, draw := range map[string]func(*rand.Rand) Sample{
			"passive": func(r *rand.Rand) Sample { return RandomPassive(r, points) },
			"linear":  func(r *rand.Rand) Sample { return RandomLinear(r, points, 1+points/5) },
			"active":  func(r *rand.Rand) Sample { return RandomActive(r, points, 1+points/5) },
			"coupled": func(r *rand.Rand) Sample { return RandomCoupled(r, points) },
			"valves":  func(r *rand.Rand) Sample { return RandomValves(r, points, 1+points/5) },
		} {
			s := draw(rand.New(rand.NewPCG(seed, uint64(points))))
			again := draw(rand.New(rand.NewPCG(seed, uint64(points))))
			if !reflect.DeepEqual(s, again) {
				t.Errorf("%s, %d points: two draws of one seed differ", name, points)
			}
			found, parts := inventory(t, name, s.Parts)
			if !parts[s.Source] || len(s.Outs) == 0 {
				t.Errorf("%s: source %q, outs %v", name, s.Source, s.Outs)
			}
			for _, out := range s.Outs {
				if !found[out] {
					t.Errorf("%s: no point %q", name, out)
				}
			}
		}
	}
}
