package bench

import (
	"context"

	"bandwright/circuit"
	"bandwright/wiring"
)

// lay writes the list out, in the order in which it is worked down.
func (l *ohmsList) lay(ctx context.Context) error {
	a := l.answer
	a.Probes, a.Lines = l.made.Probes, len(l.made.Lines)
	if l.q.List == ListFull {
		a.Bound, a.Gap = l.made.Bound, len(l.made.Lines)-l.made.Bound
	}
	for i, f := range l.faults {
		a.Faults = append(a.Faults, OhmsFault{Number: i + 1, Slip: f.Slip, Label: f.Label, Prior: f.Prior, Lines: []int{}})
	}
	for _, u := range l.made.Unseen {
		a.Faults[u.Fault].Hidden = u.Why
	}
	for i, line := range l.made.Lines {
		row, err := l.row(ctx, line)
		if err != nil {
			return err
		}
		row.Number = i + 1
		for _, f := range line.Shows {
			row.Catches = append(row.Catches, f+1)
			a.Faults[f].Lines = append(a.Faults[f].Lines, row.Number)
		}
		if n := len(a.Groups); n == 0 || a.Groups[n-1].Black != row.Black {
			a.Groups = append(a.Groups, OhmsGroup{Black: row.Black})
		}
		g := &a.Groups[len(a.Groups)-1]
		g.Rows = append(g.Rows, row)
	}
	for _, f := range a.Faults {
		if len(f.Lines) > 0 {
			a.Caught++
		}
	}
	return nil
}

// row is one probe with what it must show.
func (l *ohmsList) row(ctx context.Context, line wiring.Line) (OhmsRow, error) {
	row := OhmsRow{Red: line.Red, Black: line.Black, Setting: line.Setting.String(), Open: line.Open,
		Through: []wiring.Share{}, Catches: []int{}, Fits: []int{}, Verdict: NotDone}
	off := l.off()
	if !line.Open {
		ohms := line.Ohms
		row.Ohms = &ohms
		through, err := wiring.Through(ctx, l.ask.Circuit, off, line.Probe)
		if err != nil {
			return row, err
		}
		row.Through = append(row.Through, through...)
	}
	var err error
	row.Settles, err = wiring.Settles(l.ask.Circuit, off, l.ask.Meter, line.Probe)
	return row, err
}

// off is what a meter meets in the dead circuit.
func (l *ohmsList) off() circuit.PowerOff {
	return circuit.PowerOff{Kelvin: l.ask.Cond.Kelvin, SourceOhms: l.ask.Cond.SourceOhms}
}
