package circuit

import "reflect"

// Soldered gives a part with its legs on other points, as many as it has and in
// the order of Terminals. A part without legs (a switch, a coupling) is given
// back as it is; another number of points panics.
func Soldered(p Part, points ...string) Part {
	if len(points) != len(p.Terminals()) {
		panic("circuit: " + p.PartName() + " has another number of legs")
	}
	if len(points) == 0 {
		return p
	}
	return soldered(p, points)
}

// soldered gives a part with its legs on other points, in the order of
// Terminals.
func soldered(p Part, t []string) Part {
	switch p := p.(type) {
	case Resistor:
		p.A, p.B = t[0], t[1]
		return p
	case Capacitor:
		p.A, p.B = t[0], t[1]
		return p
	case Inductor:
		p.A, p.B = t[0], t[1]
		return p
	case Wire:
		p.A, p.B = t[0], t[1]
		return p
	case Contact:
		p.A, p.B = t[0], t[1]
		return p
	case VoltageSource:
		p.Plus, p.Minus = t[0], t[1]
		return p
	case CurrentSource:
		p.From, p.To = t[0], t[1]
		return p
	case Diode:
		p.Anode, p.Cathode = t[0], t[1]
		return p
	case Zener:
		p.Anode, p.Cathode = t[0], t[1]
		return p
	case Slider:
		p.Boost, p.Wiper, p.Cut = t[0], t[1], t[2]
		return p
	case Transistor:
		p.Collector, p.Base, p.Emitter = t[0], t[1], t[2]
		return p
	case Triode:
		p.Plate, p.Grid, p.Cathode = t[0], t[1], t[2]
		return p
	case OpAmp:
		p.Plus, p.Minus, p.Out = t[0], t[1], t[2]
		return p
	}
	panic("circuit: no legs to solder on a " + kindOf(p))
}

// plain gives the part behind a turnable one.
func plain(p Part) Part { return reflect.ValueOf(p).Elem().Interface().(Part) }

// WithOhms gives the circuit in which every wire, and every closed contact of 0
// ohm, is so many ohms. Points that were joined into one are then told apart,
// as they must be where a run can be missing.
func (c *Circuit) WithOhms(ohms float64) (*Circuit, error) {
	parts := make([]Part, len(c.parts))
	for i, p := range c.parts {
		switch q := p.(type) {
		case Wire:
			p = Resistor{Name: q.Name, A: q.A, B: q.B, Ohms: ohms}
		case Contact:
			if q.OnOhms == 0 {
				q.OnOhms = ohms
				p = q
			}
		}
		parts[i] = p
	}
	return New(parts...)
}
