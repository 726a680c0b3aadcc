package circuit

// branchBelow is the resistance under which a resistor gets a current of its
// own instead of a conductance: 0 ohm must be legal, and a conductance far
// above its neighbours' would swamp them in the equation of their point.
const branchBelow = 1.0

// PartName, Terminals and the equations of each kind follow, kind by kind.

// PartName gives the name.
func (r Resistor) PartName() string { return r.Name }

// Terminals gives A, B.
func (r Resistor) Terminals() []string { return []string{r.A, r.B} }

func (r Resistor) values() []value { return []value{{"Ohms", r.Ohms, notNegative}} }

func (r Resistor) branches(place) int {
	if r.Ohms < branchBelow {
		return 1
	}
	return 0
}

func (r Resistor) stamp(at place, to *stamps) {
	if r.branches(at) == 1 {
		to.series(at.node[0], at.node[1], at.branch, r.Ohms, 0)
		return
	}
	to.admit(at.node[0], at.node[1], 1/r.Ohms, 0)
}

func (r Resistor) slope(at place, name string, to *stamps) bool {
	if name != "Ohms" {
		return false
	}
	if r.branches(at) == 1 {
		to.drop(at.branch, at.branch, 1, 0)
	} else {
		to.admit(at.node[0], at.node[1], -1/(r.Ohms*r.Ohms), 0)
	}
	return true
}

// PartName gives the name.
func (c Capacitor) PartName() string { return c.Name }

// Terminals gives A, B.
func (c Capacitor) Terminals() []string { return []string{c.A, c.B} }

func (c Capacitor) values() []value {
	return []value{{"Farads", c.Farads, positive}, {"Loss", c.Loss, notNegative}, {"ESR", c.ESR, notNegative}}
}

func (c Capacitor) branches(place) int {
	if c.ESR > 0 {
		return 1
	}
	return 0
}

// perOmega is the admittance without its ω: C·(tan δ + j).
func (c Capacitor) perOmega() complex128 { return complex(c.Farads*c.Loss, c.Farads) }

// With a series resistance r the branch obeys i = y·(v − r·i), y = ω·C(tan δ + j).
func (c Capacitor) stamp(at place, to *stamps) {
	a, b, y := at.node[0], at.node[1], c.perOmega()
	if c.ESR == 0 {
		to.admit(a, b, 0, y)
		return
	}
	c.stampBranch(at, to)
}

// stampBranch writes the capacitor with a current of its own.
func (c Capacitor) stampBranch(at place, to *stamps) {
	a, b, y := at.node[0], at.node[1], c.perOmega()
	to.through(a, b, at.branch)
	to.across(at.branch, a, 0, y*impedanceUnit)
	to.across(at.branch, b, 0, -y*impedanceUnit)
	to.add(at.branch, at.branch, -1, -y*complex(c.ESR, 0))
}

func (c Capacitor) slope(at place, name string, to *stamps) bool {
	a, b := at.node[0], at.node[1]
	var dy complex128
	switch name {
	case "Farads":
		dy = complex(c.Loss, 1)
	case "Loss":
		dy = complex(c.Farads, 0)
	case "ESR":
		if c.ESR == 0 {
			return false // no branch to take it: ask with a small ESR
		}
		to.add(at.branch, at.branch, 0, -c.perOmega())
		return true
	default:
		return false
	}
	if c.ESR == 0 {
		to.admit(a, b, 0, dy)
		return true
	}
	to.across(at.branch, a, 0, dy*impedanceUnit)
	to.across(at.branch, b, 0, -dy*impedanceUnit)
	to.add(at.branch, at.branch, 0, -dy*complex(c.ESR, 0))
	return true
}

// PartName gives the name.
func (s Slider) PartName() string { return s.Name }

// Terminals gives Boost, Wiper, Cut.
func (s Slider) Terminals() []string { return []string{s.Boost, s.Wiper, s.Cut} }

func (s Slider) values() []value {
	law := value{"Law", 0, anyNumber}
	if !s.Law.legal() {
		law = value{"Law", -1, positive}
	}
	return []value{
		{"Track", s.Track, positive}, {"BoostEnd", s.BoostEnd, notNegative},
		{"CutEnd", s.CutEnd, notNegative}, {"WiperOhms", s.WiperOhms, notNegative}, law,
	}
}

// branches: a current from the boost bus to the wiper's contact and one from
// there to the cut bus.
func (s Slider) branches(place) int { return 2 }

// halves gives the track's resistance above and below the wiper's contact.
func (s Slider) halves(travel float64) (upper, lower float64) {
	share := s.Law.At(travel)
	return s.BoostEnd + s.Track*(1-share), s.CutEnd + s.Track*share
}

func (s Slider) stamp(at place, to *stamps) {
	boost, wiper, cut := at.node[0], at.node[1], at.node[2]
	upper, lower := s.halves(at.travel)
	to.series(boost, wiper, at.branch, upper, 0)
	to.series(wiper, cut, at.branch+1, lower, 0)
	s.stampWiper(at, s.WiperOhms, to)
}

// stampWiper: the difference of the two currents passes the wiper.
func (s Slider) stampWiper(at place, ohms float64, to *stamps) {
	upper, lower := at.branch, at.branch+1
	to.drop(upper, upper, ohms, 0)
	to.drop(upper, lower, -ohms, 0)
	to.drop(lower, lower, ohms, 0)
	to.drop(lower, upper, -ohms, 0)
}

func (s Slider) slope(at place, name string, to *stamps) bool {
	share := s.Law.At(at.travel)
	var upper, lower float64
	switch name {
	case "Track":
		upper, lower = 1-share, share
	case "BoostEnd":
		upper = 1
	case "CutEnd":
		lower = 1
	case "Position": // −1…+1 is twice as long as the share of travel
		half := s.Track * s.Law.Slope(at.travel) / 2
		upper, lower = -half, half
	case "WiperOhms":
		s.stampWiper(at, 1, to)
		return true
	default:
		return false
	}
	to.drop(at.branch, at.branch, upper, 0)
	to.drop(at.branch+1, at.branch+1, lower, 0)
	return true
}

// PartName gives the name.
func (w Wire) PartName() string { return w.Name }

// Terminals gives A, B.
func (w Wire) Terminals() []string { return []string{w.A, w.B} }

func (w Wire) values() []value { return nil }

func (w Wire) branches(at place) int {
	if at.kept {
		return 1
	}
	return 0
}

func (w Wire) stamp(at place, to *stamps) {
	if at.kept {
		to.series(at.node[0], at.node[1], at.branch, 0, 0)
	}
}

func (w Wire) slope(at place, name string, to *stamps) bool { return false }
