package sweep

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/trials"
)

// slowTransform is the definition, sum by sum.
func slowTransform(x []complex128) []complex128 {
	n := len(x)
	out := make([]complex128, n)
	for k := range out {
		for j, v := range x {
			out[k] += v * cmplx.Rect(1, -2*math.Pi*float64(j*k%n)/float64(n))
		}
	}
	return out
}

func noise(rng *rand.Rand, n int) []complex128 {
	x := make([]complex128, n)
	for i := range x {
		x[i] = complex(rng.NormFloat64(), rng.NormFloat64())
	}
	return x
}

func worst(a, b []complex128) (most float64) {
	for i := range a {
		most = max(most, cmplx.Abs(a[i]-b[i]))
	}
	return most
}

func TestTransformByTheDefinition(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260301), 1))
	for _, n := range []int{4, 8, 12, 16, 20, 60, 64, 100, 240, 256, 360, 500, 1000, 2048, 2400, 2560, 3000, 4096} {
		x := noise(rng, n)
		want := slowTransform(x)
		if got := worst(forward(append([]complex128(nil), x...)), want); got > 1e-11*math.Sqrt(float64(n)) {
			t.Errorf("length %d is off the definition by %g", n, got)
		}
	}
}

// Long transforms: back again, and one bin of a million by its definition.
func TestTransformLong(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260302), 1))
	for _, n := range []int{1 << 17, 3 * 5 * 1 << 13, 1024000} {
		x := noise(rng, n)
		spectrum := forward(append([]complex128(nil), x...))
		k := rng.IntN(n)
		var want complex128
		for j, v := range x {
			want += v * cmplx.Rect(1, -2*math.Pi*float64(j*k%n)/float64(n))
		}
		if d := cmplx.Abs(want - spectrum[k]); d > 1e-8 {
			t.Errorf("length %d, bin %d: %v, by the definition %v", n, k, spectrum[k], want)
		}
		if d := worst(backward(spectrum), x); d > 1e-12 {
			t.Errorf("length %d does not come back: %g", n, d)
		}
	}
}

// A length is long enough, not much longer, and has no factors but 2, 3 and 5.
func TestSmooth(t *testing.T) {
	for n := 1; n < 100_000; n += 1 + n/100 {
		got := smooth(n)
		rest := got
		for _, r := range []int{2, 3, 5} {
			for rest%r == 0 {
				rest /= r
			}
		}
		if got < n || 3*got > 4*n+40 || rest != 1 || got%4 != 0 {
			t.Fatalf("smooth(%d) = %d", n, got)
		}
	}
}

func BenchmarkTransform(b *testing.B) {
	x := make([]complex128, 1024000)
	for i := range x {
		x[i] = complex(float64(i%7), 1)
	}
	for b.Loop() {
		forward(x)
		for i := range x {
			x[i] = complex(float64(i%7), 1)
		}
	}
}
