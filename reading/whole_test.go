package reading

import (
	"context"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/known"
	"bandwright/trials"
)

// TestLess: a curve less another is the difference of the two, and varies as
// their joint covariance says.
func TestLess(t *testing.T) {
	k := sampledCases(t, seed)[1]
	up := k.readings[0]
	up.Interface.LevelDB, up.Interface.PointDB = 0.5, 0.05
	level, band := up, up
	level.Setting = flat
	band.Less = &flat
	p := predicted(t, k.circuit, []Reading{up, level, band}, k.parts)
	v, n := p.Covariance(), len(up.Hz)
	for i := range up.Hz {
		row := p.Rows[2*n+i]
		near(t, "nominal", row.Worst.Nominal, p.Rows[i].Worst.Nominal-p.Rows[n+i].Worst.Nominal, 1e-12)
		near(t, "variance", v[2*n+i][2*n+i], v[i][i]+v[n+i][n+i]-2*v[i][n+i], 1e-9)
		near(t, "its own", row.MeterSD, 0.05*math.Sqrt2, 1e-12)
	}
	lost := flat.WithSlider("400", 2)
	band.Less = &lost
	_, err := Predict(context.Background(), k.circuit, []Reading{band}, nil, Conditions{})
	wrong(t, "no such setting", err, circuit.IDTravel, finding.Place{Setting: "400=+2"})
}

// TestPosition: where a slider stands is as uncertain as any part; a track of
// R moves R/2 with each unit of position.
func TestPosition(t *testing.T) {
	c := wired(t, circuit.Slider{Name: "63", Boost: "b", Wiper: "w", Cut: "0", Track: 10e3})
	u := []Uncertainty{Within(circuit.Knob{Part: "63", Value: "Position"}, 0.04), Within(circuit.Knob{Part: "63", Value: "Track"}, 2e3)}
	for _, position := range []float64{-0.5, 0, 0.8} {
		p := predicted(t, c, []Reading{{Kind: Ohms, Red: "w", Setting: flat.WithSlider("63", position)}}, u)
		share := (position + 1) / 2
		near(t, "nominal", p.Rows[0].Worst.Nominal, share*10e3, 1e-12)
		near(t, "high", p.Rows[0].Worst.High, share*12e3+200, 1e-12)
	}
}

// TestKelvin: a silicon junction falls by some 2 mV a kelvin only because its
// saturation current rises; with that held, V = N·kT/q·ln(I/Is + 1) rises.
func TestKelvin(t *testing.T) {
	c := wired(t,
		circuit.CurrentSource{Name: "feed", From: "0", To: "a", DC: 1e-3},
		circuit.Resistor{Name: "r", A: "a", B: "0", Ohms: 1e9},
		circuit.Diode{Name: "d", Anode: "a", Cathode: "0", Is: 1e-12, N: 1.5})
	for _, kelvin := range []float64{0, 250, 350} {
		p, err := Predict(context.Background(), c, []Reading{{Kind: Volts, Red: "a"}}, nil, Conditions{Kelvin: kelvin})
		if err != nil {
			t.Fatal(err)
		}
		if kelvin == 0 {
			kelvin = circuit.DefaultKelvin
		}
		want := 1.5 * 1.380649e-23 * kelvin / 1.602176634e-19 * math.Log(1e-3/1e-12+1)
		near(t, "volts", p.Rows[0].Worst.Nominal, want, 1e-6)
	}
}

// TestWholeCircuits: whatever is asked of whatever circuit, ranges hold their
// nominal value, the likely lies within the worst, nothing is NaN, the
// covariance is what the rows say, and a judgement of the nominal values is 0.
func TestWholeCircuits(t *testing.T) {
	from := trials.Seed(t, seed)
	rows, lacking := 0, 0
	for trial := range uint64(trials.Count(12)) {
		rng := rand.New(rand.NewPCG(from, trial))
		points := 3 + int(trial)
		for _, s := range []known.Sample{
			known.RandomPassive(rng, points), known.RandomLinear(rng, points, 2), known.RandomActive(rng, points, 2), known.RandomValves(rng, points, 2),
		} {
			c := wired(t, s.Parts...)
			var readings []Reading
			for _, point := range c.Points() {
				readings = append(readings,
					Reading{Kind: Volts, Red: point, Setting: s.Setting, Meter: HandMeter()},
					Reading{Kind: Ohms, Red: point, Setting: s.Setting, Meter: HandMeter()})
			}
			readings = append(readings, Reading{Kind: Gain, Source: s.Source, Red: s.Outs[0], Setting: s.Setting, Hz: []float64{20, 1e3, 20e3}, Interface: LineInput()})
			p := predicted(t, c, readings, normal(c, 0.02, everyKnob(c)...))
			lacking += wholeRows(t, p)
			rows += len(p.Rows)
		}
	}
	t.Logf("%d rows, %d without a number", rows, lacking)
	if lacking > rows/2 {
		t.Error("most rows lack their number")
	}
}

func wholeRows(t *testing.T, p *Prediction) (lacking int) {
	t.Helper()
	v, n := p.Covariance(), 0
	var taken []Taken
	for i, row := range p.Rows {
		taken = append(taken, Taken{Row: i, Value: row.Worst.Nominal, Open: row.Lack != Nothing})
		if row.Lack != Nothing {
			lacking++
			continue
		}
		w, l := row.Worst, row.Likely
		if !(w.Low <= l.Low && l.Low <= l.Nominal && l.Nominal <= l.High && l.High <= w.High) || math.IsInf(w.High-w.Low, 0) {
			t.Errorf("row %+v", row)
		}
		near(t, "variance", v[n][n], row.PartSD*row.PartSD+row.MeterSD*row.MeterSD, 1e-9)
		n++
	}
	verdict, err := p.Judge(taken)
	if err != nil || verdict.ChiSquare != 0 || len(verdict.Against) != 0 {
		t.Errorf("the nominal values: %+v, %v", verdict, err)
	}
	return lacking
}
