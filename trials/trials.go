// Package trials says how many random cases a test draws and from which seed.
// It is for tests only. The ordinary test draws few cases from a fixed seed;
// make prove draws many, and takes a seed:
//
//	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260112), 1))
//	for range trials.Count(200) { … }
package trials

import (
	"strconv"
	"testing"
)

// Set by the linker (go test -ldflags "-X bandwright/trials.times=50"); never
// changed by the program.
var (
	times = "1" // how many times the ordinary number of cases
	seed  = ""  // instead of each test's own seed
)

// Count is how many cases to draw where the ordinary test draws few.
func Count(few int) int {
	n, err := strconv.Atoi(times)
	if err != nil || n < 1 {
		panic("trials: times is " + strconv.Quote(times))
	}
	return few * n
}

// Seed is the seed to draw from: the test's own, or the one given to make
// prove. It is printed with the test, so that a failure can be drawn again.
func Seed(t testing.TB, own uint64) uint64 {
	t.Helper()
	if seed != "" {
		given, err := strconv.ParseUint(seed, 10, 64)
		if err != nil {
			t.Fatalf("trials: seed %q is not a whole number", seed)
		}
		own = given
	}
	t.Logf("seed %d", own)
	return own
}
