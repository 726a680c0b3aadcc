package circuit

import "math"

// PartName gives the name.
func (o OpAmp) PartName() string { return o.Name }

// Terminals gives Plus, Minus, Out.
func (o OpAmp) Terminals() []string { return []string{o.Plus, o.Minus, o.Out} }

func (o OpAmp) values() []value {
	gain := value{"Gain", o.Gain, positive}
	if o.Ideal {
		gain.need = anyNumber
	}
	return []value{
		gain, {"GainBandwidth", o.GainBandwidth, notNegative},
		{"InputOhms", o.InputOhms, notNegative}, {"OutputOhms", o.OutputOhms, notNegative},
	}
}

func (o OpAmp) branches(place) int { return 1 }

// inverse is 1/A(jω) as g + ω·c: 1/Gain + jω/(2π·GainBandwidth).
func (o OpAmp) inverse() (g float64, c complex128) {
	if o.GainBandwidth > 0 {
		c = complex(0, 1/(2*math.Pi*o.GainBandwidth))
	}
	return 1 / o.Gain, c
}

// stamp. The current runs out of the output. Ideal: a nullor, v₊ = v₋
// (Carlin 1964). Else (v_out + Rout·i)/A = v₊ − v₋, divided by the gain so
// that it stays linear in ω and the ideal amplifier is its limit.
func (o OpAmp) stamp(at place, to *stamps) {
	plus, minus, out, i := at.node[0], at.node[1], at.node[2], at.branch
	to.leave(out, i, -1, 0)
	to.across(i, plus, -1, 0)
	to.across(i, minus, 1, 0)
	if o.Ideal {
		return
	}
	g, c := o.inverse()
	to.across(i, out, g, c)
	to.drop(i, i, -o.OutputOhms*g, complex(-o.OutputOhms, 0)*c)
	if o.InputOhms > 0 {
		to.admit(plus, minus, 1/o.InputOhms, 0)
	}
}

func (o OpAmp) slope(at place, name string, to *stamps) bool {
	if o.Ideal {
		return false
	}
	g, c := o.inverse()
	rout := complex(o.OutputOhms, 0)
	switch name {
	case "Gain":
		d := -1 / (o.Gain * o.Gain)
		to.across(at.branch, at.node[2], d, 0)
		to.drop(at.branch, at.branch, -o.OutputOhms*d, 0)
	case "GainBandwidth":
		if o.GainBandwidth == 0 {
			return false
		}
		d := -c / complex(o.GainBandwidth, 0)
		to.across(at.branch, at.node[2], 0, d)
		to.drop(at.branch, at.branch, 0, -rout*d)
	case "OutputOhms":
		to.drop(at.branch, at.branch, -g, -c)
	case "InputOhms":
		if o.InputOhms == 0 {
			return false
		}
		to.admit(at.node[0], at.node[1], -1/(o.InputOhms*o.InputOhms), 0)
	default:
		return false
	}
	return true
}
