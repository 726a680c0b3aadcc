package circuit

import (
	"bandwright/curve"
	"bandwright/sparse"
)

// Among holds the resistances between many points of one circuit with its
// power off, and what they depend on: one elimination answers for all pairs.
// It is never changed and has many readers.
type Among struct {
	points []string
	knobs  []Knob
	node   []int // by point; −1 is ground
	island []int // by point
	x, y   [][]float64
	slopes [][]entry // by knob
}

// OhmsAmong gives the resistances between points as Ohms does for a meter that
// opens no junction: of one network of resistors, whatever off says of the
// meter. A point that no part of the circuit touches is open to all others: an
// edit may have taken its parts away.
func (c *Circuit) OhmsAmong(s curve.Setting, off PowerOff, points ...string) (*Among, error) {
	off.TestVolts, off.TestOhms = 0, 0
	parts, err := c.powerOff(off)
	if err != nil {
		return nil, err
	}
	st, err := measuring(parts, s, off)
	if err != nil {
		return nil, err
	}
	a := &Among{points: points}
	joined := st.net.tied(steady, junction)
	for _, p := range points {
		node, met := st.net.node[p]
		if p != Ground && !met {
			node = untouched // its only parts are no path
		}
		a.node = append(a.node, node)
		if node == untouched {
			a.island = append(a.island, untouched-len(a.island))
		} else {
			a.island = append(a.island, joined.find(node+1))
		}
	}
	a.depends(st)
	return a, a.solve(st)
}

// untouched is the node of a point that no path for direct current touches.
const untouched = -2

// depends lists the values that the equations hold, with their derivatives.
func (a *Among) depends(st *State) {
	for i, p := range st.net.circuit.parts {
		for _, name := range asked(p) {
			var s stamps
			if !p.slope(st.net.at[i], name, &s) {
				continue
			}
			if steady := steadyOnly(s.entries); len(steady) > 0 {
				a.knobs = append(a.knobs, Knob{Part: p.PartName(), Value: name})
				a.slopes = append(a.slopes, steady)
			}
		}
	}
}

// steadyOnly leaves out what is there at signal frequencies only.
func steadyOnly(entries []entry) (list []entry) {
	for _, e := range entries {
		if e.g != 0 {
			list = append(list, e)
		}
	}
	return list
}

// solve drives 1 A into each point in turn, and asks the transposed equations
// for its volts.
func (a *Among) solve(st *State) error {
	lu := sparse.NewDense[float64](st.net.size)
	loadSteady(lu, st.linear, st.dcGroups.held)
	if err := lu.Factor(); err != nil {
		return st.net.singular(err)
	}
	for _, node := range a.node {
		x, y := make([]float64, st.net.size), make([]float64, st.net.size)
		if node >= 0 {
			b := make([]float64, st.net.size)
			b[node] = impedanceUnit
			lu.Solve(b, x)
			lu.Refine(b, x, false)
			b[node] = 1
			lu.SolveTransposed(b, y)
			lu.Refine(b, y, true)
		}
		a.x, a.y = append(a.x, x), append(a.y, y)
	}
	return nil
}

// Points gives the points asked for, by whose numbers the others ask.
func (a *Among) Points() []string { return a.points }

// Knobs gives the values that the resistances depend on.
func (a *Among) Knobs() []Knob { return a.knobs }

// Between gives the resistance between points i and j; open: no path.
func (a *Among) Between(i, j int) (ohms float64, open bool) {
	if a.island[i] != a.island[j] {
		return 0, i != j
	}
	return a.volts(i, i) - a.volts(i, j) - a.volts(j, i) + a.volts(j, j), false
}

// volts are those of point i when 1 A is driven into point j.
func (a *Among) volts(i, j int) float64 {
	if a.node[i] < 0 {
		return 0
	}
	return a.x[j][a.node[i]]
}

// By gives d(ohms)/d(value) of the resistance between i and j by every knob,
// into by, which must be as long as Knobs: dR = −(yᵢ − yⱼ)ᵀ·dA·(xᵢ − xⱼ), the
// adjoint of one pair being two solutions that are there already.
func (a *Among) By(i, j int, by []float64) {
	if len(by) != len(a.knobs) {
		panic("circuit: derivatives for another number of knobs")
	}
	xi, xj, yi, yj := a.x[i], a.x[j], a.y[i], a.y[j]
	for k, slope := range a.slopes {
		sum := 0.0
		for _, e := range slope {
			sum -= (yi[e.row] - yj[e.row]) * e.g * (xi[e.col] - xj[e.col])
		}
		by[k] = sum
	}
}
