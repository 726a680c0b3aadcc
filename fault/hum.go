package fault

import (
	"cmp"
	"math"
	"slices"
)

// HumTake is one of the four takes of a hum hunt: the level at the output, decibels
// against anything, as long as it is the same for all.
type HumTake int

// The takes. The last two are made with the low slider where it was for HumUp. The
// coil is turned and fixed again with the power off.
const (
	HumFlat    HumTake = iota // all sliders centred
	HumUp                     // the low slider at full boost
	HumShorted                // and the footswitch lead shorted at its jack
	HumTurned                 // instead, the coil turned by a right angle
	humTakes
)

// HumWay is a way in: what comes out at each take, volts for one volt of it. Shut
// is the take that shuts it, by how much nobody knows; HumFlat: none does.
type HumWay struct {
	Name  string            `json:"name"`
	Gains [humTakes]float64 `json:"gains"`
	Shut  HumTake           `json:"shut"`
	Prior float64           `json:"prior"` // against the others
}

// HumRanked is a way in with its probability.
type HumRanked struct {
	Name        string  `json:"name"` // None: none of them
	Probability float64 `json:"probability"`
}

// HumVerdict is what the takes tell. Next is the easiest take not yet made that
// ways still in play differ at by what an ear hears; nil: none.
type HumVerdict struct {
	Ranked []HumRanked `json:"ranked"` // the likeliest first
	Alike  [][]string  `json:"alike"`  // ways that none of the four takes tells apart
	Next   *HumTake    `json:"next"`
}

// What is reckoned of hum. All of it is common practice, no source.
const (
	humSD     = 1.5  // dB: how steady hum is from take to take, and its gain known
	humRange  = 60.0 // dB: what levels a take may have with something else wrong
	humApart  = 3.0  // dB: what tells two takes apart
	humNone   = 0.05 // how likely it is none of these, beforehand
	humAbove  = 6.0  // dB: by how much at least the way hums above everything else, where it is open
	humInPlay = 0.02
)

// humLeft is what is left of a way that is shut, dB.
var humLeft = []float64{-8, -14, -20, -30, -40}

// Hum ranks the ways in by what was read; of a take not made level is nil. Beside
// the way there is what else hums, whatever the sliders: both levels are unknown
// and integrated over.
func Hum(ways []HumWay, levels [humTakes]*float64) HumVerdict {
	none := math.Log(humNone)
	for _, y := range levels {
		if y != nil {
			none -= math.Log(humRange)
		}
	}
	logs, sum := []float64{none}, 0.0
	for _, w := range ways {
		sum += w.Prior
	}
	for _, w := range ways {
		logs = append(logs, math.Log((1-humNone)*w.Prior/sum)+w.log(levels))
	}
	whole := logSum(logs)
	v := HumVerdict{Ranked: []HumRanked{{string(None), math.Exp(none - whole)}}}
	for i, w := range ways {
		v.Ranked = append(v.Ranked, HumRanked{w.Name, math.Exp(logs[i+1] - whole)})
	}
	v.Next = nextHum(ways, v.Ranked[1:], levels)
	v.Alike = alikeHum(ways)
	slices.SortStableFunc(v.Ranked, func(a, b HumRanked) int { return cmp.Compare(b.Probability, a.Probability) })
	return v
}

// shape is a way's output at every take against its greatest, decibels, with so
// much left where it is shut.
func (w HumWay) shape(left float64) (db [humTakes]float64) {
	most := slices.Max(w.Gains[:])
	for i, g := range w.Gains {
		db[i] = -200
		if g > 0 {
			db[i] = 20 * math.Log10(g/most)
		}
		if w.Shut != HumFlat && HumTake(i) == w.Shut {
			db[i] += left
		}
	}
	return db
}

// log is the logarithm of the likelihood of what was read.
func (w HumWay) log(levels [humTakes]*float64) float64 {
	top, taken := math.Inf(-1), false
	for _, y := range levels {
		if y != nil {
			top, taken = max(top, *y), true
		}
	}
	if !taken {
		return 0
	}
	left := humLeft
	if w.Shut == HumFlat {
		left = left[:1]
	}
	var logs []float64
	for _, l := range left {
		shape := w.shape(l)
		for way := top - 4.5; way <= top+3; way += 1.5 {
			for rest := top - humRange; rest <= way-humAbove; rest += 1.5 {
				logs = append(logs, humLog(shape, way, rest, levels))
			}
		}
	}
	return logSum(logs) - math.Log(float64(len(logs)))
}

// humLog is the likelihood with the way and what else hums at these levels.
func humLog(shape [humTakes]float64, way, rest float64, levels [humTakes]*float64) float64 {
	sum := 0.0
	for i, y := range levels {
		if y == nil {
			continue
		}
		out := 10 * math.Log10(math.Pow(10, (way+shape[i])/10)+math.Pow(10, rest/10))
		sum += student((*y-out)/humSD, typed) - math.Log(humSD)
	}
	return sum
}

// nextHum is the first take not made at which two ways in play differ.
func nextHum(ways []HumWay, ranked []HumRanked, levels [humTakes]*float64) *HumTake {
	for take := range humTakes {
		if levels[take] != nil {
			continue
		}
		low, high := math.Inf(1), math.Inf(-1)
		for i, w := range ways {
			if ranked[i].Probability < humInPlay {
				continue
			}
			shape := w.shape(humLeft[len(humLeft)/2])
			low, high = min(low, shape[take]), max(high, shape[take])
		}
		if high-low > humApart {
			return &take
		}
	}
	return nil
}

// alikeHum groups ways whose shapes are the same at every take.
func alikeHum(ways []HumWay) (groups [][]string) {
	var of []HumWay
	for _, w := range ways {
		at := slices.IndexFunc(of, func(v HumWay) bool { return w.like(v) })
		if at < 0 {
			of, groups = append(of, w), append(groups, []string{w.Name})
			continue
		}
		groups[at] = append(groups[at], w.Name)
	}
	return slices.DeleteFunc(groups, func(g []string) bool { return len(g) == 1 })
}

func (w HumWay) like(v HumWay) bool {
	a, b := w.shape(humLeft[0]), v.shape(humLeft[0])
	for i := range a {
		if math.Abs(max(a[i], -30)-max(b[i], -30)) > humApart {
			return false
		}
	}
	return true
}
