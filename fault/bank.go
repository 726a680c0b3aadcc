package fault

import (
	"context"
	"fmt"
	"math"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/reading"
)

// bank holds a family of circuits for every setting and load that some reading
// is taken at.
type bank struct {
	table    *Table
	off      circuit.PowerOff
	families []*family
	direct   []int // readings asked of the whole circuit: meters that open junctions
}

// family is a circuit.Family with what is asked of it.
type family struct {
	*circuit.Family
	dead  bool
	items []item
	like  int // the family whose member is shown to this one's; −1 for none
}

// item is a reading asked of a family. sign is −1 where it is taken off.
type item struct {
	reading int
	sign    float64
}

func (t *Table) bank(ctx context.Context) (*bank, error) {
	b := &bank{table: t, off: circuit.PowerOff{Kelvin: t.plan.Cond.Kelvin, SourceOhms: t.plan.Cond.SourceOhms}}
	cold, err := t.base.Dead(b.off)
	if err != nil {
		return nil, err
	}
	known := map[string]*family{}
	var asked []wanted
	for i, r := range t.Readings {
		if r.Kind == reading.Ohms && r.Meter.TestVolts >= circuit.JunctionVolts {
			b.direct = append(b.direct, i)
			continue
		}
		asked = b.place(asked, known, cold, item{i, 1}, r.Setting)
		if r.Less != nil {
			asked = b.place(asked, known, cold, item{i, -1}, *r.Less)
		}
	}
	errs := make([]error, len(asked))
	t.share(len(asked), 1, func(next func() int) {
		for i := next(); i < len(asked) && ctx.Err() == nil; i = next() {
			b.families[i].Family, errs[i] = asked[i].of.Family(ctx, asked[i].at, asked[i].plan)
		}
	})
	for _, err := range append(errs, ctx.Err()) {
		if err != nil {
			return nil, err
		}
	}
	b.relate()
	return b, nil
}

// wanted is a family to be made.
type wanted struct {
	of   *circuit.Circuit
	at   curve.Setting
	plan circuit.FamilyPlan
}

// place finds the family of a reading, or has it made.
func (b *bank) place(asked []wanted, known map[string]*family, cold *circuit.Circuit, it item, s curve.Setting) []wanted {
	r := b.table.Readings[it.reading]
	plan := circuit.FamilyPlan{Kelvin: b.table.plan.Cond.Kelvin, Knobs: b.table.causes.knobs}
	whole, key := b.table.base, "volts "+s.String()
	switch r.Kind {
	case reading.Ohms:
		whole, key = cold, "ohms "+s.String()
	case reading.Gain:
		key = fmt.Sprint("gain ", s.String(), r.Source, r.Red, black(r.Reading), r.Interface.Ohms, r.Interface.Farads, r.Hz)
		plan.Hz, plan.Source, plan.Red, plan.Black, plan.Load = r.Hz, r.Source, r.Red, black(r.Reading), loadOf(r.Reading)
	}
	f := known[key]
	if f == nil {
		f = &family{dead: r.Kind == reading.Ohms}
		known[key] = f
		b.families = append(b.families, f)
		asked = append(asked, wanted{whole, s, plan})
	}
	f.items = append(f.items, it)
	return asked
}

// relate finds whose members are shown to whose: those of the first kin; else, of
// live ones, of the first that is live, whose operating point may be much the same.
func (b *bank) relate() {
	list := make([]*circuit.Family, len(b.families))
	for i, f := range b.families {
		list[i] = f.Family
	}
	circuit.Kin(list)
	for i, f := range b.families {
		f.like = slices.IndexFunc(b.families[:i], func(g *family) bool { return f.Related(g.Family) })
		if f.like < 0 && !f.dead {
			f.like = slices.IndexFunc(b.families[:i], func(g *family) bool { return !g.dead })
		}
	}
}

// loadOf gives an interface's input as parts.
func loadOf(r reading.Reading) []circuit.Part {
	var parts []circuit.Part
	if ohms := r.Interface.Ohms; ohms > 0 {
		parts = append(parts, circuit.Resistor{Name: "|interface ohms", A: r.Red, B: black(r), Ohms: ohms})
	}
	if farads := r.Interface.Farads; farads > 0 {
		parts = append(parts, circuit.Capacitor{Name: "|interface farads", A: r.Red, B: black(r), Farads: farads})
	}
	return parts
}

func black(r reading.Reading) string {
	if r.Black == "" {
		return circuit.Ground
	}
	return r.Black
}

// asking is a column being filled.
type asking struct {
	toFill
	to           *column
	edits        []circuit.Edit
	edited, cold *circuit.Circuit // nil: the circuit cannot be edited so
	by           [][]float64      // by row, until its reading is whole
	members      []*circuit.Member
	found        finding.List
}

// begin makes room in a column.
func (b *bank) begin(c toFill) (*asking, error) {
	t, n := b.table, len(b.table.rows)
	a := &asking{toFill: c, to: &t.columns[c.column], by: make([][]float64, n), members: make([]*circuit.Member, len(b.families))}
	a.edits = t.Hypotheses[c.hypothesis].Cases[c.column-t.of[c.hypothesis]].Edits
	a.to.value, a.to.state, a.to.own, a.to.loads = make([]float64, n), make([]state, n), make([]float64, n), make([][]load, n)
	a.to.small, a.to.shows = make([]float64, n), make([]float64, n)
	for i := range a.to.state {
		a.to.state[i] = unknown
	}
	edited, err := t.base.Edited(a.edits...)
	if err != nil {
		a.found, _ = finding.From(err)
		return a, nil
	}
	a.edited = edited
	a.cold, err = edited.Dead(b.off)
	return a, err
}

// ask fills columns, family by family. Those that have a neighbour to lend take
// its loads and are not derived. Each column's found names where the circuit has no
// answer; an error ends the whole table.
func (b *bank) ask(ctx context.Context, list []toFill) ([]*asking, error) {
	var all []*asking
	for _, c := range list {
		a, err := b.begin(c)
		if err != nil {
			return nil, err
		}
		all = append(all, a)
	}
	var ear circuit.Listener
	room := make([]load, 0, b.table.causes.count)
	for i, f := range b.families {
		in, err := b.members(ctx, all, i)
		if err != nil {
			return nil, err
		}
		for _, it := range f.items {
			b.take(in, i, it, &ear)
			if b.table.Readings[it.reading].Less == nil {
				for _, a := range in {
					b.finish(a, it.reading, room)
				}
			}
		}
	}
	for _, a := range all {
		if err := b.end(ctx, a, room); err != nil {
			return nil, err
		}
	}
	return all, nil
}

// members gives those of the columns that have an answer in a family.
func (b *bank) members(ctx context.Context, all []*asking, i int) (in []*asking, err error) {
	f := b.families[i]
	for _, a := range all {
		which := a.edited
		if f.dead {
			which = a.cold
		}
		if which == nil {
			continue
		}
		var like *circuit.Member
		if f.like >= 0 {
			like = a.members[f.like]
		}
		m, err := f.Member(ctx, which, like)
		if ctx.Err() != nil {
			return nil, ctx.Err()
		}
		if err != nil {
			wrong, ok := finding.From(err)
			if !ok {
				return nil, err
			}
			a.found = append(a.found, wrong...)
			continue
		}
		if a.lender != nil {
			m = m.Underived()
		}
		a.to.moved = a.to.moved || !f.dead && !m.Unmoved()
		a.members[i] = m
		in = append(in, a)
	}
	return in, nil
}

// end asks what no family answers, and finishes what no single one did.
func (b *bank) end(ctx context.Context, a *asking, room []load) error {
	if a.edited == nil {
		return nil
	}
	for _, i := range b.direct {
		wrong, err := b.opened(ctx, a.edited, i, a.to, a.by)
		if err != nil {
			return err
		}
		a.found = append(a.found, wrong...)
		b.finish(a, i, room)
	}
	for i, r := range b.table.Readings {
		if r.Less != nil {
			b.finish(a, i, room)
		}
	}
	for i, f := range b.families {
		if a.members[i] != nil {
			continue
		}
		for _, it := range f.items {
			for at := b.table.first[it.reading]; at < b.table.first[it.reading+1]; at++ {
				a.to.state[at] = unknown
			}
		}
	}
	a.members = nil
	return nil
}

// rescale: the tolerance of a part whose value is out is a share of the value it
// has; where the size is not known, it is part of that.
func (b *bank) rescale(e circuit.Edit, c *column, by []float64) {
	k, ok := b.table.causes.knob[circuit.Knob{Part: e.Part, Value: e.Value}]
	if !ok || e.Kind != circuit.EditScale {
		return
	}
	factor := e.Factor
	if c.width > 0 {
		factor = 0
	}
	if k < len(by) {
		by[k] *= factor
	}
}

// take puts one reading to a family's members.
func (b *bank) take(in []*asking, family int, it item, ear *circuit.Listener) {
	r, at := b.table.Readings[it.reading], b.table.first[it.reading]
	var members []*circuit.Member
	for _, a := range in {
		switch m := a.members[family]; r.Kind {
		case reading.Volts:
			put(a.to, a.by, at, m.Volts(r.Red, black(r.Reading), r.Meter.InputOhms))
		case reading.Ohms:
			put(a.to, a.by, at, m.Ohms(r.Red, black(r.Reading)))
		default:
			members = append(members, m)
		}
	}
	for i, gains := range ear.Gains(members) {
		for k, v := range gains {
			heard(in[i].to, in[i].by, at+k, v, it.sign, r.Less != nil)
		}
	}
}

func put(c *column, by [][]float64, at int, a circuit.Answer) {
	if a.None {
		c.state[at] = lacking
		return
	}
	c.state[at], c.value[at], by[at] = number, a.Value, a.By
}

// heard adds a gain to a row, or takes it off, with the floor under it.
func heard(c *column, by [][]float64, at int, a circuit.Answer, sign float64, less bool) {
	level := math.Inf(-1)
	if !a.None {
		level = a.Value
	}
	shown, sd, share := floored(level)
	if c.state[at] == unknown && (!less || sign > 0) {
		c.state[at] = number
	}
	c.value[at] += sign * shown
	c.own[at], c.shows[at] = math.Hypot(c.own[at], sd), max(c.shows[at], share)
	for k := range a.By {
		a.By[k] *= sign * share
	}
	switch {
	case by[at] == nil && less:
		by[at] = slices.Clone(a.By) // it is kept until the other is asked
	case by[at] == nil:
		by[at] = a.By
	case a.By != nil:
		for k, v := range a.By {
			by[at][k] += v
		}
	}
}

// opened asks the whole circuit what a meter shows that opens junctions.
func (b *bank) opened(ctx context.Context, edited *circuit.Circuit, i int, c *column, by [][]float64) (finding.List, error) {
	r, at := b.table.Readings[i], b.table.first[i]
	off := b.off
	off.TestVolts, off.TestOhms = r.Meter.TestVolts, r.Meter.TestSeries
	res, err := edited.Ohms(ctx, r.Setting, off, r.Red, black(r.Reading))
	if err != nil {
		found, ok := finding.From(err)
		if !ok {
			return nil, err
		}
		return found, nil
	}
	a := circuit.Answer{Value: res.Ohms, None: res.Open, By: make([]float64, len(b.table.causes.knobs))}
	for _, d := range res.By {
		if k, ok := b.table.causes.knob[circuit.Knob{Part: d.Part, Value: d.Value}]; ok {
			a.By[k] += real(d.By)
		}
	}
	put(c, by, at, a)
	return nil, nil
}

// finish is for all rows of a reading.
func (b *bank) finish(a *asking, which int, room []load) {
	for at := b.table.first[which]; at < b.table.first[which+1]; at++ {
		for _, e := range a.edits {
			b.rescale(e, a.to, a.by[at])
		}
		b.weigh(at, a.to, a.lender, a.by[at], room)
		a.by[at] = nil
	}
}

// weigh turns derivatives into shares of independent causes. What is a small share
// of the variance that is the row's own is put to that: not of the whole variance,
// in which a level that nobody knows would swamp every part.
func (b *bank) weigh(at int, c, lender *column, by []float64, room []load) {
	if c.state[at] != number {
		return
	}
	r := b.table.Readings[b.table.rows[at].reading].Reading
	if most := r.Meter.MostOhms; r.Kind == reading.Ohms && most > 0 && c.value[at] > most {
		c.state[at] = lacking
		return
	}
	own := math.Hypot(ownSD(r, c.value[at]), finest*c.value[at])
	if r.Kind == reading.Gain {
		own = ownSD(r, c.value[at])
	}
	c.own[at] = math.Hypot(own, c.own[at])
	if lender != nil && lender.state[at] != number {
		lender = &b.table.columns[0] // as built
	}
	if lender != nil {
		lender.lend(c, at, r.Kind)
		return
	}
	const small = 1e-2
	bend := b.table.causes.bend(by)
	variance := c.own[at]*c.own[at] + bend*bend
	least := small * variance
	all := b.table.causes.loads(by, r, levelSD(r)*c.shows[at], room)
	shared := all[:0]
	for _, v := range all {
		if share := float64(v.by) * float64(v.by); share > least {
			shared = append(shared, v)
		} else {
			variance += share
		}
	}
	c.loads[at] = slices.Clone(shared)
	c.small[at] = math.Sqrt(variance) / c.own[at]
	c.own[at] = math.Sqrt(variance)
}

// lend gives the loads of a row to the same hypothesis at another size. Of ohms
// they are taken to be the same share of the value.
func (c *column) lend(to *column, at int, kind reading.Kind) {
	if c.state[at] != number {
		return
	}
	by := 1.0
	if kind == reading.Ohms && c.value[at] > 0 {
		by = to.value[at] / c.value[at]
	}
	to.loads[at] = c.loads[at]
	if by != 1 {
		to.loads[at] = slices.Clone(c.loads[at])
		for i := range to.loads[at] {
			to.loads[at][i].by *= float32(by)
		}
	}
	to.own[at] *= c.small[at]
}

// causes are what makes healthy readings vary: each part's own deviation, each
// batch's common one, how loosely a fault's effect on curves is known, and each
// interface's level: more readings may bring more of those.
type causes struct {
	parts  []reading.Uncertainty
	share  []float64 // each one's deviation as a share of its value
	knobs  []circuit.Knob
	knob   map[circuit.Knob]int
	groups map[string]int
	loose  int
	levels map[reading.Interface]int
	count  int
}

func causesOf(base *circuit.Circuit, parts []reading.Uncertainty, readings []Allowed) causes {
	c := causes{parts: parts, knob: map[circuit.Knob]int{}, groups: map[string]int{}, levels: map[reading.Interface]int{}}
	for k, u := range parts {
		c.knobs = append(c.knobs, u.Knob)
		c.knob[u.Knob] = k
		share := 0.0
		if v, err := base.Value(u.Knob); err == nil && v != 0 {
			share = math.Abs(u.SD / v)
		}
		c.share = append(c.share, share)
		if _, ok := c.groups[u.Group]; !ok && u.Group != "" {
			c.groups[u.Group] = len(parts) + len(c.groups)
		}
	}
	c.loose = len(parts) + len(c.groups)
	for _, r := range readings {
		if _, ok := c.levels[r.Interface]; !ok && r.Kind == reading.Gain {
			c.levels[r.Interface] = c.loose + 1 + len(c.levels)
		}
	}
	c.count = c.loose + 1 + len(c.levels)
	return c
}

// bend is the deviation that a straight line leaves out, from the next term of the
// series. What a reading depends on stands below a fraction line as often as above
// it, and of 1/v the second term is the first times its own share of v: so it is of
// a transistor's gain, known to a half (worked out by solving, within a quarter for
// most readings). The square of a normal deviation is spread by √2.
func (c causes) bend(by []float64) float64 {
	sum := 0.0
	for k, v := range by {
		v *= c.parts[k].SD * c.share[k]
		sum += v * v
	}
	return math.Sqrt(2 * sum)
}

// loads gives a row's shares, derivative times deviation, in the room given; level
// is what shows of the interface's.
func (c causes) loads(by []float64, r reading.Reading, level float64, room []load) []load {
	list := room[:0]
	var common map[int]float64
	for k, v := range by {
		v *= c.parts[k].SD
		if v == 0 {
			continue
		}
		if g, ok := c.groups[c.parts[k].Group]; ok {
			if common == nil {
				common = map[int]float64{}
			}
			common[g] += v * math.Sqrt(c.parts[k].Common)
			v *= math.Sqrt(1 - c.parts[k].Common)
		}
		list = append(list, load{int32(k), float32(v)})
	}
	for g := len(c.parts); g < len(c.parts)+len(c.groups); g++ {
		if v := common[g]; v != 0 {
			list = append(list, load{int32(g), float32(v)})
		}
	}
	if level > 0 {
		list = append(list, load{int32(c.levels[r.Interface]), float32(level)})
	}
	return list
}
