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
	e.reprice(&st)
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
	e.prices = append(e.prices, price{})
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
