package sweep

import (
	"math"
	"slices"
)

// Line is a single tone in the silence.
type Line struct {
	Hz   float64 `json:"hz"`
	DBFS float64 `json:"dbfs"` // of its peak; full scale is 0
}

// Noise is what the silence before the sweep holds.
type Noise struct {
	DBFS       float64 `json:"dbfs"`        // rms of all of it, as a sine that strong would read
	Hiss       float64 `json:"hiss_dbfs"`   // the same without the two lines of the mains
	Mains      *Line   `json:"mains"`       // nil: does not stand out
	TwiceMains *Line   `json:"twice_mains"` // nil: does not stand out
}

// lineWidth is how many bands of the window to either side a line fills: what
// lies beyond is 50 dB below it.
const lineWidth = 6

// silence is the noise of one channel over frequency.
type silence struct {
	Noise
	density []float64 // variance a sample if it were the same everywhere, a bin
	bin     float64
}

// lineSearch is how far, in parts of it, the mains may stray from its name.
const lineSearch = 0.008

// standsOut is how many times the noise beside it a line must be.
const standsOut = 4.0

// hush reads the silence: its two lines at the mains and twice the mains, and
// what is left as a density, smoothed over a sixth of an octave.
func hush(x []float64, rate float64, mains []float64) silence {
	n := len(x)
	if n < 256 {
		return silence{Noise: Noise{DBFS: decibel(0), Hiss: decibel(0)}, density: []float64{0, 0}, bin: rate / 2}
	}
	var mean float64
	for _, v := range x {
		mean += v / float64(n)
	}
	size := smooth(n)
	z := make([]complex128, size)
	var window float64
	for i, v := range x {
		hann := 0.5 - 0.5*math.Cos(2*math.Pi*(float64(i)+0.5)/float64(n))
		window += hann * hann
		z[i] = complex(hann*(v-mean), 0)
	}
	z = forward(z)
	q := silence{bin: rate / float64(size)}
	raw := make([]float64, size/2)
	for k := range raw {
		raw[k] = (real(z[k])*real(z[k]) + imag(z[k])*imag(z[k])) / window
	}
	width := rate / float64(n) // of the window's own band
	q.lines(raw, float64(n)/4/math.Sqrt(window), width, mains)
	q.total(raw, width)
	q.density = smoothed(raw, q.bin, q.skip(width))
	return q
}

// lines looks for the mains, at whichever of its names is stronger.
func (q *silence) lines(raw []float64, gain, width float64, mains []float64) {
	strongest := 0.0
	for _, name := range mains {
		once, a := q.line(raw, name, gain, width)
		twice, b := q.line(raw, 2*name, gain, width)
		if a+b > strongest {
			q.Mains, q.TwiceMains, strongest = once, twice, a+b
		}
	}
}

// line gives the tone at a frequency, nil where it does not stand out from
// what lies beside it, and its amplitude. gain is the amplitude's part of the
// root of a bin: Σw/2 over √Σw², with Σw = n/2.
func (q *silence) line(raw []float64, hz, gain, width float64) (*Line, float64) {
	best := 0
	for k := int((hz*(1-lineSearch) - width) / q.bin); float64(k)*q.bin <= hz*(1+lineSearch)+width && k+1 < len(raw); k++ {
		if k > 0 && (best == 0 || raw[k] > raw[best]) {
			best = k
		}
	}
	if best == 0 {
		return nil, 0
	}
	var beside []float64
	for k := max(1, best-int(9*width/q.bin)); k <= best+int(9*width/q.bin) && k < len(raw); k++ {
		if math.Abs(float64(k-best))*q.bin > 2.5*width {
			beside = append(beside, raw[k])
		}
	}
	if len(beside) == 0 {
		return nil, 0
	}
	slices.Sort(beside)
	if raw[best] < standsOut*standsOut*beside[len(beside)/2] || raw[best] == 0 {
		return nil, 0
	}
	// The top between bins, by a parabola through the levels.
	a, b, c := math.Log(raw[best-1]+1e-300), math.Log(raw[best]), math.Log(raw[best+1]+1e-300)
	shift := 0.0
	if bend := a - 2*b + c; bend < 0 {
		shift = min(0.5, max(-0.5, 0.5*(a-c)/bend))
	}
	amplitude := math.Sqrt(math.Exp(b-0.25*(a-c)*shift)) / gain
	return &Line{Hz: (float64(best) + shift) * q.bin, DBFS: decibel(amplitude)}, amplitude
}

// skip tells whether a frequency belongs to one of the lines.
func (q *silence) skip(width float64) func(hz float64) bool {
	var lines []float64
	for _, l := range [...]*Line{q.Mains, q.TwiceMains} {
		if l != nil {
			lines = append(lines, l.Hz)
		}
	}
	return func(hz float64) bool {
		for _, l := range lines {
			if math.Abs(hz-l) < lineWidth*width {
				return true
			}
		}
		return false
	}
}

// total sums the bins, with the lines and without. A sine of amplitude a has
// the mean square a²/2; levels are given as that sine's peak.
func (q *silence) total(raw []float64, width float64) {
	all, rest := 0.0, 0.0
	skip := q.skip(width)
	for k, v := range raw {
		all += v
		if !skip(float64(k) * q.bin) {
			rest += v
		}
	}
	share := 1 / float64(len(raw))
	q.DBFS, q.Hiss = decibel(math.Sqrt(2*all*share)), decibel(math.Sqrt(2*rest*share))
}

// smoothed is the running mean over a sixth of an octave, at least nine bins,
// without those skipped; where all are skipped the last stands.
func smoothed(raw []float64, bin float64, skip func(float64) bool) []float64 {
	sums, counts := make([]float64, len(raw)+1), make([]int, len(raw)+1)
	for k, v := range raw {
		sums[k+1], counts[k+1] = sums[k], counts[k]
		if k > 0 && !skip(float64(k)*bin) {
			sums[k+1], counts[k+1] = sums[k]+v, counts[k]+1
		}
	}
	out, last := make([]float64, len(raw)), 0.0
	for k := range raw {
		half := max(4, k/17)
		low, high := max(0, k-half), min(len(raw), k+half+1)
		if n := counts[high] - counts[low]; n > 0 {
			last = (sums[high] - sums[low]) / float64(n)
		}
		out[k] = last
	}
	return out
}

// at gives the density near a frequency.
func (q *silence) at(hz float64) float64 {
	return q.density[max(0, min(len(q.density)-1, int(hz/q.bin)))]
}

// hum gives the amplitude of a line within a distance of a frequency, else 0.
func (q *silence) hum(hz, within float64) float64 {
	for _, l := range [...]*Line{q.Mains, q.TwiceMains} {
		if l != nil && math.Abs(l.Hz-hz) < within {
			return math.Pow(10, l.DBFS/20)
		}
	}
	return 0
}
