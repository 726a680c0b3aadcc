package sparse

import "math"

// entry is one place of the part of the matrix not yet eliminated.
type entry struct {
	row, col int32
	code     code
	value    value
}

// elimination is the matrix on its way through planning: names and sample
// numbers side by side.
type elimination struct {
	n, samples int
	opt        Options
	prog       *program

	at      []int32 // row·n + col → entry number + 1
	entries []entry
	rows    [][]int32 // active entries of a row
	cols    [][]int32
	num     []complex128 // entry·samples + sample
	size    []float64    // the largest term that went into num
	colMax  []float64    // col·samples + sample: largest |num|² of the column
	rowMax  []float64    // row·samples + sample: largest given entry of the row
	fresh   []bool       // colMax of the column is up to date
	scratch []complex128 // multipliers of the step at hand
	prices  []price      // by entry
	touched touched

	steps   []step
	watched watchList
}

// step is one pivot: A's remaining rows i lose below[i]·right[j], where
// either below was divided by the pivot or, if byRow, right was.
type step struct {
	row, col       int32
	pivot, inverse value
	byRow          bool
	below, right   []part
}

// part is an entry of the pivot's column (at a row) or row (at a column).
type part struct {
	at    int32
	value value
}

// lost is the share of its largest term below which a number that should
// have cancelled is taken for rounding. One part in 10¹⁴ is sixty-four
// roundings.
const lost = 64 * 0x1p-52

// run eliminates until nothing can be.
func (e *elimination) run() error {
	for range e.n {
		best := e.choose()
		if best < 0 {
			best = e.fallback()
		}
		if best < 0 {
			return e.singular()
		}
		e.eliminate(best)
	}
	return nil
}

// choose finds the cheapest pivot acceptable in every sample. Costs that
// stand from the last step are looked at first: they bound how far the others
// need be reckoned.
func (e *elimination) choose() int32 {
	best, bestCost := int32(-1), math.MaxInt
	for _, standing := range [...]bool{true, false} {
		for c := range e.n {
			for _, i := range e.cols[c] {
				if (e.prices[i].known == exact) != standing {
					continue
				}
				cost := e.priced(i, bestCost)
				if cost > bestCost || cost == bestCost && best >= 0 && !e.before(i, best) {
					continue
				}
				if e.share(i, e.opt.Threshold*e.opt.Threshold) > 0 {
					best, bestCost = i, cost
				}
			}
		}
	}
	return best
}

// price remembers an entry's cost from step to step: a step touches a few
// rows and columns, and most costs stand.
type price struct {
	cost  int
	known known
}

// known says what a remembered cost is.
type known uint8

const (
	stale known = iota
	least       // the cost is at least this
	exact
)

// priced is cost, remembered.
func (e *elimination) priced(i int32, limit int) int {
	p := &e.prices[i]
	if p.known == exact || p.known == least && p.cost > limit {
		return p.cost
	}
	p.cost = e.cost(i, limit)
	p.known = exact
	if p.cost > limit {
		p.known = least
	}
	return p.cost
}

// touched marks what one step changed: the rows below its pivot and the
// columns right of it; and which columns and rows run through those.
type touched struct {
	row, col           []bool
	rowMeets, colMeets []bool
}

// reprice makes stale the cost of every entry that the step at (its other)
// rows and columns may have changed: those in them, and those whose own row
// and column cross where one of them crosses another.
func (e *elimination) reprice(st *step) {
	t := &e.touched
	for _, list := range [...][]bool{t.row, t.col, t.rowMeets, t.colMeets} {
		clear(list)
	}
	for _, b := range st.below {
		t.row[b.at] = true
		for _, k := range e.rows[b.at] {
			t.colMeets[e.entries[k].col] = true
		}
	}
	for _, r := range st.right {
		t.col[r.at] = true
		for _, k := range e.cols[r.at] {
			t.rowMeets[e.entries[k].row] = true
		}
	}
	for i := range e.entries {
		x := &e.entries[i]
		if t.row[x.row] || t.col[x.col] || t.rowMeets[x.row] && t.colMeets[x.col] {
			e.prices[i].known = stale
		}
	}
}

// before orders entries of equal cost.
func (e *elimination) before(i, j int32) bool {
	a, b := &e.entries[i], &e.entries[j]
	return a.col < b.col || a.col == b.col && a.row < b.row
}

// fallback finds the pivot whose worst sample is best, for matrices no one
// order suits well; lanes it does not suit will be flagged.
func (e *elimination) fallback() int32 {
	best, bestShare := int32(-1), 0.0
	for c := range e.n {
		for _, i := range e.cols[c] {
			s := e.share(i, 0)
			if s > bestShare || s == bestShare && best >= 0 && e.before(i, best) {
				best, bestShare = i, s
			}
		}
	}
	return best
}

// share gives the least |entry|²/max|column|² over the samples, and 0 if
// that is below least or if the entry is nothing but rounding in some sample.
func (e *elimination) share(i int32, least float64) float64 {
	c := int(e.entries[i].col)
	if !e.fresh[c] {
		e.refresh(c)
	}
	top := e.colMax[c*e.samples:][:e.samples]
	num := e.num[int(i)*e.samples:][:e.samples]
	size := e.size[int(i)*e.samples:][:e.samples]
	worst := math.Inf(1)
	for s, v := range num {
		m := norm(v)
		// The negations refuse what is not a number.
		if !(m >= least*top[s]) || !(m > lost*lost*size[s]*size[s]) {
			return 0
		}
		if m < worst*top[s] {
			worst = m / top[s]
		}
	}
	return worst
}

func (e *elimination) refresh(c int) {
	top := e.colMax[c*e.samples:][:e.samples]
	clear(top)
	for _, i := range e.cols[c] {
		for s, v := range e.num[int(i)*e.samples:][:e.samples] {
			top[s] = max(top[s], norm(v))
		}
	}
	e.fresh[c] = true
}

func norm(v complex128) float64 { return real(v)*real(v) + imag(v)*imag(v) }

// growth is how far the terms of the elimination outgrew the rows they came
// into, at worst.
func (e *elimination) growth() float64 {
	worst := 0.0
	for i, x := range e.entries {
		top := e.rowMax[int(x.row)*e.samples:][:e.samples]
		for s, v := range e.size[i*e.samples:][:e.samples] {
			worst = max(worst, v/top[s])
		}
	}
	return worst
}

// Weights of the order's cost, beside Markowitz's count, which alone orders
// what costs no lane anything.
const (
	weighOp   = 8  // a real operation in every lane
	weighKept = 8  // a factor that varies, and so costs every solve
	weighVary = 16 // a part that begins to vary, and so makes later steps dearer
	weighFill = 32 // a new entry
)

// cost estimates what pivoting on entry i costs; it may stop above limit.
func (e *elimination) cost(i int32, limit int) int {
	t := costTable
	p := &e.entries[i]
	row, col := e.rows[p.row], e.cols[p.col]
	inv := t.inverse[p.code]
	byRow, scaling := e.scaling(p.code, row, col, i)
	total := (len(row)-1)*(len(col)-1) + weighOp*(int(t.inverseOps[p.code])+scaling)
	for _, b := range col {
		if b == i {
			continue
		}
		below := e.entries[b].code
		if !byRow {
			below = t.product[below][inv]
		}
		total += (weighOp + weighKept) * int(t.varying[below])
		if total > limit {
			return total
		}
		line := e.at[int(e.entries[b].row)*e.n:][:e.n]
		for _, r := range row {
			if r == i {
				continue
			}
			right := e.entries[r].code
			if byRow {
				right = t.product[right][inv]
			}
			total += e.updateCost(t, line[e.entries[r].col]-1, below, right)
		}
	}
	for _, r := range row {
		if r != i {
			right := e.entries[r].code
			if byRow {
				right = t.product[right][inv]
			}
			total += weighKept * int(t.varying[right])
		}
	}
	return total
}

// updateCost is the cost of taking below·right from entry k, which is not
// there if negative.
func (e *elimination) updateCost(t *costs, k int32, below, right code) int {
	product := t.product[below][right]
	cost := weighOp * int(t.productOps[below][right])
	if k < 0 {
		return cost + weighFill + weighVary*int(t.varying[product])
	}
	was := e.entries[k].code
	became := t.sum[product][was]
	return cost + weighOp*int(t.sumOps[product][was]) + weighVary*int(t.varying[became]-t.varying[was])
}

// scaling says whether dividing the pivot's row is cheaper than its column,
// and what it costs. Entry skip of the lists is the pivot itself.
func (e *elimination) scaling(pivot code, row, col []int32, skip int32) (byRow bool, ops int) {
	ofRow, ofCol := e.scalingOps(pivot, row, skip), e.scalingOps(pivot, col, skip)
	return ofRow < ofCol, min(ofRow, ofCol)
}

func (e *elimination) scalingOps(pivot code, list []int32, skip int32) (ops int) {
	inv := costTable.inverse[pivot]
	for _, k := range list {
		if k != skip {
			ops += int(costTable.productOps[e.entries[k].code][inv])
		}
	}
	return ops
}

// singular names what is left.
func (e *elimination) singular() error {
	rowDone, colDone := make([]bool, e.n), make([]bool, e.n)
	for _, s := range e.steps {
		rowDone[s.row], colDone[s.col] = true, true
	}
	left := new(Singular)
	for i := range e.n {
		if !rowDone[i] {
			left.Rows = append(left.Rows, i)
		}
		if !colDone[i] {
			left.Columns = append(left.Columns, i)
		}
	}
	return left
}
