package equaliser

import (
	"math"
	"math/rand/v2"
	"testing"
)

type sampled interface{ sample(hz, db, slope []float64) }

// runSearch drives a search to its end on a curve.
func runSearch(q *search, on sampled) {
	var hz, db, slope [blockSize]float64
	for {
		n := q.ask(hz[:])
		if n == 0 {
			return
		}
		on.sample(hz[:n], db[:n], slope[:n])
		q.take(hz[:n], db[:n], slope[:n])
	}
}

func found(q *search, k int) float64 {
	if !q.edge[k].found {
		return 0
	}
	return math.Exp(q.edge[k].x)
}

func near(got, want, relative float64) bool { return math.Abs(got-want) <= relative*math.Abs(want) }

// One band of an ideal cell at full boost is the analogue peaking response of
// the Audio EQ Cookbook: the extremum at the leg resonance, the half-dB edges
// where sinh says, Q = leg Q/√G (worked out from the definitions).
func TestSearchOnThePeakingResponse(t *testing.T) {
	for _, c := range []struct{ hz, db, q float64 }{
		{63, 12, 1.4142135623730951}, {1000, 12.04119982655925, 0.85}, {6300, 3, 0.4}, {160, 20, 6}, {400, 9, 40}, {25, 6, 0.05},
	} {
		ohms, henries, farads, _ := StartingLeg(c.hz, c.db, c.q, 3000, 0)
		one := cell{feed: 3000, feedback: 3000, legs: []cellLeg{{ohms: ohms, henries: henries, farads: farads, track: 10e3}}}
		for _, position := range []float64{1, -1} {
			var q search
			q.begin(legResonance(henries, farads))
			runSearch(&q, cellCurve{one.at(0, position), one.at(-1, 0)})
			if q.stage != stageDone {
				t.Errorf("%+v at %g: ended in stage %d", c, position, q.stage)
				continue
			}
			if x := math.Exp(q.peakX); !near(x, c.hz, 1e-10) || !near(q.peakY, position*c.db, 1e-11) {
				t.Errorf("%+v at %g: extremum %.15g dB at %.15g", c, position, q.peakY, x)
			}
			low, high := found(&q, halfLow), found(&q, halfHigh)
			half := 1 / (2 * c.q)
			if want := c.hz * (math.Sqrt(1+half*half) - half); want >= lowestHz && !near(low, want, 1e-10) {
				t.Errorf("%+v at %g: low edge %.15g, want %.15g", c, position, low, want)
			}
			if want := c.hz * (math.Sqrt(1+half*half) + half); !near(high, want, 1e-10) {
				t.Errorf("%+v at %g: high edge %.15g, want %.15g", c, position, high, want)
			}
			if c.db > 3 && found(&q, topLow) == 0 {
				t.Errorf("%+v: no edge 3 dB under the top", c)
			}
			if c.db <= 3 && q.edge[topHigh].found {
				t.Errorf("%+v: an edge 3 dB under a top of %g dB", c, c.db)
			}
			t.Logf("%+v at %g: %d frequencies in %d blocks", c, position, q.asked, q.rounds)
		}
	}
}

// A dense scan and plain halving, which share nothing with the finder, must
// agree with it on random cells of many sizes.
func TestSearchAgainstADenseScan(t *testing.T) {
	const seed = 20
	r := rand.New(rand.NewPCG(seed, 1))
	worst, work := 0.0, 0
	searches := 0
	for range 60 {
		c := randomCell(r, 1+r.IntN(10))
		leg := r.IntN(len(c.legs))
		position := []float64{1, -1}[r.IntN(2)]
		on := cellCurve{c.at(leg, position), c.at(-1, 0)}
		legHz := legResonance(c.legs[leg].henries, c.legs[leg].farads)
		var q search
		q.begin(legHz)
		runSearch(&q, on)
		searches++
		work += q.asked
		want := denseSearch(on, legHz, position)
		got := [5]float64{math.Exp(q.peakX), found(&q, halfLow), found(&q, halfHigh), found(&q, topLow), found(&q, topHigh)}
		if q.stage != stageDone {
			if want[0] != 0 {
				t.Errorf("seed %d: stage %d, the scan has %g Hz", seed, q.stage, want[0])
			}
			continue
		}
		for i := range want {
			if (want[i] == 0) != (got[i] == 0) {
				t.Errorf("seed %d: finder %v, scan %v", seed, got, want)
			} else if want[i] != 0 {
				worst = max(worst, math.Abs(got[i]/want[i]-1))
			}
		}
	}
	if work > 55*searches { // 32 to sample the range: the rest must close in fast
		t.Errorf("seed %d: %d frequencies for %d searches", seed, work, searches)
	}
	if worst > 1e-9 {
		t.Errorf("seed %d: finder and scan differ by %g", seed, worst)
	}
	t.Logf("largest relative difference %.2g, %.1f frequencies a search", worst, float64(work)/float64(searches))
}

// denseSearch gives extremum, half-dB edges and 3 dB edges; 0 is none.
func denseSearch(on sampled, legHz, position float64) (answer [5]float64) {
	at := func(hz float64) (float64, float64) {
		var db, slope [1]float64
		on.sample([]float64{hz}, db[:], slope[:])
		return db[0] * position, slope[0] * position
	}
	const steps = 6000
	grid := func(i int) float64 { return legHz * math.Pow(2, -1+2*float64(i)/steps) }
	best := math.Inf(1)
	for i := range steps {
		_, s := at(grid(i))
		y, s2 := at(grid(i + 1))
		if s > 0 && s2 <= 0 && y > deadDB {
			hz := halve(grid(i), grid(i+1), func(hz float64) float64 { _, s := at(hz); return s })
			if away := math.Abs(math.Log(hz / legHz)); away < best {
				best, answer[0] = away, hz
			}
		}
	}
	if answer[0] == 0 {
		return answer
	}
	top, _ := at(answer[0])
	for k, level := range []float64{top / 2, top / 2, top - 3, top - 3} {
		if k >= 2 && top <= 3 {
			continue
		}
		ratio := []float64{1 / 1.002, 1.002}[k%2]
		over := func(hz float64) float64 { y, _ := at(hz); return y - level }
		for hz := answer[0]; hz > lowestHz && hz < highestHz; hz *= ratio {
			next := max(lowestHz, min(highestHz, hz*ratio))
			if over(next) < 0 {
				answer[k+1] = halve(hz, next, over)
				break
			}
		}
	}
	return answer
}

// halve finds where f turns from + at a to − at b.
func halve(a, b float64, f func(float64) float64) float64 {
	for range 100 {
		if m := (a + b) / 2; f(m) > 0 {
			a = m
		} else {
			b = m
		}
	}
	return (a + b) / 2
}

// bumps is a curve made of Gaussian bumps in ln f, for what no cell does.
type bumps []struct{ hz, db, width float64 }

func (b bumps) sample(hz, db, slope []float64) {
	for i, f := range hz {
		db[i], slope[i] = 0, 0
		for _, one := range b {
			u := math.Log(f/one.hz) / one.width
			y := one.db * math.Exp(-u*u)
			db[i] += y
			slope[i] -= y * 2 * u / one.width
		}
	}
}

func TestSearchOfOddCurves(t *testing.T) {
	for _, c := range []struct {
		name  string
		curve bumps
		stage stage
		hz    float64
		rival bool
	}{
		{"nothing", bumps{{1000, 0, 1}}, stageDead, 0, false},
		{"a peak three octaves off", bumps{{8000, 10, 1}}, stageNone, 0, false},
		{"two peaks, the nearer is taken", bumps{{800, 12, 0.05}, {1100, 6, 0.05}}, stageDone, 1100, true},
		{"a ripple is no rival", bumps{{800, 12, 0.1}, {1100, 0.5, 0.03}}, stageDone, 800, false},
		{"a dip where a boost was wanted", bumps{{900, -7, 0.3}}, stageDone, 900, false},
	} {
		var q search
		q.begin(1000)
		runSearch(&q, c.curve)
		if q.stage != c.stage || q.rival != c.rival {
			t.Errorf("%s: stage %d, rival %v", c.name, q.stage, q.rival)
			continue
		}
		if c.hz > 0 && !near(math.Exp(q.peakX), c.hz, 1e-4) {
			t.Errorf("%s: %g Hz, want %g", c.name, math.Exp(q.peakX), c.hz)
		}
	}
}

// A search begun from what a like circuit had finds the same with less work;
// and neither allocates.
func TestSearchBegunNearFindsTheSame(t *testing.T) {
	const seed = 21
	r := rand.New(rand.NewPCG(seed, 1))
	cold, warm := 0, 0
	for range 40 {
		c := randomCell(r, 6)
		leg := r.IntN(6)
		var first, anew, nearby search
		legHz := legResonance(c.legs[leg].henries, c.legs[leg].farads)
		first.begin(legHz)
		runSearch(&first, cellCurve{c.at(leg, 1), c.at(-1, 0)})
		moved := c.at(-1, 0)
		for i := range moved.legs {
			moved.legs[i].henries *= 1 + 0.05*r.NormFloat64()
			moved.legs[i].farads *= 1 + 0.02*r.NormFloat64()
		}
		legHz = legResonance(moved.legs[leg].henries, moved.legs[leg].farads)
		on := cellCurve{moved.at(leg, 1), moved.at(-1, 0)}
		anew.begin(legHz)
		runSearch(&anew, on)
		nearby.beginNear(legHz, &first)
		runSearch(&nearby, on)
		if anew.stage != nearby.stage || math.Abs(anew.peakX-nearby.peakX) > 1e-10 {
			t.Errorf("seed %d: anew %d %.15g, near %d %.15g", seed, anew.stage, anew.peakX, nearby.stage, nearby.peakX)
		}
		for k := range anew.edge {
			if anew.edge[k].found != nearby.edge[k].found || math.Abs(anew.edge[k].x-nearby.edge[k].x) > 1e-10 {
				t.Errorf("seed %d: edge %d: anew %v, near %v", seed, k, anew.edge[k], nearby.edge[k])
			}
		}
		cold, warm = cold+anew.asked, warm+nearby.asked
	}
	if warm > cold*3/4 {
		t.Errorf("begun near: %d frequencies, anew %d", warm, cold)
	}
	t.Logf("a search: %.1f frequencies anew, %.1f begun near", float64(cold)/40, float64(warm)/40)
}

func TestSearchAllocatesNothing(t *testing.T) {
	on := cellCurve{}
	on.at = randomCell(rand.New(rand.NewPCG(3, 3)), 4)
	on.flat = on.at.at(-1, 0)
	on.at.legs[2].position = 1
	var q search
	hz, db, slope := make([]float64, blockSize), make([]float64, blockSize), make([]float64, blockSize)
	legHz := legResonance(on.at.legs[2].henries, on.at.legs[2].farads)
	allocations := testing.AllocsPerRun(20, func() {
		q.begin(legHz)
		for n := q.ask(hz); n > 0; n = q.ask(hz) {
			on.sample(hz[:n], db[:n], slope[:n])
			q.take(hz[:n], db[:n], slope[:n])
		}
	})
	if allocations > 0 {
		t.Errorf("%g allocations a search", allocations)
	}
	if q.stage != stageDone || q.asked > maxSamples {
		t.Errorf("stage %d, %d frequencies asked for, bound %d", q.stage, q.asked, maxSamples)
	}
}

// A leg whose resistor is bridged is a needle, a thousandth of the grid's step
// wide: its tails still point to it.
func TestSearchFindsANeedle(t *testing.T) {
	one := cell{feed: 2200, feedback: 2200, legs: []cellLeg{{ohms: 0.2, henries: 1, farads: 1e-7, track: 10e3}}}
	hz := legResonance(1, 1e-7)
	var q search
	q.begin(hz * 1.3)
	runSearch(&q, cellCurve{one.at(0, 1), one.at(-1, 0)})
	if q.stage != stageDone || !near(math.Exp(q.peakX), hz, 1e-10) {
		t.Errorf("stage %d at %g Hz, want %g", q.stage, math.Exp(q.peakX), hz)
	}
	if width := found(&q, halfHigh) - found(&q, halfLow); !near(hz/width, math.Sqrt(1/1e-7)/0.2/math.Sqrt(11001), 1e-9) {
		t.Errorf("Q %g", hz/width)
	}
	t.Logf("%d frequencies in %d blocks", q.asked, q.rounds)
}
