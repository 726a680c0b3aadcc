package sweep

import "math"

// impulse is the response to a click, of the band the sweep covers: the
// harmonics of the sine stand before it, each as far as the sweep needs from a
// frequency to its multiple (Farina 2000; Novak, Lotton and Simon 2015).
type impulse struct {
	h        []float64 // circular
	rate     float64   // samples a second, as many as the band needs
	shape    shape
	low      float64 // hertz between which it is whole
	high     float64
	drive    []float64 // |X|² a bin of the recording's transform, up to high
	bin      float64   // hertz a bin of it
	n        int       // its length
	peak     float64   // seconds after the expected place
	pre, pos float64   // seconds of the gate before and after the peak
}

// The edges of the band, over which it fades, as ratios of frequency.
const (
	fadeLow  = 1.3
	fadeHigh = 1.06
)

// deconvolve divides what came back by what went in.
func deconvolve(y, x []float64, rate float64, s Signal) *impulse {
	n := smooth(len(y))
	z := make([]complex128, n)
	for i := range y {
		z[i] = complex(y[i], x[i])
	}
	z = forward(z)
	im := &impulse{shape: s.shape(), low: s.StartHz * fadeLow, high: s.StopHz / fadeHigh, bin: rate / float64(n), n: n}
	first, last := int(math.Ceil(s.StartHz/im.bin)), int(min(s.StopHz, 0.5*rate)/im.bin)
	short := smooth(2*last + 2)
	g := make([]complex128, short)
	im.drive = make([]float64, last+1)
	for k := first; k <= last; k++ {
		top, below := apart(z, k)
		power := real(below)*real(below) + imag(below)*imag(below)
		im.drive[k] = power
		if power > 0 {
			g[k] = top * complex(real(below)/power, -imag(below)/power)
		}
	}
	im.fade(g, first, last)
	g = backward(g)
	im.rate = im.bin * float64(short)
	im.h = make([]float64, short)
	for i, v := range g {
		im.h[i] = 2 * real(v)
	}
	im.findPeak()
	return im
}

// fade brings the spectrum smoothly to nothing at the ends of the sweep.
func (im *impulse) fade(g []complex128, first, last int) {
	for k := first; k <= last; k++ {
		if hz := float64(k) * im.bin; hz < im.low || hz > im.high {
			g[k] *= complex(im.weight(hz), 0)
		}
	}
}

// weight is what of a frequency is kept: 1 inside the band, half a cosine over
// the logarithm of frequency at its edges.
func (im *impulse) weight(hz float64) float64 {
	cosine := func(part float64) float64 { return 0.5 - 0.5*math.Cos(math.Pi*min(1, max(0, part))) }
	switch {
	case hz <= 0:
		return 0
	case hz < im.low:
		return cosine(1 + math.Log(hz/im.low)/math.Log(fadeLow))
	case hz > im.high:
		return cosine(1 - math.Log(hz/im.high)/math.Log(fadeHigh))
	}
	return 1
}

// whole is what the gate makes of the band's own weight at a frequency, 1 away
// from its edges. Dividing by it, a response that is flat comes out flat to the
// edge, however short the gate.
func (im *impulse) whole(sp spectrum, hz float64) complex128 {
	reach := 24 / sp.seconds // hertz, beyond which the gate's spectrum is nothing
	if hz > im.low+reach {
		return 1
	}
	var sum complex128
	for j := -int(reach / sp.bin); j <= int(reach/sp.bin); j++ {
		if w := im.weight(hz - float64(j)*sp.bin); w > 0 {
			sum += complex(w*sp.bin/im.rate, 0) * sp.gate[(j+len(sp.gate))%len(sp.gate)]
		}
	}
	return sum
}

// findPeak looks for the response near where it should be, and sets the gate.
func (im *impulse) findPeak() {
	room := im.shape.before(2)
	best, most := 0, 0.0
	for i := -im.samples(min(0.06, room/4)); i < im.samples(0.4); i++ {
		if a := math.Abs(im.at(i)); a > most {
			best, most = i, a
		}
	}
	im.peak = float64(best) / im.rate
	im.pre = min(0.3, 0.35*room)
	im.pos = max(0.2, 0.6-max(0, im.peak))
}

func (im *impulse) samples(seconds float64) int { return int(math.Round(seconds * im.rate)) }

// at gives a sample of the circular response.
func (im *impulse) at(i int) float64 {
	n := len(im.h)
	return im.h[((i%n)+n)%n]
}

// spectrum is a stretch of the response seen over frequency, its phase counted
// from the moment about.
type spectrum struct {
	bins    []complex128
	gate    []complex128 // of the gate alone
	bin     float64      // hertz
	about   float64      // seconds
	seconds float64      // ∫ gate² dt
	area    float64      // ∫ gate dt
}

// gated cuts out a stretch around a moment, with flanks of half a cosine.
func (im *impulse) gated(about, pre, pos float64) spectrum {
	centre, before, after := im.samples(about), im.samples(pre), im.samples(pos)
	size := smooth(3 * (before + after))
	z := make([]complex128, size)
	sp := spectrum{bin: im.rate / float64(size), about: float64(centre) / im.rate}
	for i := -before; i < after; i++ {
		g := 1.0
		if i < 0 {
			g = flank(float64(i+before)/float64(before), 0.7)
		} else {
			g = flank(float64(after-i)/float64(after), 0.6)
		}
		sp.seconds += g * g / im.rate
		sp.area += g / im.rate
		z[(i+size)%size] = complex(g*im.at(centre+i), g)
	}
	z = forward(z)
	sp.bins, sp.gate = make([]complex128, size), make([]complex128, size)
	for k := range z {
		sp.bins[k], sp.gate[k] = apart(z, k)
	}
	return sp
}

// flank rises from 0 to 1 over the first part of the way.
func flank(way, part float64) float64 {
	if way >= part {
		return 1
	}
	return 0.5 - 0.5*math.Cos(math.Pi*way/part)
}

// smear is the part of its frequency over which a response is averaged: a
// third of the distance of two points, so that it costs no detail and takes
// out noise where points lie far apart.
const smear = 1.0 / 200

// value gives the response at a frequency, its phase from the moment about,
// and over how many of the gate's own bands it was averaged.
func (sp spectrum) value(hz float64) (v complex128, bands float64) {
	half := int(smear / 2 * hz / sp.bin)
	centre := int(math.Round(hz / sp.bin))
	if half < 4 {
		return sp.between(hz / sp.bin), 1
	}
	var sum complex128
	for k := centre - half; k <= centre+half; k++ {
		sum += sp.bins[k]
	}
	return sum / complex(float64(2*half+1), 0), max(1, float64(2*half+1)*sp.bin*sp.seconds)
}

// between is Lagrange's cubic through four neighbours.
func (sp spectrum) between(k float64) complex128 {
	i := max(1, int(k))
	t := k - float64(i)
	a, b, c, d := sp.bins[i-1], sp.bins[i], sp.bins[i+1], sp.bins[i+2]
	w := [4]float64{-t * (t - 1) * (t - 2) / 6, (t + 1) * (t - 1) * (t - 2) / 2, -(t + 1) * t * (t - 2) / 2, (t + 1) * t * (t - 1) / 6}
	return a*complex(w[0], 0) + b*complex(w[1], 0) + c*complex(w[2], 0) + d*complex(w[3], 0)
}

// linear is the response itself; harmonic that of one of the harmonics, in
// the room it has between its neighbours.
func (im *impulse) linear() spectrum { return im.gated(im.peak, im.pre, im.pos) }

func (im *impulse) harmonic(order int, scale float64) spectrum {
	before := im.shape.before(order) / scale
	room := min(before-im.shape.before(order-1)/scale, im.shape.before(order+1)/scale-before)
	return im.gated(im.peak-before, 0.3*room, min(0.6*room, im.pos))
}
