package feed

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/curve"
)

// Rise is how a capacitor fills when the rail comes up at once.
type Rise struct {
	Capacitor string  `json:"capacitor"`
	Volts     float64 `json:"volts"`            // across it at rest, at the nominal rail
	Ohms      float64 `json:"ohms"`             // that it fills through
	Constant  float64 `json:"constant_seconds"` // R·C
	// Ninety is the time to nine tenths of its volts; 0: it is never reached
	// by that path alone.
	Ninety float64 `json:"to_nine_tenths_seconds"`
}

// riseVolts is what a capacitor must stand at to be listed.
const riseVolts = 1

// WarmUp says of every capacitor that direct volts stand on how fast it fills,
// but of those on the rail itself, which is there at once.
// The path is that of resistors alone, the rail a path of none; where a zener
// holds its volts it fills towards what would stand there without it, so that
// it is there sooner than three constants. Capacitors at one point share a
// charge. Filling is V(t) = V∞·(1 − e^(−t/RC)).
func WarmUp(ctx context.Context, whole *circuit.Circuit, s Supply, cond circuit.Conditions) ([]Rise, error) {
	at := Case{Name: Nominal, Rail: s.Volts}
	st, err := at.solve(ctx, whole, s.Rail, cond)
	if err != nil {
		return nil, err
	}
	free := st
	if s.Zener != "" {
		at.Edits = []circuit.Edit{circuit.Open(s.Zener)}
		if free, err = at.solve(ctx, whole, s.Rail, cond); err != nil {
			return nil, err
		}
	}
	off := circuit.PowerOff{Kelvin: cond.Kelvin, SourceOhms: map[string]float64{s.Rail: circuit.ShortOhms}}
	together := pooled(whole)
	var list []Rise
	rail := s.across(whole)
	for _, p := range whole.Parts() {
		c, ok := p.(circuit.Capacitor)
		if !ok || pairOf(c) == rail {
			continue
		}
		r := Rise{Capacitor: c.Name, Volts: across(st, c)}
		if r.Volts < riseVolts {
			continue
		}
		path, err := whole.Ohms(ctx, curve.Setting{}, off, c.A, c.B)
		if err != nil {
			return nil, err
		}
		if path.Open {
			continue // it fills through junctions only: no one constant
		}
		r.Ohms = path.Ohms
		r.Constant = path.Ohms * together[pairOf(c)]
		if end := across(free, c); end > 0.9*r.Volts {
			r.Ninety = r.Constant * math.Log(end/(end-0.9*r.Volts))
		}
		list = append(list, r)
	}
	return list, nil
}

func across(st *circuit.State, c circuit.Capacitor) float64 {
	volts := legVolts(st, c)
	return math.Abs(volts[0] - volts[1])
}

// across gives the points that the rail stands between, in pairOf's order.
func (s Supply) across(whole *circuit.Circuit) [2]string {
	p, _ := whole.Part(s.Rail)
	ends := p.Terminals()
	return pairOf(circuit.Capacitor{A: ends[0], B: ends[1]})
}
