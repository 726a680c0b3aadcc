package circuit

import (
	"context"
	"math"

	"bandwright/finding"
	"bandwright/sparse"
)

// IDOscillates: the circuit has poles in the right half-plane: it will not
// stay at its operating point. poles: how many. Hint: what it would do in
// practice is oscillate or latch; the curve is not what would be measured.
const IDOscillates finding.ID = "circuit.oscillates"

// IDStabilityUnknown: the winding of the determinant did not come out as a
// whole number of poles. winding: what it came out as.
const IDStabilityUnknown finding.ID = "circuit.stability-unknown"

// Stability is what the winding of the determinant says.
type Stability struct {
	RightHalfPoles int
	Poles          int     // finite poles in all
	Winding        float64 // right-half poles as counted, before rounding
	Known          bool
}

// The determinant is followed outward from the audio range until it is a
// power of ω over two decades: beyond every corner of the circuit. It is not
// followed further, since entries many decades apart cancel there and leave
// rounding errors only. A lead of some milliohms with some picofarads to its
// screen has its corner at 1e13 rad/s.
const (
	windLow, windHigh   = 1e-6, 1e17 // never beyond these, rad/s
	windFloor, windRoof = 1.0, 1e8   // always between these
	windStep            = 0.5        // radians between neighbours at most
	windBend            = 0.5        // of log |det|, off a straight line at most
	windDepth           = 40         // halvings of an interval at most
	windPerDecade       = 2          // intervals to begin with, each of four points
	windWhole           = 0.05       // a number this near a whole one is one
	windOff             = 0.5        // radians that an end may be off its axis
)

// Stability counts the poles in the right half-plane. The determinant of the
// equations is a polynomial in s whose zeros are the poles. Along s = jω from
// 0 to ∞ each left-half zero turns its angle by +π/2 (a pair by π), each
// right-half zero by −π/2; zeros at the origin turn nothing (Cauchy's
// argument principle; Nyquist 1932). The degree and the number of zeros at
// the origin are the slopes of log |det| by log ω at both ends. There the
// determinant is a real number times a power of jω, so what its angle is
// still off that axis is what it will turn beyond, and is added.
func (st *State) Stability(ctx context.Context) (Stability, error) {
	w := st.newWinder(ctx)
	low, origin := w.settle(windFloor, 0.1, windLow)
	high, degree := w.settle(windRoof, 10, windHigh)
	steps := int(math.Log10(high/low)) * windPerDecade
	at := func(k int) float64 { return low * math.Pow(high/low, float64(k)/float64(steps)) }
	last := w.determinant(low)
	turned := w.offAxis(last, origin)
	for k := 1; k <= steps && !w.lost; k++ {
		next, middle := w.determinant(at(k)), w.determinant(math.Sqrt(at(k-1)*at(k)))
		turned += w.turn(at(k-1), at(k), last, middle, next, windDepth)
		last = next
	}
	if err := ctx.Err(); err != nil {
		return Stability{}, err
	}
	turned -= w.offAxis(last, degree)
	s := Stability{Poles: int(math.Round(degree - origin))}
	s.Winding = (float64(s.Poles)*math.Pi/2 - turned) / math.Pi
	s.RightHalfPoles = int(math.Round(s.Winding))
	s.Known = near(degree) && near(origin) && near(s.Winding) && !w.lost
	return s, nil
}

// offAxis is how far a determinant's angle is from that of a real number
// times (jω) to a power; one too far to tell which makes the count unknown.
func (w *winder) offAxis(d logDet, power float64) float64 {
	off := math.Remainder(d.arg-math.Round(power)*math.Pi/2, math.Pi)
	w.lost = w.lost || math.Abs(off) > windOff
	return off
}

// settle walks outward by a factor until the slope has been the same whole
// number twice, and gives where it stopped and the slope there.
func (w *winder) settle(from, factor, limit float64) (omega, slope float64) {
	last := w.slope(from)
	for omega = from * factor; (factor > 1) == (omega < limit); omega *= factor {
		slope = w.slope(omega)
		if near(slope) && math.Round(slope) == math.Round(last) && near(last) {
			return omega, slope
		}
		last = slope
	}
	return omega, last
}

func near(x float64) bool { return math.Abs(x-math.Round(x)) < windWhole }

// winder follows the determinant's logarithm and angle.
type winder struct {
	ctx   context.Context
	cells []entry
	lu    *sparse.Dense[complex128]
	asked int
	lost  bool // singular on the axis, never finely enough resolved, or stopped
}

// mostDeterminants bounds the work: a circuit that wants more has entries
// that drown in rounding, and no count would be worth having.
const mostDeterminants = 4000

// newWinder writes the equations anew, each capacitor with a current of its
// own: as a mere admittance, far above the conductances of its points, it
// would drown them in rounding long before the last corner. The determinant
// is the same but for its sign.
func (st *State) newWinder(ctx context.Context) winder {
	var s stamps
	size := st.net.size
	for i, p := range st.net.circuit.parts {
		at := st.net.at[i]
		c, ok := p.(Capacitor)
		if !ok || c.ESR > 0 {
			p.stamp(at, &s)
			continue
		}
		to := place{node: at.node, branch: size}
		size++
		c.stampBranch(to, &s)
	}
	st.smallSignal(&s)
	for _, node := range st.net.islandsOf(st.net.tied(steady, signal, junction)).held {
		s.add(node, node, 1, 0)
	}
	return winder{ctx: ctx, cells: gather(s.entries), lu: sparse.NewDense[complex128](size)}
}

type logDet struct{ log, arg float64 }

// determinant of the equations at jω. The loss of a dielectric, which follows
// |ω| and is no polynomial in s, is left out: it only damps.
func (w *winder) determinant(omega float64) logDet {
	w.asked++
	if w.lost = w.lost || w.asked > mostDeterminants || w.ctx.Err() != nil; w.lost {
		return logDet{}
	}
	clear(w.lu.A)
	for _, c := range w.cells {
		w.lu.A[c.row*w.lu.N+c.col] = complex(c.g, omega*imag(c.c))
	}
	if err := w.lu.Factor(); err != nil {
		w.lost = true
		return logDet{}
	}
	log, arg := w.lu.LogDet()
	return logDet{log, arg}
}

// turn gives the change of angle between two frequencies, of which the determinant
// is known in the middle too, halving until nothing can hide between the points.
// Angles alone do not tell: two zeros near the axis, close together, turn it by a
// whole circle between two points. But then log |det| is bent, by each of them
// ln(z(1−z)/(z−½)²) over an interval that it stands in at z: for one place of z
// that is 0 over the whole, but not over the half as well.
func (w *winder) turn(low, high float64, a, m, b logDet, depth int) float64 {
	middle := math.Sqrt(low * high)
	first, third := w.determinant(math.Sqrt(low*middle)), w.determinant(math.Sqrt(middle*high))
	if depth == 0 || w.lost {
		w.lost = true
		return 0
	}
	if even(a, m, b) && even(a, first, m) && even(m, third, b) {
		return angle(a, first) + angle(first, m) + angle(m, third) + angle(third, b)
	}
	return w.turn(low, middle, a, first, m, depth-1) + w.turn(middle, high, m, third, b, depth-1)
}

// even says whether the determinant runs so evenly through three points that no
// turn is missed.
func even(a, m, b logDet) bool {
	return math.Abs(angle(a, m)) <= windStep && math.Abs(angle(m, b)) <= windStep &&
		math.Abs(a.log-2*m.log+b.log) <= windBend
}

// angle is the shorter way from one angle to another.
func angle(a, b logDet) float64 { return math.Remainder(b.arg-a.arg, 2*math.Pi) }

// slope is d(log |det|)/d(log ω), by a step of a factor 2 about ω.
func (w *winder) slope(omega float64) float64 {
	return (w.determinant(omega*math.Sqrt2).log - w.determinant(omega/math.Sqrt2).log) / math.Ln2
}
