package sparse

import "math"

// opcode is what one operation does to all lanes of a block. x, y, z, w are
// arrays, k and c constants; the sign of the result is in its ref, which
// keeps the number of kernels small.
type opcode uint8

const (
	opScale     opcode = iota // d = k·x
	opMul                     // d = x·y
	opConAdd                  // d = c + x
	opConScale                // d = c + k·x
	opConMul                  // d = c + x·y
	opAdd                     // d = x + y
	opSub                     // d = x − y
	opAddScale                // d = x + k·y
	opAddMul                  // d = x + y·z
	opSubMul                  // d = x − y·z
	opScaleAdd                // d = k·x + c·y
	opScaleMul                // d = k·x + y·z
	opMulAddMul               // d = x·y + z·w
	opMulSubMul               // d = x·y − z·w
	opSum                     // d = k·x + c·y + g·z + h·w
	opCMulAdd                 // (d, e) = (x, u) + (y, z)·(w, v), complex
	opCMulSub                 // (d, e) = (x, u) − (y, z)·(w, v), complex
	opRecip                   // d = 1/x
	opCRecip                  // (d, e) = 1/(x + jy), z = |1/(x + jy)|²
	opFill                    // d = c
	opWatch                   // d += x² + y² + z² + w²
	opWatchK                  // d += k·x²
	opWatchCon                // d += c·x + k·y
	opWatchQ                  // d += x·(y² + z²)
	opSize                    // d = |x| + |y|
	opCount
)

// op is one operation of a program; ids that a kernel does not use are 0.
type op struct {
	code                   opcode
	d, e, x, y, z, w, u, v int32
	k, c, g, h             int32
}

// fold is one operation on constants. Slot 0 holds zero and slot 1 holds one,
// so unused operands need no test.
type fold struct {
	code       foldCode
	d, a, x, y int32
	sa, sp     float64
}

type foldCode uint8

const (
	foldAdd   foldCode = iota // d = sa·a + sp·x·y
	foldRecip                 // d = sp/x
	foldAbs                   // d = |x|
)

// spread fills an array with a constant each time constants are bound.
type spread struct{ array, con int32 }

// seed is a constant known when the program was written.
type seed struct {
	con   int32
	value float64
}

// program is a straight list of operations. Slots below the first counts
// belong to the program it continues (a solve continues its plan).
type program struct {
	ops     []op
	folds   []fold
	spreads []spread
	seeds   []seed

	firstArray, arrays int32
	firstCon, cons     int32
}

const (
	conZero = 0
	conOne  = 1
)

// newProgram starts a plan's program; array 0 is all zeros.
func newProgram() *program {
	return &program{arrays: 1, cons: 2, seeds: []seed{{conOne, 1}},
		ops: make([]op, 0, usualOps), folds: make([]fold, 0, usualOps)}
}

// usualOps is room for the programs of audio circuits; larger ones grow.
const usualOps = 1024

// after starts a program that continues p and shares its slots.
func (p *program) after() *program {
	return &program{firstArray: p.arrays, arrays: p.arrays, firstCon: p.cons, cons: p.cons}
}

func (p *program) newArray() int32 { p.arrays++; return p.arrays - 1 }
func (p *program) newCon() int32   { p.cons++; return p.cons - 1 }

// seedSlot gives a slot holding v.
func (p *program) seedSlot(v float64) int32 {
	switch v {
	case 0:
		return conZero
	case 1:
		return conOne
	}
	for _, s := range p.seeds {
		if s.value == v {
			return s.con
		}
	}
	id := p.newCon()
	p.seeds = append(p.seeds, seed{id, v})
	return id
}

// slot gives a constant slot holding exactly r (its sign included).
func (p *program) slot(r ref) int32 {
	switch {
	case r.kind == none:
		return conZero
	case r.kind == fixed:
		return p.seedSlot(r.val)
	case !r.neg:
		return r.id
	}
	f := fold{d: p.newCon(), x: r.id, y: conOne, sp: -1}
	p.folds = append(p.folds, f)
	return f.d
}

// foldSum writes a ± x·y over constants.
func (p *program) foldSum(a, x, y ref, neg bool) ref {
	if a.kind == none && x.unit() {
		x, y = y, x
	}
	if a.kind == none && y.unit() && x.kind == constant {
		if neg != (y.val < 0) {
			return x.minus()
		}
		return x
	}
	f := fold{d: p.newCon(), sa: 1, sp: 1}
	f.a, f.sa = p.signed(a)
	var sx, sy float64
	f.x, sx = p.signed(x)
	f.y, sy = p.signed(y)
	f.sp = sx * sy
	if neg {
		f.sp = -f.sp
	}
	p.folds = append(p.folds, f)
	return ref{kind: constant, id: f.d}
}

// signed gives the slot of r and the sign to read it with.
func (p *program) signed(r ref) (int32, float64) {
	if r.kind == constant && r.neg {
		return r.id, -1
	}
	return p.slot(r), 1
}

// foldInverse writes 1/x over constants.
func (p *program) foldInverse(x ref) ref {
	if x.kind == fixed {
		return fixedRef(1 / x.val)
	}
	f := fold{code: foldRecip, d: p.newCon(), x: x.id, sp: 1}
	p.folds = append(p.folds, f)
	return ref{kind: constant, id: f.d, neg: x.neg}
}

// abs writes |r|.
func (p *program) abs(r ref) ref {
	switch r.kind {
	case fixed:
		return fixedRef(math.Abs(r.val))
	case constant:
		f := fold{code: foldAbs, d: p.newCon(), x: r.id}
		p.folds = append(p.folds, f)
		return ref{kind: constant, id: f.d}
	}
	return p.size(value{re: r})
}

// size writes |re| + |im|.
func (p *program) size(v value) ref {
	if v.zero() {
		return ref{}
	}
	return p.emit(op{code: opSize, x: p.array(v.re).id, y: p.array(v.im).id}, false)
}

// array gives an array holding r up to the sign in its name.
func (p *program) array(r ref) ref {
	switch r.kind {
	case varying:
		return r
	case none:
		return ref{kind: varying, id: 0}
	}
	id := p.newArray()
	p.spreads = append(p.spreads, spread{id, p.slot(r)})
	return ref{kind: varying, id: id}
}
