package bench

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/wiring"
)

// Where a reading that is not as expected wants a look, and beyond which it
// stops the work. Common practice, no source, but connectorOhms, which stands for
// joints through connectors (TRADE: 0.5 ohm).
const (
	lookShare     = 0.2 // beyond the range, of the nominal ohms
	connectorOhms = 0.5 // or so many ohms
	creepingOhms  = 1e6 // from here an open reading may still be rising
)

// ohmsTaken is a reading as it was understood.
type ohmsTaken struct {
	wiring.Probe
	ohms float64
	open bool
	line int
	note string
}

// taken reads what was entered: the question's readings, then the job's. Every
// one that cannot be is named.
func (l *ohmsList) taken() (list []ohmsTaken, found finding.List, err error) {
	var wrong finding.List
	var aside []string
	all := slices.Clone(l.q.Readings)
	if !l.q.NoJob {
		all = append(all, l.c.job.Readings...)
	}
	for i, r := range all {
		file := l.c.name
		if i < len(l.q.Readings) {
			if file = l.q.File; file == "" {
				r.Line = 0
			}
		}
		switch {
		case !r.Taken() || r.Kind != job.ReadOhms:
		case r.Stage != "" && r.Stage != l.q.Stage:
			aside = append(aside, r.Stage)
		default:
			t, bad := l.takeUp(r)
			for k := range bad {
				at := &bad[k].Place
				at.Line, at.Point, at.File = cmp.Or(at.Line, r.Line), cmp.Or(at.Point, r.Red), cmp.Or(at.File, file)
			}
			wrong, list = append(wrong, bad...), append(list, t)
		}
	}
	if len(aside) > 0 {
		slices.Sort(aside)
		found = append(found, finding.New(IDOhmsOther, finding.Note, finding.Place{},
			finding.Args{"count": len(aside), "stages": strings.Join(slices.Compact(aside), ", ")}))
	}
	return list, found, wrong.Err()
}

// takeUp understands one reading.
func (l *ohmsList) takeUp(r job.Reading) (t ohmsTaken, wrong finding.List) {
	add := func(err error) {
		list, _ := finding.From(err)
		wrong = append(wrong, list...)
	}
	t = ohmsTaken{line: r.Line, note: r.Note}
	t.Red, t.Black = r.Red, cmp.Or(r.Black, circuit.Ground)
	var err error
	t.ohms, t.open, err = r.Number()
	add(err)
	t.Setting, err = l.at.setting(r.Setting)
	add(err)
	add(l.at.leads(t.Red, t.Black))
	if most := l.answer.Meter.MostOhms; err == nil && !t.open && (t.ohms < 0 || t.ohms > most) {
		wrong = append(wrong, finding.New(IDBadOhms, finding.Error, finding.Place{Point: t.Red, Setting: r.Setting},
			finding.Args{"read": t.ohms, "most": most}))
	}
	return t, wrong
}

// leads checks the two points that a meter is held to.
func (c *Case) leads(red, black string) error {
	var wrong finding.List
	for _, p := range [...]string{red, black} {
		if p != circuit.Ground && (p == generatorPoint || !slices.Contains(c.Points(), p)) {
			wrong = append(wrong, finding.New(circuit.IDNoPoint, finding.Error, finding.Place{Point: p}, nil))
		}
	}
	if red == black {
		wrong = append(wrong, finding.New(IDOneLead, finding.Error, finding.Place{Point: red}, nil))
	}
	return wrong.Err()
}

// judge holds what was read against the list. Nothing is judged before somebody
// has signed that all is dead.
func (l *ohmsList) judge(ctx context.Context, taken []ohmsTaken) (found finding.List, err error) {
	a := l.answer
	if len(taken) > 0 && !a.Dead.Signed {
		found = append(found, finding.New(IDNotDead, finding.Warning, finding.Place{}, finding.Args{"count": len(taken)}))
	}
	for _, t := range taken {
		row := l.rowOf(t)
		if row == nil {
			if row, err = l.other(ctx, t); err != nil {
				return nil, err
			}
		}
		row.Shown, row.Line, row.Note, row.Read = true, t.line, t.note, nil
		if !t.open {
			row.Read = number(t.ohms)
		}
		if a.Dead.Signed {
			if row.Verdict = ohmsVerdict(row); row.Verdict != Pass {
				if err := l.fits(ctx, row, t); err != nil {
					return nil, err
				}
			}
		}
	}
	for _, g := range a.Groups {
		found = append(found, l.tally(g.Rows)...)
	}
	return append(found, l.tally(a.Others)...), nil
}

// rowOf finds the line that a reading is of; either way round, for the meter
// opens no junction.
func (l *ohmsList) rowOf(t ohmsTaken) *OhmsRow {
	is := func(r OhmsRow) bool {
		return r.Setting == t.Setting.String() && (r.Red == t.Red && r.Black == t.Black || r.Red == t.Black && r.Black == t.Red)
	}
	for g := range l.answer.Groups {
		rows := l.answer.Groups[g].Rows
		if i := slices.IndexFunc(rows, is); i >= 0 {
			return &rows[i]
		}
	}
	if i := slices.IndexFunc(l.answer.Others, is); i >= 0 {
		return &l.answer.Others[i]
	}
	return nil
}

// other puts a reading of other points beside the list.
func (l *ohmsList) other(ctx context.Context, t ohmsTaken) (*OhmsRow, error) {
	lines, err := l.ask.Expect(ctx, t.Probe)
	if err != nil {
		return nil, err
	}
	row, err := l.row(ctx, lines[0])
	if err != nil {
		return nil, err
	}
	l.answer.Others = append(l.answer.Others, row)
	return &l.answer.Others[len(l.answer.Others)-1], nil
}

// ohmsVerdict judges one line.
func ohmsVerdict(r *OhmsRow) Verdict {
	switch {
	case r.Open && r.Read == nil:
		return Pass
	case r.Open && *r.Read >= creepingOhms:
		return Look
	case r.Open || r.Read == nil:
		return Stop
	case r.Ohms.Holds(*r.Read):
		return Pass
	}
	margin := max(lookShare*r.Ohms.Nominal, connectorOhms)
	if *r.Read >= r.Ohms.Low-margin && *r.Read <= r.Ohms.High+margin {
		return Look
	}
	return Stop
}

// fits names the faults that would read so.
func (l *ohmsList) fits(ctx context.Context, row *OhmsRow, t ohmsTaken) error {
	among := make([]int, 0, len(l.faults))
	for f := range l.faults {
		if row.Number == 0 || slices.Contains(row.Catches, f+1) {
			among = append(among, f)
		}
	}
	fit, err := l.ask.Fits(ctx, wiring.Probe{Red: row.Red, Black: row.Black, Setting: t.Setting}, t.ohms, t.open, among)
	for _, f := range fit {
		row.Fits = append(row.Fits, f+1)
	}
	return err
}

// tally counts verdicts, and words what is not as expected.
func (l *ohmsList) tally(rows []OhmsRow) (found finding.List) {
	for _, r := range rows {
		switch id := IDOhmsLook; r.Verdict {
		case NotDone:
			l.answer.NotDone++
		case Pass:
			l.answer.Passed++
		case Stop, Look:
			if l.answer.Looks++; r.Verdict == Stop {
				l.answer.Looks, l.answer.Stops, id = l.answer.Looks-1, l.answer.Stops+1, IDOhmsStop
			}
			args := finding.Args{"black": r.Black, "read": job.ReadOpen, "open": r.Open}
			if r.Read != nil {
				args["read"] = *r.Read
			}
			if r.Ohms != nil {
				args["low"], args["high"] = r.Ohms.Low, r.Ohms.High
			}
			found = append(found, finding.New(id, finding.Warning, finding.Place{Point: r.Red, Setting: r.Setting}, args))
		}
	}
	return found
}

// IDOneLead (error): both leads are on one point. Place: the point.
const IDOneLead finding.ID = "bench.one-lead"
