package stock

import "math"

// model turns what was seen into the part as a circuit computes with it.
func (s seen) model() Model {
	switch s.kind {
	case Capacitor:
		farads := s.value
		switch {
		case s.mode == Series:
			farads = ParallelFarads(s.value, s.loss)
		case s.mode == "":
			farads += (1 - s.between) * (ParallelFarads(s.value, s.loss) - s.value)
		}
		return Model{Farads: farads, Loss: s.loss}
	case Resistor:
		return Model{Ohms: s.value}
	}
	return s.coil()
}

// coil takes the reading apart: to a series pair, the self-capacitance off,
// the copper off, and what loss is left to the core.
func (s seen) coil() Model {
	henries := s.seriesHenries()
	if s.hertz == 0 {
		// Without frequency there is no reactance to weigh losses against.
		return Model{Henries: henries, DCR: s.dcr * s.warmer, SelfFarads: s.self}
	}
	w := omega(s.hertz)
	ohms := w * henries * s.loss
	if s.loss == 0 {
		ohms = s.dcr
	}
	z := 1 / (1/complex(ohms, w*henries) - complex(0, w*s.self))
	r, x := real(z), imag(z)
	m := Model{Henries: x / w, DCR: r * s.warmer, SelfFarads: s.self}
	if s.dcr == 0 {
		return m // no telling copper from core: all of it in series
	}
	m.DCR = s.dcr * s.warmer
	if left := r - s.dcr; s.loss > 0 && left > 0 {
		size := left*left + x*x
		m.Henries, m.CoreOhms = size/(x*w), size/left
	}
	return m
}

// seriesHenries gives Ls of what the meter showed.
func (s seen) seriesHenries() float64 {
	series := s.value
	switch {
	case s.mode == Series:
		return series
	case s.loss > 0:
		series = s.value / (1 + s.loss*s.loss)
	case s.dcr > 0 && s.hertz > 0:
		// Lp = Ls + R²/(ω²Ls), solved for the greater Ls (Q above 1).
		r := s.dcr / omega(s.hertz)
		series = (s.value + math.Sqrt(max(s.value*s.value-4*r*r, 0))) / 2
	}
	if s.mode == "" {
		return s.value + s.between*(series-s.value)
	}
	return series
}
