// Package sparse solves one small sparse system of equations A·x = b for very
// many sets of values: the same pattern at every frequency of a curve, or in
// every sample of a spread. It knows no parts.
//
// The work is split so that nothing is thought about twice (analyse once,
// refactor many; Duff, Erisman and Reid, Direct Methods for Sparse Matrices):
//
//	NewPlan   pattern + classes + a few sample matrices → a pivot order, and
//	          the elimination written out as a straight list of operations
//	NewSolve  which right sides, which unknowns, transposed or not → a list
//	          of operations for forward and back substitution
//	Lanes     one worker's values: Block matrices side by side, a lane each
//	Fold      runs what depends on constants alone, once
//	Factor    runs the plan's list over all lanes
//	Solver    runs a solve's list over all lanes
//	Refiner   residuals, and one step of iterative refinement
//	Dense     partial pivoting, for the lanes whose pivots grew too much
//
// The pivot order is Markowitz's (1957), but weighed by what an operation
// costs and kept stable by a threshold that every sample must pass. Costs
// come from classes: a cell says what may vary in it, every intermediate
// value inherits what it must, and each operation does only the arithmetic
// that is left. Real and imaginary parts are tracked apart, so a zero part
// costs nothing, a constant times a constant is folded, and multiplying by ±1
// is a change of name.
//
// A Plan and a SolvePlan never change once made and may be read by many
// workers; Lanes and what is bound to them belong to one worker.
package sparse

import "fmt"

// Class says what may vary in a cell of the pattern.
type Class uint8

// The classes, from the cheapest to the dearest.
const (
	// Fixed is a real number that stays what it was in the samples for the
	// plan's whole life: the ±1 of a connection.
	Fixed Class = iota
	// Const is a real number, the same in every lane, set by SetConst.
	Const
	// Real is a real number of its own in each lane.
	Real
	// Imag is an imaginary number of its own in each lane.
	Imag
	// ConstImag has a Const real part and an Imag imaginary part:
	// a coil of known resistance over frequency.
	ConstImag
	// Complex varies in both parts.
	Complex
)

// Cell is one place of the pattern that may be other than zero.
type Cell struct {
	Row, Col int
	Class    Class
}

// Options tune a plan. The zero value means the defaults.
type Options struct {
	// Threshold is the least share of its column's largest entry that a
	// pivot must have in every sample; 0 means 0.05.
	Threshold float64
	// Bound is the length of a lane's multipliers (root of the sum of their
	// squares) above which the lane is flagged; 0 means 1e4.
	Bound float64
}

func (o Options) withDefaults() Options {
	if o.Threshold == 0 {
		o.Threshold = 0.05
	}
	if o.Bound == 0 {
		o.Bound = 1e4
	}
	return o
}

// Singular is the error of a matrix that has no plan: eliminating all that
// can be eliminated leaves these columns (unknowns nothing determines) and
// these rows (equations that say nothing new), in rising order.
type Singular struct {
	Columns, Rows []int
}

// Error names what is left over.
func (s *Singular) Error() string {
	return fmt.Sprintf("sparse: singular: columns %v and rows %v are left without a pivot", s.Columns, s.Rows)
}
