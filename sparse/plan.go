package sparse

import "fmt"

// Plan is a pivot order and the elimination written out for it. It never
// changes and may be read by many workers.
type Plan struct {
	n     int
	cells []Cell
	// values names the cells; pivots and steps name what came of them.
	values []value
	steps  []step
	prog   *program
	watch  int32   // array of the sum of squared multipliers
	bound  float64 // above which, squared, a lane is flagged
	odd    bool    // the permutation's sign is −1
}

// NewPlan plans the elimination of an n×n matrix whose cells may be other
// than zero at the places given, each place once. samples holds the values of
// all cells in a few matrices that stand for all to come (a Fixed cell has
// the value of the first for good). A matrix that is singular in any sample,
// by its pattern or by its numbers, gives a *Singular.
func NewPlan(n int, cells []Cell, samples [][]complex128, opt Options) (*Plan, error) {
	if len(samples) == 0 {
		panic("sparse: a plan needs at least one sample")
	}
	opt = opt.withDefaults()
	p, growth, err := newPlan(n, cells, samples, opt)
	if err != nil || growth <= tolerable {
		return p, err
	}
	// An order that costs a little more and grows less.
	opt.Threshold = max(opt.Threshold, careful)
	if q, less, err := newPlan(n, cells, samples, opt); err == nil && less < growth {
		return q, nil
	}
	return p, nil
}

// A threshold bounds what one step may grow, not what many may together.
// Where the samples' rows grew more than tolerable, the plan is made anew
// with the careful threshold: by trial on random circuits, that keeps the
// backward errors of one in ten thousand below 1e-11.
const (
	tolerable = 1e4
	careful   = 0.25
)

func newPlan(n int, cells []Cell, samples [][]complex128, opt Options) (*Plan, float64, error) {
	p := &Plan{n: n, cells: cells, prog: newProgram()}
	p.name(samples[0])
	e := p.elimination(samples, opt)
	if err := e.run(); err != nil {
		return nil, 0, err
	}
	p.steps = e.steps
	p.watch = e.watched.finish(p.prog)
	p.bound = opt.Bound * opt.Bound
	p.odd = odd(n, e.steps)
	return p, e.growth(), nil
}

// Size is the number of unknowns.
func (p *Plan) Size() int { return p.n }

// name gives every cell its parts.
func (p *Plan) name(first []complex128) {
	p.values = make([]value, len(p.cells))
	for i, c := range p.cells {
		v := &p.values[i]
		switch c.Class {
		case Fixed:
			if imag(first[i]) != 0 {
				panic(fmt.Sprintf("sparse: Fixed cell %d,%d is not real", c.Row, c.Col))
			}
			v.re = fixedRef(real(first[i]))
		case Const, ConstImag:
			v.re = ref{kind: constant, id: p.prog.newCon()}
		case Real, Complex:
			v.re = ref{kind: varying, id: p.prog.newArray()}
		case Imag:
		default:
			panic(fmt.Sprintf("sparse: class %d", c.Class))
		}
		if c.Class >= Imag {
			v.im = ref{kind: varying, id: p.prog.newArray()}
		}
	}
}

// elimination sets the stage: entries, their places, their sample numbers.
func (p *Plan) elimination(samples [][]complex128, opt Options) *elimination {
	n, ns, room := p.n, len(samples), 3*len(p.cells)
	e := &elimination{
		n: n, samples: ns, opt: opt, prog: p.prog,
		at: make([]int32, n*n), entries: make([]entry, 0, room),
		rows: make([][]int32, n), cols: make([][]int32, n),
		num: make([]complex128, 0, room*ns), size: make([]float64, 0, room*ns),
		colMax: make([]float64, n*ns), rowMax: make([]float64, n*ns), fresh: make([]bool, n),
		steps:   make([]step, 0, n),
		watched: watchList{seen: map[int32]bool{}},
		prices:  make([]price, 0, room),
		touched: touched{make([]bool, n), make([]bool, n), make([]bool, n), make([]bool, n)},
	}
	for i, c := range p.cells {
		if c.Row < 0 || c.Row >= n || c.Col < 0 || c.Col >= n {
			panic(fmt.Sprintf("sparse: cell %d,%d outside %d×%d", c.Row, c.Col, n, n))
		}
		if e.at[c.Row*n+c.Col] != 0 {
			panic(fmt.Sprintf("sparse: cell %d,%d given twice", c.Row, c.Col))
		}
		if p.values[i].zero() {
			continue
		}
		k := e.add(int32(c.Row), int32(c.Col))
		e.entries[k].value, e.entries[k].code = p.values[i], p.values[i].code()
		for s := range samples {
			v := samples[s][i]
			e.num[int(k)*ns+s], e.size[int(k)*ns+s] = v, abs1(v)
			e.rowMax[c.Row*ns+s] = max(e.rowMax[c.Row*ns+s], abs1(v))
		}
	}
	return e
}

// odd reports whether the order of rows against columns is an odd
// permutation.
func odd(n int, steps []step) bool {
	to := make([]int32, n)
	for _, s := range steps {
		to[s.row] = s.col
	}
	sign := false
	for i := range to {
		for to[i] != int32(i) {
			j := to[i]
			to[i], to[j] = to[j], j
			sign = !sign
		}
	}
	return sign
}
