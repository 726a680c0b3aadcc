package stock

import (
	"fmt"
	"math"

	"bandwright/finding"
)

// What is not believed of a reading. Common practice, no source.
const (
	highQ     = 500.0 // of a coil at audio frequencies
	highLoss  = 0.3   // tan δ
	overQ     = 1.2   // Q read over Q the copper allows
	overTimes = 3.0   // of the tolerance
	slipped   = 2.0   // a unit slip hides in a ratio so near to 1000
	decade    = 1.4   // a decade, in a ratio so near to 10
	bagSize   = 5     // readings that make a bag
	selfApart = 1.3   // self-resonance given over the one that follows
)

// Check looks at parts as they stand in the drawer and warns of values that
// are hardly meant, and of readings that will not tell much.
func Check(parts []Part) finding.List {
	var list finding.List
	for _, p := range parts {
		c := checker{p: p}
		c.part()
		for _, r := range p.Readings {
			c.reading(r)
		}
		list = append(list, c.list...)
	}
	return append(list, bags(parts)...)
}

// checker gathers the findings of one part.
type checker struct {
	p    Part
	list finding.List
}

func (c *checker) warn(id finding.ID, line int, args finding.Args) {
	c.list = append(c.list, finding.New(id, finding.Warning, finding.Place{Line: line, Part: c.p.ID}, args))
}

func (c *checker) part() {
	p := c.p
	if p.Count > 1 && len(p.Readings) > 0 {
		c.warn(IDMeasuredCount, p.Line, finding.Args{"count": p.Count})
	}
	henries := p.Marked
	if r, ok := p.at(1000); ok {
		henries = r.Value
	}
	if p.SelfFarads > 0 && p.SelfResonance > 0 && henries > 0 {
		from := ResonantHertz(henries, p.SelfFarads)
		if nearness(from, p.SelfResonance) > selfApart {
			c.warn(IDSelfMismatch, p.Line, finding.Args{"resonance": p.SelfResonance, "from": from})
		}
	}
}

func (c *checker) reading(r Reading) {
	slip := c.againstMarked(r)
	d, _ := r.loss()
	switch {
	case c.p.Kind == Coil && !slip: // else the Q would only say the same again
		c.impossible(r)
	case c.p.Kind == Capacitor && d > highLoss:
		c.warn(IDHighLoss, r.Line, finding.Args{"d": d, "limit": highLoss})
	}
	for _, f := range c.p.judgeReading(r, 0) {
		f.Place.Line = r.Line
		c.list = append(c.list, f)
	}
}

// impossible warns of a Q that no coil has, or not this one.
func (c *checker) impossible(r Reading) {
	d, known := r.loss()
	if !known {
		return
	}
	q := 1 / d
	if q > highQ {
		c.warn(IDHighQ, r.Line, finding.Args{"q": q, "limit": highQ})
		return
	}
	copper, ok := c.p.dcr()
	if !ok || r.Value == 0 || r.Hertz == 0 {
		return
	}
	series := r.Value
	if r.Mode == Parallel {
		series = SeriesHenries(r.Value, q)
	}
	if most := omega(r.Hertz) * series / copper.DCR; q > overQ*most {
		c.warn(IDQOverCopper, r.Line, finding.Args{"q": q, "most": most, "dcr": copper.DCR, "hertz": r.Hertz})
	}
}

// againstMarked looks for prefixes and points gone astray, and says whether
// one did.
func (c *checker) againstMarked(r Reading) bool {
	p := c.p
	if r.Value == 0 || p.Marked == 0 {
		return false
	}
	ratio := r.Value / p.Marked
	args := finding.Args{"measured": r.Value, "marked": p.Marked, "unit": p.Kind.Unit()}
	for _, slip := range [...]struct {
		id     finding.ID
		factor float64
		near   float64
	}{{IDUnitSlip, 1e3, slipped}, {IDUnitSlip, 1e-3, slipped}, {IDUnitSlip, 1e6, slipped}, {IDUnitSlip, 1e-6, slipped},
		{IDDecadeOff, 10, decade}, {IDDecadeOff, 0.1, decade}} {
		if nearness(ratio, slip.factor) <= slip.near {
			args["factor"] = slip.factor
			c.warn(slip.id, r.Line, args)
			return true
		}
	}
	minus, plus := p.Kind.tolerance(), p.Kind.tolerance()
	if p.Tolerance != nil {
		minus, plus = p.Tolerance.Minus, p.Tolerance.Plus
	}
	side := plus
	if ratio < 1 {
		side = minus
	}
	if math.Abs(ratio-1) > overTimes*side {
		args["deviation"], args["tolerance"] = ratio-1, side
		c.warn(IDBeyondTolerance, r.Line, args)
	}
	return false
}

// judgeReading says how far a reading can be trusted, and, with a band's
// frequency, whether it was taken where coils of its size are.
func (p Part) judgeReading(r Reading, band float64) finding.List {
	var list finding.List
	warn := func(id finding.ID, args finding.Args) {
		list = append(list, finding.New(id, finding.Warning, finding.Place{Part: p.ID}, args))
	}
	if r.Value == 0 || p.Kind == Resistor {
		return nil
	}
	if p.Kind == Coil && r.Hertz == 0 {
		warn(IDNoFrequency, nil)
	}
	d, known := p.lossOf(r)
	if r.Mode == "" && d > 1.0/modeQ {
		series, parallel := r.Value, SeriesHenries(r.Value, 1/d)
		if p.Kind == Capacitor {
			series, parallel = r.Value, SeriesFarads(r.Value, d)
		}
		warn(IDNoMode, finding.Args{"q": 1 / d, "series": series, "parallel": parallel, "unit": p.Kind.Unit()})
	}
	if p.Kind != Coil {
		return list
	}
	if r.Mode == Parallel && !known {
		warn(IDNoLoss, nil)
	}
	if d > 1/lowQ {
		warn(IDLowQ, finding.Args{"q": 1 / d, "limit": lowQ, "hertz": r.Hertz})
	}
	if self := p.resonance(r); self > 0 && r.Hertz > 0 {
		if f := nearSelf(self, r.Hertz, "reading", p); f != nil {
			list = append(list, *f)
		}
	}
	if f := p.elsewhere(r, band); f != nil {
		list = append(list, *f)
	}
	return list
}

// lossOf gives tan δ of a reading, of a coil from its copper where nothing
// better was read.
func (p Part) lossOf(r Reading) (d float64, known bool) {
	if d, known = r.loss(); known {
		return d, true
	}
	copper, ok := p.dcr()
	if !ok || p.Kind != Coil || r.Hertz == 0 {
		return 0, false
	}
	s := seen{kind: Coil, value: r.Value, mode: r.Mode, hertz: r.Hertz, dcr: copper.DCR}
	return copper.DCR / (omega(r.Hertz) * s.seriesHenries()), true
}

// resonance gives the coil's self-resonance, 0 where nothing is known of it.
func (p Part) resonance(r Reading) float64 {
	switch {
	case p.SelfFarads > 0 && r.Hertz > 0:
		return ResonantHertz(TrueHenries(r.Value, p.SelfFarads, r.Hertz), p.SelfFarads)
	case p.SelfFarads > 0:
		return ResonantHertz(r.Value, p.SelfFarads)
	}
	return p.SelfResonance
}

// nearSelf gives the finding for a frequency too near to self-resonance.
func nearSelf(resonance, hertz float64, at string, p Part) *finding.Finding {
	args := finding.Args{"hertz": hertz, "resonance": resonance, "at": at}
	id := IDAboveResonance
	switch ratio := resonance / hertz; {
	case ratio >= fromSelf:
		return nil
	case ratio > 1:
		id, args["ratio"] = IDNearResonance, ratio
	}
	f := finding.New(id, finding.Warning, finding.Place{Part: p.ID}, args)
	return &f
}

// TestFrequency gives the frequency coils of an inductance are read at, and
// further ones that are as good: 1 kHz from 20 mH to 1 H, 100 or 120 Hz above,
// 10 kHz below 20 mH and allowed below 50 mH. Common practice, no source.
func TestFrequency(henries float64) (wanted float64, also []float64) {
	switch {
	case henries > 1:
		return 120, []float64{100}
	case henries >= 0.05:
		return 1000, nil
	case henries >= 0.02:
		return 1000, []float64{10e3}
	}
	return 10e3, []float64{1000}
}

// elsewhere gives the finding for a coil read away from both its band and the
// frequency coils of its size are read at.
func (p Part) elsewhere(r Reading, band float64) *finding.Finding {
	if band == 0 || r.Hertz == 0 || nearness(r.Hertz, band) <= bandAlready {
		return nil
	}
	d, _ := p.lossOf(r)
	henries := r.Value
	if r.Mode == Parallel {
		henries /= 1 + d*d
	}
	wanted, also := TestFrequency(henries)
	for _, hertz := range append(also, wanted) {
		if nearness(r.Hertz, hertz) < 1.1 {
			return nil
		}
	}
	f := finding.New(IDTestFrequency, finding.Warning, finding.Place{Part: p.ID},
		finding.Args{"value": r.Value, "hertz": r.Hertz, "wanted": wanted, "unit": p.Kind.Unit()})
	return &f
}

// bags finds parts of one marking that all lie to one side of it.
func bags(parts []Part) finding.List {
	type bag struct {
		count, line      int
		kind             Kind
		marked, low, top float64
	}
	var order []string
	all := map[string]*bag{}
	for _, p := range parts {
		if !p.Measured() || p.Marked == 0 || p.Tolerance == nil {
			continue
		}
		r, _ := p.at(1000)
		off := r.Value/p.Marked - 1
		key := fmt.Sprint(p.Kind, " ", p.Marked, " ", *p.Tolerance, " ", p.Place)
		b := all[key]
		if b == nil {
			b = &bag{line: p.Line, kind: p.Kind, marked: p.Marked, low: off, top: off}
			all[key] = b
			order = append(order, key)
		}
		b.count++
		b.low, b.top = min(b.low, off), max(b.top, off)
	}
	var list finding.List
	for _, key := range order {
		b := all[key]
		if b.count >= bagSize && b.low*b.top > 0 {
			list = append(list, finding.New(IDBagShifted, finding.Note, finding.Place{Line: b.line},
				finding.Args{"count": b.count, "marked": b.marked, "low": b.low, "high": b.top, "unit": b.kind.Unit()}))
		}
	}
	return list
}
