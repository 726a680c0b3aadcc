package equaliser

import (
	"context"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/quantity"
	"bandwright/trials"
)

// legTwin is a leg's values, as the exhaustive twin moves them.
type legTwin struct{ ohms, henries, dcr, farads float64 }

// errorOf builds an equaliser with these legs and weighs what its bands do,
// with a formula of its own.
func errorOf(t *testing.T, s Spec, wanted []Wanted, legs []legTwin) float64 {
	t.Helper()
	s.Bands = slices.Clone(s.Bands)
	for i, l := range legs {
		s.Bands[i].Resistor.Ohms, s.Bands[i].Capacitor.Farads = l.ohms, l.farads
		s.Bands[i].Coil.Henries, s.Bands[i].Coil.DCR = l.henries, l.dcr
	}
	e := mustBuild(t, s)
	features, _, err := e.Features(context.Background(), nil, e.Flat())
	if err != nil {
		t.Fatal(err)
	}
	sum := 0.0
	for i, f := range features {
		if !f.Found || f.Q == nil {
			return math.Inf(1)
		}
		for _, v := range []float64{
			math.Log(f.CentreHz/wanted[i].CentreHz) / 0.01,
			(f.BoostDB - wanted[i].BoostDB) / 0.2,
			math.Log(*f.Q/wanted[i].Q) / 0.1,
		} {
			sum += v * v
		}
	}
	return sum
}

// allowedFor lists every value of the pick for a part about a value: owned
// ones, or those of the series within a factor of 3, with a wire for a
// resistor.
func allowedFor(pick Pick, about, perHenry float64, resistor bool) []choice {
	var list []choice
	for _, o := range pick.Owned {
		list = append(list, choice{o.Value, o.DCR, o.Name})
	}
	if list != nil {
		return list
	}
	if resistor {
		list = append(list, choice{})
		about = max(about, 3)
	}
	for _, v := range quantity.Within(pick.Series, about/3, about*3) {
		if !resistor || v >= 1 {
			list = append(list, choice{value: v, dcr: perHenry * v})
		}
	}
	return list
}

// move gives the legs with one part changed.
func move(legs []legTwin, band, part int, c choice) []legTwin {
	legs = slices.Clone(legs)
	switch part {
	case partResistor:
		legs[band].ohms = c.value
	case partCoil:
		legs[band].henries, legs[band].dcr = c.value, c.dcr
	case partCapacitor:
		legs[band].farads = c.value
	}
	return legs
}

func valueOf(l legTwin, part int) float64 { return [...]float64{l.ohms, l.henries, l.farads}[part] }

// pass tries every allowed value of every part, one part after the other, and
// keeps what is better.
func pass(t *testing.T, s Spec, wanted []Wanted, legs []legTwin, now float64) ([]legTwin, float64) {
	for band, w := range wanted {
		for _, part := range []int{partCoil, partCapacitor, partResistor} {
			from := legs
			for _, c := range allowedFor(w.picks()[part], valueOf(from[band], part), w.OhmsPerHenry, part == partResistor) {
				trial := move(from, band, part, c)
				if sum := errorOf(t, s, wanted, trial); sum < now {
					legs, now = trial, sum
				}
			}
		}
	}
	return legs, now
}

// Choosing from allowed values against a twin that builds every circuit
// anew and tries all values of one part at a time, from the nearest values, as
// often as that helps: the answer is never worse, and no single change of a
// part makes it better.
func TestChoosingIsNeverWorseThanOnePartAtATime(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 20260302), 1))
	better := 0
	for n := range trials.Count(2) {
		s, targets := choosingCase(t, r, n)
		d, _, err := mustBuild(t, forgotten(s)).Design(context.Background(), targets)
		if err != nil {
			t.Fatal(err)
		}
		var nearest, chosen []legTwin
		for i, b := range d.Bands {
			free := []legTwin{{b.Free.Ohms, b.Free.Henries, b.Free.DCR, b.Free.Farads}}
			for part, pick := range targets.Wanted[i].picks() {
				list := allowedFor(pick, valueOf(free[0], part), targets.Wanted[i].OhmsPerHenry, part == partResistor)
				c := slices.MinFunc(list, func(p, q choice) int {
					away := func(c choice) float64 { return math.Abs(math.Log(c.value / valueOf(free[0], part))) }
					return compare(away(p), away(q))
				})
				free = move(free, 0, part, c)
			}
			nearest = append(nearest, free[0])
			chosen = append(chosen, legTwin{b.Chosen.Ohms, b.Chosen.Henries, b.Chosen.DCR, b.Chosen.Farads})
		}
		own := errorOf(t, s, targets.Wanted, chosen)
		if math.Abs(own-d.Error) > 1e-6*(1+own) {
			t.Errorf("case %d: error %g said, %g is", n, d.Error, own)
		}
		if _, least := pass(t, s, targets.Wanted, chosen, own); least < own*(1-1e-4)-1e-7 {
			t.Errorf("case %d: one part changed makes %g of %g", n, least, own)
		}
		twin := errorOf(t, s, targets.Wanted, nearest)
		for before := math.Inf(1); twin < before; {
			before = twin
			nearest, twin = pass(t, s, targets.Wanted, nearest, twin)
		}
		if own > twin*(1+1e-4)+1e-7 {
			t.Errorf("case %d: error %g, one part at a time from the nearest gives %g", n, own, twin)
		}
		if own < twin*(1-1e-4) {
			better++
		}
		t.Logf("case %d, %d bands: error %.4g, one part at a time %.4g", n, len(s.Bands), own, twin)
		checkAllowed(t, d)
	}
	t.Logf("better than one part at a time in %d", better)
}

// choosingCase draws one or two bands with allowed values.
func choosingCase(t *testing.T, r *rand.Rand, n int) (Spec, Targets) {
	for {
		s := drawLegs(r, DrawingIdeal, 1+n%2)
		targets, ok := wantedOf(t, s)
		if !ok {
			continue
		}
		for i := range targets.Wanted {
			w := &targets.Wanted[i]
			w.Resistor.Series, w.Capacitor.Series = quantity.E24, quantity.E12
			w.Coil.Series = quantity.E12
			if n%4 == 1 || n%4 == 2 {
				w.Coil = Pick{Owned: drawCoils(r, s.Bands[i].Coil)}
			}
		}
		return s, targets
	}
}

// drawCoils draws coils about one, each with copper of its own.
func drawCoils(r *rand.Rand, about circuit.Inductor) []Owned {
	var list []Owned
	for i := range 9 {
		ratio := math.Exp(r.NormFloat64() * 0.5)
		list = append(list, Owned{Name: "L" + string(rune('a'+i)), Value: about.Henries * ratio,
			DCR: about.DCR * ratio * (0.8 + 0.4*r.Float64())})
	}
	return list
}

// checkAllowed looks that every chosen value is one that was allowed.
func checkAllowed(t *testing.T, d *Designed) {
	t.Helper()
	for _, b := range d.Bands {
		values := [...]float64{b.Chosen.Ohms, b.Chosen.Henries, b.Chosen.Farads}
		names := [...]string{b.Chosen.Resistor, b.Chosen.Coil, b.Chosen.Capacitor}
		for part, pick := range b.Wanted.picks() {
			switch {
			case len(pick.Owned) > 0:
				i := slices.IndexFunc(pick.Owned, func(o Owned) bool { return o.Name == names[part] })
				if i < 0 || pick.Owned[i].Value != values[part] || part == partCoil && pick.Owned[i].DCR != b.Chosen.DCR {
					t.Errorf("%s: %s %q of %g is not owned", b.Wanted.Band, partWords[part], names[part], values[part])
				}
			case pick.Series != 0 && values[part] != 0 && !quantity.Contains(pick.Series, values[part]):
				t.Errorf("%s: %s of %g is not of %v", b.Wanted.Band, partWords[part], values[part], pick.Series)
			}
		}
	}
}
