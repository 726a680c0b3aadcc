package bench

import (
	"cmp"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/reading"
)

// allowed lists what a person may read: ohms across every part, and across contacts
// at each position of their switch; volts at every point; curves at the output.
func (c *Case) allowed() []fault.Allowed {
	var l allowedList
	whole := c.equaliser.Circuit()
	for _, p := range whole.Parts() {
		switch q := p.(type) {
		case circuit.Contact:
			l.contact(whole, q)
		case circuit.VoltageSource, circuit.CurrentSource, circuit.Coupling, circuit.Switch:
		default:
			legs := q.Terminals()
			for i := 1; i < len(legs); i++ {
				l.ohms(legs[i-1], legs[i], curve.Setting{})
			}
		}
	}
	for _, point := range c.Points() {
		if point != generatorPoint {
			l.add(reading.Reading{Kind: reading.Volts, Red: point, Meter: reading.HandMeter()})
		}
	}
	for _, s := range c.Settings() {
		if len(s.Setting.Sliders) > 1 {
			continue // all up and all down tell nothing that one band does not
		}
		l.add(reading.Reading{Kind: reading.Gain, Red: equaliser.OutputPoint, Source: equaliser.Source, Setting: s.Setting,
			Hz: judged(), Interface: reading.LineInput()})
	}
	return l
}

// allowedList gathers readings, each once.
type allowedList []fault.Allowed

func (l *allowedList) add(r reading.Reading) {
	if r.Red == circuit.Ground {
		r.Red, r.Black = r.Black, r.Red
	}
	if r.Red != r.Black && !slices.ContainsFunc(*l, func(a fault.Allowed) bool { return fault.Same(a.Reading, r) }) {
		*l = append(*l, fault.Allowed{Reading: r, Effort: effort(r)})
	}
}

func (l *allowedList) ohms(a, b string, s curve.Setting) {
	if !slices.Contains([]string{a, b}, generatorPoint) {
		l.add(reading.Reading{Kind: reading.Ohms, Red: a, Black: b, Setting: s, Meter: reading.HandMeter()})
	}
}

// contact is read at every position of its switch.
func (l *allowedList) contact(whole *circuit.Circuit, q circuit.Contact) {
	l.ohms(q.A, q.B, curve.Setting{})
	for _, s := range whole.Switches() {
		if s.Name != q.Switch {
			continue
		}
		for _, position := range s.Positions[1:] {
			l.ohms(q.A, q.B, curve.Setting{}.WithSwitch(s.Name, position))
		}
	}
}

func judged() []float64 { return curve.Grid(judgedLow, judgedHigh, judgedPerOctave) }

// generatorPoint lies inside the amplifier's own source: no lead reaches it.
const generatorPoint = "generator"

func effort(r reading.Reading) float64 {
	switch r.Kind {
	case reading.Ohms:
		return ohmsEffort
	case reading.Volts:
		return voltsEffort
	}
	return curveEffort
}

// takenUp turns readings as written into readings of this circuit. With curves the
// case is the one that they were taken of.
func (c *Case) takenUp(q FaultsQuestion) (*Case, []fault.Taken, finding.List, error) {
	taken, found, err := c.asWritten(q.Readings)
	if err != nil {
		return nil, nil, found, err
	}
	if q.Unit != "" {
		fed, err := c.asTaken()
		if err != nil {
			return nil, nil, found, err
		}
		curves, more := fed.curvesTaken(q.Unit)
		if len(curves)+len(more) == 0 {
			return nil, nil, found, finding.New(IDNoUnit, finding.Error, finding.Place{File: c.name},
				finding.Args{"unit": q.Unit, "known": strings.Join(c.measuredUnits(), ", ")})
		}
		c, taken, found = fed, append(taken, curves...), append(found, more...)
	}
	if len(taken) == 0 {
		found = append(found, finding.New(IDNothingRead, finding.Note, finding.Place{}, nil))
	}
	return c, taken, found, nil
}

// otherStage says whether a reading was taken of another circuit than this one.
func (c *Case) otherStage(stage string) bool {
	switch stage {
	case StageComplete:
		return c.asMade
	case StageAsMade:
		return !c.asMade
	}
	return slices.Contains([]string{StageLoose, StageLastOpen, job.StageBench, job.StageLimiter}, stage)
}

// asWritten takes up the readings that were taken of the whole on its rail; every
// one that cannot be is told.
func (c *Case) asWritten(readings []job.Reading) (taken []fault.Taken, found finding.List, err error) {
	var wrong finding.List
	var aside []string
	for _, r := range readings {
		switch {
		case !r.Taken():
		case c.otherStage(r.Stage):
			aside = append(aside, r.Stage)
		default:
			k, err := c.takeUp(r)
			if err == nil {
				err = k.Check().Err()
			}
			if list, ok := finding.From(err); ok {
				for i := range list {
					list[i].Place.Line = cmp.Or(list[i].Place.Line, r.Line)
					list[i].Place.Point = cmp.Or(list[i].Place.Point, r.Red)
				}
				wrong = append(wrong, list...)
				continue
			}
			taken = gathered(taken, k)
		}
	}
	if len(aside) > 0 {
		slices.Sort(aside)
		found = append(found, finding.New(IDOtherStage, finding.Note, finding.Place{},
			finding.Args{"count": len(aside), "stages": strings.Join(slices.Compact(aside), ", ")}))
	}
	return taken, found, located(wrong, c.job, c.name).Err()
}

func (c *Case) takeUp(r job.Reading) (fault.Taken, error) {
	value, open, err := r.Number()
	if err != nil {
		return fault.Taken{}, err
	}
	s, err := c.setting(r.Setting)
	if err != nil {
		return fault.Taken{}, err
	}
	k := fault.Taken{Reading: reading.Reading{Kind: reading.Kind(r.Kind), Red: r.Red, Black: r.Black, Setting: s}, Open: open}
	if !open {
		k.Values = []float64{value}
	}
	if k.Kind != reading.Gain {
		k.Meter = reading.HandMeter()
		return k, nil
	}
	k.Interface = reading.LineInput()
	if r.At != nil {
		k.Hz = []float64{float64(*r.At)}
	}
	return k, c.settle(&k.Reading)
}

// gathered puts gains at one place and setting together to one curve.
func gathered(taken []fault.Taken, k fault.Taken) []fault.Taken {
	if k.Kind == reading.Gain && !k.Open {
		for i, other := range taken {
			plain := k.Reading
			plain.Hz = other.Hz
			at, twice := slices.BinarySearch(other.Hz, k.Hz[0])
			if !other.Open && !twice && fault.Same(plain, other.Reading) {
				taken[i].Hz = slices.Insert(slices.Clone(other.Hz), at, k.Hz[0])
				taken[i].Values = slices.Insert(slices.Clone(other.Values), at, k.Values[0])
				return taken
			}
		}
	}
	return append(taken, k)
}

// measuredUnits names the amplifiers that the job has measured curves of.
func (c *Case) measuredUnits() (names []string) {
	for _, u := range c.units() {
		if u.role == "measured" {
			names = append(names, u.name)
		}
	}
	return names
}

// freeLevel is the interface of a curve from a file: its level is not known.
func freeLevel() reading.Interface {
	return reading.Interface{Name: "curve file", LevelDB: 40, PointDB: 0.05}
}

// curvesTaken are the job's measured curves at the frequencies that causes are
// judged at.
func (c *Case) curvesTaken(unit string) (list []fault.Taken, found finding.List) {
	for _, t := range c.curves {
		if t.Role != "measured" || t.Unit != unit {
			continue
		}
		k := fault.Taken{Reading: reading.Reading{Kind: reading.Gain, Red: equaliser.OutputPoint, Source: equaliser.Source,
			Setting: t.setting, Interface: freeLevel()}}
		span := t.curve.Span()
		for _, hz := range judged() {
			if hz >= span.Low && hz <= span.High {
				k.Hz = append(k.Hz, hz)
			}
		}
		at, _, err := curve.Resample(t.curve, k.Hz)
		if k.Values = at.DB; len(k.Hz) == 0 || err != nil {
			found = append(found, finding.New(IDCurveOutside, finding.Note, finding.Place{Setting: t.setting.String()}, finding.Args{"curve": t.curve.Name}))
			continue
		}
		list = append(list, k)
	}
	return list, found
}
