package reading

import (
	"context"
	"fmt"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
)

// asker puts one reading after the other to a circuit.
type asker struct {
	circuit *circuit.Circuit
	parts   []Uncertainty
	cond    Conditions
	knobs   map[circuit.Knob]int
	states  map[string]*circuit.State // by setting and load
	met     []bool                    // by uncertainty: some derivative by it came back
	live    bool                      // some reading was taken with the power on
	found   finding.List
}

func newAsker(c *circuit.Circuit, parts []Uncertainty, cond Conditions) *asker {
	a := &asker{
		circuit: c, parts: parts, cond: cond, met: make([]bool, len(parts)),
		knobs: map[circuit.Knob]int{}, states: map[string]*circuit.State{},
	}
	for k, u := range parts {
		a.knobs[u.Knob] = k
	}
	return a
}

func (a *asker) ask(ctx context.Context, r Reading) ([]Row, error) {
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	switch r.Kind {
	case Volts:
		return a.volts(ctx, r)
	case Ohms:
		return a.ohms(ctx, r)
	}
	return a.gain(ctx, r)
}

// add gathers derivatives by knob.
func (a *asker) add(by []float64, list []circuit.Derivative, slope func(complex128) float64) {
	for _, d := range list {
		if k, ok := a.knobs[circuit.Knob{Part: d.Part, Value: d.Value}]; ok {
			by[k] += slope(d.By)
			a.met[k] = true
		}
	}
}

func (a *asker) row(nominal float64) Row {
	nominal += 0 // −0 is none on a display
	return Row{Worst: Expected{Nominal: nominal}, By: make([]float64, len(a.parts))}
}

// volts are read with the meter in place: its resistance is part of the
// circuit.
func (a *asker) volts(ctx context.Context, r Reading) ([]Row, error) {
	a.live = true
	cond := circuit.Conditions{Kelvin: a.cond.Kelvin}
	v, err := a.circuit.Voltmeter(ctx, r.Setting, cond, r.Meter.InputOhms, r.Red, r.black())
	if err != nil {
		return nil, err
	}
	if v.Floating {
		return []Row{{Lack: Floating}}, nil
	}
	row := a.row(v.Volts)
	a.add(row.By, v.By, func(by complex128) float64 { return real(by) })
	if most := r.Meter.MostVolts; most > 0 && math.Abs(row.Worst.Nominal) > most {
		a.found = append(a.found, finding.New(IDOverRange, finding.Warning,
			finding.Place{Point: r.Red, Setting: r.Setting.String()},
			finding.Args{"volts": row.Worst.Nominal, "most": most, "instrument": r.Meter.Name}))
	}
	return []Row{row}, nil
}

func (a *asker) ohms(ctx context.Context, r Reading) ([]Row, error) {
	off := circuit.PowerOff{
		Kelvin: a.cond.Kelvin, SourceOhms: a.cond.SourceOhms,
		TestVolts: r.Meter.TestVolts, TestOhms: r.Meter.TestSeries,
	}
	res, err := a.circuit.Ohms(ctx, r.Setting, off, r.Red, r.black())
	if err != nil {
		return nil, err
	}
	if most := r.Meter.MostOhms; res.Open || most > 0 && res.Ohms > most {
		return []Row{{Lack: Open}}, nil
	}
	row := a.row(res.Ohms)
	a.add(row.By, res.By, func(by complex128) float64 { return real(by) })
	return []Row{row}, nil
}

// gain is the gain at a setting, less that at another if so asked. One that is
// silent at either has no decibels.
func (a *asker) gain(ctx context.Context, r Reading) ([]Row, error) {
	rows, err := a.gains(ctx, r)
	if err != nil || r.Less == nil {
		return rows, err
	}
	r.Setting = *r.Less
	less, err := a.gains(ctx, r)
	if err != nil {
		return nil, err
	}
	for i, l := range less {
		if rows[i].Lack != Nothing || l.Lack != Nothing {
			rows[i] = Row{Hz: l.Hz, Lack: Silent}
			continue
		}
		rows[i].Worst.Nominal -= l.Worst.Nominal
		for k, by := range l.By {
			rows[i].By[k] -= by
		}
	}
	return rows, nil
}

// gains: with G = 20·lg|H|, dG = (20/ln 10)·Re(dH/H).
func (a *asker) gains(ctx context.Context, r Reading) ([]Row, error) {
	st, err := a.loaded(ctx, r)
	if err != nil {
		return nil, err
	}
	if len(a.parts) == 0 {
		return a.plainGain(ctx, st, r)
	}
	red, err := st.Sensitivities(ctx, r.Source, r.Red, r.Hz)
	if err != nil {
		return nil, err
	}
	var black []circuit.Sensitivity // of ground: none
	if r.black() != circuit.Ground {
		if black, err = st.Sensitivities(ctx, r.Source, r.black(), r.Hz); err != nil {
			return nil, err
		}
	}
	rows := make([]Row, len(r.Hz))
	for i, hz := range r.Hz {
		rows[i] = a.gainRow(red[i], black, i)
		rows[i].Hz = hz
	}
	return rows, nil
}

func (a *asker) gainRow(red circuit.Sensitivity, black []circuit.Sensitivity, i int) Row {
	gain := red.Gain
	if black != nil {
		gain -= black[i].Gain
	}
	db, ok := circuit.Decibels(gain)
	if !ok {
		return Row{Lack: Silent}
	}
	row := a.row(db)
	a.add(row.By, red.By, func(by complex128) float64 { return 20 / math.Ln10 * real(by/gain) })
	if black != nil {
		a.add(row.By, black[i].By, func(by complex128) float64 { return -20 / math.Ln10 * real(by/gain) })
	}
	return row
}

// plainGain is gain without derivatives, all frequencies at once.
func (a *asker) plainGain(ctx context.Context, st *circuit.State, r Reading) ([]Row, error) {
	res, err := st.Response(ctx, r.Source, []string{r.Red, r.black()}, r.Hz)
	if err != nil {
		return nil, err
	}
	rows := make([]Row, 0, len(r.Hz))
	for k, hz := range r.Hz {
		row := Row{Lack: Silent}
		if db, ok := circuit.Decibels(res.Gains[0][k] - res.Gains[1][k]); ok {
			row = a.row(db)
		}
		row.Hz = hz
		rows = append(rows, row)
	}
	return rows, nil
}

// loaded gives the circuit with the instrument's input on it, solved. States
// are kept: many curves share a setting and a place to take them.
func (a *asker) loaded(ctx context.Context, r Reading) (*circuit.State, error) {
	if err := a.checkPoints(r); err != nil {
		return nil, err
	}
	a.live = true
	key, ohms, farads := r.Setting.String(), r.Interface.Ohms, r.Interface.Farads
	if ohms > 0 || farads > 0 {
		key += fmt.Sprintf(" %q %q %v %v", r.Red, r.black(), ohms, farads)
	}
	if st, ok := a.states[key]; ok {
		return st, nil
	}
	c, err := a.withLoad(r, ohms, farads)
	if err != nil {
		return nil, err
	}
	st, err := c.Solve(ctx, r.Setting, circuit.Conditions{Kelvin: a.cond.Kelvin})
	if err != nil {
		return nil, err
	}
	a.states[key] = st
	a.found = append(a.found, st.Findings()...)
	return st, nil
}

func (a *asker) withLoad(r Reading, ohms, farads float64) (*circuit.Circuit, error) {
	parts := append([]circuit.Part(nil), a.circuit.Parts()...)
	if ohms > 0 {
		parts = append(parts, circuit.Resistor{Name: a.unused("instrument.ohms"), A: r.Red, B: r.black(), Ohms: ohms})
	}
	if farads > 0 {
		parts = append(parts, circuit.Capacitor{Name: a.unused("instrument.farads"), A: r.Red, B: r.black(), Farads: farads})
	}
	if len(parts) == len(a.circuit.Parts()) {
		return a.circuit, nil
	}
	return circuit.New(parts...)
}

// unused gives a name that no part of the circuit has.
func (a *asker) unused(name string) string {
	for {
		if _, taken := a.circuit.Part(name); !taken {
			return name
		}
		name += "'"
	}
}

// checkPoints: a load on a point that is not there would make it be there.
func (a *asker) checkPoints(r Reading) error {
	var found finding.List
	for _, point := range []string{r.Red, r.black()} {
		if !slices.Contains(a.circuit.Points(), point) && point != circuit.Ground {
			found = append(found, finding.New(circuit.IDNoPoint, finding.Error,
				finding.Place{Point: point, Setting: r.Setting.String()}, nil))
		}
	}
	return found.Err()
}
