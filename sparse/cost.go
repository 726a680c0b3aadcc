package sparse

// The order is chosen by what an elimination step would cost a lane. A part's
// code says how dear it is to multiply by; a value's code holds both parts.

type code uint8 // re + 4·im, each none, unit, known or vary

const (
	codeNone  = 0
	codeUnit  = 1 // ±1
	codeKnown = 2 // the same in every lane
	codeVary  = 3
)

func (r ref) code() code {
	switch {
	case r.kind == none:
		return codeNone
	case r.unit():
		return codeUnit
	case r.kind == varying:
		return codeVary
	}
	return codeKnown
}

func (v value) code() code { return v.re.code() + 4*v.im.code() }

// costs are tables over pairs of codes: the code and the operations of a
// product, and of a sum.
type costs struct {
	product, sum        [16][16]code
	productOps, sumOps  [16][16]int8
	inverse             [16]code
	inverseOps, varying [16]int8
}

// costTable never changes once made.
var costTable = makeCosts()

func makeCosts() *costs {
	t := new(costs)
	for x := range code(16) {
		xr, xi := x&3, x>>2
		t.inverse[x], t.inverseOps[x] = inverseCost(xr, xi)
		t.varying[x] = varies(xr) + varies(xi)
		for y := range code(16) {
			yr, yi := y&3, y>>2
			rr, ii, ri, ir := times(xr, yr), times(xi, yi), times(xr, yi), times(xi, yr)
			t.product[x][y] = plus(rr, ii) + 4*plus(ri, ir)
			t.productOps[x][y] = timesOps(xr, yr) + timesOps(xi, yi) + timesOps(xr, yi) + timesOps(xi, yr) +
				plusOps(rr, ii) + plusOps(ri, ir)
			t.sum[x][y] = plus(xr, yr) + 4*plus(xi, yi)
			t.sumOps[x][y] = plusOps(xr, yr) + plusOps(xi, yi)
		}
	}
	return t
}

func times(x, y code) code {
	if x == codeNone || y == codeNone {
		return codeNone
	}
	return max(x, y)
}

func plus(x, y code) code {
	switch {
	case x == codeNone:
		return y
	case y == codeNone:
		return x
	}
	return max(x, y, codeKnown)
}

func varies(x code) int8 {
	if x == codeVary {
		return 1
	}
	return 0
}

func timesOps(x, y code) int8 {
	if times(x, y) == codeVary && x != codeUnit && y != codeUnit {
		return 1
	}
	return 0
}

func plusOps(x, y code) int8 {
	if x != codeNone && y != codeNone && max(x, y) == codeVary {
		return 1
	}
	return 0
}

// inverseCost counts a division as four operations.
func inverseCost(xr, xi code) (code, int8) {
	switch {
	case xr != codeVary && xi != codeVary:
		return xr + 4*xi, 0
	case xi == codeNone || xr == codeNone:
		return xr + 4*xi, 4
	}
	return codeVary + 4*codeVary, 9
}
