package circuit

import (
	"context"
	"math"
	"slices"

	"bandwright/sparse"
)

// rested is Newton's method for a member: the steps are those of newton, but the
// tangents' equations, which differ from the family's in few rows, are solved by
// the inverse that the family has. A step solves for the change of the unknowns,
// from what is left of every equation at full precision; so the inverse may be
// rough, and the end is as good as that of the whole equations.
type rested struct {
	*newton
	inv        inverse[float64]
	rows, cols []int     // where the equations differ
	fixed      []float64 // by how much, without the member's devices; rows by columns
	d          []float64 // with them
	reach      []float64 // of the inverse: columns by rows
	lu         *sparse.Dense[float64]
	row, col   []int // by unknown: its place in rows and in cols, −1 for none
	rest       []float64
	y          []float64
	before     []float64 // next before it was refined
}

// newRested begins where the devices would.
func (m *Member) newRested() *rested {
	r := &rested{newton: m.st.newPoint(), inv: m.family.direct}
	cells := slices.Concat(m.own, unlike(m.family.base.dcGroups.held, m.st.dcGroups.held), m.family.less)
	cells = slices.DeleteFunc(gather(cells), func(e entry) bool { return e.g == 0 })
	r.row, r.col = places(r.net.size), places(r.net.size)
	for _, e := range cells {
		r.rows, r.cols = placed(r.rows, r.row, e.row), placed(r.cols, r.col, e.col)
	}
	for _, d := range r.devices {
		for _, flow := range d.flows {
			r.rows = placed(placed(r.rows, r.row, flow[0]), r.row, flow[1])
		}
		for _, control := range d.controls {
			r.cols = placed(placed(r.cols, r.col, control[0]), r.col, control[1])
		}
	}
	k, n := len(r.cols), r.net.size
	r.fixed, r.d, r.reach = make([]float64, len(r.rows)*k), make([]float64, len(r.rows)*k), make([]float64, k*len(r.rows))
	for _, e := range cells {
		r.fixed[r.row[e.row]*k+r.col[e.col]] += e.g
	}
	for a, col := range r.cols {
		for b, row := range r.rows {
			r.reach[a*len(r.rows)+b] = r.inv.rows[col*n+row]
		}
	}
	r.lu = sparse.NewDense[float64](k)
	r.rest, r.y, r.before = make([]float64, n), make([]float64, k), make([]float64, n)
	return r
}

func places(n int) []int {
	list := make([]int, n)
	for i := range list {
		list[i] = -1
	}
	return list
}

// placed adds an unknown to a list, once; −1 is ground.
func placed(list, place []int, unknown int) []int {
	if unknown < 0 || place[unknown] >= 0 {
		return list
	}
	place[unknown] = len(list)
	return append(list, unknown)
}

// solve is iterate with the sources full on; false: the member's whole equations
// must be asked.
func (r *rested) solve(ctx context.Context) (settled bool) {
	for range newtonSteps {
		if ctx.Err() != nil || !r.step() {
			return false
		}
		still := r.near()
		if still {
			copy(r.before, r.next)
			r.correct()
			copy(r.rough, r.before)
			still = r.still()
		}
		r.x, r.next = r.next, r.x
		if r.limit() && still {
			return true
		}
	}
	return false
}

// step finds the next unknowns, not refined; false: the inverse cannot.
func (r *rested) step() bool {
	k := len(r.cols)
	copy(r.d, r.fixed)
	for i := range r.devices {
		r.slant(&r.devices[i])
	}
	for a := range k {
		to := r.lu.A[a*k : a*k+k]
		clear(to)
		to[a] = 1
		for b, v := range r.reach[a*len(r.rows):][:len(r.rows)] {
			if v == 0 {
				continue
			}
			for j, d := range r.d[b*k : b*k+k] {
				to[j] += v * d
			}
		}
	}
	if r.lu.Factor() != nil {
		return false
	}
	copy(r.next, r.x)
	r.correct()
	return true
}

// slant adds a device's tangent to the difference, and keeps it.
func (r *rested) slant(d *deviceAt) {
	d.amperes, d.slopes = d.model(d.limited, d.values, r.thermal)
	k := len(r.cols)
	for f, flow := range d.flows {
		for j, control := range d.controls {
			v := real(d.slopes[f][j]) * impedanceUnit
			for a, row := range flow {
				for b, col := range control {
					if row < 0 || col < 0 {
						continue
					}
					if a == b {
						r.d[r.row[row]*k+r.col[col]] += v
					} else {
						r.d[r.row[row]*k+r.col[col]] -= v
					}
				}
			}
		}
	}
}

// left finds what is left of every equation at the next unknowns, the devices
// being their tangents.
func (r *rested) left() {
	clear(r.rest)
	x := r.next
	for _, e := range r.linear {
		r.rest[e.row] += e.g * x[e.col]
	}
	for _, node := range r.held {
		r.rest[node] += x[node]
	}
	for _, t := range r.drive {
		if t.row >= 0 {
			r.rest[t.row] -= t.g
		}
	}
	at := operating{x}
	for i := range r.devices {
		d := &r.devices[i]
		for f, flow := range d.flows {
			v := real(d.amperes[f])
			for j, control := range d.controls {
				v += real(d.slopes[f][j]) * (at.at(control) - real(d.limited[j]))
			}
			if v *= impedanceUnit; flow[0] >= 0 {
				r.rest[flow[0]] += v
			}
			if flow[1] >= 0 {
				r.rest[flow[1]] -= v
			}
		}
	}
}

// correct takes what is left off the next unknowns.
func (r *rested) correct() {
	r.left()
	n, k := r.net.size, len(r.cols)
	change := r.rough
	clear(change)
	for row, v := range r.rest {
		if v == 0 {
			continue
		}
		for i, c := range r.inv.cols[row*n : row*n+n] {
			change[i] += v * c
		}
	}
	for a, col := range r.cols {
		r.y[a] = change[col]
	}
	r.lu.Solve(r.y, r.y)
	for b, row := range r.rows {
		w := 0.0
		for a, d := range r.d[b*k : b*k+k] {
			w += d * r.y[a]
		}
		if w == 0 {
			continue
		}
		for i, c := range r.inv.cols[row*n : row*n+n] {
			change[i] -= w * c
		}
	}
	for i, v := range change {
		r.next[i] -= v
	}
}

// near says whether a step may have been the last; then it is worth refining.
func (r *rested) near() bool {
	for i, was := range r.x {
		is := r.next[i]
		if !(math.Abs(is-was) <= settledRelative*math.Max(math.Abs(is), math.Abs(was))+settledVolts+floatsVolts) {
			return false
		}
	}
	return true
}
