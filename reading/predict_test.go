package reading

import (
	"context"
	"errors"
	"fmt"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

// TestLoading: a meter of 10 MΩ on a node of 1 MΩ reads 9.09 % low: V·Rm/(Rm +
// Rn) (worked out from the definition), whatever the node's make-up.
func TestLoading(t *testing.T) {
	for _, node := range []float64{1e3, 100e3, 1e6, 4.7e6} {
		for _, input := range []float64{0, 20e3, 1e6, 10e6} {
			c := divider(t, 10, node/0.3, node/0.7) // node ohms, 3 V
			p := predicted(t, c, []Reading{{Kind: Volts, Red: "mid", Meter: Meter{InputOhms: input}}}, nil)
			want := 3.0
			if input > 0 {
				want *= input / (input + node)
			}
			near(t, fmt.Sprintf("%v into %v", node, input), p.Rows[0].Worst.Nominal, want, 1e-9)
		}
	}
}

// TestDifference: between two points, and its meter between them.
func TestDifference(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "rail", Minus: "0", DC: 24},
		circuit.Resistor{Name: "r1", A: "rail", B: "a", Ohms: 1e6},
		circuit.Resistor{Name: "r2", A: "a", B: "b", Ohms: 1e6},
		circuit.Resistor{Name: "r3", A: "b", B: "0", Ohms: 1e6})
	p := predicted(t, c, []Reading{{Kind: Volts, Red: "b", Black: "a", Meter: Meter{InputOhms: 1e6}}},
		[]Uncertainty{Within(circuit.Knob{Part: "rail", Value: "DC"}, 2.4)})
	near(t, "volts", p.Rows[0].Worst.Nominal, -24*0.5/2.5, 1e-12)
	near(t, "low", p.Rows[0].Worst.Low, -26.4*0.5/2.5, 1e-12)
}

// TestToleranceTable: at its corner an RC's gain moves by −(dR/R + dC/C)/2, as
// a resonance moves by −(dL/L + dC/C)/2. Linear and flat-law figures of the
// tolerance table (worked out from the definition), carried to decibels.
func TestToleranceTable(t *testing.T) {
	const r, c = 1e3, 1e-6
	low := wired(t,
		circuit.VoltageSource{Name: "source", Plus: "in", Minus: "0"},
		circuit.Resistor{Name: "r", A: "in", B: "out", Ohms: r},
		circuit.Capacitor{Name: "c", A: "out", B: "0", Farads: c})
	reading := Reading{Kind: Gain, Source: "source", Red: "out", Hz: []float64{1 / (2 * math.Pi * r * c)}}
	for _, k := range []struct{ first, second, linear, sd float64 }{
		{5, 5, 5.000, 2.0412}, {10, 5, 7.500, 3.2275}, {20, 10, 15.00, 6.4550},
	} {
		p := predicted(t, low, []Reading{reading}, []Uncertainty{
			Within(ohms("r"), r*k.first/100), Within(farads("c"), c*k.second/100)})
		row, perCent := p.Rows[0], 20/math.Ln10/100
		near(t, "nominal", row.Worst.Nominal, -10*math.Log10(2), 1e-12)
		near(t, "linear up", row.Worst.High-row.Worst.Nominal, k.linear*perCent, 1e-9)
		near(t, "linear down", row.Worst.Low-row.Worst.Nominal, -k.linear*perCent, 1e-9)
		near(t, "deviation", row.PartSD, k.sd*perCent, 3e-5)
		near(t, "95 %", row.Likely.High-row.Likely.Nominal, 1.959964*k.sd*perCent, 3e-5)
	}
}

// TestMeterError: the instrument's error is added to the parts', at the limits
// by its limit there, in the covariance by its deviation.
func TestMeterError(t *testing.T) {
	c := divider(t, 10, 1e3, 1e3)
	u := []Uncertainty{Within(circuit.Knob{Part: "rail", Value: "DC"}, 1)}
	m := Meter{Volts: Accuracy{Share: 0.01, Digits: 3, Counts: 2000, Finest: 1e-4}}
	row := predicted(t, c, []Reading{{Kind: Volts, Red: "mid", Meter: m}}, u).Rows[0]
	near(t, "low", row.Worst.Low, 4.5-(0.045+0.03), 1e-12)
	near(t, "high", row.Worst.High, 5.5+(0.055+0.03), 1e-12)
	near(t, "parts", row.PartSD, 0.5/math.Sqrt(3), 1e-12)
	near(t, "meter", row.MeterSD, 0.08/math.Sqrt(3), 1e-12)
	half := 1.959963984540054 * math.Sqrt((0.25+0.0064)/3)
	near(t, "95 % cut at the limits", row.Likely.High, min(5+half, row.Worst.High), 1e-12)

	m = Meter{Ohms: Accuracy{Share: 0.02, Floor: 0.5}, LeadOhms: 0.2}
	row = predicted(t, c, []Reading{{Kind: Ohms, Red: "mid", Meter: m}}, nil).Rows[0]
	near(t, "ohms low", row.Worst.Low, 1000-20.7, 1e-12)
	near(t, "ohms deviation", row.MeterSD, math.Hypot(20.5, 0.2)/math.Sqrt(3), 1e-12)

	line := Interface{LevelDB: 0.3, PointDB: 0.1}
	row = predicted(t, c, []Reading{{Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{1e3}, Interface: line}}, nil).Rows[0]
	near(t, "gain", row.Worst.Nominal, -20*math.Log10(2), 1e-12)
	near(t, "gain low", row.Worst.Low, -20*math.Log10(2)-0.5, 1e-12)
	near(t, "gain deviation", row.MeterSD, math.Sqrt(0.03+0.01), 1e-12)
}

func TestAccuracy(t *testing.T) {
	a := Accuracy{Share: 0.01, Digits: 2, Counts: 4000, Finest: 0.1}
	for shown, want := range map[float64]float64{0: 0.1, 3: 0.1, 400: 0.1, 401: 1, 3999: 1, 41e3: 100, -399e3: 100} {
		near(t, fmt.Sprint("step at ", shown), a.Step(shown), want, 1e-12)
		near(t, fmt.Sprint("limit at ", shown), a.Limit(shown), 0.01*math.Abs(shown)+2*want, 1e-12)
	}
	if s := (Accuracy{Share: 0.01}).Step(5); s != 0 {
		t.Errorf("no counts: step %v", s)
	}
}

// TestZeroWidth: nothing uncertain and an ideal instrument leave no width.
func TestZeroWidth(t *testing.T) {
	c := divider(t, 9, 3.3e3, 4.7e3)
	p := predicted(t, c, []Reading{
		{Kind: Volts, Red: "mid"}, {Kind: Ohms, Red: "rail"},
		{Kind: Gain, Source: "rail", Red: "mid", Black: "rail", Hz: []float64{20, 20e3}},
	}, []Uncertainty{{Knob: ohms("r1")}, {Knob: ohms("r2"), Group: "bag", Common: 1}})
	if len(p.Rows) != 4 {
		t.Fatalf("%d rows", len(p.Rows))
	}
	for _, row := range p.Rows {
		for _, e := range []Expected{row.Worst, row.Likely} {
			if e.Low != e.Nominal || e.High != e.Nominal || !e.Holds(e.Nominal) || e.Holds(e.Nominal+1e-9) {
				t.Errorf("row %+v has width", row)
			}
		}
		if row.PartSD != 0 || row.MeterSD != 0 {
			t.Errorf("row %+v has a deviation", row)
		}
	}
}

// TestLacks: open, floating and silent are answers, not mistakes.
func TestLacks(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "source", Plus: "in", Minus: "0", DC: 5},
		circuit.Resistor{Name: "r", A: "in", B: "a", Ohms: 1e3},
		circuit.Capacitor{Name: "c", A: "a", B: "b", Farads: 1e-6},
		circuit.Capacitor{Name: "d", A: "b", B: "0", Farads: 1e-6},
		circuit.CurrentSource{Name: "other", From: "0", To: "0"},
		circuit.Resistor{Name: "s", A: "x", B: "0", Ohms: 50e6})
	hand := HandMeter()
	p := predicted(t, c, []Reading{
		{Kind: Ohms, Red: "a", Black: "b"},
		{Kind: Ohms, Red: "x", Meter: hand},
		{Kind: Ohms, Red: "x"},
		{Kind: Volts, Red: "b"},
		{Kind: Volts, Red: "b", Meter: hand}, // which drains it
		{Kind: Gain, Source: "source", Red: "x", Hz: []float64{1e3}},
		{Kind: Gain, Source: "other", Red: "b", Hz: []float64{1e3}},
	}, nil)
	for i, want := range []Lack{Open, Open, Nothing, Floating, Nothing, Silent, Silent} {
		if p.Rows[i].Lack != want {
			t.Errorf("row %d lacks %q, want %q", i, p.Rows[i].Lack, want)
		}
	}
	if v := p.Rows[4].Worst.Nominal; math.Abs(v) > 1e-9 {
		t.Errorf("a drained point stands at %v V", v)
	}
	if got := fmt.Sprint(p.Numbered()); got != "[2 4]" || len(p.Covariance()) != 2 {
		t.Errorf("numbered %v", got)
	}
}

// TestJunctions: a meter whose volts open a junction reads another resistance.
func TestJunctions(t *testing.T) {
	c := wired(t,
		circuit.Diode{Name: "d", Anode: "a", Cathode: "0", Is: 1e-12},
		circuit.Resistor{Name: "r", A: "a", B: "0", Ohms: 100e3})
	loud := Meter{TestVolts: 3, TestSeries: 1e3}
	p := predicted(t, c, []Reading{{Kind: Ohms, Red: "a"}, {Kind: Ohms, Red: "a", Meter: loud},
		{Kind: Ohms, Red: "0", Black: "a", Meter: loud}}, nil)
	near(t, "quiet", p.Rows[0].Worst.Nominal, 100e3, 1e-9)
	near(t, "backwards", p.Rows[2].Worst.Nominal, 100e3, 1e-5)
	if on := p.Rows[1].Worst.Nominal; !(on > 100 && on < 400) {
		t.Errorf("a diode on reads %v ohm", on)
	}
}

// TestSharedStates: order and company change nothing.
func TestSharedStates(t *testing.T) {
	c := divider(t, 9, 3.3e3, 4.7e3)
	u := []Uncertainty{Within(ohms("r1"), 33), Within(ohms("r2"), 47)}
	readings := []Reading{
		{Kind: Volts, Red: "mid", Meter: HandMeter()},
		{Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{100, 1e3}, Interface: LineInput()},
		{Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{100}},
		{Kind: Ohms, Red: "mid", Meter: HandMeter()},
	}
	all := predicted(t, c, readings, u)
	for i, r := range readings {
		for _, row := range predicted(t, c, []Reading{r}, u).Rows {
			same := false
			for _, other := range all.Rows {
				same = same || other.Reading == i && other.Hz == row.Hz && other.Worst == row.Worst && other.Likely == row.Likely
			}
			if !same {
				t.Errorf("reading %d alone differs: %+v", i, row)
			}
		}
	}
}

func TestStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	for _, r := range []Reading{{Kind: Volts, Red: "mid"}, {Kind: Ohms, Red: "mid"}, {Kind: Gain, Source: "rail", Red: "mid", Hz: []float64{1}}} {
		if _, err := Predict(ctx, divider(t, 1, 1, 1), []Reading{r}, nil, Conditions{}); !errors.Is(err, context.Canceled) {
			t.Errorf("%s: %v", r.Kind, err)
		}
	}
}

// TestDeadSource: a source may still be a path when it is dead.
func TestDeadSource(t *testing.T) {
	c := divider(t, 9, 1e3, 3e3)
	p, err := Predict(context.Background(), c, []Reading{{Kind: Ohms, Red: "mid", Setting: curve.Setting{}}}, nil,
		Conditions{SourceOhms: map[string]float64{"rail": 2e3}})
	if err != nil {
		t.Fatal(err)
	}
	near(t, "ohms", p.Rows[0].Worst.Nominal, 1500, 1e-12)
}

// TestGainBetween: the gain across a resistor in series with a capacitor, red
// lead on the source, is that of a high-pass: |H| = u/√(1+u²) with u = ωRC, and
// d ln|H| = (du/u)/(1+u²).
func TestGainBetween(t *testing.T) {
	const r, c = 10e3, 10e-9
	high := wired(t,
		circuit.VoltageSource{Name: "source", Plus: "in", Minus: "0"},
		circuit.Resistor{Name: "r", A: "in", B: "out", Ohms: r},
		circuit.Capacitor{Name: "c", A: "out", B: "0", Farads: c})
	hz := []float64{20, 500, 1600, 20e3}
	reading := Reading{Kind: Gain, Source: "source", Red: "in", Black: "out", Hz: hz}
	for i, row := range predicted(t, high, []Reading{reading}, []Uncertainty{Within(ohms("r"), 0.01*r)}).Rows {
		u := 2 * math.Pi * hz[i] * r * c
		near(t, "gain", row.Worst.Nominal, 20*math.Log10(u/math.Sqrt(1+u*u)), 1e-9)
		near(t, "high", row.Worst.High-row.Worst.Nominal, 20/math.Ln10*0.01/(1+u*u), 1e-6)
	}
	for i, row := range predicted(t, high, []Reading{reading}, nil).Rows {
		u := 2 * math.Pi * hz[i] * r * c
		near(t, "gain alone", row.Worst.Nominal, 20*math.Log10(u/math.Sqrt(1+u*u)), 1e-9)
	}
}
