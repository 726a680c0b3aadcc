package wiring

import (
	"cmp"
	"context"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/reading"
)

// Expect gives what probes must show of the circuit as it should be. Shows is
// left empty.
func (q Question) Expect(ctx context.Context, probes ...Probe) ([]Line, error) {
	t := &table{q: q}
	spans, err := t.predict(ctx, q.Circuit, q.readings(probes))
	if err != nil {
		return nil, err
	}
	lines := make([]Line, len(probes))
	for i, s := range spans {
		lines[i] = Line{Probe: probes[i], Open: s.open, Ohms: reading.Expected{Low: s.low, Nominal: s.nominal, High: s.high}}
	}
	return lines, nil
}

func (q Question) readings(probes []Probe) (list []reading.Reading) {
	for _, p := range probes {
		list = append(list, reading.Reading{Kind: reading.Ohms, Red: p.Red, Black: p.Black, Setting: p.Setting, Meter: q.Meter})
	}
	return list
}

// Fits gives those of the faults, by number, with which a probe may have read
// so many ohms, or nothing where open. What has no answer fits nothing.
func (q Question) Fits(ctx context.Context, p Probe, ohms float64, open bool, faults []int) (fit []int, err error) {
	t := &table{q: q}
	for _, f := range faults {
		faulty, err := q.Circuit.Edited(q.Faults[f].Edits...)
		if err != nil {
			return nil, err
		}
		spans, err := t.predict(ctx, faulty, q.readings([]Probe{p}))
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			continue
		}
		if s := spans[0]; s.open == open && (open || ohms >= s.low && ohms <= s.high) {
			fit = append(fit, f)
		}
	}
	return fit, nil
}

// Share is a part that a probe's current passes.
type Share struct {
	Part    string  `json:"part"`
	Ohms    float64 `json:"ohms_share"`    // of the whole reading; all parts make 1
	Current float64 `json:"current_share"` // of the meter's: below 1 where paths lie side by side; 0: not told, of a slider within its travel
}

// leastShare is below what anybody would name.
const leastShare = 0.005

// Through names the parts that a probe's current passes, those with most ohms
// first: a resistance is the sum of r·dR/dr over all resistances in it (Euler),
// and dR/dr is the square of the share of the current (Tellegen), but of a track
// of which only some lies in the path. A meter that opens no junction is taken.
func Through(ctx context.Context, c *circuit.Circuit, off circuit.PowerOff, p Probe) ([]Share, error) {
	off.TestVolts, off.TestOhms = 0, 0
	r, err := c.Ohms(ctx, p.Setting, off, p.Red, p.Black)
	if err != nil || r.Open || !(r.Ohms > 0) {
		return nil, err
	}
	var list []Share
	for _, d := range r.By {
		v, err := c.Value(circuit.Knob{Part: d.Part, Value: d.Value})
		if err != nil || v == 0 || d.Value == "Position" {
			continue
		}
		i := slices.IndexFunc(list, func(s Share) bool { return s.Part == d.Part })
		if i < 0 {
			i, list = len(list), append(list, Share{Part: d.Part})
		}
		by := real(d.By)
		list[i].Ohms += by * v / r.Ohms
		if at, slides := p.Setting.Sliders[d.Part]; d.Value != "Track" || slides && math.Abs(at) == 1 {
			list[i].Current = max(list[i].Current, math.Sqrt(max(by, 0)))
		}
	}
	list = slices.DeleteFunc(list, func(s Share) bool { return s.Ohms < leastShare })
	slices.SortStableFunc(list, func(a, b Share) int { return cmp.Or(cmp.Compare(b.Ohms, a.Ohms), cmp.Compare(a.Part, b.Part)) })
	return list, nil
}

// settled is how near to its end a reading is called settled.
const settled = 0.01

// Settles gives about how many seconds a reading creeps until it stands within
// 1 %: the capacitors that the meter charges, each with the resistance across
// it, of which the sum is never less than the slowest time constant. One that
// would move the reading by less than that if it were a short is left out.
// Between points without a path for direct current it is how long the meter's
// highest range, a current of its full scale over its ohms, takes to charge what
// joins them.
func Settles(c *circuit.Circuit, off circuit.PowerOff, meter reading.Meter, p Probe) (float64, error) {
	s := charging{points: []string{p.Red, p.Black}}
	for _, part := range c.Parts() {
		if k, ok := part.(circuit.Capacitor); ok && k.Farads > 0 {
			s.add(k)
		}
	}
	among, err := c.OhmsAmong(p.Setting, off, s.points...)
	if err != nil {
		return 0, err
	}
	s.among = among
	if ohms, open := among.Between(0, 1); !open {
		return s.seconds(ohms), nil
	}
	return meter.MostOhms * min(s.leaving(0), s.leaving(1)), nil
}

// charging is the capacitors that a meter may charge.
type charging struct {
	points []string
	farads []float64
	ends   [][2]int // numbers of points
	among  *circuit.Among
}

func (s *charging) add(k circuit.Capacitor) {
	var ends [2]int
	for i, p := range [...]string{k.A, k.B} {
		at := slices.Index(s.points, p)
		if at < 0 {
			at, s.points = len(s.points), append(s.points, p)
		}
		ends[i] = at
	}
	s.farads, s.ends = append(s.farads, k.Farads), append(s.ends, ends)
}

// seconds sums the time constants of the capacitors that hold a reading up. A
// short across v volts behind r ohms takes v²/r off what 1 A meets.
func (s *charging) seconds(whole float64) float64 {
	sum, moved := 0.0, 0.0
	for i, e := range s.ends {
		across, apart := s.among.Between(e[0], e[1])
		ar, away := s.among.Between(e[0], 0)
		if apart || away || !(across > 0) {
			continue
		}
		br, _ := s.among.Between(e[1], 0)
		ab, _ := s.among.Between(e[0], 1)
		bb, _ := s.among.Between(e[1], 1)
		volts := (ab + br - ar - bb) / 2
		if share := volts * volts / (across * whole); share > settled {
			moved += share
			sum += s.farads[i] * across
		}
	}
	if sum == 0 {
		return 0
	}
	return math.Log(min(moved, 1)/settled) * sum
}

// leaving is the capacitance from all that one lead is joined to, to anything else.
func (s *charging) leaving(lead int) (farads float64) {
	for i, e := range s.ends {
		_, one := s.among.Between(e[0], lead)
		_, other := s.among.Between(e[1], lead)
		if one != other {
			farads += s.farads[i]
		}
	}
	return farads
}
