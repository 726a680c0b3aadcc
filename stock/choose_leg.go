package stock

// leg is the candidate as the circuit computes with it.
func (c *lister) leg(k *candidate, ohms float64) Model {
	at := c.at[c.band]
	var second Model
	if k.capacitors[1] >= 0 {
		second = at[k.capacitors[1]].Model
	}
	return legOf(at[k.coil].Model, at[k.capacitors[0]].Model, second, k.series, ohms)
}

// legOf joins the parts of a leg; second is of no farads where one capacitor
// is all. Two in parallel carry the sum of farads and of lossy farads; two in
// series the sums of their inverses (worked out from the definition, D² left
// out beside 1).
func legOf(coil, first, second Model, series bool, ohms float64) Model {
	m := coil
	m.Farads, m.Loss, m.Ohms = first.Farads, first.Loss, ohms
	switch {
	case second.Farads == 0:
	case series:
		a, b := 1/first.Farads, 1/second.Farads
		m.Farads, m.Loss = 1/(a+b), (a*first.Loss+b*second.Loss)/(a+b)
	default:
		a, b := first.Farads, second.Farads
		m.Farads, m.Loss = a+b, (a*first.Loss+b*second.Loss)/(a+b)
	}
	return m
}

// doubt is the variance of centre and boost by what is not known of the parts,
// in limits squared: half of each relative uncertainty of L and C reaches the
// centre, that of the whole resistance reaches the boost by its slope.
func (c *lister) doubt(k *candidate, r ohmage) float64 {
	if c.Doubt == 0 {
		return 0
	}
	at := c.at[c.band]
	coil := &at[k.coil]
	tuning := square(coil.SE / coil.Value)
	first := &at[k.capacitors[0]]
	if k.capacitors[1] < 0 {
		tuning += square(first.SE / first.Value)
	} else {
		second := &at[k.capacitors[1]]
		share := first.Value / (first.Value + second.Value) // of the first in the sum
		if k.series {
			share = 1 - share
		}
		tuning += square(share*first.SE/first.Value) + square((1-share)*second.SE/second.Value)
	}
	boost := square(c.aim.slope/k.ohms) * (square(coil.OhmsSE) + square(r.ohms*r.relative))
	return c.Doubt * (tuning/4/square(c.Limits.Centre) + boost/square(c.Limits.Boost))
}
