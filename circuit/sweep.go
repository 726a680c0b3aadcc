package circuit

import (
	"context"
	"fmt"
	"math"
	"math/bits"

	"bandwright/finding"
	"bandwright/sparse"
)

// IDNoAnswer: at one frequency the equations have no answer (a pole on the
// axis, met exactly). hz.
const IDNoAnswer finding.ID = "circuit.no-answer"

// checkHz: frequencies are our own rooms' business, so a bad one panics.
func checkHz(hz []float64) {
	for _, f := range hz {
		if !(f > 0) || math.IsInf(f, 0) {
			panic(fmt.Sprintf("circuit: frequency %v", f))
		}
	}
}

// eachBlock runs the questions at every frequency, a block of lanes at a
// time, and hands over the worker with the block's answers: visit sees the
// index of its first frequency and its angular frequencies.
func (m *matrix) eachBlock(ctx context.Context, hz []float64, visit func(w *worker, first int, omegas []float64), questions ...question) (redone int, err error) {
	a := m.asking(questions...)
	w := a.idle.Get().(*worker)
	defer a.idle.Put(w)
	w.raw = 0
	var distrusted []float64
	var omegas [sparse.Block]float64
	for first := 0; first < len(hz); first += sparse.Block {
		if err := ctx.Err(); err != nil {
			return redone, err
		}
		n := min(sparse.Block, len(hz)-first)
		for k := range n {
			omegas[k] = 2 * math.Pi * hz[first+k]
		}
		w.load(omegas[:n])
		again, singular := w.solve(n)
		redone += again
		for flags := w.lanes.Flagged(); flags != 0; flags &= flags - 1 {
			distrusted = append(distrusted, omegas[bits.TrailingZeros64(flags)])
		}
		if singular != 0 {
			return redone, noAnswer(hz[first:], singular)
		}
		visit(w, first, omegas[:n])
	}
	if len(distrusted)*replanShare > len(hz) {
		m.replan(distrusted)
	}
	return redone, nil
}

func noAnswer(hz []float64, singular uint64) error {
	var found finding.List
	for k := range sparse.Block {
		if singular&(1<<k) != 0 {
			found = append(found, finding.New(IDNoAnswer, finding.Error, finding.Place{}, finding.Args{"hz": hz[k]}))
		}
	}
	return found
}

// lane reads one lane of a solver's wanted unknowns into x.
func lane(s *sparse.Solver, k int, x []complex128) {
	for i := range x {
		re, im := s.X(i)
		x[i] = complex(re[k], im[k])
	}
}

// eachAdjoint solves the transposed equations for the terms e at every
// frequency; visit sees the whole solution.
func (m *matrix) eachAdjoint(ctx context.Context, e []term, hz []float64, visit func(k int, omega float64, lambda []complex128)) error {
	lambda := make([]complex128, m.size)
	_, err := m.eachBlock(ctx, hz, func(w *worker, first int, omegas []float64) {
		for k, omega := range omegas {
			lane(w.solvers[0], k, lambda)
			visit(first+k, omega, lambda)
		}
	}, question{rhs: e, wanted: m.all, transposed: true, refined: true})
	return err
}

// Response is the gain from one source to some points.
type Response struct {
	Hz       []float64
	Gains    [][]complex128 // by out, by frequency; volts per volt or per ampere
	Raw      float64        // largest componentwise backward error, before refinement
	Residual float64        // and after it
	Redone   int            // lanes solved again with full pivoting
}

// Response gives the gain from a source to every out at every frequency, all
// other sources silent. Each solution is refined once, and its backward error
// (Oettli and Prager 1964) travels with the answer.
func (st *State) Response(ctx context.Context, source string, outs []string, hz []float64) (*Response, error) {
	b, err := st.sourceTerms(source)
	if err != nil {
		return nil, err
	}
	nodes := make([]int, len(outs))
	r := &Response{Hz: hz, Gains: make([][]complex128, len(outs))}
	for i, out := range outs {
		if _, err := st.outTerms(out); err != nil {
			return nil, err
		}
		nodes[i] = st.net.node[out]
		r.Gains[i] = make([]complex128, len(hz))
	}
	checkHz(hz)
	r.Redone, err = st.matrix.eachBlock(ctx, hz, func(w *worker, first int, omegas []float64) {
		r.take(w, nodes, first, len(omegas))
	}, question{rhs: b, wanted: st.matrix.all, refined: true})
	return r, err
}

// take reads one block's gains and its largest backward error.
func (r *Response) take(w *worker, nodes []int, first, n int) {
	for i, node := range nodes {
		if node < 0 {
			continue // ground
		}
		re, im := w.solvers[0].X(node)
		for k := range n {
			r.Gains[i][first+k] = complex(re[k], im[k])
		}
	}
	r.Raw = max(r.Raw, w.raw)
	for _, e := range w.refine[0].Residual()[:n] {
		r.Residual = max(r.Residual, e)
	}
}

// Gain gives the gain from source to out at many frequencies, without
// refinement and with only the work that one out needs: for searching.
func (st *State) Gain(ctx context.Context, source, out string, hz []float64, gain []complex128) error {
	b, e, err := st.question(source, out)
	if err != nil {
		return err
	}
	checkHz(hz)
	if len(e) == 0 {
		clear(gain)
		return nil
	}
	_, err = st.matrix.eachBlock(ctx, hz, func(w *worker, first int, omegas []float64) {
		re, im := w.solvers[0].X(0)
		for k := range omegas {
			gain[first+k] = complex(re[k], im[k])
		}
	}, question{rhs: b, wanted: []int{e[0].row}})
	return err
}

// Slopes gives the gain from source to out and its derivative by frequency
// (per hertz) at many frequencies at once, from one elimination each: with
// A = G + ωC, dH/dω = −λᵀ·C·x. gain and byHz are as long as hz.
func (st *State) Slopes(ctx context.Context, source, out string, hz []float64, gain, byHz []complex128) error {
	b, e, err := st.question(source, out)
	if err != nil {
		return err
	}
	checkHz(hz)
	s := st.matrix.slope(b, e)
	_, err = st.matrix.eachBlock(ctx, hz, func(w *worker, first int, omegas []float64) {
		for k := range omegas {
			gain[first+k], byHz[first+k] = s.at(w, k)
		}
	}, question{rhs: b, wanted: s.columns}, question{rhs: e, wanted: s.rows, transposed: true})
	return err
}

// slope is what Slopes needs of the two solutions: x at the columns of the
// cells that vary and at the out, λ at their rows.
type slope struct {
	columns, rows []int
	out           []int // places of the out's terms in columns
	weights       []term
	cells         []slopeCell
}

type slopeCell struct {
	cell        int // number of the matrix's cell
	column, row int // places in columns and rows
	c           complex128
}

func (m *matrix) slope(b, e []term) slope {
	var s slope
	place := func(list *[]int, unknown int) int {
		for i, u := range *list {
			if u == unknown {
				return i
			}
		}
		*list = append(*list, unknown)
		return len(*list) - 1
	}
	for _, t := range e {
		s.out = append(s.out, place(&s.columns, t.row))
		s.weights = append(s.weights, t)
	}
	for i, c := range m.cells {
		if c.c != 0 {
			s.cells = append(s.cells, slopeCell{i, place(&s.columns, c.col), place(&s.rows, c.row), c.c})
		}
	}
	return s
}

// at gives gain and slope in one lane.
func (s slope) at(w *worker, k int) (gain, byHz complex128) {
	for i, t := range s.weights {
		re, im := w.solvers[0].X(s.out[i])
		gain += complex(t.g, 0) * complex(re[k], im[k])
	}
	for _, c := range s.cells {
		xr, xi := w.solvers[0].X(c.column)
		lr, li := w.solvers[1].X(c.row)
		byHz -= complex(lr[k], li[k]) * c.c * complex(xr[k], xi[k])
	}
	return gain, byHz * 2 * math.Pi
}
