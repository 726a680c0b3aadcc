package sweep

import (
	"cmp"
	"math"
	"slices"
)

// A recording is searched for marks at a low rate, block by block, so that
// hours of it need no more memory than seconds.
const (
	searchRate   = 4000.0 // hertz, about
	searchBlock  = 8192   // samples of it
	searchLow    = 200.0  // hertz, of what is looked at
	searchHigh   = 1800.0
	leastLikely  = 0.3   // of the energy under a mark that is the mark's
	leastLoud    = 1e-10 // mean square of a block worth looking at, −100 dBFS
	leastApart   = 0.1   // seconds between two marks
	unlikeClocks = 1500e-6
)

// mark is a place in a recording where the mark sounds.
type mark struct {
	frame float64 // of its start
	like  float64 // part of the energy that is the mark's, 0 … 1
}

// pattern is the mark at the searched rate, played slower by a factor.
type pattern struct {
	slower   float64
	length   int
	energy   float64
	spectrum []complex128 // conjugate, positive frequencies alone
}

// search looks for one or several patterns in a channel.
type search struct {
	in       *reader
	channel  int // from 0
	by       int // frames a sample
	rate     float64
	kernel   []float64
	plan     transform
	patterns []pattern
	longest  int

	raw         []float64
	block, work []complex128
	band        []complex128
	sums        []float64
}

func newSearch(rec *Recording, channel int, slower []float64) *search {
	s := &search{in: rec.reader(), channel: channel, by: max(1, int(float64(rec.Rate)/searchRate)), plan: newTransform(searchBlock)}
	s.rate = float64(rec.Rate) / float64(s.by)
	s.kernel = smoothing(s.by)
	s.raw = make([]float64, (searchBlock-1)*s.by+len(s.kernel))
	s.block, s.work, s.band = make([]complex128, searchBlock), make([]complex128, searchBlock), make([]complex128, searchBlock)
	s.sums = make([]float64, searchBlock+1)
	for _, q := range slower {
		p := s.pattern(q)
		s.patterns = append(s.patterns, p)
		s.longest = max(s.longest, p.length)
	}
	return s
}

// smoothing is a moving mean done three times over: enough in front of a
// search that itself is blind outside its band.
func smoothing(by int) []float64 {
	kernel := []float64{1}
	for range 3 {
		next := make([]float64, len(kernel)+by-1)
		for i, k := range kernel {
			for j := range by {
				next[i+j] += k / float64(by)
			}
		}
		kernel = next
	}
	return kernel
}

func (s *search) pattern(slower float64) pattern {
	p := pattern{slower: slower, length: int(markSeconds * slower * s.rate)}
	x := make([]complex128, searchBlock)
	for i := range p.length {
		x[i] = complex(markAt(float64(i)/s.rate/slower), 0)
	}
	p.spectrum = append(p.spectrum, s.plan.beside(x, s.work, 1)...)
	s.inBand(p.spectrum)
	for k, v := range p.spectrum {
		p.energy += (real(v)*real(v) + imag(v)*imag(v)) / searchBlock
		p.spectrum[k] = complex(real(v), -imag(v))
	}
	return p
}

// inBand leaves the positive frequencies of the searched band alone.
func (s *search) inBand(spectrum []complex128) {
	low, high := int(searchLow/s.rate*searchBlock), int(searchHigh/s.rate*searchBlock)
	clear(spectrum[:low])
	clear(spectrum[high:])
}

// marks gives for every pattern the marks found, in order, in the first so
// many frames.
func (s *search) marks(frames int64) ([][]mark, error) {
	found := make([][]mark, len(s.patterns))
	step := int64(searchBlock - 2*s.longest)
	for at := int64(-s.longest); at*int64(s.by) < frames; at += step {
		loud, err := s.fetch(at)
		if err != nil {
			return nil, err
		}
		if loud < leastLoud {
			continue
		}
		s.listen()
		for i, p := range s.patterns {
			found[i] = s.match(found[i], p, at)
		}
	}
	return found, nil
}

// fetch fills the block with samples from one on, and gives their mean square.
func (s *search) fetch(at int64) (loud float64, err error) {
	clear(s.raw)
	first := at * int64(s.by)
	skip := max(0, -first)
	dst := make([][]float64, s.channel+1)
	dst[s.channel] = s.raw[skip:]
	if _, err := s.in.read(dst, first+skip); err != nil {
		return 0, err
	}
	for i := range s.block {
		var sum float64
		for j, x := range s.raw[i*s.by:][:len(s.kernel)] {
			sum += x * s.kernel[j]
		}
		if math.IsNaN(sum) || math.Abs(sum) > 1e6 {
			sum = 0 // no sound; the take it is in will be refused
		}
		s.block[i] = complex(sum, 0)
		loud += sum * sum / searchBlock
	}
	return loud, nil
}

// listen takes the block into its spectrum and sums the energy of the band.
func (s *search) listen() {
	got := s.plan.beside(s.block, s.work, 1)
	s.inBand(got)
	copy(s.band, got)
	for k, v := range got {
		got[k] = complex(real(v), -imag(v))
	}
	spare := s.work
	if &got[0] == &s.work[0] {
		spare = s.block
	}
	for i, v := range s.plan.beside(got, spare, 1) {
		s.sums[i+1] = s.sums[i] + (real(v)*real(v)+imag(v)*imag(v))/(searchBlock*searchBlock)
	}
}

// match adds the marks of one pattern in the block.
func (s *search) match(found []mark, p pattern, at int64) []mark {
	for k, v := range s.band {
		v *= p.spectrum[k]
		s.block[k] = complex(real(v), -imag(v))
	}
	like := s.plan.beside(s.block, s.work, 1)
	delay := float64(len(s.kernel)-1) / 2
	for i := s.longest / 2; i < searchBlock-2*s.longest+s.longest/2; i++ {
		v := like[i]
		energy := (s.sums[i+p.length] - s.sums[i]) * p.energy
		share := (real(v)*real(v) + imag(v)*imag(v)) / (searchBlock * searchBlock) / max(energy, 1e-30)
		if share < leastLikely || share > 1.5 {
			continue
		}
		m := mark{frame: float64(at+int64(i))*float64(s.by) + delay, like: share}
		if n := len(found); n == 0 || m.frame-found[n-1].frame > leastApart*s.rate*float64(s.by) {
			found = append(found, m)
		} else if m.like > found[n-1].like {
			found[n-1] = m
		}
	}
	return found
}

// pair is a take found: its number, and the frames where its marks start.
type pair struct {
	number        int
	first, second float64
}

// pairs joins marks whose distance is that of a take.
func pairs(marks []mark, takes []take, rate float64) (found []pair, alone []mark) {
	used := make([]bool, len(marks))
	for i, a := range marks {
		if used[i] {
			continue
		}
		best, off := -1, unlikeClocks
		var p pair
		for j := i + 1; j < len(marks); j++ {
			for k, t := range takes {
				if d := math.Abs((marks[j].frame-a.frame)/(t.between()*rate) - 1); d < off && !used[j] {
					best, off, p = j, d, pair{k, a.frame, marks[j].frame}
				}
			}
		}
		if best < 0 {
			alone = append(alone, a)
			continue
		}
		used[i], used[best] = true, true
		found = append(found, p)
	}
	return found, alone
}

// later gives by how many frames b is later than a, two stretches of one
// length that hold the mark, and how much later still by the phase. The first
// is right for any two; the second needs both to have passed the same way.
func later(a, b []float64, rate float64) (rough, exact float64) {
	n := smooth(len(a) + 1)
	z := make([]complex128, n)
	for i := range a {
		z[i] = complex(a[i], b[i])
	}
	z = forward(z)
	low, high := int(1.1*markLow/rate*float64(n)), int(0.98*markHigh/rate*float64(n))
	cross := make([]complex128, high-low)
	for i := range cross {
		first, second := apart(z, low+i)
		cross[i] = second * complex(real(first), -imag(first))
	}
	var turn complex128
	for i, v := range cross[1:] {
		turn += v * complex(real(cross[i]), -imag(cross[i]))
	}
	per := float64(n) / (2 * math.Pi)
	rough = -phase(turn) * per
	var sum, weight float64
	for i, v := range cross {
		k := float64(low + i)
		w := math.Hypot(real(v), imag(v))
		sum += w * k * phase(v*unit(k*rough/per))
		weight += w * k * k
	}
	if weight == 0 {
		return 0, 0
	}
	return rough, rough - sum/weight*per
}

func phase(v complex128) float64 { return math.Atan2(imag(v), real(v)) }

// apart gives bin k of the two real signals that were transformed together as
// real and imaginary part.
func apart(z []complex128, k int) (first, second complex128) {
	v, w := z[k], z[(len(z)-k)%len(z)]
	first = complex(real(v)+real(w), imag(v)-imag(w)) / 2
	second = complex(imag(v)+imag(w), real(w)-real(v)) / 2
	return first, second
}

// inOrder sorts takes as they stand in the recording.
func inOrder(found []pair) {
	slices.SortFunc(found, func(a, b pair) int { return cmp.Compare(a.first, b.first) })
}
