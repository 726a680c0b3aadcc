package circuit

import (
	"fmt"
	"math"

	"bandwright/sparse"
)

// Knobs lists what can be turned, in the order given.
func (t *Tuning) Knobs() []Knob { return t.knobs }

// MovesBias says that some knob moves the operating point, which a Tuning does
// not follow.
func (t *Tuning) MovesBias() bool { return t.moves }

// Value gives a knob's value now; a Position is −1 … +1.
func (t *Tuning) Value(knob int) float64 {
	if f := t.fields[knob]; f != nil {
		return *f
	}
	return 2*t.at[t.of[knob]].travel - 1
}

// Turn gives every knob its value.
func (t *Tuning) Turn(values []float64) {
	for k, v := range values {
		if f := t.fields[k]; f != nil {
			*f = v
			continue
		}
		t.at[t.of[k]].travel = min(max((v+1)/2, 0), 1)
	}
	t.rewind()
	t.scratch.entries = t.scratch.entries[:0]
	for n, i := range t.moving {
		if t.parts[i].branches(t.at[i]) != t.needs[n] {
			panic(fmt.Sprintf("circuit: %s turned to where it has other equations", t.parts[i].PartName()))
		}
		t.parts[i].stamp(t.at[i], &t.scratch)
	}
	for i := range t.cells {
		t.cells[i].now = t.cells[i].still
	}
	for _, x := range t.scratch.entries {
		c := &t.cells[t.where[[2]int{x.row, x.col}]]
		c.now.g, c.now.c = c.now.g+x.g, c.now.c+x.c
	}
	t.carry()
	for k, knob := range t.knobs {
		t.slopes[k].entries = t.slopes[k].entries[:0]
		t.parts[t.of[k]].slope(t.at[t.of[k]], knob.Value, &t.slopes[k])
	}
}

// rewind brings coils' values to what is coupled with them.
func (t *Tuning) rewind() {
	for i := range t.at {
		for j := range t.at[i].wound {
			w := &t.at[i].wound[j]
			if coil, ok := t.parts[w.part].(*Inductor); ok {
				w.coil = *coil
			}
		}
	}
	for _, i := range t.moving {
		if c, ok := t.parts[i].(*Coupling); ok {
			first, second := t.at[i].wound[0].part, t.at[i].wound[1].part
			t.couple(first, second, c.K)
			t.couple(second, first, c.K)
		}
	}
}

// couple tells a coil how it is coupled with another.
func (t *Tuning) couple(coil, other int, k float64) {
	for j := range t.at[coil].wound {
		if w := &t.at[coil].wound[j]; w.part == other {
			w.k = k
		}
	}
}

// carry brings the cells that knobs reach into the lanes.
func (t *Tuning) carry() {
	for i := range t.cells {
		c := &t.cells[i]
		if !c.touched {
			continue
		}
		if c.class != sparse.Complex {
			t.all.lanes.SetConst(i, c.now.g)
		}
		if c.vary >= 0 {
			t.all.vary[c.vary].entry = c.now
		}
	}
	t.all.lanes.Fold()
}

// Gains gives the gain at every frequency. False: somewhere there is none.
func (t *Tuning) Gains(hz []float64, gain []complex128) bool {
	for first := 0; first < len(hz); first += sparse.Block {
		n := min(sparse.Block, len(hz)-first)
		if !t.block(&t.alone, hz[first:first+n]) {
			return false
		}
		re, im := t.alone.solvers[0].X(0)
		for k := range n {
			gain[first+k] = complex(re[k], im[k])
		}
	}
	return true
}

// block solves at up to Block frequencies, which stay in omega.
func (t *Tuning) block(w *worker, hz []float64) bool {
	for k, f := range hz {
		t.omega[k] = 2 * math.Pi * f
	}
	w.load(t.omega[:len(hz)])
	_, singular := w.solve(len(hz))
	return singular == 0
}

// Decibels gives the gain at every frequency in dB, and, unless by is nil, its
// derivative by each knob, dB per unit of the value, as by[knob][frequency].
// False: somewhere there is no answer, or none in decibels.
func (t *Tuning) Decibels(hz, db []float64, by [][]float64) bool {
	w := &t.all
	if by == nil {
		w = &t.alone
	}
	for first := 0; first < len(hz); first += sparse.Block {
		n := min(sparse.Block, len(hz)-first)
		if !t.block(w, hz[first:first+n]) {
			return false
		}
		re, im := w.solvers[0].X(0)
		for k := range n {
			square := re[k]*re[k] + im[k]*im[k]
			if !(square > 0) || math.IsInf(square, 0) {
				return false
			}
			db[first+k] = 10 * math.Log10(square)
		}
		if by != nil {
			t.scale(n, re, im)
			for k := range t.knobs {
				t.slopeBlock(&t.slopes[k], by[k][first:first+n])
			}
		}
	}
	return true
}

// scale divides the adjoint by the gain, into decibels: d(dB) = 20/ln 10 ·
// Re(dH/H) and dH = −λᵀ·dA·x.
func (t *Tuning) scale(n int, re, im *sparse.Vector) {
	var ur, ui sparse.Vector
	for k := range n {
		f := -20 / math.Ln10 / (re[k]*re[k] + im[k]*im[k])
		ur[k], ui[k] = f*re[k], -f*im[k]
	}
	for i := range t.rows {
		lr, li := t.all.solvers[1].X(i)
		a := &t.adjoint[i]
		for k := range n {
			a[0][k], a[1][k] = lr[k]*ur[k]-li[k]*ui[k], lr[k]*ui[k]+li[k]*ur[k]
		}
	}
}

// slopeBlock sums one knob's entries in all lanes.
func (t *Tuning) slopeBlock(s *stamps, by []float64) {
	clear(by)
	for _, x := range s.entries {
		a := &t.adjoint[t.row[x.row]]
		xr, xi := t.all.solvers[0].X(t.column[x.col])
		lr, li := &a[0], &a[1]
		if x.g != 0 {
			for k := range by {
				by[k] += x.g * (lr[k]*xr[k] - li[k]*xi[k])
			}
		}
		if c := imag(x.c); c != 0 {
			for k := range by {
				by[k] -= c * t.omega[k] * (lr[k]*xi[k] + li[k]*xr[k])
			}
		}
		if c := real(x.c); c != 0 {
			for k := range by {
				by[k] += c * t.omega[k] * (lr[k]*xr[k] - li[k]*xi[k])
			}
		}
	}
}
