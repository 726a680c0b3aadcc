package curve

import (
	"math"
	"slices"
	"sort"
)

// trail is a curve prepared for looking at: x is log frequency (natural).
type trail struct {
	x, y []float64
}

func newTrail(c Curve) trail {
	t := trail{x: make([]float64, len(c.Hz)), y: c.DB}
	for i, hz := range c.Hz {
		t.x[i] = math.Log(hz)
	}
	return t
}

// window gives the points with low ≤ x ≤ high as from…to−1.
func (t trail) window(low, high float64) (from, to int) {
	from = sort.SearchFloat64s(t.x, low)
	return from, max(from, sort.Search(len(t.x), func(i int) bool { return t.x[i] > high }))
}

// smooth gives the mean of all points within reach of each. It only serves to
// find a place to look at; no figure is taken from it.
func (t trail) smooth(reach float64) []float64 {
	sums := make([]float64, len(t.y)+1)
	for i, y := range t.y {
		sums[i+1] = sums[i] + y
	}
	s := make([]float64, len(t.y))
	from, to := 0, 0
	for i, x := range t.x {
		for t.x[from] < x-reach {
			from++
		}
		for to < len(t.x) && t.x[to] <= x+reach {
			to++
		}
		// As many on either side, or a slope would shift the ends.
		k := min(i-from, to-1-i)
		s[i] = (sums[i+k+1] - sums[i-k]) / float64(2*k+1)
	}
	return s
}

// roughNoise estimates the noise from how each point misses the straight line
// between its neighbours, by the median, so that the curve's own bends, which
// are few, do not count.
func (t trail) roughNoise(from, to int) float64 {
	var misses []float64
	for i := max(from, 1); i < min(to, len(t.x)-1); i++ {
		a := (t.x[i] - t.x[i-1]) / (t.x[i+1] - t.x[i-1])
		miss := t.y[i] - (1-a)*t.y[i-1] - a*t.y[i+1]
		misses = append(misses, math.Abs(miss)/math.Sqrt(1+a*a+(1-a)*(1-a)))
	}
	if len(misses) == 0 {
		return 0
	}
	slices.Sort(misses)
	// The median of |ε| is 0.6745 standard deviations for Gaussian ε.
	return misses[len(misses)/2] / 0.6745
}

// peak is a place where the curve stands out: sign +1 a boost, −1 a cut.
type peak struct {
	at   int
	sign float64
}

// nearest finds the extremum nearest to x0 among points from…to−1 that stands
// out from its surroundings (the points around from…around to) by more than
// limit, and lies on its own side of 0 dB.
func (t trail) nearest(s []float64, x0 float64, from, to, aroundFrom, aroundTo int, limit float64) (peak, bool) {
	best, found := peak{}, false
	for i := max(from, 1); i < min(to, len(s)-1); i++ {
		for _, sign := range [...]float64{1, -1} {
			top := sign*s[i] > 0 && sign*(s[i]-s[i-1]) >= 0 && sign*(s[i]-s[i+1]) > 0
			if !top || standsOut(s, i, sign, aroundFrom, aroundTo) <= limit {
				continue
			}
			if !found || math.Abs(t.x[i]-x0) < math.Abs(t.x[best.at]-x0) {
				best, found = peak{i, sign}, true
			}
		}
	}
	return best, found
}

// standsOut is how far one must come down from a top before going higher, on
// the side where that is less.
func standsOut(s []float64, at int, sign float64, from, to int) float64 {
	drop := func(step int) float64 {
		deepest := 0.0
		for i := at + step; i >= from && i < to; i += step {
			d := sign * (s[at] - s[i])
			if d < 0 {
				break
			}
			deepest = math.Max(deepest, d)
		}
		return deepest
	}
	return math.Min(drop(-1), drop(+1))
}

// crossing walks from the top outwards until the curve has come to the level,
// and gives the x where it does; false when it never does.
func (t trail) crossing(s []float64, p peak, level float64, step int) (float64, bool) {
	for i := p.at; ; i += step {
		next := i + step
		if next < 0 || next >= len(s) || t.x[next] < lowestEdge || t.x[next] > highestEdge {
			return 0, false
		}
		if p.sign*(s[next]-level) > 0 {
			continue
		}
		if s[next] == s[i] {
			return t.x[next], true
		}
		share := math.Min(math.Max((s[i]-level)/(s[i]-s[next]), 0), 1)
		return t.x[i] + share*(t.x[next]-t.x[i]), true
	}
}

// Edges are searched from 1 Hz to 200 kHz, as for a predicted band.
var lowestEdge, highestEdge = math.Log(1), math.Log(200e3)
