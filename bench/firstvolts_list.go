package bench

import (
	"cmp"
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/reading"
)

// fill predicts what the list should show.
func (l *stageList) fill(ctx context.Context) error {
	if l.q.Stage == job.StageBench {
		return l.fillBench(ctx)
	}
	l.settleRail()
	c := l.c.equaliser.Circuit()
	points := slices.DeleteFunc(slices.Clone(l.c.Points()), func(p string) bool { return p == generatorPoint })
	at, err := l.atRail(c, l.railVolts())
	if err != nil {
		return err
	}
	if err := l.rows(ctx, at, l.railLimit(), points); err != nil {
		return err
	}
	if l.q.Stage == job.StageLimiter && l.source != "" {
		return l.bounds(ctx, c)
	}
	return nil
}

// sorted puts the rail first, which is read before everything else; then what
// stands at something, the highest first.
func (l *stageList) sorted(list []StageVolts) []StageVolts {
	slices.SortStableFunc(list, func(a, b StageVolts) int { return cmp.Compare(l.height(b), l.height(a)) })
	return list
}

func (l *stageList) height(r StageVolts) float64 {
	if l.answer.Rail != nil && r.Point == l.answer.Rail.Point && r.Black == circuit.Ground {
		return 2 * mostVolts
	}
	return r.Standing()
}

// Standing gives the volts that a point is expected at, either way; 0: too
// little to take a percentage of.
func (r StageVolts) Standing() float64 {
	if r.Shown == nil {
		return 0
	}
	if size := max(r.Shown.Worst.Nominal, -r.Shown.Worst.Nominal); size >= LeastJudged {
		return size
	}
	return 0
}

// settleRail finds what the rail stands at: as read, else the job's scaled by
// the mains, else the job's.
func (l *stageList) settleRail() {
	r := l.answer.Rail
	if r == nil {
		return
	}
	r.Mains = l.q.Mains
	read := l.q.Rail
	if read == nil {
		if taken := l.at(r.Point, circuit.Ground, l.setting); taken != nil {
			if v, open, err := taken.Number(); err == nil && !open && v > 0 {
				read = &v
			}
		}
	}
	found := l.c.job.Found
	switch {
	case read != nil:
		r.Volts, r.From = *read, "read"
		return
	case l.q.Mains != nil && found.Mains != nil && *found.Mains > 0:
		r.Volts, r.From = r.Volts**l.q.Mains/float64(*found.Mains), "mains"
	}
	l.found = append(l.found, finding.New(IDRailUnread, finding.Warning, finding.Place{Point: r.Point}, finding.Args{"from": r.From}))
}

func (l *stageList) railVolts() float64 {
	if l.answer.Rail == nil {
		return 0
	}
	return l.answer.Rail.Volts
}

// How far a rail may be off that nobody has read. Mains move it by a tenth
// (IEC 60038, as quoted by a second text); one scaled by the mains that was read
// is taken to follow within a twentieth (common practice, no source).
const followsWithin = 0.05

func (l *stageList) railLimit() float64 {
	r := l.answer.Rail
	switch {
	case r == nil:
		return 0
	case r.From == "read":
		return l.answer.Meter.Volts.Limit(r.Volts)
	case r.From == "mains":
		return followsWithin * r.Volts
	}
	return max(usualMains, l.supply.Low, l.supply.High) * r.Volts
}

func (l *stageList) atRail(c *circuit.Circuit, volts float64) (*circuit.Circuit, error) {
	if l.source == "" {
		return c, nil
	}
	return c.Edited(circuit.Set(l.source, "DC", volts))
}

// rows predicts every point over ground at the list's setting, and what was
// read elsewhere beside it.
func (l *stageList) rows(ctx context.Context, at *circuit.Circuit, limit float64, points []string) error {
	asked, err := l.asked(points)
	if err != nil {
		return err
	}
	p, err := reading.Predict(ctx, at, asked, l.uncertain(at, limit), reading.Conditions{Kelvin: l.c.equaliser.Spec().Kelvin})
	if err != nil {
		return err
	}
	l.found = append(append(l.found, p.Findings...), standing(IDNotVaried, finding.Note, l.c.unsaid(l.c.lawsOf(SpreadQuestion{})))...)
	for _, row := range p.Rows {
		r := asked[row.Reading]
		v := StageVolts{Point: r.Red, Black: r.Black, Setting: r.Setting.String(), Verdict: NotDone}
		if row.Lack == reading.Nothing {
			v.Shown = &Shown{Likely: row.Likely, Worst: row.Worst}
		}
		l.fillIn(&v, r.Setting)
		l.answer.Rows = append(l.answer.Rows, v)
	}
	l.answer.Rows = l.sorted(l.answer.Rows)
	return nil
}

// asked lists what the meter is to be led to.
func (l *stageList) asked(points []string) ([]reading.Reading, error) {
	var list []reading.Reading
	for _, p := range points {
		list = append(list, reading.Reading{Kind: reading.Volts, Red: p, Black: circuit.Ground, Setting: l.setting, Meter: l.answer.Meter})
	}
	for _, t := range l.taken {
		s, err := l.c.setting(t.Setting)
		if err != nil {
			return nil, err
		}
		r := reading.Reading{Kind: reading.Volts, Red: t.Red, Black: cmp.Or(t.Black, circuit.Ground), Setting: s, Meter: l.answer.Meter}
		known := slices.ContainsFunc(list, func(k reading.Reading) bool {
			return k.Red == r.Red && k.Black == r.Black && k.Setting.String() == r.Setting.String()
		})
		if t.Kind == job.ReadVolts && !known {
			list = append(list, r)
		}
	}
	return list, nil
}

// fillIn puts what was read into a line.
func (l *stageList) fillIn(v *StageVolts, set curve.Setting) {
	t := l.at(v.Point, v.Black, set)
	switch {
	case t != nil:
		if read, open, err := t.Number(); err == nil && !open {
			v.Read = &read
		} else {
			v.Open = true
		}
	case l.q.Rail != nil && l.answer.Rail != nil && v.Point == l.answer.Rail.Point && v.Black == circuit.Ground:
		v.Read = l.q.Rail
	}
}

// at finds the last volts read at a place.
func (l *stageList) at(red, black string, s curve.Setting) *job.Reading {
	for i := len(l.taken) - 1; i >= 0; i-- {
		r := &l.taken[i]
		set, err := l.c.setting(r.Setting)
		if err == nil && r.Kind == job.ReadVolts && r.Red == red && cmp.Or(r.Black, circuit.Ground) == black && set.String() == s.String() {
			return r
		}
	}
	return nil
}

// uncertain is what the list's ranges have: the parts as Expect takes them, the
// rail, and zeners within their tolerance.
func (l *stageList) uncertain(at *circuit.Circuit, limit float64) []reading.Uncertainty {
	var list []reading.Uncertainty
	add := func(u reading.Uncertainty) {
		if v, err := at.Value(u.Knob); err == nil && v != 0 {
			list = append(list, u)
		}
	}
	for _, v := range l.c.lawsOf(SpreadQuestion{}).varied {
		add(v.Law.About(circuit.Knob{Part: v.Part, Value: v.Value}))
	}
	for _, w := range l.c.job.Parts {
		p, _ := at.Part(w.Name)
		if z, is := p.(circuit.Zener); is && w.Tolerance != nil {
			add(reading.Within(circuit.Knob{Part: w.Name, Value: "Volts"}, max(w.Tolerance.Minus, w.Tolerance.Plus)*z.Volts))
		}
	}
	if l.fed != "" && limit > 0 {
		add(reading.Within(circuit.Knob{Part: l.fed, Value: "DC"}, limit))
	}
	return list
}

// A limiter's lamp leaves an amplifier at least this share of its rail (common
// practice, no source).
const lampLeaves = 0.25

// bounds gives what each point must rise to on the limiter, and must never
// exceed: what it shows at a quarter of the rail, and the most that parts at
// their limits allow from there up to a cold rail at high mains.
func (l *stageList) bounds(ctx context.Context, c *circuit.Circuit) error {
	nominal, _ := c.Value(circuit.Knob{Part: l.source, Value: "DC"})
	low, high := (1-usualMains)*nominal, usualColder*(1+usualMains)*nominal
	if l.c.job.Feed != nil {
		high = l.supply.Highest()
	}
	rails := []float64{lampLeaves * nominal, low, nominal, high}
	var lists [][]reading.Row
	for _, volts := range rails {
		at, err := l.atRail(c, volts)
		if err != nil {
			return err
		}
		var asked []reading.Reading
		for _, r := range l.answer.Rows {
			s, err := l.c.setting(r.Setting)
			if err != nil {
				return err
			}
			asked = append(asked, reading.Reading{Kind: reading.Volts, Red: r.Point, Black: r.Black, Setting: s, Meter: l.answer.Meter})
		}
		p, err := reading.Predict(ctx, at, asked, l.uncertain(at, 0), reading.Conditions{Kelvin: l.c.equaliser.Spec().Kelvin})
		if err != nil {
			return err
		}
		lists = append(lists, p.Rows)
	}
	for i := range l.answer.Rows {
		l.answer.Rows[i].bound(lists, i, l.answer.Look)
	}
	return nil
}

func (r *StageVolts) bound(lists [][]reading.Row, i int, look Share) {
	most := look.Above * LeastJudged // a meter that shows a few millivolts is no alarm
	for _, rows := range lists {
		if rows[i].Lack != reading.Nothing {
			return
		}
		most = max(most, rows[i].Worst.High, -rows[i].Worst.Low)
	}
	r.Most = &most
	first, whole := lists[0][i].Worst.Nominal, lists[2][i].Worst.Nominal
	if max(first, -first) >= LeastJudged && max(whole, -whole) >= LeastJudged {
		rises := first * (1 - look.Below)
		r.Rises = &rises
	}
}
