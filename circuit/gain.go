package circuit

import (
	"math"
	"math/cmplx"

	"bandwright/curve"
	"bandwright/finding"
)

// IDSilent: a gain is exactly zero somewhere, so it has no decibels and makes
// no curve. Place: the setting. hz.
const IDSilent finding.ID = "circuit.silent"

// Decibels gives 20·log10 |gain|; false where the gain is exactly zero.
func Decibels(gain complex128) (db float64, ok bool) {
	size := cmplx.Abs(gain)
	return 20 * math.Log10(size), size > 0
}

// Degrees gives a gain's angle, above −180 and up to 180.
func Degrees(gain complex128) float64 { return cmplx.Phase(gain) * 180 / math.Pi }

// Curve gives the gain to the i-th out as a curve at a setting, with phase.
func (r *Response) Curve(i int, name string, s curve.Setting) (curve.Curve, error) {
	c := curve.Curve{
		Name: name, Setting: s, Hz: r.Hz,
		DB: make([]float64, len(r.Hz)), Degrees: make([]float64, len(r.Hz)),
	}
	for k, g := range r.Gains[i] {
		db, ok := Decibels(g)
		if !ok {
			return curve.Curve{}, finding.List{finding.New(IDSilent, finding.Error,
				finding.Place{Setting: s.String()}, finding.Args{"hz": r.Hz[k]})}
		}
		c.DB[k], c.Degrees[k] = db, Degrees(g)
	}
	return c, nil
}
