package circuit

import (
	"context"

	"bandwright/curve"
	"bandwright/finding"
)

// DefaultKelvin is the temperature of junctions and noise when the
// conditions name none: 300.15 K, 27 °C.
const DefaultKelvin = 300.15

// Conditions are what a State depends on beside circuit and setting.
type Conditions struct {
	Kelvin float64  // of junctions and of thermal noise; 0 means DefaultKelvin
	Keep   []string // wires and contacts whose current is asked for: not merged
}

// State is a circuit at one setting, with its operating point, made linear
// about it and ready to be asked. It is never changed and has many readers.
type State struct {
	net      *network
	kelvin   float64
	linear   []entry // what the parts write, without the devices' currents
	point    operating
	dcGroups islands
	matrix   *matrix
	findings finding.List
}

// Solve puts the circuit at a setting. The error is a finding.List: a setting
// that does not fit the circuit, a point without a path to ground, a ring of
// 0-ohm parts, an operating point that cannot be found.
func (c *Circuit) Solve(ctx context.Context, s curve.Setting, cond Conditions) (*State, error) {
	st, err := c.settle(ctx, s, cond)
	if err != nil {
		return nil, err
	}
	if st.matrix, err = st.newMatrix(); err != nil {
		return nil, atSetting(err, s)
	}
	return st, nil
}

// settle finds the operating point; what signals need is still missing.
func (c *Circuit) settle(ctx context.Context, s curve.Setting, cond Conditions) (*State, error) {
	net, err := c.place(s, cond.Keep)
	if err != nil {
		return nil, err
	}
	st := &State{net: net, kelvin: cond.Kelvin}
	if st.kelvin == 0 {
		st.kelvin = DefaultKelvin
	}
	found := append(net.checkPaths(), net.checkLoops()...)
	found = append(found, net.checkFeedback()...)
	if err := found.Err(); err != nil {
		return nil, atSetting(err, s)
	}
	st.linear = net.stampAll()
	st.dcGroups = net.islandsOf(net.tied(steady, junction))
	if err := st.findOperatingPoint(ctx); err != nil {
		return nil, atSetting(err, s)
	}
	return st, nil
}

// atSetting adds the setting to the place of every finding.
func atSetting(err error, s curve.Setting) error {
	list, ok := finding.From(err)
	if !ok {
		return err
	}
	placed := make(finding.List, len(list))
	for i, f := range list {
		f.Place.Setting = s.String()
		placed[i] = f
	}
	return placed
}

// stampAll lets every part write its linear equations.
func (n *network) stampAll() []entry {
	var s stamps
	for i, p := range n.circuit.parts {
		p.stamp(n.at[i], &s)
	}
	return s.entries
}

// Setting gives where the sliders and switches stand.
func (st *State) Setting() curve.Setting { return st.net.setting }

// Circuit gives the circuit that was solved.
func (st *State) Circuit() *Circuit { return st.net.circuit }

// Kelvin gives the temperature that was solved for.
func (st *State) Kelvin() float64 { return st.kelvin }

// Findings gives what weakens the answers of this state.
func (st *State) Findings() finding.List { return st.findings }

// Unknowns gives the size of the equations: points and branch currents.
func (st *State) Unknowns() int { return st.net.size }

// Volts gives a point's direct voltage against ground. False means floating:
// no direct current can reach it, so there is no reading. An unknown point
// panics: ask Circuit.Points first.
func (st *State) Volts(point string) (volts float64, ok bool) {
	node := st.net.mustNode(point)
	if node < 0 {
		return 0, true
	}
	return st.point.x[node], !st.dcGroups.floating[node]
}

func (n *network) mustNode(point string) int {
	node, ok := n.node[point]
	if !ok {
		panic("circuit: no point " + point)
	}
	return node
}

// Current gives the direct current through a part, amperes: in at its first
// terminal and out at its second (a slider: from the boost bus to the wiper;
// a transistor: into the collector, negative in a PNP; a triode: into the
// plate; an op-amp: out of its output). A coupling has none. A part that has joined two points into one has no current to
// give: name it in Conditions.Keep. Then, and for a switch, ok is false.
func (st *State) Current(part string) (amperes float64, ok bool) {
	i, known := st.net.circuit.byName[part]
	if !known {
		panic("circuit: no part " + part)
	}
	p, at := st.net.circuit.parts[i], st.net.at[i]
	if d, isDevice := p.(device); isDevice {
		return st.point.deviceCurrent(d, at, st.thermal()), true
	}
	switch p := p.(type) {
	case CurrentSource:
		return p.DC, true
	case Capacitor:
		return 0, true
	case Switch:
		return 0, false
	case Contact:
		r, path := p.resistor(at)
		if !path {
			return 0, !at.closed
		}
		return st.point.resistorCurrent(r, at), true
	case Resistor:
		return st.point.resistorCurrent(p, at), true
	}
	if p.branches(at) == 0 {
		return 0, false
	}
	return st.point.x[at.branch] / impedanceUnit, true
}

// thermal is kT/q in volts.
func (st *State) thermal() float64 { return boltzmann * st.kelvin / electron }
