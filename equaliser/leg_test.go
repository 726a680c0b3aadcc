package equaliser

import (
	"math"
	"testing"
)

// The bridge between a leg and the cookbook's Q (worked out from the
// definitions, Audio EQ Cookbook): G = 4 and a leg Q of 1.7 is a Q of 0.85.
func TestStartingLegIsTheCookbookBridge(t *testing.T) {
	const feed, centre = 3000.0, 1000.0
	ohms, henries, farads, dcr := StartingLeg(centre, 20*math.Log10(4), 0.85, feed, 0)
	if dcr != 0 || math.Abs(ohms-1000) > 1e-9 {
		t.Errorf("R = 3 k, G = 4: leg %g ohm with %g in the coil, want 1000 and 0", ohms, dcr)
	}
	if q := math.Sqrt(henries/farads) / ohms; math.Abs(q-1.7) > 1e-12 {
		t.Errorf("leg Q %g, want 1.7", q)
	}
	if f := legResonance(henries, farads); math.Abs(f-centre) > 1e-9 {
		t.Errorf("resonance %g, want %g", f, centre)
	}
}

// Putting the leg back into the cell gives the boost at the centre and half of
// it, in dB, at the two edges the Q asks for.
func TestStartingLegPutBackGivesBoostAndWidth(t *testing.T) {
	for _, c := range []struct{ hz, db, q, feed, perHenry float64 }{
		{63, 12, 1.4142135623730951, 2200, 90},
		{6300, 6, 0.5, 3000, 200},
		{400, 15, 2.5, 1000, 40},
	} {
		ohms, henries, farads, dcr := StartingLeg(c.hz, c.db, c.q, c.feed, c.perHenry)
		gain := func(hz float64) float64 {
			w := 2 * math.Pi * hz
			z := complex(ohms+dcr, w*henries-1/(w*farads))
			h := 1 + complex(c.feed, 0)/z
			return 20 * math.Log10(math.Hypot(real(h), imag(h)))
		}
		if got := gain(c.hz); math.Abs(got-c.db) > 1e-9 {
			t.Errorf("%+v: %g dB at the centre", c, got)
		}
		// Edges of a peak symmetric in log frequency: product centre², difference centre/q.
		half := 1 / (2 * c.q)
		low := c.hz * (math.Sqrt(1+half*half) - half)
		for _, edge := range []float64{low, c.hz * c.hz / low} {
			if got := gain(edge); math.Abs(got-c.db/2) > 1e-9 {
				t.Errorf("%+v: %g dB at %g Hz, want half the boost", c, got, edge)
			}
		}
	}
}

func TestStartingLegRefusesOurOwnMisuse(t *testing.T) {
	defer func() {
		if recover() == nil {
			t.Error("a boost of 0 dB was taken")
		}
	}()
	StartingLeg(100, 0, 1, 1000, 0)
}
