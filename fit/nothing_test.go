package fit_test

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fit"
	"bandwright/trials"
)

// between draws evenly on a logarithmic scale.
func between(rng *rand.Rand, low, high float64) float64 {
	return low * math.Pow(high/low, rng.Float64())
}

// original draws a unit that nobody has a drawing of.
func original(rng *rand.Rand) unit {
	bands := 5 + rng.IntN(3)
	u := unit{feed: between(rng, 1500, 3300)}
	u.feedback = u.feed * between(rng, 0.8, 1.25)
	ratio := math.Pow(100, 1/float64(bands-1)) // from 63 to 6300 Hz
	for i := range bands {
		hz := 63 * math.Pow(ratio, float64(i)) * between(rng, 0.88, 1.14)
		reactance := u.feed * between(rng, 0.3, 0.8)
		w := 2 * math.Pi * hz
		u.legs = append(u.legs, leg{band: fmt.Sprint(i + 1), hz: hz, track: 10e3 * between(rng, 0.85, 1.18), end: between(rng, 1, 5),
			ohms: u.feed * between(rng, 0.15, 0.35), dcr: u.feed * between(rng, 0.01, 0.08),
			henries: reactance / w, farads: 1 / (w * reactance), coreOhms: reactance * between(rng, 60, 200)})
	}
	return u
}

// onlyJoined is what is known of it: how it is joined up, with the marked values
// of feed, feedback and tracks' makers and any values in the legs.
func onlyJoined(u unit) unit {
	v := unit{feed: 2200, feedback: 2200}
	for _, l := range u.legs {
		v.legs = append(v.legs, leg{band: l.band, hz: 1000, track: 10e3, end: 2, ohms: 1000, henries: 1, farads: 1e-6, coreOhms: 100e3})
	}
	return v
}

// closedBox are the takes through the whole amplifier: flat and each slider at
// either end, with a power stage behind that shapes all alike.
func closedBox(u unit, hz []float64, rng *rand.Rand, sd float64) []fit.Take {
	settings := []curve.Setting{{}}
	for _, l := range u.legs {
		settings = append(settings, curve.Setting{}.WithSlider(l.band, 1), curve.Setting{}.WithSlider(l.band, -1))
	}
	low, high, dip, at := between(rng, 5, 40), between(rng, 8e3, 40e3), 4*rng.Float64(), between(rng, 50, 5e3)
	var takes []fit.Take
	for _, s := range settings {
		c := u.curve(s, hz)
		for i, f := range hz {
			x := math.Log2(f / at)
			c.DB[i] += 26 - 10*math.Log10(1+low*low/f/f) - 10*math.Log10(1+f*f/high/high) - dip*math.Exp(-x*x)
		}
		takes = append(takes, fit.Take{Curve: noisy(c, rng, sd, 0)})
	}
	return takes
}

// fromNothing asks for all that is not known of it.
func fromNothing(t testing.TB, u unit, takes []fit.Take) fit.Plan {
	p := plan(t, onlyJoined(u), takes)
	for _, l := range u.legs {
		p.Legs = append(p.Legs, fit.Leg{Band: l.band, Slider: l.band, Resistor: l.band + ".resistor",
			Coil: l.band + ".coil", Capacitor: l.band + ".capacitor"})
	}
	for _, l := range u.legs { // a coil's core loss is known to a factor of four or so
		p.Unknowns = append(p.Unknowns, fit.Unknown{Knob: circuit.Knob{Part: l.band + ".coil", Value: "CoreOhms"}, Prior: 1.5})
	}
	for _, l := range u.legs { // and tracks are within 20 % of what is marked
		p.Unknowns = append(p.Unknowns, fit.Unknown{Knob: circuit.Knob{Part: l.band, Value: "Track"}, Prior: 0.1})
	}
	for _, part := range []string{"feed", "feedback"} {
		p.Unknowns = append(p.Unknowns, fit.Unknown{Knob: circuit.Knob{Part: part, Value: "Ohms"}, Prior: 0.3})
	}
	p.FromNothing, p.Level, p.Stage = true, fit.LevelShared, true
	return p
}

// redrawn is the unit as the fit has it.
func redrawn(u unit, r *fit.Result) unit {
	v := onlyJoined(u)
	for i := range v.legs {
		v.legs[i].ohms, v.legs[i].henries, v.legs[i].farads = r.Values[3*i].Value, r.Values[3*i+1].Value, r.Values[3*i+2].Value
		v.legs[i].coreOhms = r.Values[3*len(v.legs)+i].Value
		v.legs[i].track = r.Values[4*len(v.legs)+i].Value
	}
	n := len(r.Values)
	v.feed, v.feedback = r.Values[n-2].Value, r.Values[n-1].Value
	return v
}

// TestFromNothing: a unit of which only the drawing is known, measured through a
// power stage that is not known either, is redrawn from its curves. The copy
// follows the original at settings that were not measured.
func TestFromNothing(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 91), 1))
	hz := curve.Grid(20, 20e3, 20)
	worst, off := 0.0, 0.0
	for n := range trials.Count(17) {
		u := original(rng)
		r := solved(t, fromNothing(t, u, closedBox(u, hz, rng, 0.05)))
		v := redrawn(u, r)
		square, count := 0.0, 0.0
		for range 4 {
			s := curve.Setting{}
			for _, l := range u.legs {
				s = s.WithSlider(l.band, []float64{-1, -0.5, 0, 0.5, 1}[rng.IntN(5)])
			}
			x, y := u.curve(s, hz), v.curve(s, hz)
			for i := range hz {
				square += (x.DB[i] - y.DB[i]) * (x.DB[i] - y.DB[i])
				count++
			}
		}
		rms := math.Sqrt(square / count)
		if worst = max(worst, rms); rms > 0.2 {
			t.Errorf("original %d: %.3f dB rms; %v", n, rms, r.Findings)
		}
		for band := range u.legs {
			a, _ := bandFigures(u, band)
			b, _ := bandFigures(v, band)
			if off = max(off, math.Abs(b-a)); math.Abs(b-a) > 0.01 {
				t.Errorf("original %d: centre of band %d off by %.2f %%", n, band+1, 100*(b-a))
			}
		}
	}
	t.Logf("worst %.3f dB rms, centres within %.3f %%", worst, 100*off)
}
