package bench

import (
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
)

const (
	// mostStandings bounds how many ways of standing the switches are tried
	// together; with more of them each is turned by itself.
	mostStandings = 64
	// leastDraw is how little, in amperes, two of them may differ in any part
	// and count as one.
	leastDraw = 10e-6
)

// drawingSettings gives the settings of the switches in which some part carries
// another current, the one at rest first: a relay that is called in, or a lamp
// in a footswitch, takes it from the zener, and the rail shows nothing of it.
func (c *Case) drawingSettings(ctx context.Context) ([]curve.Setting, error) {
	whole := c.equaliser.Circuit()
	var list []curve.Setting
	var draws [][]float64
	for _, at := range standings(whole.Switches()) {
		st, err := whole.Solve(ctx, at, c.conditions())
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		var now []float64
		if err == nil { // else its cases say why
			now = currents(st)
		}
		if !slices.ContainsFunc(draws, func(other []float64) bool { return drawAlike(now, other) }) {
			list, draws = append(list, at), append(draws, now)
		}
	}
	return list, nil
}

// currents of all parts; 0 where none is known.
func currents(st *circuit.State) []float64 {
	var list []float64
	for _, p := range st.Circuit().Parts() {
		amperes, _ := st.Current(p.PartName())
		list = append(list, amperes)
	}
	return list
}

func drawAlike(a, b []float64) bool {
	return slices.EqualFunc(a, b, func(x, y float64) bool { return max(x-y, y-x) < leastDraw })
}

// standings gives every way that switches may stand, at rest first.
func standings(switches []circuit.Switch) []curve.Setting {
	ways := 1
	for _, w := range switches {
		ways *= max(len(w.Positions), 1)
	}
	list := []curve.Setting{{}}
	for _, w := range switches {
		from := list
		if ways > mostStandings {
			from = list[:1]
		}
		for _, at := range from {
			for _, position := range w.Positions[min(1, len(w.Positions)):] {
				list = append(list, at.WithSwitch(w.Name, position))
			}
		}
	}
	return list
}
