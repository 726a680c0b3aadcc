package fault

import (
	"context"
	"math/cmplx"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

// The ways in for hum.
const (
	HumCoil   = "coil"   // the transformer's field in the low band's coil
	HumLead   = "lead"   // the footswitch lead, on the legs' common
	HumRail   = "rail"   // ripple on the board's rail
	HumBefore = "before" // it comes along with the signal
	HumAfter  = "after"  // behind the equaliser
)

// HumPlan says where hum may come in.
type HumPlan struct {
	Circuit      *circuit.Circuit
	Kelvin       float64
	Hertz        float64 // of the mains
	Flat, Up     curve.Setting
	Coil         string // of the low band
	Lift         string // the part that grounds the legs through the lead; "": no lead carries them
	Rail, Source string // sources; "": there is none
	Out          string
}

// humSource is what hums, in series with a part.
const humSource = "hum"

// HumWays asks the circuit what each way makes of one volt. The error is a
// finding.List.
func HumWays(ctx context.Context, p HumPlan) ([]HumWay, error) {
	var list []HumWay
	in := func(name, part string, leg int, shut HumTake, prior float64) error {
		c, err := inSeries(p.Circuit, part, leg)
		if err != nil {
			return err
		}
		return p.way(ctx, &list, c, HumWay{Name: name, Shut: shut, Prior: prior}, humSource)
	}
	if err := in(HumCoil, p.Coil, 0, HumTurned, 3); err != nil {
		return nil, err
	}
	if p.Lift != "" {
		if err := in(HumLead, p.Lift, 1, HumShorted, 2); err != nil {
			return nil, err
		}
	}
	for _, w := range [...]struct{ name, source string }{{HumRail, p.Rail}, {HumBefore, p.Source}} {
		if w.source == "" {
			continue
		}
		if err := p.way(ctx, &list, p.Circuit, HumWay{Name: w.name, Prior: 1.5}, w.source); err != nil {
			return nil, err
		}
	}
	return append(list, HumWay{Name: HumAfter, Gains: [humTakes]float64{1, 1, 1, 1}, Prior: 1.5}), nil
}

// way fills in what comes out and adds it to the list.
func (p HumPlan) way(ctx context.Context, list *[]HumWay, c *circuit.Circuit, w HumWay, source string) error {
	for take, s := range [...]curve.Setting{p.Flat, p.Up} {
		st, err := c.Solve(ctx, s, circuit.Conditions{Kelvin: p.Kelvin})
		if err != nil {
			return err
		}
		r, err := st.Response(ctx, source, []string{p.Out}, []float64{p.Hertz})
		if err != nil {
			return err
		}
		w.Gains[take] = cmplx.Abs(r.Gains[0][0])
	}
	w.Gains[HumShorted], w.Gains[HumTurned] = w.Gains[HumUp], w.Gains[HumUp]
	*list = append(*list, w)
	return nil
}

// inSeries puts a source of hum into a leg of a part.
func inSeries(c *circuit.Circuit, part string, leg int) (*circuit.Circuit, error) {
	p, ok := c.Part(part)
	if !ok || leg >= len(p.Terminals()) {
		return nil, finding.List{finding.New(circuit.IDNoPart, finding.Error, finding.Place{Part: part}, nil)}
	}
	at := p.Terminals()[leg]
	parts := slices.Concat(c.Parts(), []circuit.Part{
		circuit.VoltageSource{Name: humSource, Plus: humSource, Minus: at},
		circuit.Resistor{Name: humSource + ".ohms", A: humSource, B: at, Ohms: circuit.OpenOhms}})
	with, err := circuit.New(parts...)
	if err != nil {
		return nil, err
	}
	return with.Edited(circuit.Move(part, leg, humSource))
}
