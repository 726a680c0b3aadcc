package sweep

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// A whole round: written, played through an amp of difference equations, taken
// late, with noise, at 24 bits, and read against the second channel.
func TestTwoChannels(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260310), 1))
	s := Standard(96000)
	x := played(t, s)
	for _, boosts := range []map[float64]float64{nil, {400: 14}, {2500: -14}} {
		a := sixBands(96000, boosts)
		b := taken(t, rng, 96000, 12345+rng.IntN(90000), -80, a.play(x), x)
		results, found := read(t, b, How{Signal: s, Channel: 1, Reference: 2}, 1)
		r := results[0]
		db, degrees, dbAt, degreesAt := off(r, 30, 18000, func(hz float64) complex128 { return a.gain(hz, 96000) })
		t.Logf("%v: gain within %.4f dB (%.0f Hz), phase within %.3f° (%.0f Hz), drift %.4f ppm", boosts, db, dbAt, degrees, degreesAt, *r.DriftPPM)
		if db > 0.02 || degrees > 0.5 {
			t.Errorf("%v: gain off by %.4f dB at %.1f Hz, phase by %.3f° at %.1f Hz", boosts, db, dbAt, degrees, degreesAt)
		}
		if len(found) > 0 || len(r.Findings) > 0 {
			t.Errorf("%v: %v %v", boosts, found, r.Findings)
		}
	}
}

// One channel from a player whose clock differs by 5 parts in a million,
// against a stored loopback.
func TestOneChannel(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260311), 1))
	s := Standard(96000)
	x := played(t, s)
	interfaceOwn := amp{level: 0.7, chain: []biquad{coupling(3, 96000), peaking(30000, -1, 0.7, 96000)}}
	stored, _ := opened(t, taken(t, rng, 96000, 4321, -80, interfaceOwn.play(x)))
	x = stretched(x, 5)
	for i, boosts := range []map[float64]float64{nil, {400: 14}, {2500: -14}} {
		a := sixBands(96000, boosts)
		b := taken(t, rng, 96000, 7000+rng.IntN(90000), -80, interfaceOwn.play(a.play(x)))
		how := How{Signal: s, Channel: 1, Loopback: stored}
		results, _ := read(t, b, how, 1)
		r := results[0]
		gain := func(hz float64) complex128 { return a.gain(hz, 96000) }
		db, degrees, _, at := off(r, 30, 18000, gain)
		t.Logf("%v: drift %.4f ppm, gain within %.4f dB, phase within %.2f° (%.0f Hz)", boosts, *r.DriftPPM, db, degrees, at)
		if math.Abs(*r.DriftPPM-5) > 0.2 || db > 0.02 {
			t.Errorf("%v: drift %.4f ppm, gain off by %.4f dB", boosts, *r.DriftPPM, db)
		}
		// The delay cannot be known; the phase that suits the gain is near all the same.
		if r.PhaseTo < 18000 || degrees > 6 || !has(r.Findings, IDDelayFitted) {
			t.Errorf("%v: phase to %.0f Hz, off by %.2f° at %.0f Hz, %v", boosts, r.PhaseTo, degrees, at, r.Findings)
		}
		if i > 0 {
			continue
		}
		how.KeepDrift = true
		results, _ = read(t, b, how, 1)
		r = results[0]
		db, _, _, _ = off(r, 30, 18000, gain)
		if db > 0.02 || r.PhaseTo > 5000 || r.Corrected || !has(r.Findings, IDPhaseUnknown) || r.Curve("").Degrees != nil {
			t.Errorf("drift kept: gain off by %.4f dB, phase to %.0f Hz, %v", db, r.PhaseTo, r.Findings)
		}
	}
}

func has(list finding.List, id finding.ID) bool {
	return slices.ContainsFunc(list, func(f finding.Finding) bool { return f.ID == id })
}

// Harmonics of a polynomial are known by the identities of the cosine: of
// a·sin, x² gives a²/2 at twice the frequency, x³ a³/4 at three times, x⁴ a⁴/2
// at twice and a⁴/8 at four times, x⁵ 5a⁵/16 at three and a⁵/16 at five times;
// the fundamental is a + 3/4 c3 a³ + 5/8 c5 a⁵. Worked out from the definition.
func TestHarmonicsOfPolynomial(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260312), 1))
	s := Standard(96000)
	a := math.Pow(10, s.LevelDBFS/20)
	x := played(t, s)
	for range trials.Count(2) {
		part := func() float64 { return (0.03 + 0.03*rng.Float64()) * a }
		want := [6]float64{2: part(), 3: part(), 4: part(), 5: part()}
		c := [6]float64{4: 8 * want[4] / math.Pow(a, 4), 5: 16 * want[5] / math.Pow(a, 5)}
		c[3] = (want[3] - 5*want[5]) * 4 / math.Pow(a, 3) // 5/16 of x⁵ is five times the 1/16
		c[2] = (want[2] - 4*want[4]) * 2 / math.Pow(a, 2)
		dirty := amp{level: 0.8, dirt: func(x float64) float64 { return x + x*x*(c[2]+x*(c[3]+x*(c[4]+x*c[5]))) }}
		base := a + 3*c[3]*a*a*a/4 + 5*c[5]*math.Pow(a, 5)/8
		b := taken(t, rng, 96000, 5000, -80, dirty.play(x), x)
		results, _ := read(t, b, How{Signal: s, Channel: 1, Reference: 2}, 1)
		r := results[0]
		worst, sum := 0.0, 0.0
		for _, h := range r.Harmonics {
			level := want[h.Order] / base
			sum += level * level
			for i, f := range h.Hz {
				if f > 30 && f*float64(h.Order) < 18000 {
					worst = max(worst, math.Abs(math.Pow(10, h.DB[i]/20)/level-1))
				}
			}
		}
		thd := 0.0
		for i, f := range r.THD.Hz {
			if f > 30 && f < 3600 {
				thd = max(thd, math.Abs(r.THD.Percent[i]/100/math.Sqrt(sum)-1))
			}
		}
		t.Logf("harmonics within %.3f %%, THD within %.3f %%", 100*worst, 100*thd)
		if worst > 0.01 || thd > 0.01 {
			t.Errorf("%v: harmonics off by %.3f %%, THD by %.3f %%", c, 100*worst, 100*thd)
		}
	}
}

// The deviations a result states are those that repeated takes show.
func TestNoiseIsWhatItSays(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260313), 1))
	s := Standard(44100)
	s.Seconds = 3
	x := played(t, s)
	a := sixBands(44100, map[float64]float64{400: 14})
	y := a.play(x)
	var squares [3]float64
	var count [3]int
	for range trials.Count(10) {
		results, _ := read(t, taken(t, rng, 44100, 3000, -55, y, x), How{Signal: s, Channel: 1, Reference: 2}, 1)
		for i, f := range results[0].Hz {
			if part := slices.IndexFunc([]float64{30, 200, 2000, 18000}, func(edge float64) bool { return f < edge }) - 1; part >= 0 {
				e := (results[0].DB[i] - 20*math.Log10(cmplx.Abs(a.gain(f, 44100)))) / results[0].Noise[i]
				squares[part], count[part] = squares[part]+e*e, count[part]+1
			}
		}
	}
	for part, name := range []string{"30–200 Hz", "200 Hz–2 kHz", "2–18 kHz"} {
		ratio := math.Sqrt(squares[part] / float64(count[part]))
		t.Logf("%s: errors are %.2f of their stated deviation", name, ratio)
		if ratio < 0.7 || ratio > 1.4 {
			t.Errorf("%s: errors are %.2f of their stated deviation", name, ratio)
		}
	}
}

func BenchmarkDeconvolve(b *testing.B) {
	s := Standard(96000)
	x := played(b, s)
	rec, _ := opened(b, written(b, Format{Rate: 96000, Channels: 2, Bits: 24}, [][]float64{sixBands(96000, nil).play(x), x}, nil))
	c := &capture{rate: 96000, frame: 96000, sweep: 4800, scale: 1}
	if err := c.load(rec, s, 1, 2); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		im := deconvolve(c.y, c.x, 96000, s)
		respond(im, im.grid(), [2]*silence{})
	}
}

func BenchmarkRead(b *testing.B) {
	s := Standard(96000)
	x := played(b, s)
	rec, _ := opened(b, written(b, Format{Rate: 96000, Channels: 2, Bits: 24}, [][]float64{sixBands(96000, nil).play(x), x}, nil))
	for b.Loop() {
		if _, _, err := Read(rec, How{Signal: s, Channel: 1, Reference: 2}); err != nil {
			b.Fatal(err)
		}
	}
}
