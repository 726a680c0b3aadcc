package bench

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/feed"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/reading"
)

// What can be wrong with a question about first volts, and what its answer
// warns of.
const (
	// IDBadStage (error): no such stage. read, known.
	IDBadStage finding.ID = "bench.bad-stage"
	// IDBadVolts (error): no meter shows this at a rail, a wall or a point. Place:
	// the point, the line. read, what ("rail", "mains", "point", "current").
	IDBadVolts finding.ID = "bench.bad-volts"
	// IDNoReason (error): a stage is to be skipped without a reason, or after the
	// one that is asked for. stage, of.
	IDNoReason finding.ID = "bench.no-reason"
	// IDRailUnread (warning): the volts follow from the rail, and nobody has read
	// it. Place: the point to read. from: "mains" or "job".
	IDRailUnread finding.ID = "bench.rail-unread"
	// IDStageOpen (warning): earlier stages are neither signed nor skipped with a
	// reason. stage, open (names).
	IDStageOpen finding.ID = "bench.stage-open"
	// IDVoltsStop (warning): a reading that ends the work. Place: the point.
	// read, low, high: volts; why, one of "beyond", "exceeds", "does-not-rise".
	IDVoltsStop finding.ID = "bench.volts-stop"
	// IDVoltsLook (warning): a reading that wants a look. Place: the point. read,
	// expected: volts; percent: off by, 0 where hardly anything is expected.
	IDVoltsLook finding.ID = "bench.volts-look"
	// IDBandDead (warning): a band hardly moves. Place: the band. read, predicted:
	// decibels over flat.
	IDBandDead finding.ID = "bench.band-dead"
	// IDBenchPoint (error): the board has no point for the bench supply. read,
	// known.
	IDBenchPoint finding.ID = "bench.bench-point"
	// IDCurrentStop (warning): the board draws what it should not. read,
	// expected: amperes.
	IDCurrentStop finding.ID = "bench.current-stop"
)

// FirstVoltsQuestion asks for the list of one stage of a first power-up.
type FirstVoltsQuestion struct {
	Stage    string   // see job.PowerStages
	Setting  string   // "" is flat
	Rail     *float64 // as read at the tap, volts
	Mains    *float64 // as read at the wall, volts; looked at where the rail is not read
	Amperes  *float64 // that the bench supply shows
	Skipped  []job.PowerStage
	Readings []job.Reading // beside the job's own, which they stand before
}

// FirstVoltsAnswer is the list. Nothing in it says that anything is safe.
type FirstVoltsAnswer struct {
	JobHead
	Stage   string        `json:"stage"`
	Setting string        `json:"setting"`
	Celsius float64       `json:"celsius"`
	Meter   reading.Meter `json:"meter"`
	Pass    Share         `json:"pass"`
	Look    Share         `json:"look"`
	Rail    *StageRail    `json:"rail"` // null: the circuit has none
	Before  []StageBefore `json:"before"`
	Signed  string        `json:"signed"`  // this stage itself, by what the job says
	Skipped string        `json:"skipped"` // the reason
	Supply  *BenchSupply  `json:"supply"`  // null: not on the bench
	Rows    []StageVolts  `json:"rows"`
	Bands   []StageBand   `json:"bands"` // on the bench
	Passed  int           `json:"passed"`
	Looks   int           `json:"looks"`
	Stops   int           `json:"stops"`
	NotDone int           `json:"not_done"`
}

// Share is how far below and above what is expected, as shares.
type Share struct {
	Below float64 `json:"below"`
	Above float64 `json:"above"`
}

// StageRail is the rail that a list follows from.
type StageRail struct {
	Part  string   `json:"part"`
	Point string   `json:"point"` // read here first
	Volts float64  `json:"volts"`
	From  string   `json:"from"`  // "read", "mains" (scaled by it) or "job"
	Mains *float64 `json:"mains"` // at the wall, as read; From says whether it was scaled by that
}

// StageBefore is an earlier stage: signed, skipped for a reason, or open.
type StageBefore struct {
	Stage   string `json:"stage"`
	Signed  string `json:"signed"`
	Skipped string `json:"skipped"` // the reason
	Open    bool   `json:"open"`
}

// BenchSupply is the current-limited supply of the first stage. Nil: not stated,
// not read.
type BenchSupply struct {
	Point   string   `json:"point"`
	Volts   float64  `json:"volts"`
	Limit   *float64 `json:"limit_amperes"`
	Amperes float64  `json:"amperes"` // that the board should draw
	Read    *float64 `json:"read_amperes"`
	Verdict Verdict  `json:"verdict"`
}

// Verdict is what becomes of a reading.
type Verdict string

// The verdicts.
const (
	NotDone Verdict = "NOT DONE"
	Pass    Verdict = "pass"
	Look    Verdict = "look"
	Stop    Verdict = "stop"
)

// StageVolts is one line of the list: what the meter should show, with its
// loading. Nil: nothing stands there by itself; no such bound; not read.
type StageVolts struct {
	Point   string   `json:"point"`
	Black   string   `json:"black"` // "0" is ground
	Setting string   `json:"setting"`
	Shown   *Shown   `json:"shown"`
	Rises   *float64 `json:"must_rise_to"`    // on the limiter, away from 0
	Most    *float64 `json:"must_not_exceed"` // on the limiter, in either direction
	Read    *float64 `json:"read"`
	Open    bool     `json:"open"` // the display had no number
	Off     *float64 `json:"off_percent"`
	Verdict Verdict  `json:"verdict"`
}

// StageBand is whether a band is alive: total gains at its stated centre, dB.
type StageBand struct {
	Band    string   `json:"band"`
	Hz      float64  `json:"hz"`
	Flat    *float64 `json:"flat_db"`
	Up      *float64 `json:"boost_db"`
	Down    *float64 `json:"cut_db"`
	UpAt    string   `json:"boost_setting"`
	Read    *float64 `json:"read_boost_db"`
	Verdict Verdict  `json:"verdict"`
}

// FirstVolts gives the list of one stage and judges what was read against it.
func (c *Case) FirstVolts(ctx context.Context, q FirstVoltsQuestion) (*FirstVoltsAnswer, finding.List, error) {
	l, found, err := c.stage(q)
	if err != nil {
		return nil, nil, err
	}
	a := l.answer
	if err := l.fill(ctx); err != nil {
		if list, ok := finding.From(err); ok {
			return nil, found, located(list, c.job, c.name)
		}
		return nil, nil, err
	}
	l.judge()
	for _, r := range a.Rows {
		a.count(r.Verdict)
	}
	for _, b := range a.Bands {
		a.count(b.Verdict)
	}
	if a.Supply != nil {
		a.count(a.Supply.Verdict)
	}
	return a, once(append(found, located(l.found, c.job, c.name)...)), nil
}

func (a *FirstVoltsAnswer) count(v Verdict) {
	switch v {
	case Pass:
		a.Passed++
	case Look:
		a.Looks++
	case Stop:
		a.Stops++
	case NotDone:
		a.NotDone++
	}
}

// stageList is a list in the making.
type stageList struct {
	c       *Case
	q       FirstVoltsQuestion
	setting curve.Setting
	answer  *FirstVoltsAnswer
	taken   []job.Reading // of this stage, the last of each place
	source  string        // the part that is the rail; "": none
	fed     string        // the one that feeds the list: the rail, or the bench supply
	supply  feed.Supply   // of a job with a feed
	found   finding.List
}

// stage reads the question; everything in it that cannot be is told.
func (c *Case) stage(q FirstVoltsQuestion) (*stageList, finding.List, error) {
	var wrong finding.List
	stages := job.PowerStages()
	if !slices.Contains(stages, q.Stage) {
		wrong = append(wrong, finding.New(IDBadStage, finding.Error, finding.Place{},
			finding.Args{"read": q.Stage, "known": strings.Join(stages, ", ")}))
	}
	for _, v := range [...]struct {
		what string
		read *float64
		most float64
	}{{"rail", q.Rail, mostVolts}, {"mains", q.Mains, mostMains}, {"current", q.Amperes, mostAmperes}} {
		if v.read != nil && !(*v.read > 0 && *v.read <= v.most) {
			wrong = append(wrong, finding.New(IDBadVolts, finding.Error, finding.Place{}, finding.Args{"read": readable(*v.read), "what": v.what}))
		}
	}
	l := &stageList{c: c, q: q}
	set, err := c.setting(q.Setting)
	list, _ := finding.From(err)
	wrong = append(wrong, list...)
	l.setting = set
	p := c.job.PowerUp
	l.answer = &FirstVoltsAnswer{JobHead: c.head(), Stage: q.Stage, Setting: set.String(), Celsius: c.kelvin() - kelvinAtZero, Meter: c.voltmeter(),
		Pass: limitOf(p.Pass, usualPass), Look: limitOf(p.Look, usualLook)}
	if err := l.rail(); err != nil {
		list, _ := finding.From(err)
		wrong = append(wrong, list...)
	}
	wrong = append(append(wrong, l.take()...), l.before()...)
	if err := wrong.Err(); err != nil {
		return nil, nil, err
	}
	return l, nil, nil
}

// Bounds of what a bench meter is ever led to, and of what a wall or a bench
// supply gives: beyond them a number was mistyped. Common practice, no source.
const (
	mostVolts   = 2000
	mostMains   = 500
	mostAmperes = 100
)

// Limits that stand where the job states none. Common practice, no source.
const (
	usualPass = 0.1
	usualLook = 0.2
)

func limitOf(t *quantity.Tolerance, usual float64) Share {
	if t == nil {
		return Share{Below: usual, Above: usual}
	}
	return Share{Below: t.Minus, Above: t.Plus}
}

// voltmeter is the bench's meter: an ordinary one, with the job's input.
func (c *Case) voltmeter() reading.Meter {
	m := reading.HandMeter()
	m.InputOhms = cmp.Or(float64(given(c.job.PowerUp.Meter)), m.InputOhms)
	return m
}

// rail finds the source that everything follows from.
func (l *stageList) rail() error {
	name := usualRail
	if l.c.job.Feed != nil {
		var err error
		if l.supply, err = l.c.supply(); err != nil {
			return err
		}
		name = l.supply.Rail
	}
	p, _ := l.c.equaliser.Circuit().Part(name)
	source, is := p.(circuit.VoltageSource)
	if !is {
		return nil // an ideal driver, or one whose rails are not drawn
	}
	l.source, l.fed = name, name
	l.answer.Rail = &StageRail{Part: name, Point: source.Plus, Volts: source.DC, From: "job"}
	return nil
}

// take gathers the readings of the stage, the later before the earlier, and
// refuses what cannot have been read.
func (l *stageList) take() finding.List {
	var wrong finding.List
	jobs := len(l.c.job.Readings)
	for i, r := range append(slices.Clone(l.c.job.Readings), l.q.Readings...) {
		gain := r.Kind == job.ReadGain
		if !r.Taken() || r.Kind == job.ReadOhms || r.Stage != "" && r.Stage != l.q.Stage || r.Stage == "" && i < jobs {
			continue // a job's reading without a stage is of the finished amplifier
		}
		at := finding.Place{File: r.File, Line: r.Line, Point: r.Red, Setting: r.Setting}
		if i < jobs {
			at.File = l.c.name
		}
		v, _, err := r.Number()
		list, _ := finding.From(err)
		wrong = append(wrong, list...)
		if !gain && !(v >= -mostVolts && v <= mostVolts) {
			wrong = append(wrong, finding.New(IDBadVolts, finding.Error, at, finding.Args{"read": readable(v), "what": "point"}))
		}
		for _, point := range []string{r.Red, r.Black} {
			if point != "" && point != circuit.Ground && !slices.Contains(l.c.Points(), point) {
				at.Point = point
				wrong = append(wrong, finding.New(circuit.IDNoPoint, finding.Error, at, nil))
			}
		}
		if _, err := l.c.setting(r.Setting); err != nil {
			list, _ := finding.From(err)
			wrong = append(wrong, list...)
		}
		l.taken = append(l.taken, r)
	}
	return wrong
}

// before says how the earlier stages stand.
func (l *stageList) before() finding.List {
	var wrong finding.List
	stages := job.PowerStages()
	here := slices.Index(stages, l.q.Stage)
	said := append(slices.Clone(l.c.job.PowerUp.Stages), l.q.Skipped...)
	for _, s := range l.q.Skipped {
		if i := slices.Index(stages, s.Stage); i < 0 || i >= here || strings.TrimSpace(s.Skipped) == "" {
			wrong = append(wrong, finding.New(IDNoReason, finding.Error, finding.Place{}, finding.Args{"stage": s.Stage, "of": l.q.Stage}))
		}
	}
	var open []string
	for i, name := range stages[:here+1] {
		b := StageBefore{Stage: name}
		for _, s := range said {
			if s.Stage == name {
				b.Signed, b.Skipped = cmp.Or(s.Signed, b.Signed), cmp.Or(s.Skipped, b.Skipped)
			}
		}
		if i == here {
			l.answer.Signed, l.answer.Skipped = b.Signed, b.Skipped
			break
		}
		if b.Open = b.Signed == "" && b.Skipped == ""; b.Open {
			open = append(open, name)
		}
		l.answer.Before = append(l.answer.Before, b)
	}
	if len(open) > 0 {
		l.found = append(l.found, finding.New(IDStageOpen, finding.Warning, finding.Place{},
			finding.Args{"stage": l.q.Stage, "open": strings.Join(open, ", ")}))
	}
	return wrong
}

// readable gives a number as an argument of a finding: as text where JSON has
// no number for it.
func readable(v float64) any {
	if v-v != 0 {
		return "no number"
	}
	return v
}
