package bench

import (
	"cmp"
	"context"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
)

// Findings of a hum hunt.
const (
	// IDNoCoilToTurn: the band has no coil that hum could come in by. band.
	IDNoCoilToTurn finding.ID = "bench.no-coil-to-turn"
	// IDBadMains: no frequency of a mains. read.
	IDBadMains finding.ID = "bench.bad-mains"
	// IDHumUnread (note): no take was given: the ways are as likely as beforehand.
	// No args.
	IDHumUnread finding.ID = "bench.hum-unread"
)

// HumQuestion asks by which way hum comes in. The levels are of the output, dB
// against anything that is the same for all; nil: not taken.
type HumQuestion struct {
	Band                      string  // whose slider is raised; "": the lowest
	Hertz                     float64 // of the mains; 0: 50
	Flat, Up, Shorted, Turned *float64
}

// HumAnswer is what each way does at each take, and which it is.
type HumAnswer struct {
	Band  string         `json:"band"`
	Hertz float64        `json:"hertz"`
	Ways  []fault.HumWay `json:"ways"`
	Taken [4]*float64    `json:"taken"`
	fault.HumVerdict
}

// Hum tells hum's way in from up to four takes.
func (c *Case) Hum(ctx context.Context, q HumQuestion) (*HumAnswer, finding.List, error) {
	plan, err := c.humPlan(q)
	if err != nil {
		return nil, nil, err
	}
	ways, err := fault.HumWays(ctx, plan)
	if list, ok := finding.From(err); ok {
		return nil, nil, located(list, c.job, c.name)
	}
	if err != nil {
		return nil, nil, err
	}
	a := &HumAnswer{Band: c.humBand(q), Hertz: plan.Hertz, Ways: ways, Taken: [4]*float64{q.Flat, q.Up, q.Shorted, q.Turned}}
	a.HumVerdict = fault.Hum(ways, a.Taken)
	if a.Taken == [4]*float64{} {
		return a, finding.List{finding.New(IDHumUnread, finding.Note, finding.Place{}, nil)}, nil
	}
	return a, nil, nil
}

func (c *Case) humBand(q HumQuestion) string {
	if bands := c.equaliser.Bands(); q.Band == "" && len(bands) > 0 {
		return bands[0]
	}
	return q.Band
}

// humPlan says where hum may come in. Where a relay or a lamp lifts the legs no lead
// carries them.
func (c *Case) humPlan(q HumQuestion) (fault.HumPlan, error) {
	band := c.humBand(q)
	whole := c.equaliser.Circuit()
	p := fault.HumPlan{Circuit: whole, Kelvin: c.equaliser.Spec().Kelvin, Hertz: cmp.Or(q.Hertz, usualHertz50),
		Coil: band + ".coil", Source: equaliser.Source, Out: equaliser.OutputPoint}
	set, err := c.setting(band + "=+1")
	if err != nil {
		return p, err
	}
	p.Up = set
	if p.Hertz < 10 || p.Hertz > 1000 {
		return p, finding.New(IDBadMains, finding.Error, finding.Place{File: c.name}, finding.Args{"read": quantity.Hertz(p.Hertz).String()})
	}
	coil, _ := whole.Part(p.Coil)
	if _, ok := coil.(circuit.Inductor); !ok {
		return p, finding.New(IDNoCoilToTurn, finding.Error, finding.Place{File: c.name, Band: band}, finding.Args{"band": band})
	}
	if rail, ok := whole.Part("rail"); ok {
		if _, supply := rail.(circuit.VoltageSource); supply {
			p.Rail = "rail"
		}
	}
	if lift, ok := whole.Part("lift"); ok && len(lift.Terminals()) == 2 && c.job.Lift != nil && cmp.Or(c.job.Lift.By, job.LiftContact) == job.LiftContact {
		p.Lift = "lift"
	}
	return p, nil
}
