package reading

import (
	"fmt"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/trials"
)

// randomCovariance is A·Aᵀ with as many causes as values, and a little of each
// value's own; its values differ in size by decades.
func randomCovariance(rng *rand.Rand, n int) [][]float64 {
	f := make([][]float64, n)
	for i := range f {
		size := math.Pow(10, 6*rng.Float64()-3)
		for range n {
			f[i] = append(f[i], size*rng.NormFloat64())
		}
	}
	v := product(f, -1)
	for i := range v {
		v[i][i] *= 1.001
	}
	return v
}

// TestWhitener: whitened from both sides a covariance is the unit matrix, and
// its determinant is that of elimination.
func TestWhitener(t *testing.T) {
	from := trials.Seed(t, seed)
	for n := 1; n <= 40; n++ {
		rng := rand.New(rand.NewPCG(from, uint64(n)))
		v := randomCovariance(rng, n)
		w, dependent := NewWhitener(v)
		if w == nil || dependent != -1 {
			t.Fatalf("size %d: row %d depends on the others", n, dependent)
		}
		half := make([][]float64, n) // (L⁻¹·V)ᵀ
		for j := range v {
			half[j] = w.Whiten(v[j])
		}
		for i := range v {
			column := make([]float64, n)
			for j := range v {
				column[j] = half[j][i]
			}
			for j, x := range w.Whiten(column) {
				if want := map[bool]float64{true: 1}[i == j]; math.Abs(x-want) > 1e-8 {
					t.Errorf("size %d: entry %d,%d of the whitened covariance is %v", n, i, j, x)
				}
			}
		}
		if got, want := w.LogDet(), logDet(v); math.Abs(got-want) > 1e-9*(1+math.Abs(want)) {
			t.Errorf("size %d: log det %v, by elimination %v", n, got, want)
		}
	}
}

// logDet is by elimination with the largest pivot of each column.
func logDet(v [][]float64) float64 {
	a := make([][]float64, len(v))
	for i := range v {
		a[i] = append([]float64(nil), v[i]...)
	}
	sum := 0.0
	for k := range a {
		for i := k + 1; i < len(a); i++ {
			if math.Abs(a[i][k]) > math.Abs(a[k][k]) {
				a[i], a[k] = a[k], a[i]
			}
		}
		sum += math.Log(math.Abs(a[k][k]))
		for i := k + 1; i < len(a); i++ {
			share := a[i][k] / a[k][k]
			for j := k; j < len(a); j++ {
				a[i][j] -= share * a[k][j]
			}
		}
	}
	return sum
}

func TestWhitenerDependent(t *testing.T) {
	for n := 1; n <= 12; n++ {
		rng := rand.New(rand.NewPCG(seed, uint64(n)))
		v := randomCovariance(rng, n)
		for i := range v {
			v[i] = append(v[i], 3*v[i][n-1])
		}
		v = append(v, nil)
		for j := range n {
			v[n] = append(v[n], v[j][n])
		}
		v[n] = append(v[n], 3*v[n-1][n])
		if w, dependent := NewWhitener(v); w != nil || dependent != n {
			t.Errorf("size %d: row %d named, want %d", n+1, dependent, n)
		}
	}
	if w, dependent := NewWhitener([][]float64{{0}}); w != nil || dependent != 0 {
		t.Error("a value without variance has a whitener")
	}
}

// TestJudge: readings of sets of parts as stated, with instruments as stated,
// give chi-squares of mean n and variance 2n, and whitened residuals that are
// independent; a part beyond its law gives more.
func TestJudge(t *testing.T) {
	t.Parallel()
	from := trials.Seed(t, seed)
	k := sampledCases(t, from)[0]
	for i := range k.readings {
		k.readings[i].Meter.Volts, k.readings[i].Meter.Ohms = HandMeter().Volts, HandMeter().Ohms
		k.readings[i].Interface = LineInput()
	}
	p := predicted(t, k.circuit, k.readings, k.parts)
	rng := rand.New(rand.NewPCG(from, 7))
	const draws = 600
	n, mean, square, low := len(p.Rows), 0.0, 0.0, 0
	for range draws {
		verdict, err := p.Judge(takenOf(t, rng, p, turned(t, rng, k.circuit, k.parts)))
		if err != nil {
			t.Fatal(err)
		}
		if verdict.Freedom != n || len(verdict.Against) != 0 {
			t.Fatalf("freedom %d of %d", verdict.Freedom, n)
		}
		mean += verdict.ChiSquare / draws
		if verdict.Chance < 0.25 {
			low++
		}
		square += verdict.ChiSquare * verdict.ChiSquare / draws
	}
	spread := square - mean*mean
	t.Logf("%d readings: chi-square %.2f, variance %.2f", n, mean, spread)
	if math.Abs(mean-float64(n)) > 4.5*math.Sqrt(2*float64(n)/draws) || spread < float64(n) || spread > 4*float64(n) {
		t.Errorf("chi-square of %d readings: mean %v, variance %v", n, mean, spread)
	}
	// The chances lie evenly, or nearly: flat and skewed laws are taken as normal.
	if share := float64(low) / draws; math.Abs(share-0.25) > 0.1 {
		t.Errorf("chance below ¼ in %.3f of the draws", share)
	}
	q, _ := k.circuit.Part("rc")
	r := q.(circuit.Resistor)
	r.Ohms *= 1.5
	broken, err := k.circuit.Replace(r)
	if err != nil {
		t.Fatal(err)
	}
	verdict, err := p.Judge(takenOf(t, rng, p, broken))
	if err != nil || verdict.ChiSquare < 100 || verdict.Chance > 1e-9 {
		t.Errorf("a part 50 %% out: chi-square %v, %v", verdict.ChiSquare, err)
	}
}

// takenOf reads a circuit with instruments that err as stated.
func takenOf(t *testing.T, rng *rand.Rand, p *Prediction, c *circuit.Circuit) []Taken {
	level := rectangular(p.Readings[len(p.Readings)-1].Interface.LevelDB) * rng.NormFloat64()
	var taken []Taken
	for i, row := range predicted(t, c, p.Readings, nil).Rows {
		r := p.Readings[row.Reading]
		v := row.Worst.Nominal + r.own(p.Rows[i].Worst.Nominal)*rng.NormFloat64()
		if r.Kind == Gain {
			v += level
		}
		taken = append(taken, Taken{Row: i, Value: v})
	}
	return taken
}

// TestJudgeOrder: the order in which values are entered changes no verdict, and
// one alone is judged by its own deviation.
func TestJudgeOrder(t *testing.T) {
	c := divider(t, 12, 4.7e3, 10e3)
	p := predicted(t, c, []Reading{
		{Kind: Volts, Red: "mid", Meter: HandMeter()}, {Kind: Ohms, Red: "mid", Meter: HandMeter()},
		{Kind: Ohms, Red: "rail", Black: "mid", Meter: HandMeter()},
	}, []Uncertainty{Within(ohms("r1"), 47), Within(ohms("r2"), 100)})
	taken := []Taken{{Row: 0, Value: 8.1}, {Row: 1, Value: 10.1e3}, {Row: 2, Value: 4.68e3}}
	first, err := p.Judge(taken)
	if err != nil {
		t.Fatal(err)
	}
	for _, order := range [][]int{{0, 2, 1}, {2, 1, 0}, {1, 2, 0}} {
		var turned []Taken
		for _, i := range order {
			turned = append(turned, taken[i])
		}
		v, err := p.Judge(turned)
		if err != nil {
			t.Fatal(err)
		}
		near(t, fmt.Sprint("chi-square in order ", order), v.ChiSquare, first.ChiSquare, 1e-9)
		for i, row := range v.Rows {
			near(t, "z", v.Z[i], first.Z[row], 1e-12)
		}
	}
	one, err := p.Judge(taken[1:2])
	if err != nil {
		t.Fatal(err)
	}
	sd := math.Hypot(p.Rows[1].PartSD, p.Rows[1].MeterSD)
	near(t, "one alone", one.Whitened[0], 100/sd, 1e-12)
	near(t, "its z", one.Z[0], 100/sd, 1e-12)
}

// TestJudgeOpen: a number where none was expected, or none where one was, is
// against the prediction and in no sum.
func TestJudgeOpen(t *testing.T) {
	c := wired(t,
		circuit.Resistor{Name: "r", A: "a", B: "0", Ohms: 1e3},
		circuit.Capacitor{Name: "c", A: "a", B: "b", Farads: 1e-6},
		circuit.Resistor{Name: "s", A: "b", B: "d", Ohms: 1e3})
	p := predicted(t, c, []Reading{{Kind: Ohms, Red: "a"}, {Kind: Ohms, Red: "b"}, {Kind: Ohms, Red: "d"}},
		[]Uncertainty{Within(ohms("r"), 10)})
	v, err := p.Judge([]Taken{{Row: 0, Open: true}, {Row: 1, Value: 1e3}, {Row: 2, Open: true}})
	if err != nil || fmt.Sprint(v.Against) != "[0 1]" || v.Freedom != 0 || v.ChiSquare != 0 {
		t.Errorf("%+v, %v", v, err)
	}
	if v, err = p.Judge(nil); err != nil || v.Freedom != 0 {
		t.Errorf("nothing read: %+v, %v", v, err)
	}
}

func TestJudgeWrong(t *testing.T) {
	p := predicted(t, divider(t, 12, 1e3, 1e3), []Reading{{Kind: Volts, Red: "mid"}, {Kind: Volts, Red: "mid", Black: "rail"}},
		[]Uncertainty{Within(ohms("r1"), 10)})
	mid := finding.Place{Point: "mid", Setting: "flat"}
	for name, k := range map[string]struct {
		taken []Taken
		id    finding.ID
		place finding.Place
	}{
		"no row":    {[]Taken{{Row: 2}}, IDNoNumber, finding.Place{}},
		"below":     {[]Taken{{Row: -1}}, IDNoNumber, finding.Place{}},
		"NaN":       {[]Taken{{Row: 0, Value: math.NaN()}}, IDNoNumber, mid},
		"infinite":  {[]Taken{{Row: 0, Value: math.Inf(-1)}}, IDNoNumber, mid},
		"twice":     {[]Taken{{Row: 0, Value: 6}, {Row: 0, Value: 6}}, IDTakenTwice, mid},
		"dependent": {[]Taken{{Row: 0, Value: 6}, {Row: 1, Value: -6}}, IDDependent, mid},
	} {
		v, err := p.Judge(k.taken)
		wrong(t, name, err, k.id, k.place)
		if v != nil {
			t.Errorf("%s: a verdict with an error", name)
		}
	}
}
