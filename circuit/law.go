package circuit

import "sort"

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
