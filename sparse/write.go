package sparse

import "slices"

// term is a product in which some factor varies: ±x, ±k·x or ±x·y.
type term struct {
	shape   shape
	neg     bool
	x, y, k int32
}

type shape uint8

const (
	plain  shape = iota // x
	scaled              // k·x
	mixed               // x·y
)

// sum writes the sum of up to a handful of products and names the result.
// What is known now is computed now, what is constant goes to the folds, and
// a sum that is only a renaming writes nothing at all.
func (p *program) sum(products ...product) ref {
	var known float64
	var con ref
	var held [8]term
	terms := held[:0]
	for _, q := range products {
		x, y := q.x, q.y
		if x.kind > y.kind {
			x, y = y, x
		}
		switch {
		case x.kind == none:
		case y.kind == fixed:
			if q.neg {
				known -= x.val * y.val
			} else {
				known += x.val * y.val
			}
		case y.kind == constant:
			con = p.foldSum(con, x, y, q.neg)
		default:
			terms = append(terms, p.term(x, y, q.neg))
		}
	}
	if known != 0 {
		if con.kind == none {
			con = fixedRef(known)
		} else {
			con = p.foldSum(con, fixedRef(known), one(), false)
		}
	}
	if len(terms) == 0 {
		return con
	}
	return p.writeTerms(terms, con)
}

// term sorts out ±x·y where y varies and x is known no later than y.
func (p *program) term(x, y ref, neg bool) term {
	neg = neg != y.neg
	switch {
	case x.unit():
		return term{shape: plain, x: y.id, k: conOne, neg: neg != (x.val < 0)}
	case x.kind == fixed:
		return term{shape: scaled, x: y.id, k: p.seedSlot(x.val), neg: neg}
	case x.kind == constant:
		return term{shape: scaled, x: y.id, k: x.id, neg: neg != x.neg}
	}
	return term{shape: mixed, x: x.id, y: y.id, neg: neg != x.neg}
}

// writeTerms writes terms + con, as many to an operation as its kernels take.
func (p *program) writeTerms(terms []term, con ref) ref {
	slices.SortStableFunc(terms, func(a, b term) int { return int(a.shape) - int(b.shape) })
	for con.kind != none || len(terms) > 2 {
		last := len(terms) - 1
		var r ref
		switch {
		case con.kind != none:
			r = p.writeConstant(con, terms[last])
			con = ref{}
			terms = terms[:last]
		case terms[2].shape != mixed:
			var n int
			r, n = p.writeLinear(terms)
			terms = terms[n:]
		default:
			r = p.writePair(terms[last-1], terms[last])
			terms = terms[:last-1]
		}
		terms = slices.Insert(terms, 0, term{shape: plain, x: r.id, k: conOne, neg: r.neg})
	}
	if len(terms) == 2 {
		return p.writePair(terms[0], terms[1])
	}
	return p.writeOne(terms[0])
}

// writeLinear writes the first few terms, which have constant factors, and
// says how many.
func (p *program) writeLinear(terms []term) (r ref, n int) {
	o := op{code: opSum}
	xs := [...]*int32{&o.x, &o.y, &o.z, &o.w}
	ks := [...]*int32{&o.k, &o.c, &o.g, &o.h}
	for n < len(xs) && n < len(terms) && terms[n].shape != mixed {
		*xs[n], *ks[n] = terms[n].x, p.scale(terms[n], terms[n].neg)
		n++
	}
	return p.emit(o, false), n
}

// emit appends an operation that makes a new array.
func (p *program) emit(o op, neg bool) ref {
	o.d = p.newArray()
	p.ops = append(p.ops, o)
	return ref{kind: varying, id: o.d, neg: neg}
}

func (p *program) writeOne(t term) ref {
	switch t.shape {
	case plain:
		return ref{kind: varying, id: t.x, neg: t.neg}
	case scaled:
		return p.emit(op{code: opScale, x: t.x, k: t.k}, t.neg)
	}
	return p.emit(op{code: opMul, x: t.x, y: t.y}, t.neg)
}

func (p *program) writeConstant(con ref, t term) ref {
	if t.neg {
		con = con.minus()
	}
	o := op{code: opConAdd, x: t.x, c: p.slot(con)}
	switch t.shape {
	case scaled:
		o.code, o.k = opConScale, t.k
	case mixed:
		o.code, o.y = opConMul, t.y
	}
	return p.emit(o, t.neg)
}

// scale gives the slot of t's constant, turned if flip.
func (p *program) scale(t term, flip bool) int32 {
	for _, s := range p.seeds {
		if flip && s.con == t.k {
			return p.seedSlot(-s.value)
		}
	}
	return p.slot(ref{kind: constant, id: t.k, neg: flip})
}

// writePair writes s + t, s of the simpler shape. One sign is taken out into
// the result's name.
func (p *program) writePair(s, t term) ref {
	differ := s.neg != t.neg
	pick := func(same, opposite opcode) opcode {
		if differ {
			return opposite
		}
		return same
	}
	switch {
	case t.shape == plain:
		return p.emit(op{code: pick(opAdd, opSub), x: s.x, y: t.x}, s.neg)
	case s.shape == plain && t.shape == scaled:
		return p.emit(op{code: opAddScale, x: s.x, y: t.x, k: p.scale(t, differ)}, s.neg)
	case s.shape == plain:
		return p.emit(op{code: pick(opAddMul, opSubMul), x: s.x, y: t.x, z: t.y}, s.neg)
	case t.shape == scaled:
		return p.emit(op{code: opScaleAdd, x: s.x, y: t.x, k: s.k, c: p.scale(t, differ)}, s.neg)
	case s.shape == scaled:
		return p.emit(op{code: opScaleMul, x: s.x, y: t.x, z: t.y, k: p.scale(s, differ)}, t.neg)
	}
	return p.emit(op{code: pick(opMulAddMul, opMulSubMul), x: s.x, y: s.y, z: t.x, w: t.y}, s.neg)
}

// mul writes x·y.
func (p *program) mul(x, y value) value { return p.mulSub(value{}, x.minus(), y) }

func (v value) minus() value { return value{v.re.minus(), v.im.minus()} }

// mulSub writes a − x·y.
func (p *program) mulSub(a, x, y value) value {
	if r, ok := p.mulSubWhole(a, x, y); ok {
		return r
	}
	return value{
		re: p.sum(product{x: a.re, y: one()}, product{x: x.re, y: y.re, neg: true}, product{x: x.im, y: y.im}),
		im: p.sum(product{x: a.im, y: one()}, product{x: x.re, y: y.im, neg: true}, product{x: x.im, y: y.re, neg: true}),
	}
}

// pair is a product of complex values.
type pair struct{ x, y value }

// less writes a − Σ x·y, with the sum's terms together in as few operations
// as can be.
func (p *program) less(a value, pairs []pair) value {
	if len(pairs) == 1 {
		return p.mulSub(a, pairs[0].x, pairs[0].y)
	}
	re, im := []product{{x: a.re, y: one()}}, []product{{x: a.im, y: one()}}
	var whole []pair
	for _, q := range pairs {
		if x, y := q.x, q.y; x.whole() && y.whole() {
			whole = append(whole, q)
		} else {
			re = append(re, product{x: x.re, y: y.re, neg: true}, product{x: x.im, y: y.im})
			im = append(im, product{x: x.re, y: y.im, neg: true}, product{x: x.im, y: y.re, neg: true})
		}
	}
	v := value{p.sum(re...), p.sum(im...)}
	for _, q := range whole {
		v = p.mulSub(v, q.x, q.y)
	}
	return v
}

// whole reports whether both parts vary, under one sign.
func (v value) whole() bool {
	return v.re.kind == varying && v.im.kind == varying && v.re.neg == v.im.neg
}

// mulSubWhole writes a − x·y in one operation where all six parts vary.
func (p *program) mulSubWhole(a, x, y value) (value, bool) {
	if !a.whole() || !x.whole() || !y.whole() {
		return value{}, false
	}
	o := op{code: opCMulSub, e: p.newArray(), x: a.re.id, u: a.im.id, y: x.re.id, z: x.im.id, w: y.re.id, v: y.im.id}
	if a.re.neg != (x.re.neg != y.re.neg) {
		o.code = opCMulAdd
	}
	re := p.emit(o, a.re.neg)
	return value{re, ref{kind: varying, id: o.e, neg: a.re.neg}}, true
}

// invert writes 1/v. Where both parts vary its length squared comes with it.
func (p *program) invert(v value) (inverse value, square ref) {
	switch {
	case v.im.kind == none && v.re.kind != varying:
		return value{re: p.foldInverse(v.re)}, ref{}
	case v.im.kind == none:
		return value{re: p.emit(op{code: opRecip, x: v.re.id}, v.re.neg)}, ref{}
	case v.re.kind == none && v.im.kind == varying:
		return value{im: p.emit(op{code: opRecip, x: v.im.id}, !v.im.neg)}, ref{}
	}
	x, y := p.array(v.re), p.array(v.im)
	o := op{code: opCRecip, x: x.id, y: y.id, e: p.newArray(), z: p.newArray()}
	re := p.emit(o, x.neg)
	return value{re, ref{kind: varying, id: o.e, neg: y.neg}}, ref{kind: varying, id: o.z}
}
