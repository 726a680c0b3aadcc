package known

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
)

// twin solves a circuit of linear parts densely at one frequency, written
// from the textbook with no care for speed: one branch current for every
// source, coil and op-amp, Gauss elimination with partial pivoting. It proves
// that the questions of this room lead to the answers beside them.
type twin struct {
	points map[string]int // row of a point; ground has none
	rows   int
	matrix [][]complex128
	right  []complex128
}

// solveTwin gives every point's signal for a unit of the named source.
func solveTwin(parts []circuit.Part, setting curve.Setting, source string, hz float64) (map[string]complex128, bool) {
	w := &twin{points: map[string]int{}}
	for _, p := range parts {
		for _, point := range p.Terminals() {
			if _, seen := w.points[point]; !seen && point != circuit.Ground {
				w.points[point] = w.rows
				w.rows++
			}
		}
	}
	const branches = 64 // more than any circuit of this room has
	w.right = make([]complex128, w.rows+branches)
	w.matrix = make([][]complex128, w.rows+branches)
	for i := range w.matrix {
		w.matrix[i] = make([]complex128, w.rows+branches)
	}
	for _, p := range parts {
		if !w.stamp(p, setting, source, complex(0, 2*math.Pi*hz)) {
			return nil, false
		}
	}
	x := gauss(w.matrix, w.right, w.rows)
	answer := map[string]complex128{circuit.Ground: 0}
	for point, row := range w.points {
		answer[point] = x[row]
	}
	return answer, true
}

func (w *twin) put(row, column int, value complex128) {
	if row >= 0 && column >= 0 {
		w.matrix[row][column] += value
	}
}

func (w *twin) row(point string) int {
	if row, ok := w.points[point]; ok {
		return row
	}
	return -1
}

func (w *twin) admittance(a, b string, y complex128) {
	i, j := w.row(a), w.row(b)
	w.put(i, i, y)
	w.put(j, j, y)
	w.put(i, j, -y)
	w.put(j, i, -y)
}

// branch adds V(a) − V(b) − z·I = e with its current I from a to b.
func (w *twin) branch(a, b string, z, e complex128) {
	k := w.rows
	w.rows++
	i, j := w.row(a), w.row(b)
	w.put(i, k, 1)
	w.put(j, k, -1)
	w.put(k, i, 1)
	w.put(k, j, -1)
	w.put(k, k, -z)
	w.right[k] = e
}

func (w *twin) stamp(p circuit.Part, setting curve.Setting, source string, s complex128) bool {
	unit := complex(0, 0)
	if p.PartName() == source {
		unit = 1
	}
	switch p := p.(type) {
	case circuit.Resistor:
		w.branch(p.A, p.B, complex(p.Ohms, 0), 0)
	case circuit.Capacitor:
		w.admittance(p.A, p.B, s*complex(p.Farads, 0))
	case circuit.Inductor:
		w.branch(p.A, p.B, s*complex(p.Henries, 0)+complex(p.DCR, 0), 0)
	case circuit.VoltageSource:
		w.branch(p.Plus, p.Minus, 0, unit)
	case circuit.CurrentSource:
		if i := w.row(p.To); i >= 0 {
			w.right[i] += unit
		}
		if i := w.row(p.From); i >= 0 {
			w.right[i] -= unit
		}
	case circuit.Slider:
		share := (setting.Slider(p.Name) + 1) / 2
		w.branch(p.Cut, p.Wiper, complex(share*p.Track, 0), 0)
		w.branch(p.Wiper, p.Boost, complex((1-share)*p.Track, 0), 0)
	case circuit.OpAmp: // a nullor: output current free, inputs equal
		k := w.rows
		w.rows++
		w.put(w.row(p.Out), k, 1)
		w.put(k, w.row(p.Plus), 1)
		w.put(k, w.row(p.Minus), -1)
		return p.Ideal
	default:
		return false
	}
	return true
}

func gauss(a [][]complex128, b []complex128, n int) []complex128 {
	for k := range n {
		pivot := k
		for i := k; i < n; i++ {
			if cmplx.Abs(a[i][k]) > cmplx.Abs(a[pivot][k]) {
				pivot = i
			}
		}
		a[k], a[pivot], b[k], b[pivot] = a[pivot], a[k], b[pivot], b[k]
		for i := k + 1; i < n; i++ {
			factor := a[i][k] / a[k][k]
			for j := k; j < n; j++ {
				a[i][j] -= factor * a[k][j]
			}
			b[i] -= factor * b[k]
		}
	}
	x := make([]complex128, n)
	for i := n - 1; i >= 0; i-- {
		sum := b[i]
		for j := i + 1; j < n; j++ {
			sum -= a[i][j] * x[j]
		}
		x[i] = sum / a[i][i]
	}
	return x
}

// ask evaluates a probe with the twin.
func ask(t *testing.T, c Circuit, p Probe, hz float64) complex128 {
	t.Helper()
	volts, ok := solveTwin(c.Parts, c.Setting, p.Source, hz)
	if !ok {
		t.Fatalf("%s is not linear", c.Name)
	}
	return complex(p.Scale, 0) * (volts[p.Plus] - volts[p.Minus])
}

func within(t *testing.T, where string, got float64, want Value) {
	t.Helper()
	if math.IsNaN(got) || math.Abs(got-want.Want) > want.Tol {
		t.Errorf("%s: %.10g, want %.10g ± %.2g (%s)", where, got, want.Want, want.Tol, want.Mark)
	}
}

// Every linear entry's questions lead to the answers beside them.
func TestAnswersFollowFromQuestions(t *testing.T) {
	asked := 0
	for _, c := range All() {
		if _, linear := solveTwin(c.Parts, c.Setting, "source", 1); !linear {
			continue
		}
		for _, g := range c.Gains {
			h := ask(t, c, g.Probe, g.Hz)
			within(t, c.Name+" magnitude", cmplx.Abs(h), g.Magnitude)
			if g.Degrees != nil {
				turn := cmplx.Phase(h)*180/math.Pi - g.Degrees.Want
				within(t, c.Name+" degrees", g.Degrees.Want+math.Remainder(turn, 360), *g.Degrees)
			}
			asked++
		}
		for _, e := range c.Extrema {
			hz := extremum(func(hz float64) float64 { return cmplx.Abs(ask(t, c, e.Probe, hz)) }, e)
			within(t, c.Name+" extremum", hz, e.Hz)
			if e.Magnitude != nil {
				within(t, c.Name+" height", cmplx.Abs(ask(t, c, e.Probe, hz)), *e.Magnitude)
			}
			asked++
		}
		for _, x := range c.Crossings {
			within(t, c.Name+" crossing", crossing(func(hz float64) float64 {
				return cmplx.Abs(ask(t, c, x.Probe, hz)) - x.Level
			}, x.Low, x.High), x.Hz)
			asked++
		}
	}
	t.Logf("%d answers", asked)
}

// extremum narrows by golden section on the logarithm of frequency.
func extremum(f func(float64) float64, e Extremum) float64 {
	ratio := (math.Sqrt(5) - 1) / 2
	low, high := math.Log(e.Low), math.Log(e.High)
	for high-low > 1e-8 {
		a, b := high-ratio*(high-low), low+ratio*(high-low)
		if (f(math.Exp(a)) > f(math.Exp(b))) != e.Lowest {
			high = b
		} else {
			low = a
		}
	}
	return math.Exp((low + high) / 2)
}

func crossing(f func(float64) float64, low, high float64) float64 {
	rises := f(low) < 0
	for high/low > 1+1e-10 {
		middle := math.Sqrt(low * high)
		if (f(middle) < 0) == rises {
			low = middle
		} else {
			high = middle
		}
	}
	return math.Sqrt(low * high)
}

// The derivatives beside the two-node example, against central differences.
func TestDerivativesFollow(t *testing.T) {
	for _, c := range Nodal() {
		for _, d := range c.Derivatives {
			difference := 0.0
			const h = 1e-4
			for _, side := range []float64{+1, -1} {
				parts := append([]circuit.Part(nil), c.Parts...)
				for i, p := range parts {
					if r, ok := p.(circuit.Resistor); ok && r.Name == d.Part {
						r.Ohms += side * h
						parts[i] = r
					}
				}
				for _, drive := range d.Drives {
					volts, _ := solveTwin(parts, c.Setting, drive.Source, 1)
					difference += side * drive.Amount * real(volts[d.Point]) / (2 * h)
				}
			}
			within(t, c.Name+" "+d.Part, difference, Value{d.Want, d.Tol + 1e-8, d.Mark})
		}
	}
}

// The closed form of the cell against the twin, sliders at their ends
// included.
func TestIdealCellAgainstTwin(t *testing.T) {
	rng := rand.New(rand.NewPCG(seed, 2))
	for trial := range 60 {
		ohms, legs := RandomCell(rng, 1+trial%8)
		parts, setting := IdealCellParts(ohms, legs)
		hz := logBetween(rng, 20, 20e3)
		volts, ok := solveTwin(parts, setting, "source", hz)
		want := IdealCell(ohms, legs, hz)
		if got := volts["out"]; !ok || cmplx.Abs(got-want) > 1e-9*cmplx.Abs(want) {
			t.Errorf("seed %d, trial %d: %v, want %v", seed, trial, got, want)
		}
	}
}

// The operating points hold Kirchhoff's laws with 0.7 V at the junction: the
// saturation current really gives the collector current stated.
func TestBiasAssumption(t *testing.T) {
	for _, c := range Bias() {
		vt := thermalVolts(c.Kelvin)
		for _, p := range c.Parts {
			q, ok := p.(circuit.Transistor)
			if !ok {
				continue
			}
			ic := q.Is * math.Exp(0.7/vt)
			for _, i := range c.Currents {
				if i.Part == q.Name {
					within(t, c.Name+" collector", ic, i.Value)
				}
			}
		}
	}
}
