package spread_test

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/known"
	"bandwright/quantity"
	"bandwright/spread"
	"bandwright/trials"
)

// The twin of a spread draws its own builds, answers for each from outside the
// sampled engine, searches every band curve densely and sorts. Nothing of the
// ensemble, the measure or the statistics is used in it.

// bandOf is one band of a random equaliser.
type bandOf struct {
	name                    string
	ohms, henries, dcr, cap float64
}

func randomBands(rng *rand.Rand, n int) []bandOf {
	var bands []bandOf
	for i := range n {
		hz := 80 * math.Pow(60, (float64(i)+0.4*rng.Float64())/float64(n))
		reactance := 700 + 1500*rng.Float64()
		bands = append(bands, bandOf{
			name: fmt.Sprint("b", i), ohms: 300 + 500*rng.Float64(), dcr: 20 + 100*rng.Float64(),
			henries: reactance / (2 * math.Pi * hz), cap: 1 / (2 * math.Pi * hz * reactance),
		})
	}
	return bands
}

const feedOhms = 2200

func build(t *testing.T, drawing string, bands []bandOf) *equaliser.Equaliser {
	t.Helper()
	s := equaliser.Spec{Drawing: drawing, Feed: feedOhms, Feedback: feedOhms, LoadOhms: 100e3}
	for _, b := range bands {
		s.Bands = append(s.Bands, equaliser.Band{Name: b.name, Hz: legHz(b.henries, b.cap),
			Slider: circuit.Slider{Track: 10e3}, Coil: circuit.Inductor{Henries: b.henries, DCR: b.dcr},
			Capacitor: circuit.Capacitor{Farads: b.cap}, Resistor: circuit.Resistor{Ohms: b.ohms}})
	}
	e, err := equaliser.Build(s)
	if err != nil {
		t.Fatal(err)
	}
	return e
}

// varied are the knobs of the bands, four each, with laws of every shape.
func varied(rng *rand.Rand, bands []bandOf) (knobs []circuit.Knob, laws []spread.Law) {
	for _, b := range bands {
		add := func(part, value string, l spread.Law) {
			knobs, laws = append(knobs, circuit.Knob{Part: b.name + part, Value: value}), append(laws, l)
		}
		add(".resistor", "Ohms", spread.Within(spread.Flat, b.ohms, even(0.05)))
		add(".coil", "Henries", spread.Within(spread.Normal, b.henries, even(0.04+0.06*rng.Float64())))
		add(".coil", "DCR", spread.MeasuredAs(b.dcr, 0.05*b.dcr))
		add(".capacitor", "Farads", spread.Within(spread.Skewed, b.cap, quantity.Tolerance{Minus: 0.05, Plus: 0.05 + 0.1*rng.Float64()}))
	}
	return knobs, laws
}

// drawTwin draws a law without its quantile: a normal one by rejection, a
// triangle by choosing its side and the larger of two uniform numbers.
func drawTwin(rng *rand.Rand, l spread.Law) float64 {
	switch l.Shape {
	case spread.Flat:
		return l.Low + rng.Float64()*(l.High-l.Low)
	case spread.Skewed:
		u := max(rng.Float64(), rng.Float64()) // rises from the end to the top
		if rng.Float64()*(l.High-l.Low) < l.Nominal-l.Low {
			return l.Low + u*(l.Nominal-l.Low)
		}
		return l.High - u*(l.High-l.Nominal)
	}
	for {
		if v := l.Nominal + l.SD*rng.NormFloat64(); v >= l.Low && v <= l.High {
			return v
		}
	}
}

// searched finds centre, height and Q of a band curve by scans alone: sign +1
// for a boost, −1 for a cut.
func searched(db func(hz []float64) []float64, about, sign float64) (centre, height, q float64) {
	scan := func(low, high float64, n int) (hz, y []float64) {
		for i := range n {
			hz = append(hz, low*math.Pow(high/low, float64(i)/float64(n-1)))
		}
		y = db(hz)
		for i := range y {
			y[i] *= sign
		}
		return hz, y
	}
	hz, y := scan(about/2, about*2, 97)
	nearest := -1
	for i := 1; i+1 < len(y); i++ {
		if y[i] >= y[i-1] && y[i] > y[i+1] && (nearest < 0 || math.Abs(math.Log(hz[i]/about)) < math.Abs(math.Log(hz[nearest]/about))) {
			nearest = i
		}
	}
	at := nearest
	for range 3 {
		hz, y = scan(hz[at-1], hz[at+1], 21)
		at = 1
		for i := 1; i+1 < len(y); i++ {
			if y[i] > y[at] {
				at = i
			}
		}
	}
	centre, height = hz[at], y[at]
	var edge [2]float64
	for e, far := range [...]float64{1.0 / 30, 30} {
		low, high := centre, centre*far
		for round := range 4 {
			hz, y = scan(low, high, 41-20*min(round, 1))
			i := slices.IndexFunc(y, func(v float64) bool { return v < height/2 })
			if i < 1 {
				return centre, sign * height, math.NaN()
			}
			low, high = hz[i-1], hz[i]
		}
		edge[e] = math.Sqrt(low * high)
	}
	return centre, sign * height, centre / math.Abs(edge[1]-edge[0])
}

// twinFigures gives centre, boost, cut and Q of a band: gain is by the
// slider's place (+1, −1, 0 for flat) and hertz.
func twinFigures(gain func(position float64, hz []float64) []complex128, about float64) [4]float64 {
	on := func(position float64) func(hz []float64) []float64 {
		return func(hz []float64) []float64 {
			moved, flat := gain(position, hz), gain(0, hz)
			db := make([]float64, len(hz))
			for i := range db {
				db[i] = 20 * math.Log10(cmplx.Abs(moved[i])/cmplx.Abs(flat[i]))
			}
			return db
		}
	}
	centre, boost, q := searched(on(1), about, 1)
	_, cut, _ := searched(on(-1), about, -1)
	return [4]float64{centre, boost, cut, q}
}

// scoreTwin compares a result with the twin's figures (by figure, by build), with the
// standard errors that the result gives, scaled to the twin's number of builds.
func scoreTwin(t *testing.T, s *scores, r *spread.Result, names []string, twin [][]float64) {
	t.Helper()
	for i, name := range names {
		f := figure(t, r, name)
		values := slices.Clone(twin[i])
		slices.Sort(values)
		n := float64(len(values))
		both := math.Sqrt(1 + float64(f.Count)/n)
		var sum, square float64
		for _, v := range values {
			sum += v
			square += (v - f.Mean) * (v - f.Mean)
		}
		mean := sum / n
		sd := math.Sqrt((square - n*(mean-f.Mean)*(mean-f.Mean)) / (n - 1))
		s.add(name+" mean", (f.Mean-mean)/(f.MeanSE*both))
		s.add(name+" deviation", (f.SD-sd)/(f.SDSE*both))
		for _, p := range f.Percentiles {
			rank := (n - 1) * p.Percent / 100
			k := int(rank)
			v := values[k] + (rank-float64(k))*(values[min(k+1, len(values)-1)]-values[k])
			s.add(fmt.Sprint(name, " ", p.Percent), (p.Value-v)/(p.SE*both))
		}
	}
}

func sampled(t *testing.T, e *equaliser.Equaliser, knobs []circuit.Knob, laws []spread.Law, count int, seed uint64) (*equaliser.Sampling, *spread.Result) {
	t.Helper()
	sampling, found, err := e.Sampling(context.Background(), nil, knobs)
	if err != nil || len(found) > 0 {
		t.Fatal(err, found)
	}
	return sampling, mustRun(t, spread.Plan{Ensemble: sampling.Ensemble, Measure: sampling.Measure, Laws: laws, Count: count, Seed: seed, Workers: 2})
}

// TestTwinOfTheClosedForm: equalisers with an ideal driver, whose builds the closed form
// of the cell answers for.
func TestTwinOfTheClosedForm(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 619), 2))
	var s scores
	for trial := range trials.Count(8) {
		bands := randomBands(rng, 2+trial%3)
		knobs, laws := varied(rng, bands)
		_, r := sampled(t, build(t, equaliser.DrawingIdeal, bands), knobs, laws, 4000, rng.Uint64())
		names, twin := make([]string, 0), make([][]float64, 4*len(bands))
		for _, b := range bands {
			for _, f := range equaliser.FigureNames() {
				names = append(names, b.name+" "+f)
			}
		}
		for range 250 {
			legs := make([]known.Leg, len(bands))
			for i := range legs {
				k := laws[4*i:]
				legs[i] = known.Leg{Track: 10e3, Share: 0.5, Henries: drawTwin(rng, k[1]), Farads: drawTwin(rng, k[3]),
					Ohms: drawTwin(rng, k[0]) + drawTwin(rng, k[2])}
			}
			for i := range legs {
				gain := func(position float64, hz []float64) []complex128 {
					at := slices.Clone(legs)
					at[i].Share = (position + 1) / 2
					h := make([]complex128, len(hz))
					for k, f := range hz {
						h[k] = known.IdealCell(feedOhms, at, f)
					}
					return h
				}
				for k, v := range twinFigures(gain, legHz(bands[i].henries, bands[i].cap)) {
					twin[4*i+k] = append(twin[4*i+k], v)
				}
			}
		}
		scoreTwin(t, &s, r, names, twin)
	}
	s.judge(t, 750)
}

// TestTwinOfSolvingAnew: the two-transistor driver, every build's parts replaced and
// the circuit solved from its operating point on.
func TestTwinOfSolvingAnew(t *testing.T) {
	ctx := context.Background()
	rng := rand.New(rand.NewPCG(trials.Seed(t, 4711), 2))
	var s scores
	bands := randomBands(rng, 2)
	e := build(t, equaliser.DrawingTwoTransistor, bands)
	knobs, laws := varied(rng, bands)
	_, r := sampled(t, e, knobs, laws, 4000, rng.Uint64())
	const band = 1
	b := bands[band]
	twin := make([][]float64, 4)
	for range 150 {
		var edits []circuit.Part
		for i, b := range bands {
			k := laws[4*i:]
			coil, _ := e.Circuit().Part(b.name + ".coil")
			capacitor, _ := e.Circuit().Part(b.name + ".capacitor")
			resistor, _ := e.Circuit().Part(b.name + ".resistor")
			l, c, o := coil.(circuit.Inductor), capacitor.(circuit.Capacitor), resistor.(circuit.Resistor)
			o.Ohms, l.Henries, l.DCR, c.Farads = drawTwin(rng, k[0]), drawTwin(rng, k[1]), drawTwin(rng, k[2]), drawTwin(rng, k[3])
			edits = append(edits, l, c, o)
		}
		c, err := e.Circuit().Replace(edits...)
		if err != nil {
			t.Fatal(err)
		}
		states := map[float64]*circuit.State{}
		for _, position := range []float64{-1, 0, 1} {
			if states[position], err = c.Solve(ctx, curve.Setting{}.WithSlider(b.name, position), e.Conditions()); err != nil {
				t.Fatal(err)
			}
		}
		gain := func(position float64, hz []float64) []complex128 {
			h := make([]complex128, len(hz))
			if err := states[position].Gain(ctx, equaliser.Source, equaliser.OutputPoint, hz, h); err != nil {
				t.Fatal(err)
			}
			return h
		}
		for k, v := range twinFigures(gain, legHz(b.henries, b.cap)) {
			twin[k] = append(twin[k], v)
		}
	}
	var names []string
	for _, f := range equaliser.FigureNames() {
		names = append(names, b.name+" "+f)
	}
	scoreTwin(t, &s, r, names, twin)
	// Thirty-six statistics of four figures: too few to judge their mean square
	// closely, enough to find a wrong figure.
	rms := math.Sqrt(s.square / float64(s.n))
	t.Logf("%d statistics: rms z %.3f, worst %+.2f (%s)", s.n, rms, s.worst, s.where)
	if s.n != 36 || !(rms > 0.3 && rms < 2) || !(math.Abs(s.worst) < 5) {
		t.Errorf("off the twin")
	}
}
