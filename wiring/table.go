package wiring

import (
	"context"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/reading"
)

// table holds which probe shows which fault. A probe's number is its setting's
// times the number of pairs, plus its pair's.
type table struct {
	q         Question
	pairs     [][2]int // of points
	probes    []int
	healthy   []span
	shows     [][]int // by probe: faults, ascending
	hidden    []Hidden
	proven    map[int]reading.Expected
	asked     map[int]bool // probes proven already
	eitherWay bool
}

// span is the worst-case range of one reading, or that it must be open.
type span struct {
	open      bool
	nominal   float64
	low, high float64
}

// apart says whether two readings cannot be taken for each other.
func (a span) apart(b span) bool {
	if a.open || b.open {
		return a.open != b.open
	}
	return a.high < b.low || b.high < a.low
}

// table compares every probe under every fault.
func (q Question) table(ctx context.Context) (*table, error) {
	t := &table{q: q, hidden: make([]Hidden, len(q.Faults)), proven: map[int]reading.Expected{}, asked: map[int]bool{},
		eitherWay: q.Meter.TestVolts < circuit.JunctionVolts}
	for i := range q.Points {
		for j := i + 1; j < len(q.Points); j++ {
			t.pairs = append(t.pairs, [2]int{i, j})
		}
	}
	t.probes = index(len(t.pairs) * len(q.Settings))
	t.shows = make([][]int, len(t.probes))
	healthy, err := t.spans(ctx, q.Circuit)
	if err != nil {
		return nil, err
	}
	t.healthy = healthy
	return t, t.everyFault(ctx)
}

// everyFault carries every fault out, several at a time, and takes them up in
// their order.
func (t *table) everyFault(ctx context.Context) error {
	ctx, stop := context.WithCancel(ctx)
	defer stop()
	type carried struct {
		spans []span
		err   error
	}
	out := make([]chan carried, len(t.q.Faults))
	for f := range out {
		out[f] = make(chan carried, 1)
	}
	workers := max(t.q.Workers, 1)
	for w := range workers {
		go func() {
			for f := w; f < len(out); f += workers {
				spans, err := t.faulty(ctx, t.q.Faults[f])
				out[f] <- carried{spans, err}
			}
		}()
	}
	for f := range out {
		if t.q.Progress != nil {
			t.q.Progress(f, len(out))
		}
		is := <-out[f]
		if err := ctx.Err(); err != nil {
			return err
		}
		if _, said := finding.From(is.err); is.err != nil && !said {
			return is.err
		}
		t.compare(f, is.spans, is.err)
	}
	return nil
}

// faulty gives the spans of the circuit with one fault.
func (t *table) faulty(ctx context.Context, fault Fault) ([]span, error) {
	with, err := t.q.Circuit.Edited(fault.Edits...)
	if err != nil {
		return nil, err
	}
	return t.spans(ctx, with)
}

// compare fills in what shows one fault.
func (t *table) compare(f int, spans []span, err error) {
	if err != nil {
		t.hidden[f] = Failing
		return
	}
	t.hidden[f] = NoChange
	for p, is := range spans {
		if is.apart(t.healthy[p]) {
			t.shows[p] = append(t.shows[p], f)
			t.hidden[f] = ""
		}
	}
	if t.hidden[f] != "" && slices.ContainsFunc(t.probes, func(p int) bool { return changed(spans[p], t.healthy[p]) }) {
		t.hidden[f] = InRange
	}
}

// changed says whether a reading moves at all, by more than rounding.
func changed(a, b span) bool {
	return a.open != b.open || math.Abs(a.nominal-b.nominal) > 1e-6*(a.nominal+b.nominal)+1e-6
}

// spans gives the worst-case range of every probe of one circuit: Σ|dR/dv|·limit
// of what is not quite known, and the meter's own error. As far as the
// resistance is linear in the values; where it is not, the low end stays at or
// above nought.
func (t *table) spans(ctx context.Context, c *circuit.Circuit) ([]span, error) {
	var list []span
	for _, setting := range t.q.Settings {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		among, err := c.OhmsAmong(setting, circuit.PowerOff{Kelvin: t.q.Cond.Kelvin, SourceOhms: t.q.Cond.SourceOhms}, t.q.Points...)
		if err != nil {
			return nil, err
		}
		limits, by := t.limits(among.Knobs()), make([]float64, len(among.Knobs()))
		for _, pair := range t.pairs {
			var healthy *span // of the sound circuit, once it is known
			if len(t.healthy) > 0 {
				healthy = &t.healthy[len(list)]
			}
			list = append(list, t.span(among, pair, limits, by, healthy))
		}
	}
	return list, nil
}

// limits gives by knob how far below and above its value it may be.
func (t *table) limits(knobs []circuit.Knob) [][2]float64 {
	known := map[circuit.Knob][2]float64{}
	for _, u := range t.q.Parts {
		known[u.Knob] = [2]float64{u.Low, u.High}
	}
	list := make([][2]float64, len(knobs))
	for i, k := range knobs {
		list[i] = known[k]
	}
	return list
}

// span gives one. Of a reading that lies within the healthy range the two
// cannot be told apart, and its own range is left at nothing.
func (t *table) span(among *circuit.Among, pair [2]int, limits [][2]float64, by []float64, healthy *span) span {
	ohms, open := among.Between(pair[0], pair[1])
	if most := t.q.Meter.MostOhms; open || most > 0 && ohms > most {
		return span{open: true, nominal: ohms}
	}
	if healthy != nil && !healthy.open && ohms >= healthy.low && ohms <= healthy.high {
		return span{nominal: ohms, low: ohms, high: ohms}
	}
	among.By(pair[0], pair[1], by)
	low, high := ohms, ohms
	for k, slope := range by {
		low += min(slope*limits[k][0], slope*limits[k][1])
		high += max(slope*limits[k][0], slope*limits[k][1])
	}
	off := t.q.Meter.Ohms.Limit(ohms) + t.q.Meter.LeadOhms
	return span{nominal: ohms, low: max(low-off, 0), high: high + off}
}

// probe gives a probe by its number.
func (t *table) probe(p int) Probe {
	pair := t.pairs[p%len(t.pairs)]
	return Probe{Red: t.q.Points[pair[0]], Black: t.q.Points[pair[1]], Setting: t.q.Settings[p/len(t.pairs)]}
}

// prove asks the chosen probes with the meter as it is, of the healthy circuit
// and of every one with a fault that the table says they show. Claims that
// fail are struck; their number comes back.
func (t *table) prove(ctx context.Context, chosen []int) (struck int, err error) {
	var ask []reading.Reading
	var fresh []int
	for _, p := range chosen {
		if !t.asked[p] {
			ask, fresh = append(ask, t.reading(p)), append(fresh, p)
		}
	}
	if len(ask) == 0 {
		return 0, nil
	}
	healthy, err := t.predict(ctx, t.q.Circuit, ask)
	if err != nil {
		return 0, err
	}
	faults := map[int][]int{} // by fault: which of fresh claim to show it
	for i, p := range fresh {
		t.asked[p], t.healthy[p] = true, healthy[i]
		t.proven[p] = reading.Expected{Low: healthy[i].low, Nominal: healthy[i].nominal, High: healthy[i].high}
		for _, f := range t.shows[p] {
			faults[f] = append(faults[f], i)
		}
	}
	for f := range t.q.Faults {
		if len(faults[f]) == 0 {
			continue
		}
		n, err := t.proveFault(ctx, f, faults[f], fresh, ask)
		if err != nil {
			return 0, err
		}
		struck += n
	}
	return struck, nil
}

// proveFault carries one fault out.
func (t *table) proveFault(ctx context.Context, f int, claims, fresh []int, ask []reading.Reading) (struck int, err error) {
	faulty, err := t.q.Circuit.Edited(t.q.Faults[f].Edits...)
	if err != nil {
		return 0, err
	}
	var some []reading.Reading
	for _, i := range claims {
		some = append(some, ask[i])
	}
	shown, err := t.predict(ctx, faulty, some)
	if ctx.Err() != nil {
		return 0, ctx.Err()
	}
	for n, i := range claims {
		p := fresh[i]
		if err == nil && shown[n].apart(t.healthy[p]) {
			continue
		}
		t.shows[p] = slices.DeleteFunc(t.shows[p], func(g int) bool { return g == f })
		struck++
	}
	if struck > 0 && !slices.ContainsFunc(t.shows, func(of []int) bool { return slices.Contains(of, f) }) {
		t.hidden[f] = InRange
	}
	return struck, nil
}

func (t *table) reading(p int) reading.Reading {
	at := t.probe(p)
	return reading.Reading{Kind: reading.Ohms, Red: at.Red, Black: at.Black, Setting: at.Setting, Meter: t.q.Meter}
}

// predict gives the worst-case ranges of readings; a value that is uncertain in
// a part that the edit took away is left out by name.
func (t *table) predict(ctx context.Context, c *circuit.Circuit, ask []reading.Reading) ([]span, error) {
	var there []reading.Uncertainty
	for _, u := range t.q.Parts {
		if _, err := c.Value(u.Knob); err == nil {
			there = append(there, u)
		}
	}
	list := make([]span, len(ask))
	var asked []reading.Reading
	var which []int
	for i, r := range ask {
		if list[i].open = !touched(c, r.Red) || !touched(c, r.Black); !list[i].open {
			asked, which = append(asked, r), append(which, i)
		}
	}
	p, err := reading.Predict(ctx, c, asked, there, t.q.Cond)
	if err != nil {
		return nil, err
	}
	for _, row := range p.Rows {
		if row.Lack != reading.Nothing {
			list[which[row.Reading]] = span{open: true}
			continue
		}
		list[which[row.Reading]] = span{nominal: row.Worst.Nominal, low: max(row.Worst.Low, 0), high: row.Worst.High}
	}
	return list, nil
}

// touched says whether any part still ends at a point: an edit may have taken
// the last one away.
func touched(c *circuit.Circuit, point string) bool {
	_, ok := slices.BinarySearch(c.Points(), point)
	return ok || point == circuit.Ground
}
