package circuit

import (
	"context"
	"slices"

	"bandwright/curve"
	"bandwright/finding"
)

// Voltage is what a voltmeter shows between two points.
type Voltage struct {
	Volts float64
	// Floating: no direct current can pass between the points, so that nothing
	// decides the volts between them; Volts is then 0.
	Floating bool
	// By is d(volts)/d(value) of every value of every part, real.
	By []Derivative
}

// Voltmeter gives the direct volts of point a above b with a meter of so many
// ohms between them; 0 means one that draws nothing. Of the State behind it
// nothing is planned for signals, which makes it several times as quick as
// Solve.
func (c *Circuit) Voltmeter(ctx context.Context, s curve.Setting, cond Conditions, ohms float64, a, b string) (Voltage, error) {
	if err := c.checkPoints(a, b); err != nil {
		return Voltage{}, err
	}
	name, loaded := c.unused("voltmeter"), c
	if ohms != 0 {
		var err error
		if loaded, err = New(slices.Concat(c.parts, []Part{Resistor{Name: name, A: a, B: b, Ohms: ohms}})...); err != nil {
			return Voltage{}, err
		}
	}
	st, err := loaded.settle(ctx, s, cond)
	if err != nil {
		return Voltage{}, err
	}
	joined, plus, minus := st.net.tied(steady, junction), st.net.node[a], st.net.node[b]
	if joined.find(plus+1) != joined.find(minus+1) {
		return Voltage{Floating: true}, nil
	}
	return Voltage{
		Volts: st.point.at([2]int{plus, minus}),
		By:    st.acrossSensitivity(plus, minus, 1, name),
	}, nil
}

// acrossSensitivity gives the derivatives of the volts between two nodes, times
// perVolt; the meter's own parts are left out.
func (st *State) acrossSensitivity(from, to int, perVolt float64, meter ...string) []Derivative {
	var list []Derivative
	for _, d := range st.steadySensitivity(kept([]term{{row: from, g: 1}, {row: to, g: -1}})) {
		if !slices.Contains(meter, d.Part) {
			d.By *= complex(perVolt, 0)
			list = append(list, d)
		}
	}
	return list
}

func (c *Circuit) checkPoints(points ...string) error {
	var found finding.List
	for _, p := range points {
		if _, ok := slices.BinarySearch(c.points, p); !ok && p != Ground {
			found = append(found, finding.New(IDNoPoint, finding.Error, finding.Place{Point: p}, nil))
		}
	}
	return found.Err()
}
