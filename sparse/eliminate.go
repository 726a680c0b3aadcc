package sparse

import "slices"

// eliminate pivots on entry i: writes the operations and follows them with
// the sample numbers.
func (e *elimination) eliminate(i int32) {
	p := e.entries[i]
	row, col := e.take(i)
	byRow, _ := e.scaling(p.code, row, col, i)
	inverse, square := e.prog.invert(p.value)
	st := step{row: p.row, col: p.col, pivot: p.value, inverse: inverse, byRow: byRow}
	for _, b := range col {
		v := e.entries[b].value
		if !byRow {
			v = e.prog.mul(v, inverse)
		}
		st.below = append(st.below, part{e.entries[b].row, v})
	}
	for _, r := range row {
		v := e.entries[r].value
		if byRow {
			v = e.prog.mul(v, inverse)
		}
		st.right = append(st.right, part{e.entries[r].col, v})
	}
	e.watched.step(e, &st, col, square)
	e.multipliers(i, col)
	for k, b := range st.below {
		for m, r := range st.right {
			e.update(b, r, e.scratch[k*e.samples:][:e.samples], row[m])
		}
	}
	for _, r := range row {
		e.fresh[e.entries[r].col] = false
	}
	e.steps = append(e.steps, st)
}

// take removes the pivot's row and column from the active part and gives
// their other entries.
func (e *elimination) take(i int32) (row, col []int32) {
	p := &e.entries[i]
	row, col = without(e.rows[p.row], i), without(e.cols[p.col], i)
	e.rows[p.row], e.cols[p.col] = nil, nil
	for _, r := range row {
		c := e.entries[r].col
		e.cols[c] = without(e.cols[c], r)
	}
	for _, c := range col {
		r := e.entries[c].row
		e.rows[r] = without(e.rows[r], c)
	}
	return row, col
}

func without(list []int32, i int32) []int32 {
	k := slices.Index(list, i)
	return slices.Delete(list, k, k+1)
}

// multipliers fills scratch with column ÷ pivot in every sample.
func (e *elimination) multipliers(i int32, col []int32) {
	e.scratch = e.scratch[:0]
	for _, b := range col {
		e.scratch = append(e.scratch, e.num[int(b)*e.samples:][:e.samples]...)
	}
	for s, v := range e.num[int(i)*e.samples:][:e.samples] {
		inv := complex(real(v), -imag(v)) * complex(1/norm(v), 0)
		for k := s; k < len(e.scratch); k += e.samples {
			e.scratch[k] *= inv
		}
	}
}

// update takes below·right from the entry where they cross, making it if it
// is not there, dropping it if it cancels for good.
func (e *elimination) update(below, right part, mult []complex128, r int32) {
	at := int(below.at)*e.n + int(right.at)
	k := e.at[at] - 1
	if k < 0 {
		k = e.add(below.at, right.at)
	}
	x := &e.entries[k]
	x.value = e.prog.mulSub(x.value, below.value, right.value)
	x.code = x.value.code()
	num := e.num[int(k)*e.samples:][:e.samples]
	size := e.size[int(k)*e.samples:][:e.samples]
	for s, u := range e.num[int(r)*e.samples:][:e.samples] {
		p := mult[s] * u
		num[s] -= p
		size[s] = max(size[s], abs1(p))
	}
	if x.value.zero() {
		e.rows[x.row] = without(e.rows[x.row], k)
		e.cols[x.col] = without(e.cols[x.col], k)
		e.at[at] = 0
	}
}

// add makes an entry that is zero so far.
func (e *elimination) add(row, col int32) int32 {
	k := int32(len(e.entries))
	e.entries = append(e.entries, entry{row: row, col: col})
	for range e.samples {
		e.num = append(e.num, 0)
		e.size = append(e.size, 0)
	}
	e.at[int(row)*e.n+int(col)] = k + 1
	e.rows[row] = append(e.rows[row], k)
	e.cols[col] = append(e.cols[col], k)
	return k
}

// abs1 is |re| + |im|, within √2 of the length and never below it.
func abs1(v complex128) float64 { return max(real(v), -real(v)) + max(imag(v), -imag(v)) }

// watchList gathers what the lanes watch: the multipliers' squares.
type watchList struct {
	arrays []int32 // squares count as they are
	seen   map[int32]bool
	con    ref // the constant multipliers' squares, summed
	ops    []op
}

// step watches one column of multipliers.
func (w *watchList) step(e *elimination, st *step, col []int32, square ref) {
	p := e.prog
	if !st.inverse.varying() {
		w.constantPivot(p, st)
		return
	}
	if square.kind == none {
		part := st.inverse.re
		if part.kind == none {
			part = st.inverse.im
		}
		square = p.sum(product{x: part, y: part})
	}
	var con ref
	var arrays []int32
	for k, b := range col {
		v := e.entries[b].value
		if v.varying() && !st.byRow {
			w.watch(st.below[k].value)
			continue
		}
		for _, part := range [...]ref{v.re, v.im} {
			switch part.kind {
			case varying:
				arrays = append(arrays, part.id)
			case fixed, constant:
				con = p.addSquare(con, part)
			}
		}
	}
	if con.kind == none && len(col) == 0 {
		con = fixedRef(leastWatch)
	}
	w.weighed(p, square, con, arrays)
}

// leastWatch makes a pivot with nothing below it watched for being zero.
const leastWatch = 0x1p-900

// constantPivot watches a column over a pivot that is the same in all lanes.
func (w *watchList) constantPivot(p *program, st *step) {
	for _, b := range st.below {
		for _, part := range [...]ref{b.value.re, b.value.im} {
			switch {
			case part.kind == constant:
				if st.byRow {
					part = p.sum(product{x: part, y: st.inverse.re})
				}
				w.con = p.addSquare(w.con, part)
			case part.kind == varying && (!st.byRow || st.inverse.re.unit()):
				w.watch(value{re: part})
			case part.kind == varying:
				k := p.addSquare(ref{}, st.inverse.re)
				w.ops = append(w.ops, op{code: opWatchK, x: part.id, k: p.slot(k)})
			}
		}
	}
	if st.inverse.re.kind == constant {
		// A constant bound to zero must not pass unseen.
		tiny := p.sum(product{x: st.inverse.re, y: fixedRef(leastWatch)})
		w.con = p.addSquare(w.con, tiny)
	}
}

// addSquare writes a + x² over constants.
func (p *program) addSquare(a, x ref) ref {
	return p.sum(product{x: a, y: one()}, product{x: x, y: x})
}

func (w *watchList) watch(v value) {
	for _, part := range [...]ref{v.re, v.im} {
		if part.kind == varying && !w.seen[part.id] {
			w.seen[part.id] = true
			w.arrays = append(w.arrays, part.id)
		}
	}
}

// weighed watches square·(con + Σ arrays²).
func (w *watchList) weighed(p *program, square, con ref, arrays []int32) {
	for con.kind != none || len(arrays) > 0 {
		o := op{code: opWatchQ, x: square.id, c: p.slot(con)}
		if len(arrays) > 0 {
			o.y, arrays = arrays[0], arrays[1:]
		}
		if len(arrays) > 0 {
			o.z, arrays = arrays[0], arrays[1:]
		}
		w.ops = append(w.ops, o)
		con = ref{}
	}
}

// finish writes the watch and gives the array it is in.
func (w *watchList) finish(p *program) int32 {
	set := p.emit(op{code: opFill, c: p.slot(w.con)}, false)
	for len(w.arrays) > 0 {
		o := op{code: opWatch}
		for _, id := range [...]*int32{&o.x, &o.y, &o.z, &o.w} {
			if len(w.arrays) > 0 {
				*id, w.arrays = w.arrays[0], w.arrays[1:]
			}
		}
		w.ops = append(w.ops, o)
	}
	for _, o := range w.ops {
		o.d = set.id
		p.ops = append(p.ops, o)
	}
	return set.id
}
