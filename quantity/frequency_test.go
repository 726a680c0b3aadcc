package quantity

import (
	"math"
	"testing"
)

// IEC 61260-1, worked out from the definition G = 10^(3/10), to the digits
// given.
func TestExactFrequencies(t *testing.T) {
	octaves := []float64{31.6228, 63.0957, 125.8925, 251.1886, 501.1872, 1000, 1995.2623, 3981.0717, 7943.2823, 15848.9319}
	for i, want := range octaves {
		if got := float64(ExactFrequency(1, i-5)); math.Abs(got-want) > 5.1e-5 {
			t.Errorf("octave %d: %v, want %v", i-5, got, want)
		}
	}
	for _, c := range []struct {
		b         int
		low, high float64
	}{{1, 707.9458, 1412.5375}, {3, 891.2509, 1122.0185}} {
		low, high := BandEdges(1000, c.b)
		if math.Abs(float64(low)-c.low) > 5.1e-5 || math.Abs(float64(high)-c.high) > 5.1e-5 {
			t.Errorf("edges of 1/%d octave: %v %v", c.b, float64(low), float64(high))
		}
	}
	// Whole decades are exact.
	for x, want := range map[int]Hertz{-20: 10, -10: 100, 0: 1000, 10: 10000, 20: 1e5} {
		if got := ExactFrequency(3, x); got != want {
			t.Errorf("third %d: %v", x, float64(got))
		}
	}
}

// For even b, 1 kHz is an edge (as quoted by a second text); for any b the
// bands join, and each mid-band is in its own band.
func TestBandsJoin(t *testing.T) {
	for b := 1; b <= 48; b++ {
		for x := -6 * b; x <= 6*b; x++ {
			f := ExactFrequency(b, x)
			low, high := BandEdges(f, b)
			next, _ := BandEdges(ExactFrequency(b, x+1), b)
			if math.Abs(float64(next/high)-1) > 1e-13 || math.Abs(float64(f*f/(low*high))-1) > 1e-13 {
				t.Fatalf("1/%d octave, band %d: %v to %v, then from %v", b, x, low, high, next)
			}
			for _, g := range []Hertz{f, low * 1.000001, high * 0.999999} {
				if BandOf(g, b) != x {
					t.Fatalf("1/%d octave: %v is in band %d, want %d", b, float64(g), BandOf(g, b), x)
				}
			}
		}
		low, _ := BandEdges(ExactFrequency(b, 0), b)
		if even := b%2 == 0; even != (math.Abs(float64(low)-1000) < 1e-9) || even == (ExactFrequency(b, 0) == 1000) {
			t.Errorf("1/%d octave: band 0 at %v from %v", b, ExactFrequency(b, 0), low)
		}
	}
}

// ISO 266, as quoted by a second text.
func TestNominalFrequencies(t *testing.T) {
	octaves := []Hertz{31.5, 63, 125, 250, 500, 1000, 2000, 4000, 8000, 16000}
	thirds := []Hertz{
		20, 25, 31.5, 40, 50, 63, 80, 100, 125, 160, 200, 250, 315, 400, 500, 630, 800, 1000,
		1250, 1600, 2000, 2500, 3150, 4000, 5000, 6300, 8000, 10000, 12500, 16000, 20000,
	}
	same := func(what string, got, want []Hertz) {
		t.Helper()
		if len(got) != len(want) {
			t.Fatalf("%s: %v", what, got)
		}
		for i := range got {
			if got[i] != want[i] {
				t.Errorf("%s: %v, want %v", what, got[i], want[i])
			}
		}
	}
	same("octaves", NominalOctaves(20, 20000), octaves)
	same("octaves, ends included", NominalOctaves(31.5, 16000), octaves)
	same("thirds", NominalThirds(20, 20000), thirds)
	same("none", NominalThirds(21, 24), nil)
	same("wrong way round", NominalThirds(100, 50), nil)
	for i, f := range octaves {
		if NominalOctave(i-5) != f || NearestOctave(f) != f || NearestOctave(ExactFrequency(1, i-5)) != f {
			t.Errorf("octave %v", f)
		}
	}
	for i, f := range thirds {
		exact := ExactFrequency(3, i-17)
		if NominalThird(i-17) != f || NearestThird(f) != f || NearestThird(exact) != f || math.Abs(float64(f/exact)-1) > 0.012 {
			t.Errorf("third %v, exact %v", f, exact)
		}
	}
	for f, want := range map[Hertz]Hertz{62: 63, 70: 63, 71: 80, 1.25: 1.25, 890: 800, 892: 1000, 50e3: 50e3} {
		if got := NearestThird(f); got != want {
			t.Errorf("nearest to %v: %v, want %v", f, got, want)
		}
	}
}
