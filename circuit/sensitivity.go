package circuit

import (
	"context"
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

// Sensitivity is Sensitivities at one frequency.
func (st *State) Sensitivity(source, out string, hz float64) (*Sensitivity, error) {
	list, err := st.Sensitivities(context.Background(), source, out, []float64{hz})
	if err != nil {
		return nil, err
	}
	return &list[0], nil
}

// Sensitivities gives the derivative of the gain from source to out by every
// value of every part and by frequency, at every frequency, from one solution
// of the circuit and one of its adjoint each (Director and Rohrer 1969): with
// A·x = b and Aᵀ·λ = e, dH/dp = −λᵀ·(dA/dp)·x.
//
// A value that moves the operating point also moves the devices'
// conductances. One adjoint of the direct-current equations takes care of
// all of them: see bias.
func (st *State) Sensitivities(ctx context.Context, source, out string, hz []float64) ([]Sensitivity, error) {
	b, e, err := st.question(source, out)
	if err != nil {
		return nil, err
	}
	checkHz(hz)
	m, slopes, bias := st.matrix, st.valueSlopes(), st.newBias()
	list := make([]Sensitivity, len(hz))
	by := make([]Derivative, len(hz)*len(slopes))
	x, lambda := make([]complex128, m.size), make([]complex128, m.size)
	_, err = m.eachBlock(ctx, hz, func(w *worker, first int, omegas []float64) {
		for k, omega := range omegas {
			lane(w.solvers[0], k, x)
			lane(w.solvers[1], k, lambda)
			mu := bias.adjoint(x, lambda)
			s := &list[first+k]
			s.Gain, s.ByHz = dot(e, x, omega), 2*math.Pi*st.byOmega(x, lambda)
			s.By, by = by[:len(slopes):len(slopes)], by[len(slopes):]
			for n, v := range slopes {
				d := -product(v.signal, x, lambda, omega)
				if mu != nil {
					d -= dot(v.force, mu, 0)
				}
				s.By[n] = Derivative{Part: v.part, Value: v.value, By: d}
			}
		}
	}, question{rhs: b, wanted: m.all, refined: true},
		question{rhs: e, wanted: m.all, transposed: true, refined: true})
	return list, err
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

// valueSlope is what one value of one part does to the equations.
type valueSlope struct {
	part, value string
	signal      []entry // dA/d(value) of the signal's equations, the operating point held
	force       []term  // ∂F/∂(value) of the direct-current equations F = 0
	between     bool    // signal is an admittance between two nodes
}

// valueSlopes lists every value that has an effect.
func (st *State) valueSlopes() []valueSlope {
	var list []valueSlope
	for i, p := range st.net.circuit.parts {
		for _, name := range asked(p) {
			v := valueSlope{part: p.PartName(), value: name}
			if st.slopeOf(i, name, &v) {
				list = append(list, v)
			}
		}
	}
	return list
}

// slopeOf fills in what one value of part i does; false: nothing here.
func (st *State) slopeOf(i int, name string, v *valueSlope) bool {
	p, at := st.net.circuit.parts[i], st.net.at[i]
	var s stamps
	if p.slope(at, name, &s) {
		v.signal, v.between = s.entries, admits(s.entries)
		v.force = st.point.forceOf(s.entries)
		return true
	}
	if d, ok := p.(drive); ok && name == "DC" {
		for _, t := range kept(d.drive(at)) {
			v.force = append(v.force, term{row: t.row, g: -t.g})
		}
		return true
	}
	d, ok := p.(device)
	if !ok {
		return false
	}
	for k, value := range d.modelValues() {
		if value.name == name && value.value != 0 {
			st.modelSlope(d, at, k, v)
			return true
		}
	}
	return false
}

// forceOf is what a slope of linear equations does to those of direct current.
func (o operating) forceOf(slope []entry) []term {
	var force []term
	for _, e := range slope {
		force = append(force, term{row: e.row, g: e.g * o.x[e.col]})
	}
	return kept(force)
}

// complexStep is far below the last digit of any value: its square vanishes
// beside 1.
const complexStep = 1e-100

// modelSlope fills in what the k-th value of a device's model does.
func (st *State) modelSlope(d device, at place, k int, v *valueSlope) {
	values := realValues(d.modelValues())
	h := real(values[k]) * complexStep
	values[k] += complex(0, h)
	i, g := d.model(st.point.controls(d, at), values, st.thermal())
	controls, flows := d.ports(at)
	var s stamps
	for f, flow := range flows {
		for j, control := range controls {
			s.control(flow[0], flow[1], control[0], control[1], imag(g[f][j])/h, 0)
		}
		amperes := imag(i[f]) / h * impedanceUnit
		v.force = append(v.force, term{row: flow[0], g: amperes}, term{row: flow[1], g: -amperes})
	}
	v.signal, v.force = s.entries, kept(v.force)
}

// bias carries the effect of the operating point on a gain. If F(v, p) = 0 are
// the direct-current equations with Jacobian J, and H depends on v through the
// devices' conductances, then dH/dp = −μᵀ·∂F/∂p with Jᵀ·μ = ∂H/∂v. A circuit
// without devices has none (nil).
type bias struct {
	jacobian *sparse.Dense[float64] // factored
	controls []controlSlope
	re, im   []float64
	mu       []complex128
}

// controlSlope is what one device's controlling volts do to its conductances.
type controlSlope struct {
	control [2]int
	signal  []entry
}

func (st *State) newBias() *bias {
	b := &bias{}
	for i, p := range st.net.circuit.parts {
		if d, ok := p.(device); ok {
			b.controls = append(b.controls, st.controlSlopes(d, st.net.at[i])...)
		}
	}
	if len(b.controls) == 0 {
		return nil
	}
	b.jacobian = st.steadyJacobian()
	b.re, b.im = make([]float64, st.net.size), make([]float64, st.net.size)
	b.mu = make([]complex128, st.net.size)
	return b
}

// controlSlopes gives the change of each conductance by each controlling volt,
// by complex step.
func (st *State) controlSlopes(d device, at place) []controlSlope {
	controls, flows := d.ports(at)
	var list []controlSlope
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
		list = append(list, controlSlope{control, s.entries})
	}
	return list
}

// adjoint gives μ for a pair of signal solutions, valid until the next; real
// and imaginary parts are solved each by themselves, J being real.
func (b *bias) adjoint(x, lambda []complex128) []complex128 {
	if b == nil {
		return nil
	}
	clear(b.re)
	clear(b.im)
	for _, c := range b.controls {
		change := -product(c.signal, x, lambda, 0)
		for i, sign := range [...]float64{1, -1} {
			if node := c.control[i]; node >= 0 {
				b.re[node] += sign * real(change)
				b.im[node] += sign * imag(change)
			}
		}
	}
	b.jacobian.SolveTransposed(b.re, b.re)
	b.jacobian.SolveTransposed(b.im, b.im)
	for i := range b.mu {
		b.mu[i] = complex(b.re[i], b.im[i])
	}
	return b.mu
}

// steadyJacobian is the Jacobian of the direct-current equations at the
// operating point, factored.
func (st *State) steadyJacobian() *sparse.Dense[float64] {
	lu := sparse.NewDense[float64](st.net.size)
	var s stamps
	st.smallSignal(&s)
	loadSteady(lu, st.linear, st.dcGroups.held)
	loadSteady(lu, s.entries, nil)
	if err := lu.Factor(); err != nil {
		panic("circuit: the operating point's Jacobian was regular before: " + err.Error())
	}
	return lu
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
