package circuit

import (
	"context"
	"slices"

	"bandwright/finding"
)

// solve tries with the rails full on; then it ramps them up; then, since a
// loop that latches turns back on its way up, it lets the points settle.
func (n *newton) solve(ctx context.Context) error {
	n.seed()
	if ok, err := n.iterate(ctx, 1); err != nil || ok {
		return err
	}
	share, err := n.ramp(ctx)
	if err != nil || share == 1 {
		return err
	}
	who := n.restless()
	if ok, err := n.settle(ctx); err != nil || ok {
		return err
	}
	return finding.List{finding.New(IDNoOperatingPoint, finding.Error,
		finding.Place{Part: who}, finding.Args{"ramp": share})}
}

// ramp brings the rails up from nothing, each step started from the last, and
// quartered when it fails (source stepping). It gives the share reached.
func (n *newton) ramp(ctx context.Context) (share float64, err error) {
	n.seed()
	clear(n.x)
	step := 0.1
	for share < 1 && step > 1e-4 {
		kept := slices.Clone(n.x)
		try := min(1, share+step)
		ok, err := n.iterate(ctx, try)
		if err != nil {
			return share, err
		}
		if ok {
			share, step = try, step*1.5
			continue
		}
		step /= 4
		n.resume(kept)
	}
	return share, nil
}

// The conductance (times impedanceUnit, siemens) that hangs a point on where
// it was: at first far above any part's, at last far below.
const (
	hungMost, hungLeast = 1e3, 1e-16
	hungSteps           = 400
)

// settle hangs every point on a capacitor, switches the rails on, and takes
// ever longer steps of time, backward Euler: what a bench does (pseudo-transient
// continuation; Kelley and Keyes 1998). Its path has no turning points, and
// its end is an operating point of the circuit without the capacitors.
func (n *newton) settle(ctx context.Context) (bool, error) {
	n.seed()
	clear(n.x)
	defer func() { n.hung = 0 }()
	n.hung = hungMost
	for range hungSteps {
		copy(n.anchor, n.x)
		ok, err := n.iterate(ctx, 1)
		switch {
		case err != nil:
			return false, err
		case ok && n.hung == 0:
			return true, nil
		case ok && n.hung < hungLeast:
			n.hung = 0
		case ok:
			n.hung /= 3
		default:
			n.hung = min(max(n.hung, hungLeast)*20, hungMost)
			n.resume(n.anchor)
		}
	}
	return false, nil
}

// resume goes back to an earlier solution.
func (n *newton) resume(x []float64) {
	copy(n.x, x)
	for i := range n.devices {
		d := &n.devices[i]
		for j, c := range d.controls {
			d.limited[j] = complex(n.voltage(c), 0)
		}
	}
}
