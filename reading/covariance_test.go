package reading

import (
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"bandwright/circuit"
	"bandwright/known"
	"bandwright/trials"
)

const seed = 20260307

// sampledCase is a circuit, what is read of it, and what is uncertain.
type sampledCase struct {
	name     string
	circuit  *circuit.Circuit
	readings []Reading
	parts    []Uncertainty
}

// normal gives values of so many per cent deviation, drawn from a normal law.
func normal(c *circuit.Circuit, share float64, knobs ...circuit.Knob) []Uncertainty {
	var list []Uncertainty
	for _, k := range knobs {
		value, err := c.Value(k)
		if err != nil {
			panic(err)
		}
		list = append(list, Measured(k, share*math.Abs(value)))
	}
	return list
}

// everyKnob lists all values above 0 of all resistors, capacitors and coils.
func everyKnob(c *circuit.Circuit) (knobs []circuit.Knob) {
	for _, p := range c.Parts() {
		for _, value := range map[string][]string{
			"Resistor": {"Ohms"}, "Capacitor": {"Farads"}, "Inductor": {"Henries", "DCR"}, "Slider": {"Track"},
		}[reflect.TypeOf(p).Name()] {
			k := circuit.Knob{Part: p.PartName(), Value: value}
			if v, _ := c.Value(k); v > 0 {
				knobs = append(knobs, k)
			}
		}
	}
	return knobs
}

// turned gives the circuit with its uncertain values drawn.
func turned(t *testing.T, rng *rand.Rand, c *circuit.Circuit, parts []Uncertainty) *circuit.Circuit {
	t.Helper()
	groups, moved := map[string]float64{}, map[string]reflect.Value{}
	for _, u := range parts {
		z := rng.NormFloat64()
		if u.Group != "" {
			if _, drawn := groups[u.Group]; !drawn {
				groups[u.Group] = rng.NormFloat64()
			}
			z = z*math.Sqrt(1-u.Common) + groups[u.Group]*math.Sqrt(u.Common)
		}
		v, ok := moved[u.Knob.Part]
		if !ok {
			p, _ := c.Part(u.Knob.Part)
			v = reflect.New(reflect.TypeOf(p)).Elem()
			v.Set(reflect.ValueOf(p))
			moved[u.Knob.Part] = v
		}
		field := v.FieldByName(u.Knob.Value)
		field.SetFloat(field.Float() + u.SD*z)
	}
	var edits []circuit.Part
	for _, v := range moved {
		edits = append(edits, v.Interface().(circuit.Part))
	}
	next, err := c.Replace(edits...)
	if err != nil {
		t.Fatal(err)
	}
	return next
}

func sampledCases(t *testing.T, from uint64) []sampledCase {
	stage := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24},
		circuit.VoltageSource{Name: "source", Plus: "in", Minus: "0"},
		circuit.Capacitor{Name: "c", A: "in", B: "base", Farads: 1e-7},
		circuit.Resistor{Name: "b1", A: "rail", B: "base", Ohms: 470e3},
		circuit.Resistor{Name: "b2", A: "base", B: "0", Ohms: 82e3},
		circuit.Resistor{Name: "rc", A: "rail", B: "collector", Ohms: 10e3},
		circuit.Resistor{Name: "re", A: "emitter", B: "0", Ohms: 2.2e3},
		circuit.Transistor{Name: "q", Collector: "collector", Base: "base", Emitter: "emitter", Is: 1e-14, BetaF: 200, BetaR: 2})
	leg := wired(t,
		circuit.VoltageSource{Name: "source", Plus: "in", Minus: "0"},
		circuit.Resistor{Name: "feed", A: "in", B: "cut", Ohms: 2200},
		circuit.Slider{Name: "400", Boost: "far", Wiper: "w", Cut: "cut", Track: 10e3, CutEnd: 3},
		circuit.Resistor{Name: "far", A: "far", B: "0", Ohms: 2200},
		circuit.Resistor{Name: "r", A: "w", B: "a", Ohms: 330},
		circuit.Inductor{Name: "l", A: "a", B: "b", Henries: 0.2, DCR: 60},
		circuit.Capacitor{Name: "cap", A: "b", B: "0", Farads: 820e-9})
	bag := normal(leg, 0.005, everyKnob(leg)...)
	for i := range bag {
		bag[i].Group, bag[i].Common = "bag", 0.6
	}
	low := flat.WithSlider("400", -0.7)
	cases := []sampledCase{
		{"transistor stage, loaded", stage, []Reading{
			{Kind: Volts, Red: "base", Meter: Meter{InputOhms: 1e6}}, {Kind: Volts, Red: "collector"},
			{Kind: Volts, Red: "base", Black: "emitter"}, {Kind: Ohms, Red: "base"},
			{Kind: Gain, Source: "source", Red: "collector", Hz: []float64{30, 1e3}},
		}, append(normal(stage, 0.005, everyKnob(stage)...), Measured(circuit.Knob{Part: "q", Value: "BetaF"}, 4),
			Measured(circuit.Knob{Part: "rail", Value: "DC"}, 0.1))},
		{"leg from one bag", leg, []Reading{
			{Kind: Gain, Source: "source", Red: "cut", Hz: []float64{200, 400, 900}, Setting: low, Interface: Interface{Ohms: 10e3, Farads: 1e-9}},
			{Kind: Ohms, Red: "w", Black: "b", Setting: low}, {Kind: Ohms, Red: "far", Black: "cut", Setting: low},
		}, bag},
	}
	for trial := range uint64(trials.Count(4)) {
		s := known.RandomPassive(rand.New(rand.NewPCG(from, trial)), 3+3*int(trial%4))
		c := wired(t, s.Parts...)
		readings := []Reading{
			{Kind: Ohms, Red: s.Outs[0], Setting: s.Setting}, {Kind: Ohms, Red: s.Outs[len(s.Outs)-1], Setting: s.Setting},
		}
		if trial > 3 { // solving for a signal takes longest: make prove alone does it
			readings = append(readings, Reading{Kind: Gain, Source: s.Source, Red: s.Outs[0], Hz: []float64{50, 3e3}, Setting: s.Setting})
		}
		cases = append(cases, sampledCase{fmt.Sprintf("random %d", trial), c, readings, normal(c, 0.003, everyKnob(c)...)})
	}
	return cases
}

// moves says whether the parts move a reading by more than solving rounds it: a
// volt that is nought in every build is nought to 1e-14.
func moves(r Row) bool {
	return r.PartSD > 1e-12*max(1, math.Abs(r.Worst.Nominal))
}

// TestCovarianceSampled: sets of parts are drawn, every one solved anew, and
// the covariance of what is read agrees within its own standard error, which
// for normal laws is √((Vii·Vjj + Vij²)/(n−1)); and 95 of 100 readings lie in
// the range of 95 %.
func TestCovarianceSampled(t *testing.T) {
	t.Parallel()
	const draws = 2000
	from := trials.Seed(t, seed)
	sum, entries, inside, judged := 0.0, 0, 0, 0
	for n, k := range sampledCases(t, from) {
		p := predicted(t, k.circuit, k.readings, k.parts)
		rng := rand.New(rand.NewPCG(from, 100+uint64(n)))
		v := p.PartCovariance()
		s := make([][]float64, len(v))
		for i := range s {
			s[i] = make([]float64, len(v))
		}
		for range draws {
			rows := predicted(t, turned(t, rng, k.circuit, k.parts), k.readings, nil).Rows
			for i, row := range p.Numbered() {
				off := rows[row].Worst.Nominal - p.Rows[row].Worst.Nominal
				if moves(p.Rows[row]) {
					judged++
					if p.Rows[row].Likely.Holds(rows[row].Worst.Nominal) {
						inside++
					}
				}
				for j, other := range p.Numbered()[:i+1] {
					s[i][j] += off * (rows[other].Worst.Nominal - p.Rows[other].Worst.Nominal) / draws
				}
			}
		}
		for i := range v {
			for j := range i + 1 {
				if !moves(p.Rows[p.Numbered()[i]]) || !moves(p.Rows[p.Numbered()[j]]) {
					continue
				}
				error := math.Sqrt((v[i][i]*v[j][j] + v[i][j]*v[i][j]) / draws)
				z := (s[i][j] - v[i][j]) / error
				sum, entries = sum+z*z, entries+1
				if math.Abs(z) > 4.5 {
					t.Errorf("%s: covariance %d,%d is %v, sampled %v (%.1f standard errors)", k.name, i, j, v[i][j], s[i][j], z)
				}
			}
		}
	}
	rms, share := math.Sqrt(sum/float64(entries)), float64(inside)/float64(judged)
	t.Logf("%d entries, root-mean-square z %.2f; %.4f of %d readings in the range of 95 %%", entries, rms, share, judged)
	if rms < 0.6 || rms > 1.4 {
		t.Errorf("root-mean-square z %v", rms)
	}
	if math.Abs(share-0.95) > 0.006 {
		t.Errorf("%v of the readings lie in the range of 95 %%", share)
	}
}

// TestSharedPart: volts at the middle of a divider and the ohms of its lower
// half share r2; with deviations of one per cent each their correlation is
// 1/√2, whatever the divider (worked out from the definition).
func TestSharedPart(t *testing.T) {
	for _, r1 := range []float64{10, 1e3, 220e3} {
		for _, r2 := range []float64{33, 1e3, 1e6} {
			c := divider(t, 12, r1, r2)
			p := predicted(t, c, []Reading{{Kind: Volts, Red: "mid"}, {Kind: Ohms, Red: "mid"}},
				[]Uncertainty{Measured(ohms("r1"), 0.01*r1), Measured(ohms("r2"), 0.01*r2)})
			v, s := p.Covariance(), r1+r2
			near(t, "variance of volts", v[0][0], 2*math.Pow(12*r1*r2/(s*s)*0.01, 2), 1e-9)
			near(t, "variance of ohms", v[1][1], math.Pow(0.01*r2, 2), 1e-9)
			near(t, "covariance", v[0][1], 12*r1*r2/(s*s)*r2*1e-4, 1e-9)
			near(t, "correlation", v[0][1]/math.Sqrt(v[0][0]*v[1][1]), 1/math.Sqrt2, 1e-9)
			if v[1][0] != v[0][1] {
				t.Error("not symmetric")
			}
		}
	}
}

// TestGroups: of a divider from one bag only what the two do not share moves
// the middle: var = 2(1−ρ)·(E·r1·r2/(r1+r2)²·σ)²; their sum it moves all the
// more: (r1² + r2² + 2ρ·r1·r2)·σ².
func TestGroups(t *testing.T) {
	const r1, r2, sigma = 3.3e3, 8.2e3, 0.01
	c := divider(t, 5, r1, r2)
	for _, rho := range []float64{0, 0.25, 0.5, 1} {
		u := []Uncertainty{Measured(ohms("r1"), sigma*r1), Measured(ohms("r2"), sigma*r2)}
		for i := range u {
			u[i].Group, u[i].Common = "bag", rho
		}
		p := predicted(t, c, []Reading{{Kind: Volts, Red: "mid"}, {Kind: Ohms, Red: "rail"}}, u)
		slope := 5 * r1 * r2 / math.Pow(r1+r2, 2) * sigma
		if got, want := p.Rows[0].PartSD, slope*math.Sqrt(2*(1-rho)); math.Abs(got-want) > 1e-9*slope {
			t.Errorf("common %v: volts %v, want %v", rho, got, want)
		}
		near(t, "ohms", p.Rows[1].PartSD, sigma*math.Sqrt(r1*r1+r2*r2+2*rho*r1*r2), 1e-9)
		near(t, "worst ohms do not know bags", p.Rows[1].Worst.High, (r1+r2)*(1+3*sigma), 1e-9)
	}
}

// TestInterfaceLevel: the level is one error for all curves of one interface,
// so it falls out of a difference; the points' own errors add up in it.
func TestInterfaceLevel(t *testing.T) {
	c := divider(t, 5, 1e3, 1e3)
	one, other := LineInput(), LineInput()
	other.Name = "other"
	read := func(i Interface) Reading {
		return Reading{Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{100, 1e3}, Interface: i}
	}
	p := predicted(t, c, []Reading{read(one), read(one), read(other)}, nil)
	v := p.Covariance()
	point, level := 0.05*0.05, 0.5*0.5/3
	for i := range v {
		for j := range v {
			difference, want := v[i][i]+v[j][j]-2*v[i][j], 2*point
			if i == j {
				want = 0
			} else if (i < 4) != (j < 4) {
				want += 2 * level
			}
			if math.Abs(difference-want) > 1e-12 {
				t.Errorf("rows %d and %d: variance of the difference %v, want %v", i, j, difference, want)
			}
		}
	}
	for _, row := range p.PartCovariance() {
		for _, x := range row {
			if x != 0 {
				t.Errorf("nothing of the parts is uncertain: %v", x)
			}
		}
	}
}

// TestCorners: in a ladder every reading rises or falls with every resistor
// throughout, so the true range is that of the corners. The linear one agrees
// to the second order: within a few tolerances of its own width.
func TestCorners(t *testing.T) {
	for rungs := 1; rungs <= 3; rungs++ {
		for _, tolerance := range []float64{1e-4, 0.01, 0.05} {
			c, knobs := ladder(t, rungs)
			var u []Uncertainty
			for _, k := range knobs {
				value, _ := c.Value(k)
				u = append(u, Uncertainty{Knob: k, SD: tolerance * value / 2, Low: -tolerance * value / 2, High: tolerance * value})
			}
			readings := []Reading{{Kind: Volts, Red: "p1", Meter: Meter{InputOhms: 1e6}}, {Kind: Ohms, Red: "p1"}, {Kind: Ohms, Red: "rail"}}
			p := predicted(t, c, readings, u)
			low, high := cornersOf(t, c, readings, u)
			for i, row := range p.Rows {
				width := row.Worst.High - row.Worst.Low
				if off := max(math.Abs(row.Worst.Low-low[i]), math.Abs(row.Worst.High-high[i])); off > 3*tolerance*width+1e-12*high[i] {
					t.Errorf("%d rungs, %v: linear %v…%v, corners %v…%v", rungs, tolerance, row.Worst.Low, row.Worst.High, low[i], high[i])
				}
				if row.Likely.Low < row.Worst.Low || row.Likely.High > row.Worst.High {
					t.Errorf("95 %% is wider than the limits: %+v", row)
				}
			}
		}
	}
}

// ladder is rungs of series and shunt resistors on a rail.
func ladder(t *testing.T, rungs int) (*circuit.Circuit, []circuit.Knob) {
	parts := []circuit.Part{circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24}}
	var knobs []circuit.Knob
	last := "rail"
	for i := rungs; i >= 1; i-- {
		next := fmt.Sprint("p", i)
		series, shunt := fmt.Sprint("s", i), fmt.Sprint("r", i)
		parts = append(parts,
			circuit.Resistor{Name: series, A: last, B: next, Ohms: 1000 * float64(i)},
			circuit.Resistor{Name: shunt, A: next, B: "0", Ohms: 3300 / float64(i)})
		knobs, last = append(knobs, ohms(series), ohms(shunt)), next
	}
	return wired(t, parts...), knobs
}

// cornersOf solves every corner.
func cornersOf(t *testing.T, c *circuit.Circuit, readings []Reading, u []Uncertainty) (low, high []float64) {
	for corner := range 1 << len(u) {
		var edits []circuit.Part
		for k, x := range u {
			p, _ := c.Part(x.Knob.Part)
			r := p.(circuit.Resistor)
			if corner&(1<<k) != 0 {
				r.Ohms += x.High
			} else {
				r.Ohms += x.Low
			}
			edits = append(edits, r)
		}
		at, err := c.Replace(edits...)
		if err != nil {
			t.Fatal(err)
		}
		for i, row := range predicted(t, at, readings, nil).Rows {
			v := row.Worst.Nominal
			if corner == 0 {
				low, high = append(low, v), append(high, v)
			}
			low[i], high[i] = min(low[i], v), max(high[i], v)
		}
	}
	return low, high
}
