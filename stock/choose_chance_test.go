package stock

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// believed draws what a part may truly be by what Chance is said to believe,
// without a line of how it draws: a part is made, and thrown away until a
// perfect meter would show of it what the real one may have read. Where the
// reading leaves a narrow window, only that is drawn from: within it the law
// is level.
func believed(rng *rand.Rand, p Part, m Meter) Model {
	if !p.Measured() {
		return markedTruth(rng, p)
	}
	r := p.Readings[0]
	e := p.SeriesAt(1000, 20, m)
	about, wide := max(e.Model.Henries, e.Model.Farads), 0.03+3*e.ModelSE/max(e.Model.Henries, e.Model.Farads)
	l, _ := m.limit(p.Kind, r.Mode, r.Hertz)
	ohms, _ := m.limit(Resistor, "", 0)
	read, _ := r.loss()
	for range 1_000_000 {
		is, v := markedTruth(rng, p), within(rng, about, wide)
		switch p.Kind {
		case Coil:
			is = Model{Henries: v, DCR: r.DCR + (rng.Float64()*2-1)*ohms.Greatest(r.DCR, 0),
				CoreOhms: CoreOhms(v, 30+rng.Float64()*100, 1000), SelfFarads: within(rng, p.SelfFarads, 0.2)}
		case Capacitor:
			is.Farads = v
		}
		value, loss := shown(is, p.Kind, r.Mode, r.Hertz)
		if math.Abs(v/p.Marked-1) <= p.Tolerance.Plus && math.Abs(r.Value-value) <= l.Greatest(r.Value, read) &&
			math.Abs(read-loss) <= l.Loss {
			return is
		}
	}
	panic("no truth fits the reading of " + p.ID)
}

// markedTruth draws a part by its marking.
func markedTruth(rng *rand.Rand, p Part) Model {
	if p.Kind == Resistor {
		return Model{Ohms: within(rng, p.Marked, 0.05)}
	}
	return Model{Farads: within(rng, p.Marked, 0.05), Loss: rng.Float64() * 0.011}
}

// trueShare gives the share of true boards that hold within the limits, from
// draws of what the chosen parts may truly be.
func trueShare(t *testing.T, rng *rand.Rand, q Board, a *Chosen, draws int) float64 {
	t.Helper()
	c := q.begin()
	if err := c.check().Err(); err != nil {
		t.Fatal(err)
	}
	byID := map[string]Part{}
	for _, p := range q.Parts {
		byID[p.ID] = p
	}
	model := func(p Taken) Model {
		if p.ID == "" {
			return Model{Ohms: within(rng, p.Value, 0.05)} // as E24 is made
		}
		return believed(rng, byID[p.ID], q.Meter)
	}
	holding := 0
	for first := 0; first < draws; first += circuit.BuildCount {
		c.room.take(c.want, min(circuit.BuildCount, draws-first), func(_, band int) Model {
			b := a.Bands[band]
			var second Model
			if len(b.Capacitors) > 1 {
				second = model(b.Capacitors[1])
			}
			return legOf(model(b.Coil), model(b.Capacitors[0]), second, b.InSeries, model(b.Resistor).Ohms)
		}, func(_ int, figures [][3]float64) {
			all := true
			for band, f := range figures {
				all = all && math.Abs(f[0]/q.Bands[band].CentreHz-1) <= c.Limits.Centre && math.Abs(f[1]-q.Bands[band].BoostDB) <= c.Limits.Boost
			}
			if all {
				holding++
			}
		})
	}
	return float64(holding) / float64(draws)
}

// The printed chance that all bands truly hold, against truths that readings
// leave possible: right within 3 points, and what so many draws leave open.
// Two boards of three are judged by wider limits, where the chance is neither near
// nought nor near one, and the parts well known are preferred.
func TestChanceIsTrue(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260403), 1))
	const draws = 4096
	sum, cases := 0.0, trials.Count(3)
	for n := range cases {
		q := someBoard(t, rng, sixBands, 40, 150, 30)
		q.Doubt, q.Spread = 1, 3 // so that every drawer has a coil for every band
		q.Draws, q.Random = draws, rand.New(rand.NewPCG(rng.Uint64(), 2))
		q.Limits = [...]Limits{{}, {Centre: 0.015, Boost: 0.3}, {Centre: 0.02, Boost: 0.4}}[n%3]
		a := choose(t, q)
		counted(t, q, a)
		truth := trueShare(t, rng, q, a, draws)
		open := math.Hypot(a.Chance.SE, math.Sqrt(truth*(1-truth)/draws))
		t.Logf("drawer %d: printed %.1f ± %.1f %%, true %.1f %%", n, 100*a.Chance.Share, 100*a.Chance.SE, 100*truth)
		if d := math.Abs(a.Chance.Share - truth); d > 0.03+2.6*open {
			t.Errorf("drawer %d: printed %.3f, true %.3f", n, a.Chance.Share, truth)
		}
		if want := math.Sqrt(a.Chance.Share * (1 - a.Chance.Share) / draws); math.Abs(a.Chance.SE-want) > 1e-3 {
			t.Errorf("standard error %g, the binomial's is %g", a.Chance.SE, want)
		}
		sum += a.Chance.Share - truth
	}
	t.Logf("on the mean %+.2f points off", 100*sum/float64(cases))
	if math.Abs(sum/float64(cases)) > 0.03 {
		t.Errorf("on the mean %.3f off", sum/float64(cases))
	}
}

// The inverse distribution of a triangle: its ends, its top, and its mean
// (a + b + c)/3 (worked out from the definition).
func TestSkewedDraws(t *testing.T) {
	l := Law{Nominal: 10, Low: 8, High: 18, Shape: Skewed}
	if l.at(0) != 8 || math.Abs(l.at(0.2)-10) > 1e-12 || l.at(1) != 18 {
		t.Errorf("%g %g %g", l.at(0), l.at(0.2), l.at(1))
	}
	sum := 0.0
	const steps = 10000
	for i := range steps {
		sum += l.at((float64(i) + 0.5) / steps)
	}
	if math.Abs(sum/steps-12) > 1e-3 {
		t.Errorf("mean %g, want 12", sum/steps)
	}
}
