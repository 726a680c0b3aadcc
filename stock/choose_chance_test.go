package stock

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/trials"
)

// believed draws what a part of drawer's may truly be, given what the meter
// showed of it: made as drawer makes parts, and thrown away until a meter
// within its limits could have shown what was read. It knows nothing of how
// Choose draws. Where the reading leaves a narrow window, only that is drawn
// from; within it what drawer draws from is level.
func believed(rng *rand.Rand, p Part, m Meter) Model {
	if !p.Measured() {
		return markedTruth(rng, p)
	}
	r := p.Readings[0]
	e := p.SeriesAt(1000, 20, m)
	about, wide := max(e.Model.Henries, e.Model.Farads), 0.03+3*e.ModelSE/max(e.Model.Henries, e.Model.Farads)
	for range 1_000_000 {
		is := markedTruth(rng, p)
		l, _ := m.limit(p.Kind, r.Mode, r.Hertz)
		switch p.Kind {
		case Coil:
			is.Henries = within(rng, about, wide)
			ohms, _ := m.limit(Resistor, "", 0)
			is.DCR = r.DCR + (rng.Float64()*2-1)*1.1*ohms.Greatest(r.DCR, 0)
			is.CoreOhms = CoreOhms(is.Henries, 30+rng.Float64()*100, 1000)
			is.SelfFarads = p.SelfFarads
			if math.Abs(is.Henries/p.Marked-1) > 0.2 || math.Abs(is.DCR/(250*math.Pow(is.Henries, 0.7))-1) > 0.3 ||
				math.Abs(r.DCR-is.DCR) > ohms.Greatest(is.DCR, 0) {
				continue
			}
		case Capacitor:
			is.Farads = within(rng, about, wide)
			if math.Abs(is.Farads/p.Marked-1) > 0.0504 { // ±4 % of the bag and ±1 % of its own
				continue
			}
		}
		value, loss := shown(is, p.Kind, r.Mode, r.Hertz)
		read, _ := r.loss()
		// A leaflet's limit is that of the reading: drawer takes it of the truth,
		// which differs only where the display changes its range between them.
		if math.Abs(r.Value-value) <= l.Greatest(r.Value, read) && math.Abs(read-loss) <= min(l.Loss, loss) {
			return is
		}
	}
	panic("no truth fits the reading of " + p.ID)
}

// markedTruth draws a part as drawer makes those of its marking.
func markedTruth(rng *rand.Rand, p Part) Model {
	if p.Kind == Resistor {
		return Model{Ohms: within(rng, p.Marked, 0.05)}
	}
	return Model{Farads: within(rng, p.Marked, 0.05), Loss: 0.001 + rng.Float64()*0.01}
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
		q.Doubt = 1
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
