package equaliser

import (
	"math"
	"math/cmplx"
	"math/rand/v2"
)

// The closed form of the cell with an ideal amplifier (worked out from the
// definition: the short derivation is in docs/theory.md): with both buses at
// one voltage each leg draws Y = 1/(Z + parallel of the slider's halves) and
// its slider shares the current between the buses.
type cell struct {
	feed, feedback float64
	legs           []cellLeg
}

type cellLeg struct {
	ohms, henries, farads   float64
	track, boostEnd, cutEnd float64
	wiper                   float64
	position                float64 // −1…+1
}

// load gives a leg's admittance with its derivative in hertz, and the share of
// its current that the boost bus carries.
func (l cellLeg) load(hz float64) (y, dy complex128, share float64) {
	w := 2 * math.Pi * hz
	z := complex(l.ohms+l.wiper, w*l.henries-1/(w*l.farads))
	dz := complex(0, 2*math.Pi*(l.henries+1/(w*w*l.farads)))
	p := (l.position + 1) / 2
	upper, lower := l.boostEnd+l.track*(1-p), l.cutEnd+l.track*p
	z += complex(upper*lower/(upper+lower), 0)
	y = 1 / z
	return y, -dz * y * y, lower / (upper + lower)
}

// gain gives H and dH/dHz.
func (c cell) gain(hz float64) (h, dh complex128) {
	top, bottom := complex(1, 0), complex(1, 0)
	var dtop, dbottom complex128
	for _, l := range c.legs {
		y, dy, share := l.load(hz)
		up, down := complex(c.feedback*share, 0), complex(c.feed*(1-share), 0)
		top, dtop = top+up*y, dtop+up*dy
		bottom, dbottom = bottom+down*y, dbottom+down*dy
	}
	h = top / bottom
	return h, (dtop - h*dbottom) / bottom
}

// at gives the cell with one leg's slider moved; −1 is "all centred".
func (c cell) at(leg int, position float64) cell {
	moved := c
	moved.legs = append([]cellLeg(nil), c.legs...)
	for i := range moved.legs {
		if leg < 0 {
			moved.legs[i].position = 0
		}
	}
	if leg >= 0 {
		moved.legs[leg].position = position
	}
	return moved
}

// level gives dB and d(dB)/d(ln f).
func level(h, dh complex128, hz float64) (db, slope float64) {
	const perNeper = 20 / math.Ln10
	return perNeper * math.Log(cmplx.Abs(h)), perNeper * hz * real(dh/h)
}

// cellCurve is the band curve of a cell: its gain less its gain flat.
type cellCurve struct{ at, flat cell }

func (c cellCurve) sample(hz, db, slope []float64) {
	for i, f := range hz {
		h, dh := c.at.gain(f)
		g, dg := c.flat.gain(f)
		a, b := level(h, dh, f)
		a0, b0 := level(g, dg, f)
		db[i], slope[i] = a-a0, b-b0
	}
}

// randomCell draws a cell whose legs run up the audio range.
func randomCell(r *rand.Rand, bands int) cell {
	between := func(low, high float64) float64 { return low * math.Pow(high/low, r.Float64()) }
	feed := between(500, 10e3)
	c := cell{feed: feed, feedback: feed}
	for i := range bands {
		hz := 30 * math.Pow(500, (float64(i)+r.Float64()*0.5)/float64(bands))
		total := feed / (between(1.3, 8) - 1)
		q := between(0.5, 4)
		henries := q * total / (2 * math.Pi * hz)
		c.legs = append(c.legs, cellLeg{
			ohms: total, henries: henries, farads: 1 / (4 * math.Pi * math.Pi * hz * hz * henries),
			track: between(2e3, 100e3),
		})
	}
	return c
}
