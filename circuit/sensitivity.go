package circuit

import (
	"math"
	"slices"

	"bandwright/finding"
	"bandwright/sparse"
)

// Derivative is d(gain)/d(value) of one value of one part, in base units,
// all other values held and the operating point following.
type Derivative struct {
	Part  string
	Value string // as the field of the part's type is named; "Position" of a slider
	By    complex128
}

// Sensitivity is what a gain depends on, at one frequency.
type Sensitivity struct {
	Gain complex128
	ByHz complex128 // d(gain)/d(hertz)
	By   []Derivative
}

// Sensitivity gives the derivative of the gain from source to out by every
// value of every part and by frequency, from one solution of the circuit and
// one of its adjoint (Director and Rohrer 1969): with A·x = b and Aᵀ·λ = e,
// dH/dp = −λᵀ·(dA/dp)·x.
//
// A value that moves the operating point also moves the devices'
// conductances. One adjoint of the direct-current equations takes care of
// all of them: see bias.
func (st *State) Sensitivity(source, out string, hz float64) (*Sensitivity, error) {
	b, e, err := st.question(source, out)
	if err != nil {
		return nil, err
	}
	omega := 2 * math.Pi * hz
	x, lambda, err := st.pair(omega, b, e)
	if err != nil {
		return nil, err
	}
	s := &Sensitivity{Gain: dot(e, x, omega), ByHz: 2 * math.Pi * st.byOmega(x, lambda)}
	bias := st.bias(x, lambda)
	for i, p := range st.net.circuit.parts {
		for _, name := range asked(p) {
			if by, ok := st.derivative(i, name, x, lambda, omega, bias); ok {
				s.By = append(s.By, Derivative{Part: p.PartName(), Value: name, By: by})
			}
		}
	}
	return s, nil
}

// asked names the values of a part that a sensitivity may be asked for.
func asked(p Part) []string {
	var names []string
	for _, v := range p.values() {
		names = append(names, v.name)
	}
	if _, ok := p.(Slider); ok {
		names = append(names, "Position")
	}
	return names
}

// product is λᵀ·(dA)·x for entries of dA at ω.
func product(entries []entry, x, lambda []complex128, omega float64) complex128 {
	var sum complex128
	for _, d := range entries {
		sum += lambda[d.row] * d.at(omega) * x[d.col]
	}
	return sum
}

func (st *State) byOmega(x, lambda []complex128) complex128 {
	var sum complex128
	for _, cell := range st.matrix.cells {
		if cell.c != 0 {
			sum -= lambda[cell.row] * cell.c * x[cell.col]
		}
	}
	return sum
}

// derivative gives dH by one value of part i: what the signal's equations
// say, and what the moved operating point says.
func (st *State) derivative(i int, name string, x, lambda []complex128, omega float64, bias biasAdjoint) (complex128, bool) {
	p, at := st.net.circuit.parts[i], st.net.at[i]
	var s stamps
	if p.slope(at, name, &s) {
		by := -product(s.entries, x, lambda, omega)
		if bias.mu != nil {
			by -= product(s.entries, bias.steady, bias.mu, 0)
		}
		return by, true
	}
	if d, ok := p.(drive); ok && name == "DC" {
		if bias.mu == nil {
			return 0, true
		}
		return dot(kept(d.drive(at)), bias.mu, 0), true
	}
	d, ok := p.(device)
	if !ok {
		return 0, false
	}
	for k, v := range d.modelValues() {
		if v.name == name && v.value != 0 {
			return st.byModel(d, at, k, x, lambda, bias), true
		}
	}
	return 0, false
}

// complexStep is far below the last digit of any value: its square vanishes
// beside 1.
const complexStep = 1e-100

// byModel gives dH by the k-th value of a device's model.
func (st *State) byModel(d device, at place, k int, x, lambda []complex128, bias biasAdjoint) complex128 {
	values := realValues(d.modelValues())
	h := real(values[k]) * complexStep
	values[k] += complex(0, h)
	i, g := d.model(st.point.controls(d, at), values, st.thermal())
	controls, flows := d.ports(at)
	var signal stamps
	var by complex128
	for f, flow := range flows {
		for j, control := range controls {
			signal.control(flow[0], flow[1], control[0], control[1], imag(g[f][j])/h, 0)
		}
		if bias.mu != nil {
			by -= bias.across(flow) * complex(imag(i[f])/h*impedanceUnit, 0)
		}
	}
	return by - product(signal.entries, x, lambda, 0)
}

// biasAdjoint carries the effect of the operating point on a gain. If F(v, p)
// = 0 are the direct-current equations with Jacobian J, and H depends on v
// through the devices' conductances, then dH/dp = −μᵀ·∂F/∂p with Jᵀ·μ = ∂H/∂v.
type biasAdjoint struct {
	mu     []complex128
	steady []complex128 // the direct-current solution
}

// across is μ at a flow's first node less μ at its second.
func (b biasAdjoint) across(flow [2]int) complex128 {
	var v complex128
	if flow[0] >= 0 {
		v += b.mu[flow[0]]
	}
	if flow[1] >= 0 {
		v -= b.mu[flow[1]]
	}
	return v
}

// bias solves the direct-current adjoint for a pair of signal solutions; a
// circuit without devices needs none.
func (st *State) bias(x, lambda []complex128) biasAdjoint {
	rhs := make([]complex128, st.net.size)
	any := false
	for i, p := range st.net.circuit.parts {
		if d, ok := p.(device); ok {
			any = true
			st.byControls(d, st.net.at[i], x, lambda, rhs)
		}
	}
	if !any {
		return biasAdjoint{}
	}
	steadyX := make([]complex128, len(st.point.x))
	for i, v := range st.point.x {
		steadyX[i] = complex(v, 0)
	}
	return biasAdjoint{mu: st.steadyTransposed(rhs), steady: steadyX}
}

// steadyTransposed solves Jᵀ·μ = rhs with the direct-current Jacobian at the
// operating point; real and imaginary parts each by themselves, J being real.
func (st *State) steadyTransposed(rhs []complex128) []complex128 {
	lu := sparse.NewDense[float64](st.net.size)
	var s stamps
	st.smallSignal(&s)
	loadSteady(lu, st.linear, st.dcGroups.held)
	loadSteady(lu, s.entries, nil)
	if err := lu.Factor(); err != nil {
		panic("circuit: the operating point's Jacobian was regular before: " + err.Error())
	}
	re, im := make([]float64, len(rhs)), make([]float64, len(rhs))
	for i, v := range rhs {
		re[i], im[i] = real(v), imag(v)
	}
	lu.SolveTransposed(re, re)
	lu.SolveTransposed(im, im)
	mu := make([]complex128, len(rhs))
	for i := range mu {
		mu[i] = complex(re[i], im[i])
	}
	return mu
}

// byControls adds ∂H/∂v of one device's controlling volts: the change of each
// conductance by each volt, by complex step.
func (st *State) byControls(d device, at place, x, lambda, rhs []complex128) {
	controls, flows := d.ports(at)
	for c, control := range controls {
		v := st.point.controls(d, at)
		v[c] += complex(0, complexStep)
		_, g := d.model(v, realValues(d.modelValues()), st.thermal())
		var s stamps
		for f, flow := range flows {
			for j, by := range controls {
				s.control(flow[0], flow[1], by[0], by[1], imag(g[f][j])/complexStep, 0)
			}
		}
		change := -product(s.entries, x, lambda, 0)
		if control[0] >= 0 {
			rhs[control[0]] += change
		}
		if control[1] >= 0 {
			rhs[control[1]] -= change
		}
	}
}

// question resolves a source and an out to right-hand sides, or says which
// does not exist.
func (st *State) question(source, out string) (b, e []term, err error) {
	var found finding.List
	if b, err = st.sourceTerms(source); err != nil {
		list, _ := finding.From(err)
		found = append(found, list...)
	}
	if e, err = st.outTerms(out); err != nil {
		list, _ := finding.From(err)
		found = append(found, list...)
	}
	return b, e, found.Err()
}

// IDNoSource: a response is asked from a part that is no source. Place: the
// part.
const IDNoSource finding.ID = "circuit.no-source"

func (st *State) sourceTerms(name string) ([]term, error) {
	i, ok := st.net.circuit.byName[name]
	if !ok {
		return nil, finding.List{finding.New(IDNoPart, finding.Error, finding.Place{Part: name}, nil)}
	}
	d, ok := st.net.circuit.parts[i].(drive)
	if !ok {
		return nil, finding.List{finding.New(IDNoSource, finding.Error, finding.Place{Part: name}, nil)}
	}
	return kept(d.drive(st.net.at[i])), nil
}

// outTerms picks one point out of a solution; ground gives no terms: always 0.
func (st *State) outTerms(point string) ([]term, error) {
	node, ok := st.net.node[point]
	if !ok {
		return nil, finding.List{finding.New(IDNoPoint, finding.Error, finding.Place{Point: point}, nil)}
	}
	return kept([]term{{row: node, g: 1}}), nil
}

// kept drops the terms of ground and sums those of one row.
func kept(terms []term) []term {
	var rest []term
	for _, t := range terms {
		if t.row < 0 {
			continue
		}
		if i := slices.IndexFunc(rest, func(r term) bool { return r.row == t.row }); i >= 0 {
			rest[i].g += t.g
			rest[i].c += t.c
			continue
		}
		rest = append(rest, t)
	}
	return rest
}

// dot is Σ terms·x at ω.
func dot(terms []term, x []complex128, omega float64) complex128 {
	var sum complex128
	for _, t := range terms {
		sum += (complex(t.g, 0) + complex(omega, 0)*t.c) * x[t.row]
	}
	return sum
}
