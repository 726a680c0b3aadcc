package circuit

// PartName gives the name.
func (l Inductor) PartName() string { return l.Name }

// Terminals gives A, B.
func (l Inductor) Terminals() []string { return []string{l.A, l.B} }

func (l Inductor) values() []value {
	return []value{
		{"Henries", l.Henries, positive}, {"DCR", l.DCR, notNegative},
		{"CoreOhms", l.CoreOhms, notNegative}, {"SelfFarads", l.SelfFarads, notNegative},
	}
}

// inner says whether the self-capacitance needs the current of the
// inductance apart from the current of the whole coil.
func (l Inductor) inner() bool { return l.SelfInside && l.SelfFarads > 0 }

func (l Inductor) branches(place) int {
	if l.inner() {
		return 2
	}
	return 1
}

// lossPerOmega is what the core loss adds to the inductance's current i: a
// resistor Rc across jωL carries (jωL/Rc)·i. No loss gives 0.
func (l Inductor) lossPerOmega() complex128 {
	if l.CoreOhms == 0 {
		return 0
	}
	return complex(0, l.Henries/l.CoreOhms)
}

// stamp. The unknown is the current i of the inductance alone, so that core
// loss costs no further unknown: the coil as a whole carries i·(1 + jωL/Rc).
func (l Inductor) stamp(at place, to *stamps) {
	a, b, loss := at.node[0], at.node[1], l.lossPerOmega()
	if l.inner() {
		l.stampInner(at, to)
		return
	}
	to.leave(a, at.branch, 1, loss)
	to.leave(b, at.branch, -1, -loss)
	to.across(at.branch, a, 1, 0)
	to.across(at.branch, b, -1, 0)
	to.drop(at.branch, at.branch, l.DCR, complex(l.DCR, 0)*loss+complex(0, l.Henries))
	to.admit(a, b, 0, complex(0, l.SelfFarads))
}

// stampInner: the first current i is the whole coil's, the second k the
// inductance's, and i = k·(1 + jωL/Rc) + jωCs·(v − DCR·i).
func (l Inductor) stampInner(at place, to *stamps) {
	a, b, whole, core := at.node[0], at.node[1], at.branch, at.branch+1
	cs := complex(0, l.SelfFarads)
	to.series(a, b, whole, l.DCR, 0)
	to.drop(whole, core, 0, complex(0, l.Henries))
	to.add(core, whole, 1, cs*complex(l.DCR, 0))
	to.add(core, core, -1, -l.lossPerOmega())
	to.across(core, a, 0, -cs*impedanceUnit)
	to.across(core, b, 0, cs*impedanceUnit)
}

func (l Inductor) slope(at place, name string, to *stamps) bool {
	if !l.slopeAlone(at, name, to) {
		return false
	}
	l.slopeCoupled(at, name, to)
	return true
}

func (l Inductor) slopeAlone(at place, name string, to *stamps) bool {
	var dLoss complex128 // d(lossPerOmega)
	var dHenries, dDCR, dSelf float64
	switch name {
	case "Henries":
		dHenries = 1
		if l.CoreOhms > 0 {
			dLoss = complex(0, 1/l.CoreOhms)
		}
	case "DCR":
		dDCR = 1
	case "CoreOhms":
		if l.CoreOhms == 0 {
			return false
		}
		dLoss = complex(0, -l.Henries/(l.CoreOhms*l.CoreOhms))
	case "SelfFarads":
		if l.SelfInside && l.SelfFarads == 0 {
			return false
		}
		dSelf = 1
	default:
		return false
	}
	if l.inner() {
		l.slopeInner(at, to, dLoss, dHenries, dDCR, dSelf)
		return true
	}
	a, b := at.node[0], at.node[1]
	to.leave(a, at.branch, 0, dLoss)
	to.leave(b, at.branch, 0, -dLoss)
	to.drop(at.branch, at.branch, dDCR,
		complex(dDCR, 0)*l.lossPerOmega()+complex(l.DCR, 0)*dLoss+complex(0, dHenries))
	to.admit(a, b, 0, complex(0, dSelf))
	return true
}

func (l Inductor) slopeInner(at place, to *stamps, dLoss complex128, dHenries, dDCR, dSelf float64) {
	a, b, whole, core := at.node[0], at.node[1], at.branch, at.branch+1
	to.drop(whole, whole, dDCR, 0)
	to.drop(whole, core, 0, complex(0, dHenries))
	to.add(core, whole, 0, complex(0, dSelf*l.DCR+l.SelfFarads*dDCR))
	to.add(core, core, 0, -dLoss)
	to.across(core, a, 0, complex(0, -dSelf*impedanceUnit))
	to.across(core, b, 0, complex(0, dSelf*impedanceUnit))
}
