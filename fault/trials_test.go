package fault_test

import (
	"cmp"
	"context"
	"fmt"
	"maps"
	"math"
	"math/rand/v2"
	"slices"
	"sync"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fault"
	"bandwright/finding"
	"bandwright/reading"
	"bandwright/trials"
)

// bounds that the method is held to.
const (
	leastClass    = 0.90 // lower 95 % bound: class first or second, of single faults
	leastKind     = 0.70 // of each kind
	leastHealthy  = 0.95 // called healthy
	leastOutsider = 0.60 // "none of these" first or second
	mostOff       = 0.05 // of a tenth's probability, where 100 trials or more fell into it
)

// bed is what trials draw from.
type bed struct {
	plan   fault.Plan
	whole  *circuit.Circuit
	table  *fault.Table
	hidden map[string]fault.Hidden
	joined map[string]string // point → the first of those that wires and closed contacts join it with
	byKind map[fault.Kind][]fault.Hypothesis
	once   sync.Once
	built  *reading.Prediction // by healthy
}

func bedOf(t *testing.T, plan fault.Plan) *bed {
	t.Helper()
	whole, err := plan.Circuit.WithOhms(0.01)
	if err != nil {
		t.Fatal(err)
	}
	b := &bed{plan: plan, whole: whole, table: tabled(t, plan), hidden: map[string]fault.Hidden{},
		joined: wiredTogether(whole), byKind: map[fault.Kind][]fault.Hypothesis{}}
	for _, h := range b.table.Hidden() {
		b.hidden[h.Name] = h
	}
	for _, h := range plan.Hypotheses {
		b.byKind[h.Kind] = append(b.byKind[h.Kind], h)
	}
	return b
}

// truth is an amplifier as it came out of the solder: parts drawn within their
// tolerances, one fault at a size drawn from the whole range, not from the grid.
type truth struct {
	circuit *circuit.Circuit
	name    string
	kind    fault.Kind
	size    float64
	added   []circuit.Part // of what is outside the hypotheses
	hidden  bool           // no reading shows it, at its size
	off     []int          // the readings that are outside their healthy range
	shown   shown          // by which
}

// shown is what a truth has outside its healthy range.
type shown string

const (
	unasked shown = ""           // it was not worked out
	noticed shown = "symptom"    // a curve or volts: someone notices
	byOhms  shown = "ohms alone" // nothing that is noticed: only a search with the power off meets it
	nothing shown = "nothing"
)

// draw makes a truth. Of kind "" one in ten is healthy, one in ten is outside the
// hypotheses, and the rest are as frequent as the table of weights has them; else
// it is of that kind, and some reading can show it.
func (b *bed) draw(t *testing.T, rng *rand.Rand, kind fault.Kind) truth {
	for {
		x, edits := b.wrong(rng, kind)
		if h, ok := b.hidden[x.name]; ok {
			x.hidden = h.All || x.size >= h.Low && x.size <= h.High
		}
		if x.hidden && kind != "" {
			continue
		}
		var err error
		if x.circuit, err = b.whole.Edited(append(b.drawn(t, rng), edits...)...); err != nil {
			t.Fatal(x.name, err)
		}
		if len(x.added) > 0 {
			if x.circuit, err = circuit.New(slices.Concat(x.circuit.Parts(), x.added)...); err != nil {
				t.Fatal(x.name, err)
			}
		}
		return x
	}
}

// drawn gives every part a value within its tolerance.
func (b *bed) drawn(t *testing.T, rng *rand.Rand) (all []circuit.Edit) {
	t.Helper()
	for _, u := range b.plan.Parts {
		v, err := b.whole.Value(u.Knob)
		if err != nil {
			t.Fatal(err)
		}
		all = append(all, circuit.Set(u.Knob.Part, u.Knob.Value, v+u.Low+(u.High-u.Low)*rng.Float64()))
	}
	return all
}

func (b *bed) wrong(rng *rand.Rand, kind fault.Kind) (truth, []circuit.Edit) {
	if kind == "" {
		switch u := rng.Float64(); {
		case u < 0.1:
			return truth{name: "as built", kind: fault.AsBuilt}, nil
		case u < 0.2:
			return b.outsider(rng), nil
		}
	}
	h := b.single(rng, kind)
	x := truth{name: h.Name, kind: h.Kind}
	c := weighed(rng, h.Cases, func(c fault.Case) float64 { return c.Weight })
	if c.Width == 0 {
		return x, c.Edits
	}
	x.size = c.Size * math.Exp(c.Width*(rng.Float64()-0.5))
	if edits := h.At(x.size); h.Kind != fault.Value || b.beyond(edits[0], x.size) {
		return x, edits
	}
	return b.wrong(rng, h.Kind)
}

// never says whether no reading shows any fault of a kind at any size.
func (b *bed) never(kind fault.Kind) bool {
	return !slices.ContainsFunc(b.byKind[kind], func(h fault.Hypothesis) bool { return !b.hidden[h.Name].All })
}

// beyond says whether a value is beyond three tolerances. A transistor's gain is
// not: three of its tolerances are below nothing.
func (b *bed) beyond(e circuit.Edit, size float64) bool {
	for _, u := range b.plan.Parts {
		if u.Knob.Part == e.Part && u.Knob.Value == e.Value && e.Value != "BetaF" {
			v, _ := b.whole.Value(u.Knob)
			return size > 1+3*u.High/v || size < max(1-3*u.High/v, 1/(1+3*u.High/v))
		}
	}
	return true
}

// single draws one fault by its weight, of one kind or of all.
func (b *bed) single(rng *rand.Rand, kind fault.Kind) fault.Hypothesis {
	list := b.byKind[kind]
	if kind == "" {
		for _, h := range b.plan.Hypotheses {
			if h.Kind != fault.Pair {
				list = append(list, h)
			}
		}
	}
	return weighed(rng, list, func(h fault.Hypothesis) float64 { return h.Weight })
}

// weighed draws one of a list by weight.
func weighed[T any](rng *rand.Rand, list []T, weight func(T) float64) T {
	sum := 0.0
	for _, x := range list {
		sum += weight(x)
	}
	u := sum * rng.Float64()
	for _, x := range list {
		if u -= weight(x); u < 0 {
			return x
		}
	}
	return list[len(list)-1]
}

// outsider is what no hypothesis has: a path of ohms that are no short, or a
// capacitor, between two points that are no part's ends.
func (b *bed) outsider(rng *rand.Rand) truth {
	x := truth{name: "none of these", kind: fault.None}
	points := b.whole.Points()
	for {
		from, to := points[rng.IntN(len(points))], points[rng.IntN(len(points))]
		if from == "generator" || to == "generator" || b.neighbours(from, to) {
			continue
		}
		x.added = []circuit.Part{circuit.Resistor{Name: "stray", A: from, B: to, Ohms: 100 * math.Pow(30, rng.Float64())}}
		if rng.IntN(2) == 0 {
			x.added = []circuit.Part{circuit.Capacitor{Name: "stray", A: from, B: to, Farads: 10e-9 * math.Pow(100, rng.Float64())}}
		}
		return x
	}
}

// neighbours says whether two points are one but for wires, or the ends of a part.
func (b *bed) neighbours(from, to string) bool {
	one := func(p string) string { return b.joined[p] }
	if one(from) == one(to) {
		return true
	}
	return slices.ContainsFunc(b.whole.Parts(), func(p circuit.Part) bool {
		a, z := false, false
		for _, leg := range p.Terminals() {
			a, z = a || one(leg) == one(from), z || one(leg) == one(to)
		}
		return a && z
	})
}

// wiredTogether joins the points that wires and contacts at rest join.
func wiredTogether(c *circuit.Circuit) map[string]string {
	as := map[string]string{circuit.Ground: circuit.Ground}
	for _, p := range c.Points() {
		as[p] = p
	}
	merge := func(a, b string) {
		from, to := as[a], as[b]
		for p, v := range as {
			if v == from {
				as[p] = to
			}
		}
	}
	rest := map[string]string{}
	for _, s := range c.Switches() {
		rest[s.Name] = s.Positions[0]
	}
	for _, p := range c.Parts() {
		switch q := p.(type) {
		case circuit.Wire:
			merge(q.A, q.B)
		case circuit.Contact:
			if slices.Contains(q.Closed, rest[q.Switch]) {
				merge(q.A, q.B)
			}
		case circuit.VoltageSource: // a rail's signal is ground's
			merge(q.Plus, q.Minus)
		}
	}
	return as
}

// takes reads a truth with an instrument that errs. The whole edited circuit is
// solved by itself, nonlinear and all, without the table's families.
func takes(t *testing.T, rng *rand.Rand, c *circuit.Circuit, r reading.Reading, cond reading.Conditions, level float64) (fault.Taken, bool) {
	t.Helper()
	p, err := reading.Predict(context.Background(), c, []reading.Reading{r}, nil, cond)
	if err != nil {
		return fault.Taken{}, false
	}
	k := fault.Taken{Reading: r}
	even := func(limit float64) float64 { return limit * (2*rng.Float64() - 1) }
	for _, row := range p.Rows {
		v := row.Worst.Nominal
		switch {
		case row.Lack != reading.Nothing && r.Kind == reading.Gain:
			v = -150
		case row.Lack != reading.Nothing:
			k.Open = true
		case r.Kind == reading.Ohms:
			v = max(0, v+even(r.Meter.Ohms.Limit(v))+even(r.Meter.LeadOhms))
		case r.Kind == reading.Volts:
			v += even(r.Meter.Volts.Limit(v))
		default:
			v += level + r.Interface.PointDB*rng.NormFloat64()
			v = 10 * math.Log10(math.Pow(10, v/10)+math.Pow(10, (-80+4*rng.NormFloat64())/10)) // noise and hum
		}
		k.Values = append(k.Values, v)
	}
	return k, true
}

// shows gives the readings that a truth has outside their healthy range, in a random
// order, curves before volts before ohms: worked out by the twin, without any error
// of reading, and without the table.
func (b *bed) shows(t *testing.T, rng *rand.Rand, x truth) []int {
	t.Helper()
	list := make([]reading.Reading, 0, len(b.table.Readings))
	for _, r := range b.table.Readings {
		list = append(list, r.Reading)
	}
	off := map[int]bool{}
	p, err := reading.Predict(context.Background(), x.circuit, list, nil, b.plan.Cond)
	for at, row := range b.healthy(t, list).Rows {
		if err == nil && outside(list[row.Reading], row, p.Rows[at]) {
			off[row.Reading] = true
		}
	}
	for i := 0; err != nil && i < len(list); i++ { // some have no answer: one by one
		if p, wrong := reading.Predict(context.Background(), x.circuit, list[i:i+1], nil, b.plan.Cond); wrong == nil {
			first := slices.IndexFunc(b.healthy(t, list).Rows, func(r reading.Row) bool { return r.Reading == i })
			for at, row := range p.Rows {
				off[i] = off[i] || outside(list[i], b.healthy(t, list).Rows[first+at], row)
			}
		}
	}
	var all []int
	for _, kind := range []reading.Kind{reading.Gain, reading.Volts, reading.Ohms} {
		for _, i := range rng.Perm(len(list)) {
			if off[i] && list[i].Kind == kind {
				all = append(all, i)
			}
		}
	}
	return all
}

// healthy is what the twin says of the circuit as built.
func (b *bed) healthy(t *testing.T, list []reading.Reading) *reading.Prediction {
	b.once.Do(func() {
		p, err := reading.Predict(context.Background(), b.plan.Circuit, list, b.plan.Parts, b.plan.Cond)
		if err != nil {
			t.Error(err)
		}
		b.built = p
	})
	return b.built
}

// outside says whether a number is off its healthy range: by three deviations of
// parts and instrument, or there is none where there should be one. Levels under the
// floor of noise are all one.
func outside(r reading.Reading, healthy, is reading.Row) bool {
	if r.Kind == reading.Gain {
		level := func(row reading.Row) float64 {
			if row.Lack != reading.Nothing {
				return -80
			}
			return max(row.Worst.Nominal, -80)
		}
		return math.Abs(level(is)-level(healthy)) > 3*math.Hypot(healthy.PartSD, healthy.MeterSD)
	}
	if healthy.Lack != reading.Nothing || is.Lack != reading.Nothing {
		return healthy.Lack != is.Lack
	}
	return math.Abs(is.Worst.Nominal-healthy.Worst.Nominal) > 3*math.Hypot(healthy.PartSD, healthy.MeterSD)
}

// sure is how likely a class must be for a person to stop asking, and soonest
// after how many readings beside the symptom: a cause that is not in the list
// should have had its chance to show.
const (
	sure    = 0.995
	soonest = 4
	atMost  = 6
)

// diagnose starts from a symptom, and follows what is asked until a class is sure
// or six were asked.
func (b *bed) diagnose(t *testing.T, rng *rand.Rand, x *truth) (*fault.Ranking, int) {
	t.Helper()
	level := 0.5 * (2*rng.Float64() - 1)
	var taken []fault.Taken
	take := func(i int) {
		if k, ok := takes(t, rng, x.circuit, b.table.Readings[i].Reading, b.plan.Cond, level); ok {
			taken = append(taken, k)
		}
	}
	x.off = b.shows(t, rng, *x)
	switch {
	case len(x.off) == 0:
		x.shown = nothing
	case b.table.Readings[x.off[0]].Kind == reading.Ohms:
		x.shown = byOhms
	default:
		x.shown = noticed
	}
	if x.shown == noticed {
		take(x.off[0])
	} else {
		take(slices.IndexFunc(b.table.Readings, func(a fault.Allowed) bool { return a.Kind == reading.Gain }))
	}
	for count := 0; ; count++ {
		r := ranked(t, b.table, taken...)
		next, err := r.Next(context.Background(), 1)
		if err != nil {
			t.Fatal(err)
		}
		if len(next) == 0 || count == atMost || count >= soonest && r.Classes[0].Probability > sure {
			return r, count
		}
		take(next[0].Reading)
	}
}

// outcome is what came of one trial.
type outcome struct {
	truth
	ranking *fault.Ranking
	asked   int
}

// teller takes readings of a truth and tells what it is, after so many asked for.
type teller func(t *testing.T, rng *rand.Rand, x *truth) (*fault.Ranking, int)

// run draws trials and diagnoses each, two at a time; each has a seed of its own.
func (b *bed) run(t *testing.T, seed uint64, kinds []fault.Kind, tell teller) []outcome {
	t.Helper()
	list := make([]outcome, len(kinds))
	var wait sync.WaitGroup
	for w := range 2 {
		wait.Go(func() {
			for i := w; i < len(list); i += 2 {
				rng := rand.New(rand.NewPCG(seed, uint64(i)))
				x := b.draw(t, rng, kinds[i])
				r, asked := tell(t, rng, &x)
				list[i] = outcome{x, r, asked}
			}
		})
	}
	wait.Wait()
	return list
}

// score counts what came of trials.
type score struct{ n, hit, first, part, members int }

// found says whether the truth's class is first or second, and how many are in it.
func (o outcome) found() (bool, int) {
	for _, class := range o.ranking.Classes[:min(2, len(o.ranking.Classes))] {
		if slices.Contains(class.Members, o.name) {
			return true, len(class.Members)
		}
	}
	return false, 0
}

func (s *score) add(b *bed, o outcome) {
	s.n++
	if hit, members := o.found(); hit {
		s.hit++
		s.members += members
	}
	top := o.ranking.Ranked[0]
	if top.Name == o.name {
		s.first++
	}
	if top.Hypothesis > 0 {
		for _, h := range b.plan.Hypotheses {
			if h.Name == o.name && slices.ContainsFunc(top.Places, func(p finding.Place) bool { return slices.Contains(h.Places, p) }) {
				s.part++
				break
			}
		}
	}
}

func (s score) String() string {
	share := func(k int) float64 { return 100 * float64(k) / float64(max(1, s.n)) }
	return fmt.Sprintf("%4d trials, class first or second %5.1f %% (at least %5.1f), first by name %5.1f %%, right part %5.1f %%, %.1f in its class",
		s.n, share(s.hit), 100*wilson(s.hit, s.n), share(s.first), share(s.part), float64(s.members)/float64(max(1, s.hit)))
}

// tally prints the trials by kind, and gives their scores; all single faults are
// under "". A fault that no reading has outside its healthy range is counted and not
// scored.
func (b *bed) tally(t *testing.T, list []outcome) map[fault.Kind]*score {
	t.Helper()
	by := map[fault.Kind]*score{"": {}}
	cold, silent := map[fault.Kind]*score{}, map[fault.Kind]*score{}
	var asked []int
	for _, o := range list {
		if o.hidden {
			continue
		}
		switch {
		case o.kind != fault.AsBuilt && o.shown == nothing:
			count(b, silent, o)
		case o.shown == byOhms && o.kind != fault.AsBuilt:
			count(b, cold, o)
			fallthrough
		default:
			count(b, by, o)
		}
		if o.kind != fault.None && o.kind != fault.AsBuilt {
			asked = append(asked, o.asked)
		}
		if hit, _ := o.found(); !hit {
			r := o.ranking
			t.Logf("missed: %s (size %.3g, shown by %s) after %d: %s %.2f, %s %.2f", o.name, o.size, o.shown, o.asked,
				r.Ranked[0].Name, r.Ranked[0].Probability, r.Ranked[1].Name, r.Ranked[1].Probability)
		}
	}
	for _, scores := range []struct {
		of string
		by map[fault.Kind]*score
	}{{"", by}, {"of these by ohms alone, ", cold}, {"not scored, without a symptom: ", silent}} {
		for _, k := range slices.Sorted(maps.Keys(scores.by)) {
			t.Logf("%s%-14s %v", scores.of, cmp.Or(k, "faults"), *scores.by[k])
		}
	}
	slices.Sort(asked)
	t.Logf("%d readings asked in the middle, beside the symptom", asked[len(asked)/2])
	return by
}

// count adds an outcome to its kind and, of a single fault, to all.
func count(b *bed, to map[fault.Kind]*score, o outcome) {
	for _, kind := range [...]fault.Kind{o.kind, ""} {
		if to[kind] == nil {
			to[kind] = &score{}
		}
		if kind != "" || o.kind != fault.None && o.kind != fault.AsBuilt {
			to[kind].add(b, o)
		}
	}
}

// calibrated holds the probabilities that were told against what was true.
func calibrated(t *testing.T, list []outcome) {
	t.Helper()
	var tenths [10]struct {
		said    float64
		n, true int
	}
	for _, o := range list {
		for _, k := range o.ranking.Ranked {
			if k.Probability < 0.01 {
				break
			}
			bin := &tenths[min(9, int(10*k.Probability))]
			bin.n++
			bin.said += k.Probability
			if k.Name == o.name {
				bin.true++
			}
		}
	}
	for i, b := range tenths {
		if b.n == 0 {
			continue
		}
		said, is := b.said/float64(b.n), float64(b.true)/float64(b.n)
		t.Logf("tenth %d: said %.3f, true %.3f of %d", i, said, is, b.n)
		if b.n >= 100 && math.Abs(said-is) > mostOff {
			t.Errorf("tenth %d: said %.3f, true %.3f of %d", i, said, is, b.n)
		}
	}
}

// TestTrials draws amplifiers, healthy, faulty and otherwise wrong, and lets the
// table ask its way: a symptom and at most six readings that it chose itself. What
// no reading shows (TestHiddenList lists it) counts in the calibration alone.
func TestTrials(t *testing.T) {
	b := bedOf(t, studioPlan(t, 2))
	list := b.run(t, trials.Seed(t, 20261125), make([]fault.Kind, many()), b.diagnose)
	by := b.tally(t, list)
	b.judge(t, by)
	calibrated(t, list)
}

// many is how many trials of each sort are drawn: 150 in the ordinary test, at
// least 2,000 where more are asked for.
func many() int {
	if trials.Count(1) == 1 {
		return 150
	}
	return max(2000, trials.Count(150))
}

// judge holds the scores against the bounds.
func (b *bed) judge(t *testing.T, by map[fault.Kind]*score) {
	t.Helper()
	s := by[""]
	least := wilson(s.hit, s.n)
	if s.n < enough { // few draws cannot prove the bound; the share itself is held
		least = float64(s.hit) / float64(s.n)
	}
	if least < leastClass {
		t.Errorf("class first or second: %v", s)
	}
	for kind, least := range map[fault.Kind]float64{fault.AsBuilt: leastHealthy, fault.None: leastOutsider} {
		if s := by[kind]; s != nil && float64(s.hit)+slack(s.n) < least*float64(s.n) {
			t.Errorf("%s: %v", kind, s)
		}
	}
}

// enough trials prove a share by the lower end of its interval.
const enough = 1000

// slack is what luck may take from few trials: below 100, one and a half.
func slack(n int) float64 {
	if n < 100 {
		return 1.5
	}
	return 0
}

// TestTrialsByKind draws as many of each kind, slips of the harness among them.
func TestTrialsByKind(t *testing.T) {
	b := bedOf(t, wiredPlan(t, 2, curve.Grid(30, 14000, 2)))
	var kinds []fault.Kind
	for _, k := range slices.Sorted(maps.Keys(b.byKind)) {
		switch {
		case b.never(k):
			t.Logf("%s: no reading shows any", k)
		case k != fault.Pair:
			kinds = append(kinds, slices.Repeat([]fault.Kind{k}, trials.Count(1))...)
		}
	}
	if trials.Count(1) == 1 { // a share of the kinds: each asks a hundred readings of the whole harness
		rand.New(rand.NewPCG(trials.Seed(t, 20261126), 1)).Shuffle(len(kinds), func(i, j int) { kinds[i], kinds[j] = kinds[j], kinds[i] })
		kinds = kinds[:6]
	}
	by := b.tally(t, b.run(t, trials.Seed(t, 20261126), kinds, b.diagnose))
	if all := by[""]; float64(all.hit) < leastKind*float64(all.n) { // one of each says nothing by itself
		t.Errorf("all kinds together: %v", all)
	}
	for kind, s := range by {
		if float64(s.hit)+slack(s.n) < leastKind*float64(s.n) {
			t.Errorf("%s: %v", kind, s)
		}
	}
}

// wilson is the lower end of the 95 % interval of a share (Wilson 1927; memory).
func wilson(hit, n int) float64 {
	if n == 0 {
		return 0
	}
	const z = 1.96
	p, m := float64(hit)/float64(n), float64(n)
	return (p + z*z/(2*m) - z*math.Sqrt(p*(1-p)/m+z*z/(4*m*m))) / (1 + z*z/m)
}
