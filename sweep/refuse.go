package sweep

import (
	"math"
	"slices"

	"bandwright/finding"
)

// What tells a spoilt take. All common practice or chosen by trial, no source.
const (
	longestFlat  = 3     // samples at full scale that may follow each other
	flatSlack    = 1.6   // times as long as a clean sine's top may stay on one value
	longestZero  = 0.005 // seconds of nothing
	jumpOver     = 14.0  // times what is usual near it
	jumpPart     = 0.05  // of the level near it
	mostJumps    = 12    // more are the amp's own edges, one or two a cycle
	jumpBlock    = 512   // samples
	leastOverSil = 6.0   // dB the sweep must stand over the silence
)

// refuse finds what makes a take useless, with the place in the recording.
func (c *capture) refuse(f Format, s Signal) finding.List {
	var found finding.List
	say := func(id finding.ID, args finding.Args) {
		found = append(found, finding.New(id, finding.Error, finding.Place{}, args))
	}
	if math.Abs(c.ppm) > mostPPM {
		say(IDLost, finding.Args{"frame": int64(c.mark), "seconds": c.mark / c.rate, "ppm": c.ppm, "lost": c.lost(s)})
	}
	for i, samples := range [...][]float64{c.y, c.x} {
		if samples == nil {
			continue
		}
		channel := c.channels[i]
		if at, count := notFinite(samples); count > 0 {
			say(IDNotFinite, c.place(at, channel, finding.Args{"count": count}))
			continue
		}
		if at, count, level := c.clipped(samples, f, s); count > 0 {
			// The edges of flat tops look like jumps.
			say(IDClipped, c.place(at, channel, finding.Args{"count": count, "level": decibel(level)}))
		} else if at, frames := c.dropout(samples, s); frames > 0 {
			say(IDDropout, c.place(at, channel, finding.Args{"frames": frames}))
		} else if at, count := c.jump(samples, f, s); count > 0 {
			say(IDJump, c.place(at, channel, finding.Args{"count": count, "lost": c.lost(s)}))
		}
		if over := decibel(rms(samples) / max(rms(c.quiet[i]), 1e-9)); over < leastOverSil || rms(samples) < 1e-5 {
			say(IDQuiet, finding.Args{"channel": channel, "db": over})
		}
	}
	return found
}

// lost is how many frames fewer lie between the marks than the player sent.
func (c *capture) lost(s Signal) float64 {
	return -c.ppm * 1e-6 * s.takes()[c.number].between() * c.rate
}

func decibel(ratio float64) float64 { return 20 * math.Log10(max(ratio, 1e-12)) }

func rms(x []float64) float64 {
	var sum float64
	for _, v := range x {
		sum += v * v
	}
	return math.Sqrt(sum / max(1, float64(len(x))))
}

func notFinite(x []float64) (first, count int) {
	for i, v := range x {
		if math.IsNaN(v) || math.Abs(v) > 1e6 {
			if count == 0 {
				first = i
			}
			count++
		}
	}
	return first, count
}

// clipped finds tops that are flat: several samples at full scale, or more on
// exactly one value than the sine of that moment could put there.
func (c *capture) clipped(x []float64, f Format, s Signal) (first, count int, level float64) {
	full := 1 - 1.5*f.Step()
	p := s.shape()
	for i := 0; i < len(x); {
		j := i + 1
		for j < len(x) && x[j] == x[i] {
			j++
		}
		if a := math.Abs(x[i]); j-i > longestFlat && a > 0.02 && c.top(x, i, j) {
			hz := p.hertz(min(max(0, (float64(i)-c.sweep)/c.rate), p.seconds))
			if atFull := !f.Float && a >= full; atFull || float64(j-i) > c.stay(hz, a, f) {
				if count == 0 {
					first, level = i, a
				}
				count++
			}
		}
		i = j
	}
	return first, count, level
}

// top tells whether a stretch of equal samples is higher than both neighbours.
func (c *capture) top(x []float64, i, j int) bool {
	if i == 0 || j == len(x) {
		return false
	}
	a := math.Abs(x[i])
	return math.Abs(x[i-1]) < a && math.Abs(x[j]) < a
}

// stay is the count of samples a sine's top may stay on one value.
func (c *capture) stay(hz, level float64, f Format) float64 {
	step := max(f.Step(), level*1e-7) // the step of 32-bit float
	return longestFlat + 1 + flatSlack*2*math.Sqrt(2*step/level)/(2*math.Pi*hz/c.rate)
}

// within gives the samples between which the sweep is at its full level.
func (c *capture) within(s Signal) (first, last int) {
	first = int(c.sweep + s.FadeIn*c.rate)
	return first, min(len(c.y), int(c.sweep+(s.Seconds-s.FadeOut)*c.rate))
}

// dropout finds the longest stretch of exact nothing inside the sweep.
func (c *capture) dropout(x []float64, s Signal) (at, frames int) {
	first, last := c.within(s)
	for i := first; i < last; i++ {
		j := i
		for j < last && x[j] == 0 {
			j++
		}
		if j-i > max(frames, int(longestZero*c.rate)) {
			at, frames = i, j-i
		}
		i = j
	}
	return at, frames
}

// jump finds where the sound does not go on as a sine does: the residual of a
// notch that follows the sweep, y[n] − 2cos ω·y[n−1] + y[n−2], against what is
// usual near it. Harmonics and noise pass evenly; a break stands out.
func (c *capture) jump(x []float64, f Format, s Signal) (at, count int) {
	first, last := c.within(s)
	first = max(first, 2)
	if last-first < 8*jumpBlock {
		return 0, 0
	}
	p := s.shape()
	residual := make([]float64, last-first)
	var turn float64
	for i := range residual {
		n := first + i
		if i%64 == 0 {
			turn = 2 * math.Cos(2*math.Pi*p.hertz((float64(n+31)-c.sweep)/c.rate)/c.rate)
		}
		residual[i] = math.Abs(x[n] - turn*x[n-1] + x[n-2])
	}
	usual, level := around(residual), highest(x[first:last])
	for i := 0; i < len(residual); i++ {
		b := i / jumpBlock
		if r := residual[i]; r > jumpOver*usual[b] && r > jumpPart*level[b] && r > 8*f.Step() {
			if count == 0 {
				at = first + i
			}
			count++
			i += int(0.002 * c.rate) // one break is one place
		}
	}
	if count > mostJumps {
		return 0, 0
	}
	return at, count
}

// around gives for every block the middle of the means of nine blocks about it.
func around(x []float64) []float64 {
	blocks := (len(x) + jumpBlock - 1) / jumpBlock
	means := make([]float64, blocks)
	for b := range means {
		means[b] = rms(x[b*jumpBlock : min(len(x), (b+1)*jumpBlock)])
	}
	usual := make([]float64, blocks)
	for b := range usual {
		near := slices.Clone(means[max(0, b-4):min(blocks, b+5)])
		slices.Sort(near)
		usual[b] = near[len(near)/2]
	}
	return usual
}

// highest gives for every block the largest value within a twentieth of a
// second or so.
func highest(x []float64) []float64 {
	blocks := (len(x) + jumpBlock - 1) / jumpBlock
	tops := make([]float64, blocks)
	for i, v := range x {
		tops[i/jumpBlock] = max(tops[i/jumpBlock], math.Abs(v))
	}
	level := make([]float64, blocks)
	for b := range level {
		level[b] = slices.Max(tops[max(0, b-9):min(blocks, b+10)])
	}
	return level
}

// An interface's loopback is flat to a fraction of a dB over the middle of the
// band (common practice, no source); an amp with an equaliser seldom is.
const (
	evenDB   = 1.0
	unevenDB = 3.0
)

// references judges whether the reference is the loopback.
func (c *capture) references(s Signal, y, x float64) finding.List {
	switch {
	case x > unevenDB && y < evenDB:
		return finding.List{finding.New(IDSwapped, finding.Error, finding.Place{},
			finding.Args{"channel": c.channels[0], "reference": c.channels[1], "db": x})}
	case x > evenDB:
		return finding.List{finding.New(IDReferenceUneven, finding.Warning, finding.Place{},
			finding.Args{"reference": c.channels[1], "db": x})}
	}
	return nil
}

// unevenness is the spread, in dB, of a channel's third-octave levels against
// the sweep's own from 40 Hz to 12 kHz: the short-time level at the moment the
// sweep passes is enough, and needs no transform.
func (c *capture) unevenness(x []float64, s Signal) float64 {
	p := s.shape()
	lowest, highest := math.Inf(1), math.Inf(-1)
	for hz := max(40, 1.5*s.StartHz); hz < min(12000, s.StopHz/1.5); hz *= math.Cbrt(2) {
		from := int(c.sweep + p.when(hz)*c.rate)
		to := int(c.sweep + p.when(hz*math.Cbrt(2))*c.rate)
		db := decibel(rms(x[max(0, from):min(len(x), to)]))
		lowest, highest = min(lowest, db), max(highest, db)
	}
	return max(0, highest-lowest)
}
