package sweep

import (
	"math"
	"math/cmplx"

	"bandwright/finding"
)

// Divider is what stands between a point and the input that recorded it: the
// point's own source ohms, a built divider, the input's ohms and capacitance.
// Zero ohms of source and top mean none; zero ohms of bottom and input mean
// not there. The zero Divider is a wire into an input that loads nothing.
type Divider struct {
	Source float64 `json:"source_ohms,omitempty"` // of the point: of the generator, for a loopback
	Top    float64 `json:"top_ohms,omitempty"`
	Bottom float64 `json:"bottom_ohms,omitempty"`
	Input  float64 `json:"input_ohms,omitempty"`
	Farads float64 `json:"input_farads,omitempty"` // of input and cable
}

// check refuses ohms that cannot be.
func (d Divider) check() finding.List {
	var found finding.List
	for _, v := range [...]struct {
		what       string
		read, most float64
	}{{"source", d.Source, 1e9}, {"top", d.Top, 1e9}, {"bottom", d.Bottom, 1e9}, {"input", d.Input, 1e12}, {"capacitance", d.Farads, 1e-3}} {
		if !(v.read >= 0 && v.read <= v.most) {
			found = append(found, finding.New(IDDivider, finding.Error, finding.Place{}, finding.Args{"what": v.what, "read": finite(v.read)}))
		}
	}
	return found
}

// Gain gives the voltage at the input over the point's own with nothing
// connected: Z/(source + top + Z), Z the bottom, the input and its capacitance
// side by side.
func (d Divider) Gain(hz float64) complex128 {
	shunt := complex(0, 2*math.Pi*hz*d.Farads)
	for _, ohms := range [...]float64{d.Bottom, d.Input} {
		if ohms > 0 {
			shunt += complex(1/ohms, 0)
		}
	}
	return 1 / (1 + complex(d.Source+d.Top, 0)*shunt)
}

// DB gives the divider's gain in dB.
func (d Divider) DB(hz float64) float64 { return decibel(cmplx.Abs(d.Gain(hz))) }
