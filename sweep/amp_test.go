package sweep

import (
	"bytes"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/finding"
)

// biquad is a filter of second order as a difference equation, run sample by
// sample: it shares nothing with the room it tests.
type biquad struct{ b0, b1, b2, a1, a2 float64 }

// peaking is the peaking filter of the Audio EQ Cookbook (R. Bristow-Johnson,
// W3C note 2021-06-08), from the work.
func peaking(hz, db, q, rate float64) biquad {
	a, w := math.Pow(10, db/40), 2*math.Pi*hz/rate
	alpha := math.Sin(w) / (2 * q)
	a0 := 1 + alpha/a
	return biquad{(1 + alpha*a) / a0, -2 * math.Cos(w) / a0, (1 - alpha*a) / a0, -2 * math.Cos(w) / a0, (1 - alpha/a) / a0}
}

// coupling is a high-pass of first order, by the bilinear transform.
func coupling(hz, rate float64) biquad {
	k := math.Tan(math.Pi * hz / rate)
	return biquad{b0: 1 / (1 + k), b1: -1 / (1 + k), a1: (k - 1) / (k + 1)}
}

func (f biquad) filter(x []float64) []float64 {
	y := make([]float64, len(x))
	var x1, x2, y1, y2 float64
	for i, v := range x {
		y[i] = f.b0*v + f.b1*x1 + f.b2*x2 - f.a1*y1 - f.a2*y2
		x1, x2, y1, y2 = v, x1, y[i], y1
	}
	return y
}

// gain is the filter's own, from its definition.
func (f biquad) gain(hz, rate float64) complex128 {
	z := cmplx.Rect(1, -2*math.Pi*hz/rate)
	c := func(x float64) complex128 { return complex(x, 0) }
	return (c(f.b0) + z*(c(f.b1)+z*c(f.b2))) / (1 + z*(c(f.a1)+z*c(f.a2)))
}

// amp is a chain of filters, a loss, and what its dirt adds.
type amp struct {
	chain []biquad
	level float64
	dirt  func(x float64) float64
}

func (a amp) play(x []float64) []float64 {
	y := x
	if a.dirt != nil {
		y = make([]float64, len(x))
		for i, v := range x {
			y[i] = a.dirt(v)
		}
	}
	for _, f := range a.chain {
		y = f.filter(y)
	}
	out := make([]float64, len(y))
	for i, v := range y {
		out[i] = v * a.level
	}
	return out
}

func (a amp) gain(hz, rate float64) complex128 {
	g := complex(a.level, 0)
	for _, f := range a.chain {
		g *= f.gain(hz, rate)
	}
	return g
}

// The demo's six bands as an amp: flat, one boost, one cut.
func sixBands(rate float64, boosts map[float64]float64) amp {
	a := amp{level: 0.2, chain: []biquad{coupling(4, rate), coupling(7, rate)}}
	for _, hz := range []float64{63, 160, 400, 1000, 2500, 6300} {
		if db := boosts[hz]; db != 0 {
			a.chain = append(a.chain, peaking(hz, db, 1.6, rate))
		}
	}
	return a
}

// played is the test recording as a player would send it.
func played(t testing.TB, s Signal) []float64 {
	t.Helper()
	var b bytes.Buffer
	if err := s.Write(&b); err != nil {
		t.Fatal(err)
	}
	rec, found := opened(t, b.Bytes())
	if len(found) > 0 {
		t.Fatal(found)
	}
	return all(t, rec)[0]
}

// stretched is a signal as a recorder sees it whose clock runs fast by parts
// in a million: interpolation by a Kaiser-windowed sine cardinal.
func stretched(x []float64, ppm float64) []float64 {
	const half = 24
	bessel := func(v float64) float64 {
		sum, term := 1.0, 1.0
		for k := 1.0; k < 40; k++ {
			term *= v / 2 / k
			sum += term * term
		}
		return sum
	}
	const fine = 512
	table := make([]float64, half*fine+2)
	for i := range table {
		u := float64(i) / fine
		w := bessel(9*math.Sqrt(max(0, 1-u*u/half/half))) / bessel(9)
		if table[i] = w; u > 0 {
			table[i] = w * math.Sin(math.Pi*u) / (math.Pi * u)
		}
	}
	y := make([]float64, int(float64(len(x))*(1+ppm*1e-6)))
	for n := range y {
		at := float64(n) / (1 + ppm*1e-6)
		whole := int(at)
		var sum float64
		for k := max(0, whole-half+1); k <= min(len(x)-1, whole+half); k++ {
			u := math.Abs(at-float64(k)) * fine
			i := int(u)
			sum += x[k] * (table[i] + (u-float64(i))*(table[i+1]-table[i]))
		}
		y[n] = sum
	}
	return y
}

// taken is a recording that starts some frames early, with noise of an rms
// level in every channel, kept as 24 bits.
func taken(t testing.TB, rng *rand.Rand, rate, early int, dbfs float64, channels ...[]float64) []byte {
	t.Helper()
	level := math.Pow(10, dbfs/20)
	if rng == nil {
		level = 0
	}
	block := make([][]float64, len(channels))
	for c, x := range channels {
		block[c] = make([]float64, early+len(x)+rate/4)
		copy(block[c][early:], x)
		for i := range block[c] {
			if level > 0 {
				block[c][i] += level * rng.NormFloat64()
			}
		}
	}
	return written(t, Format{Rate: rate, Channels: len(channels), Bits: 24}, block, nil)
}

// read reads a recording that must give so many results.
func read(t testing.TB, b []byte, how How, want int) ([]Result, finding.List) {
	t.Helper()
	rec, found := opened(t, b)
	results, more, err := Read(rec, how)
	if err != nil || len(results) != want {
		t.Fatalf("%d results, want %d: %v %v", len(results), want, err, more)
	}
	return results, append(found, more...)
}

// off gives the largest errors of gain (dB) and phase (degrees) between two frequencies.
func off(r Result, low, high float64, gain func(hz float64) complex128) (db, degrees, dbAt, degreesAt float64) {
	for i, f := range r.Hz {
		if f < low || f > high {
			continue
		}
		g := gain(f)
		if d := math.Abs(r.DB[i] - 20*math.Log10(cmplx.Abs(g))); d > db {
			db, dbAt = d, f
		}
		turn := r.Degrees[i] - cmplx.Phase(g)*180/math.Pi
		if d := math.Abs(turn - 360*math.Round(turn/360)); d > degrees {
			degrees, degreesAt = d, f
		}
	}
	return db, degrees, dbAt, degreesAt
}
