package sweep

import (
	"math"
	"math/cmplx"
)

// smallestPhase gives the phase a gain has when it is that of a circuit without
// detours (minimum phase), by the folded cepstrum (Oppenheim and Schafer,
// Discrete-Time Signal Processing; from memory). Outside the grid the gain is
// taken as that of its ends. The phase is in radians, at the grid's points.
func smallestPhase(hz []float64, gain []complex128) []float64 {
	const size = 1 << 16
	top := 2 * hz[len(hz)-1]
	z := make([]complex128, size)
	at := 0
	for k := 0; k <= size/2; k++ {
		f := float64(k) * top / (size / 2)
		for at < len(hz)-2 && hz[at+1] < f {
			at++
		}
		t := min(1, max(0, math.Log(max(f, 1e-9)/hz[at])/math.Log(hz[at+1]/hz[at])))
		level := (1-t)*math.Log(cmplx.Abs(gain[at])+1e-12) + t*math.Log(cmplx.Abs(gain[at+1])+1e-12)
		z[k], z[(size-k)%size] = complex(level, 0), complex(level, 0)
	}
	z = backward(z)
	for i := 1; i < size/2; i++ {
		z[i], z[size-i] = 2*z[i], 0
	}
	z = forward(z)
	out := make([]float64, len(hz))
	for i, f := range hz {
		k := f / top * (size / 2)
		j := int(k)
		out[i] = imag(z[j]) + (k-float64(j))*(imag(z[j+1])-imag(z[j]))
	}
	return out
}

// fitDelay gives the delay, seconds, that brings the measured phase nearest to
// the smallest its gain allows, between 100 Hz and a quarter of the band's top.
func fitDelay(hz []float64, gain []complex128) float64 {
	smallest := smallestPhase(hz, gain)
	var turn complex128
	rest := make([]complex128, len(hz))
	used := func(f float64) bool { return f > 100 && f < hz[len(hz)-1]/4 }
	for i, f := range hz {
		if used(f) {
			rest[i] = gain[i] * unit(-smallest[i]) / complex(cmplx.Abs(gain[i])+1e-30, 0)
		}
	}
	// First from the step between neighbours, which cannot be a turn off.
	step := math.Exp2(1.0/PointsPerOctave) - 1
	var rough, weight float64
	for i := 1; i < len(hz); i++ {
		if used(hz[i-1]) && used(hz[i]) {
			rough -= phase(rest[i]*cmplx.Conj(rest[i-1])) / (2 * math.Pi * step) * hz[i-1]
			weight += hz[i-1] * hz[i-1]
		}
	}
	if weight == 0 {
		return 0
	}
	rough /= weight
	// Then from the phase itself, whose constant part is a turned-over lead.
	for i, f := range hz {
		rest[i] *= unit(2 * math.Pi * f * rough)
		turn += rest[i]
	}
	if real(turn) < 0 {
		turn = -1
	} else {
		turn = 1
	}
	var sum float64
	weight = 0
	for i, f := range hz {
		if used(f) {
			w := f // the points lie evenly in log frequency
			sum -= w * f * phase(rest[i]*turn)
			weight += w * f * f
		}
	}
	return rough + sum/(2*math.Pi*weight)
}
