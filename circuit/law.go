package circuit

import (
	"fmt"
	"math"
	"sort"
)

// Law gives the share of a slider's track that lies between the cut end and
// the wiper, by the share of travel from the cut end; both run 0…1. The zero
// Law is linear. A measured law is a table, joined by straight lines.
type Law struct {
	Travel []float64 // rising, from 0 to 1
	Share  []float64 // not falling, from 0 to 1
}

// At gives the share of the track at a place of the travel.
func (l Law) At(travel float64) float64 {
	share, _ := l.segment(travel)
	return share
}

// Slope gives d(share)/d(travel). At a corner of a table it is the slope of
// the segment below.
func (l Law) Slope(travel float64) float64 {
	_, slope := l.segment(travel)
	return slope
}

func (l Law) segment(travel float64) (share, slope float64) {
	if len(l.Travel) == 0 {
		return travel, 1
	}
	i := min(max(sort.SearchFloat64s(l.Travel, travel), 1), len(l.Travel)-1)
	slope = (l.Share[i] - l.Share[i-1]) / (l.Travel[i] - l.Travel[i-1])
	return l.Share[i-1] + slope*(travel-l.Travel[i-1]), slope
}

// legal says whether the table runs from 0 to 1 both ways without turning
// back.
func (l Law) legal() bool {
	n := len(l.Travel)
	if n == 0 {
		return len(l.Share) == 0
	}
	if n < 2 || len(l.Share) != n || l.Travel[0] != 0 || l.Travel[n-1] != 1 || l.Share[0] != 0 || l.Share[n-1] != 1 {
		return false
	}
	for i := 1; i < n; i++ {
		if !(l.Travel[i] > l.Travel[i-1]) || !(l.Share[i] >= l.Share[i-1]) {
			return false
		}
	}
	return true
}

// SLaw is the two-sided law of an equaliser's track (S or W by the trade's
// letters): middle is the share of the track's change that falls into the
// middle half of the travel, 0.5 being linear. Above it the track changes fast
// about the centre and slowly at the ends, which evens out the decibels.
// Straight from corner to corner, as such tracks are printed: common practice,
// no source. middle lies above 0 and below 1, else it panics.
func SLaw(middle float64) Law {
	if !(middle > 0 && middle < 1) {
		panic(fmt.Sprintf("circuit: S law with %v in the middle", middle))
	}
	return Law{Travel: []float64{0, 0.25, 0.75, 1}, Share: []float64{0, (1 - middle) / 2, (1 + middle) / 2, 1}}
}

// audioSteps is the number of straight pieces an audio law is made of: the
// table is then within 0.0006 of the curve for every half from 10 to 50 %.
const audioSteps = 64

// AudioLaw is the one-sided law of a volume track, share = (aˣ − 1)/(a − 1) by
// travel x, with the share half at half travel: 0.5 is linear, less is the
// usual way, more is the law turned round. Standard tracks have 10, 15 or 20 %
// (from memory); the fitted 1.4^p of ten steps is 15.68 % (a newsgroup's fit,
// from the work; the figure worked out). half lies above 0 and below 1, else
// it panics.
func AudioLaw(half float64) Law {
	if !(half > 0 && half < 1) {
		panic(fmt.Sprintf("circuit: audio law with %v at half travel", half))
	}
	if half == 0.5 {
		return Law{}
	}
	// At half travel (√a − 1)/(a − 1) = 1/(√a + 1).
	root := math.Log(1/half - 1)
	law := Law{Travel: make([]float64, audioSteps+1), Share: make([]float64, audioSteps+1)}
	for i := range law.Travel {
		x := float64(i) / audioSteps
		law.Travel[i] = x
		law.Share[i] = math.Expm1(2*root*x) / math.Expm1(2*root)
	}
	law.Share[audioSteps] = 1
	return law
}

// Reversed gives the law as seen from the other end of the travel.
func (l Law) Reversed() Law {
	n := len(l.Travel)
	r := Law{Travel: make([]float64, n), Share: make([]float64, n)}
	for i := range n {
		r.Travel[i], r.Share[i] = 1-l.Travel[n-1-i], 1-l.Share[n-1-i]
	}
	if n == 0 {
		return Law{}
	}
	return r
}
