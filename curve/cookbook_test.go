package curve

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
)

// cookbook is the analogue peaking response of the Audio EQ Cookbook (R.
// Bristow-Johnson; W3C note 2021-06-08; from the work):
// H(s) = (s² + s A/Q + 1)/(s² + s/(A Q) + 1), A = 10^(dB/40), in dB.
func cookbook(hz, centre, peakDB, q float64) float64 {
	a := math.Pow(10, peakDB/40)
	s := complex(0, hz/centre)
	h := (s*s + s*complex(a/q, 0) + 1) / (s*s + s*complex(1/(a*q), 0) + 1)
	return 20 * math.Log10(cmplx.Abs(h))
}

// bell samples a cookbook peak with Gaussian noise.
func bell(low, high, perOctave, centre, peakDB, q, noise float64, r *rand.Rand) Curve {
	c := Curve{}
	n := int(math.Round(math.Log2(high/low) * perOctave))
	for i := range n + 1 {
		hz := low * math.Pow(high/low, float64(i)/float64(n))
		e := 0.0
		if noise > 0 {
			e = noise * r.NormFloat64()
		}
		c.Hz, c.DB = append(c.Hz, hz), append(c.DB, cookbook(hz, centre, peakDB, q)+e)
	}
	return c
}

// qOfOctaves is 1/Q = 2 sinh(ln2/2 · BW), the cookbook's relation (from the work).
func qOfOctaves(bw float64) float64 { return 1 / (2 * math.Sinh(math.Ln2/2*bw)) }
