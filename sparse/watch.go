package sparse

// watchList gathers what the lanes watch: the multipliers' squares.
type watchList struct {
	arrays []int32 // squares count as they are
	seen   map[int32]bool
	con    ref // the constant multipliers' squares, summed
	cons   []op
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
	if con.kind != none {
		w.cons = append(w.cons, op{x: square.id, c: p.slot(con)})
	}
	for len(arrays) > 0 {
		o := op{code: opWatchQ, x: square.id, y: arrays[0]}
		if arrays = arrays[1:]; len(arrays) > 0 {
			o.z, arrays = arrays[0], arrays[1:]
		}
		w.ops = append(w.ops, o)
	}
}

// pair puts two constants' watches into one operation.
func (w *watchList) pair() {
	for len(w.cons) > 0 {
		o := op{code: opWatchCon, x: w.cons[0].x, c: w.cons[0].c}
		if w.cons = w.cons[1:]; len(w.cons) > 0 {
			o.y, o.k, w.cons = w.cons[0].x, w.cons[0].c, w.cons[1:]
		}
		w.ops = append(w.ops, o)
	}
}

// finish writes the watch and gives the array it is in.
func (w *watchList) finish(p *program) int32 {
	set := p.emit(op{code: opFill, c: p.slot(w.con)}, false)
	w.pair()
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
