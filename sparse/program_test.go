package sparse

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"
)

// desk is a program whose arrays and constants hold
// known numbers, so that a ref's number can be told two ways.
type desk struct {
	prog   *program
	known  map[int32]float64 // constants given
	arrays map[int32]Vector
}

// part draws a ref of any kind and sign.
func (d *desk) part(rng *rand.Rand) ref {
	switch rng.IntN(6) {
	case 0:
		return ref{}
	case 1:
		return fixedRef(float64(1 - 2*rng.IntN(2)))
	case 2:
		return fixedRef(rng.NormFloat64())
	case 3:
		id := d.prog.newCon()
		d.known[id] = rng.NormFloat64()
		return ref{kind: constant, id: id, neg: rng.IntN(2) == 0}
	}
	id := d.prog.newArray()
	var v Vector
	for i := range v {
		v[i] = rng.NormFloat64()
	}
	d.arrays[id] = v
	return ref{kind: varying, id: id, neg: rng.IntN(2) == 0}
}

func (d *desk) value(rng *rand.Rand) value { return value{d.part(rng), d.part(rng)} }

// run binds what was drawn and runs the program.
func (d *desk) run() *store {
	s := newStore(d.prog, nil)
	for id, v := range d.known {
		*s.con(id) = v
	}
	for id, v := range d.arrays {
		*s.array(id) = v
	}
	s.fold()
	run(s.ops)
	return &s
}

// numberOf reads a value in one lane.
func numberOf(s *store, v value, lane int) complex128 {
	part := func(r ref) float64 {
		x := r.val
		switch r.kind {
		case constant:
			x = *s.con(r.id)
		case varying:
			x = s.array(r.id)[lane]
		}
		if r.neg {
			x = -x
		}
		return x
	}
	return complex(part(v.re), part(v.im))
}

// Every mixture of kinds and signs, through every kernel: a − x·y, x·y and
// 1/v as written and run equal complex arithmetic.
func TestWriter(t *testing.T) {
	rng := seeded(t, 2026, 60)
	seen := map[opcode]bool{}
	for range 20000 {
		d := &desk{newProgram(), map[int32]float64{}, map[int32]Vector{}}
		a, x, y, z := d.value(rng), d.value(rng), d.value(rng), d.value(rng)
		if z.zero() {
			z.re = one()
		}
		diff, prod := d.prog.mulSub(a, x, y), d.prog.mul(x, y)
		inverse, square := d.prog.invert(z)
		squared := d.prog.sum(product{x: square, y: one()})
		for _, o := range d.prog.ops {
			seen[o.code] = true
		}
		s := d.run()
		for _, k := range []int{0, Block - 1} {
			av, xv, yv, zv := numberOf(s, a, k), numberOf(s, x, k), numberOf(s, y, k), numberOf(s, z, k)
			near(t, "a − x·y", numberOf(s, diff, k), av-xv*yv)
			near(t, "x·y", numberOf(s, prod, k), xv*yv)
			near(t, "1/z", numberOf(s, inverse, k), 1/zv)
			if square.kind != none {
				near(t, "|1/z|²", numberOf(s, value{re: squared}, k), complex(1/norm(zv), 0))
			}
		}
		if t.Failed() {
			t.Fatalf("a=%+v x=%+v y=%+v z=%+v", a, x, y, z)
		}
	}
	for c := range opFill {
		if !seen[c] {
			t.Errorf("operation %d never written", c)
		}
	}
}

func near(t *testing.T, what string, got, want complex128) {
	t.Helper()
	if !(cmplx.Abs(got-want) <= 1e-13*math.Max(1, cmplx.Abs(want))) {
		t.Errorf("%s: %v, want %v", what, got, want)
	}
}

// Codes foretell kinds: a product's, a sum's and an inverse's parts are what
// the cost tables say they will be, except that sums may cancel.
func TestCostTableForetells(t *testing.T) {
	rng := seeded(t, 2026, 61)
	for range 5000 {
		d := &desk{newProgram(), map[int32]float64{}, map[int32]Vector{}}
		x, y := d.value(rng), d.value(rng)
		before := d.prog.count()
		got := d.prog.mul(x, y)
		spent := d.prog.count()
		want := costTable.product[x.code()][y.code()]
		for _, c := range [...][2]code{{got.re.code(), want & 3}, {got.im.code(), want >> 2}} {
			varies := c[0] == codeVary
			if foretold := c[1] == codeVary; varies != foretold {
				t.Fatalf("%+v × %+v: codes %v, foretold %v", x, y, got.code(), want)
			}
		}
		ops := spent.Operations() - before.Operations()
		if told := int(costTable.productOps[x.code()][y.code()]); ops != told {
			t.Fatalf("%+v × %+v: %d operations, foretold %d", x, y, ops, told)
		}
	}
}
