package sparse

// A program is written over names of numbers, not over numbers. A ref names
// the real or the imaginary part of a matrix entry or an unknown.

// kind says when a part's value is known. The order is used: the product of
// two parts is known when the later of them is.
type kind uint8

const (
	none     kind = iota // exactly zero, always
	fixed                // known now
	constant             // known when the constants are bound (Fold)
	varying              // known lane by lane
)

// ref names one real part. Its sign is kept in the name, so that turning a
// sign costs nothing.
type ref struct {
	val  float64 // fixed: the value
	id   int32   // constant: the constant's slot; varying: the array's
	kind kind
	neg  bool // constant, varying: the value is minus the slot's
}

// value names a complex number by its parts.
type value struct{ re, im ref }

func fixedRef(v float64) ref {
	if v == 0 {
		return ref{}
	}
	return ref{kind: fixed, val: v}
}

func (r ref) minus() ref {
	if r.kind == fixed {
		r.val = -r.val
	} else {
		r.neg = r.neg != (r.kind != none)
	}
	return r
}

// unit reports whether multiplying by r is a change of sign at most.
func (r ref) unit() bool { return r.kind == fixed && (r.val == 1 || r.val == -1) }

func (v value) zero() bool    { return v.re.kind == none && v.im.kind == none }
func (v value) varying() bool { return v.re.kind == varying || v.im.kind == varying }

// product is ±x·y, one term of a sum.
type product struct {
	x, y ref
	neg  bool
}

// one is the factor that makes a product of a single ref.
func one() ref { return ref{kind: fixed, val: 1} }
