package main

import "math"

// feature is what one band does in a unit: the extremum of its band curve
// (gain at full boost or cut less gain flat, the others centred).
type feature struct {
	band    string
	hz, db  float64
	low, hi float64 // where the curve is half its extremum in dB
}

// bandCurve gives the gain at a setting less the gain flat, in dB, by hertz.
func (u unit) bandCurve(s setting) func(hz float64) float64 {
	moved, flat := u.build(s), u.build(setting{})
	_, moving := moved.operate()
	_, resting := flat.operate()
	return func(hz float64) float64 {
		return decibels(moved.respond(hz, moving).volts("return")) -
			decibels(flat.respond(hz, resting).volts("return"))
	}
}

// feature finds a band's extremum within a factor of two of its stated centre,
// whichever way it points: a grid first, then golden sections.
func (u unit) feature(l leg, at float64) feature {
	curve := u.bandCurve(setting{band: l.band, at: at})
	size := func(log float64) float64 { return math.Abs(curve(math.Exp(log))) }
	const step = 0.02
	best := math.Log(l.hz / 2)
	for x := best; x <= math.Log(l.hz*2); x += step {
		if size(x) > size(best) {
			best = x
		}
	}
	top := golden(size, best-step, best+step)
	f := feature{band: l.band, hz: math.Exp(top), db: curve(math.Exp(top))}
	half := math.Abs(f.db) / 2
	f.low, f.hi = math.Exp(edge(size, top, -step, half)), math.Exp(edge(size, top, step, half))
	return f
}

// golden narrows a maximum down to 1e-7.
func golden(f func(float64) float64, low, high float64) float64 {
	share := (math.Sqrt(5) - 1) / 2
	for high-low > 1e-7 {
		a, b := high-share*(high-low), low+share*(high-low)
		if f(a) > f(b) {
			high = b
		} else {
			low = a
		}
	}
	return (low + high) / 2
}

// edge walks from the top until f falls below level, then bisects.
func edge(f func(float64) float64, top, step, level float64) float64 {
	out := top + step
	for f(out) > level {
		out += step
	}
	in := out - step
	for range 40 {
		if mid := (in + out) / 2; f(mid) > level {
			in = mid
		} else {
			out = mid
		}
	}
	return (in + out) / 2
}
