package fit

import (
	"math"
	"slices"
	"strings"

	"bandwright/circuit"
)

// walk measures builds along the way of an account.
type walk struct {
	account *Account
	knob    []int // by the ensemble's knob: the account's, −1 none
	builds  *circuit.Builds
	nominal []float64
	taken   circuit.Measure
	own     int      // figures of the measure itself
	names   []string // those, and widths
	widths  [][2]int // by width: places of centre and Q
	figures [][circuit.BuildCount]float64
}

// step is one build: a place of the way, one knob moved by h.
type step struct {
	at   float64
	knob int // −1: none
	h    float64
	also int // another knob moved, by g, if that is not 0
	g    float64
}

func newWalk(a *Account, e *circuit.Ensemble, m circuit.Measure) *walk {
	w := &walk{account: a, builds: e.NewBuilds(), taken: m, names: slices.Clone(m.Figures())}
	w.own = len(w.names)
	for n, k := range e.Knobs() {
		w.knob = append(w.knob, slices.Index(a.Knobs, k))
		w.nominal = append(w.nominal, e.Nominal(n))
	}
	for _, k := range a.Knobs {
		if k.Value != "Position" && !slices.Contains(e.Knobs(), k) {
			panic("fit: the ensemble of an account lacks " + k.Part + " " + k.Value)
		}
	}
	for i, name := range m.Figures() {
		band, isCentre := strings.CutSuffix(name, " centre_hz")
		if q := slices.Index(m.Figures(), band+" q"); isCentre && q >= 0 {
			w.widths = append(w.widths, [2]int{i, q})
			w.names = append(w.names, band+" width_hz")
		}
	}
	w.figures = make([][circuit.BuildCount]float64, w.own)
	return w
}

// measure takes the figures at each step, by figure and step; relative ones as
// logarithms.
func (w *walk) measure(steps []step) [][]float64 {
	out := make([][]float64, len(w.names))
	for first := 0; first < len(steps); first += circuit.BuildCount {
		n := min(circuit.BuildCount, len(steps)-first)
		for i, s := range steps[first : first+n] {
			w.set(i, s)
		}
		w.builds.Turn(n)
		w.taken.Take(w.builds, n, w.figures)
		for i := range w.own {
			for _, v := range w.figures[i][:n] {
				if relative(w.names[i]) {
					v = math.Log(v)
				}
				out[i] = append(out[i], v)
			}
		}
	}
	for i, pair := range w.widths {
		for k, centre := range out[pair[0]] {
			out[w.own+i] = append(out[w.own+i], centre-out[pair[1]][k])
		}
	}
	return out
}

func (w *walk) set(build int, s step) {
	for n, k := range w.knob {
		v := w.nominal[n]
		if k >= 0 {
			h := 0.0
			if k == s.knob {
				h = s.h
			}
			if k == s.also {
				h += s.g
			}
			v = w.account.at(k, s.at, h)
		}
		w.builds.Set(build, n, v)
	}
}

// slopes gives the mean derivative along the way, by figure and knob. Knobs that
// do not differ have slopes too: uncertainty asks for them.
func (w *walk) slopes(panels int) [][]float64 {
	at, weight := stops(panels)
	var steps []step
	for k, knob := range w.account.Knobs {
		if knob.Value == "Position" {
			continue
		}
		for _, t := range at {
			steps = append(steps, step{at: t, knob: k, h: slopeStep}, step{at: t, knob: k, h: -slopeStep})
		}
	}
	got := w.measure(steps)
	out := make([][]float64, len(w.names))
	for i := range out {
		out[i] = make([]float64, len(w.account.Knobs))
		n := 0
		for k, knob := range w.account.Knobs {
			if knob.Value == "Position" {
				continue
			}
			for _, x := range weight {
				out[i][k] += x * (got[i][n] - got[i][n+1]) / (2 * slopeStep)
				n += 2
			}
		}
	}
	return out
}

// bends gives the second derivatives halfway, by figure, knob and knob; nil where
// both sides are exact. One that cannot be had is 0.
func (w *walk) bends() [][][]float64 {
	out := make([][][]float64, len(w.names))
	a := w.account
	if a.From.Covariance == nil && a.To.Covariance == nil {
		return out
	}
	var steps []step
	for k := range a.Knobs {
		for j := range k + 1 {
			for _, sign := range [...][2]float64{{1, 1}, {-1, -1}, {1, -1}, {-1, 1}} {
				steps = append(steps, step{at: 0.5, knob: k, h: sign[0] * bendStep, also: j, g: sign[1] * bendStep})
			}
		}
	}
	got := w.measure(steps)
	for i := range out {
		out[i] = make([][]float64, len(a.Knobs))
		n := 0
		for k := range a.Knobs {
			out[i][k] = make([]float64, len(a.Knobs))
			for j := range k + 1 {
				bend := (got[i][n] + got[i][n+1] - got[i][n+2] - got[i][n+3]) / (4 * bendStep * bendStep)
				if n += 4; math.IsNaN(bend) {
					bend = 0
				}
				out[i][k][j], out[i][j][k] = bend, bend
			}
		}
	}
	return out
}

// adds tells whether all shares add up to the differences.
func (w *walk) adds(ends, slopes [][]float64) bool {
	for i := range w.names {
		rest := ends[i][1] - ends[i][0]
		for k := range w.account.Knobs {
			if slopes[i][k] != 0 {
				rest -= slopes[i][k] * w.account.way(k)
			}
		}
		if math.Abs(rest) > wayError {
			return false
		}
	}
	return true
}
