package fault

import (
	"cmp"
	"context"
	"math"
	"slices"

	"bandwright/reading"
)

// Suggestion is a reading that is worth taking.
type Suggestion struct {
	Reading int `json:"reading"` // of the table
	// Bits is the expected loss of entropy over the hypotheses (of a curve, that
	// of its most telling frequency, Hz), Worth that by effort.
	Bits     float64   `json:"bits"`
	Worth    float64   `json:"worth"`
	Hz       float64   `json:"hz,omitempty"`
	Outcomes []Outcome `json:"outcomes"`

	row int // of the table: the reading's most telling number
}

// Outcome is what the reading may show and what that would mean.
type Outcome struct {
	Low         float64   `json:"low"` // between these; without meaning where Open
	High        float64   `json:"high"`
	Open        bool      `json:"open,omitempty"`
	Probability float64   `json:"probability"`
	Means       []Meaning `json:"means"` // the likeliest first
}

// Meaning is a hypothesis with its probability after an outcome.
type Meaning struct {
	Name        string  `json:"name"`
	Probability float64 `json:"probability"`
}

// The cases that the entropy is reckoned over: at most so many, each likely
// enough to matter.
const (
	mostComponents = 90
	leastComponent = 1e-5
)

// component is a case in play.
type component struct {
	hypothesis int
	slot       int // of the hypothesis among those in play
	column     *column
	p          float64
}

// Next gives the readings worth most, at most so many; none where nothing is left
// to tell apart. Taken readings are left out: a meter that errs errs again.
func (r *Ranking) Next(ctx context.Context, most int) ([]Suggestion, error) {
	return r.NextOf(ctx, most, func(Allowed) bool { return true })
}

// NextOf is Next among those readings that can be taken now: with the power off,
// or without setting the curves up again.
func (r *Ranking) NextOf(ctx context.Context, most int, now func(Allowed) bool) ([]Suggestion, error) {
	in := r.components()
	all := make([]*Suggestion, len(r.table.Readings))
	r.table.share(len(all), 1, func(next func() int) {
		for i := next(); i < len(all) && ctx.Err() == nil; i = next() {
			if !r.taken[i] && now(r.table.Readings[i]) {
				all[i] = r.suggest(in, i)
			}
		}
	})
	if err := ctx.Err(); err != nil {
		return nil, err
	}
	var list []Suggestion
	for _, s := range all {
		if s != nil {
			list = append(list, *s)
		}
	}
	slices.SortStableFunc(list, func(a, b Suggestion) int { return cmp.Compare(b.Worth, a.Worth) })
	list = list[:min(most, len(list))]
	for i := range list {
		list[i].Outcomes = r.outcomes(in, list[i].row)
	}
	return list, nil
}

// suggest says what a reading is worth; nil: nothing.
func (r *Ranking) suggest(in []component, which int) *Suggestion {
	t := r.table
	s := &Suggestion{Reading: which, Bits: -1}
	for at := t.first[which]; at < t.first[which+1]; at++ {
		if bits := t.loss(in, at); bits > s.Bits {
			s.Bits, s.Hz, s.row = bits, t.rows[at].hz, at
		}
	}
	if s.Bits < leastBits {
		return nil
	}
	s.Worth = s.Bits
	if effort := t.Readings[which].Effort; effort > 0 {
		s.Worth /= effort
	}
	return s
}

// leastBits is what a reading must be expected to tell to be worth taking.
const leastBits = 0.002

// components gives the likeliest cases, scaled to sum 1.
func (r *Ranking) components() []component {
	t := r.table
	var list []component
	for h := range t.Hypotheses {
		for k := t.of[h]; k < t.of[h+1]; k++ {
			list = append(list, component{hypothesis: h, column: &t.columns[k], p: r.cases[k]})
		}
	}
	slices.SortStableFunc(list, func(a, b component) int { return cmp.Compare(b.p, a.p) })
	list = list[:min(mostComponents, len(list))]
	for len(list) > 2 && list[len(list)-1].p < leastComponent {
		list = list[:len(list)-1]
	}
	sum, slots := 0.0, map[int]int{}
	for i := range list {
		sum += list[i].p
		if _, ok := slots[list[i].hypothesis]; !ok {
			slots[list[i].hypothesis] = len(slots)
		}
		list[i].slot = slots[list[i].hypothesis]
	}
	for i := range list {
		list[i].p *= (1 - notListed) / sum
	}
	return append(list, component{hypothesis: -1, slot: len(slots), p: notListed})
}

// notListed is how likely a cause that is not in the list is held while readings
// are chosen, however well one that is fits: it makes the next reading put the
// first to the test. Common practice, no source.
const notListed = 0.02

// seen is a component as one row shows it.
type seen struct {
	component
	state     state
	value, sd float64
	narrow    float64 // 1/sd
	wide      *broad  // of "none of these": as built (state, value, sd) or anywhere
}

// negligible is the square of so many deviations that a normal law ends there.
const negligible = 60

func (t *Table) at(in []component, row int) []seen {
	list := make([]seen, len(in))
	for i, c := range in {
		list[i] = seen{component: c}
		if c.column == nil {
			c.column, list[i].wide = &t.columns[0], &t.wide[t.rows[row].reading]
		}
		if list[i].state = c.column.state[row]; list[i].state == number {
			list[i].value, list[i].sd = c.column.value[row], c.column.sd(row)
			list[i].narrow = 1 / list[i].sd
		}
	}
	return list
}

// loss is the expected loss of entropy, bits: every component's outcome is tried
// at its middle and ±√3 deviations, with the weights of Gauss and Hermite for
// three points.
func (t *Table) loss(in []component, row int) float64 {
	list := t.at(in, row)
	var sums [mostComponents + 1]float64
	for i := range list {
		sums[list[i].slot] += list[i].p
	}
	before := entropy(sums[:])
	expected := 0.0
	for i := range list {
		c := &list[i]
		p := c.p
		if c.wide != nil {
			p /= 2 // the other half is anywhere, where none else is
		}
		switch c.state {
		case unknown:
			expected += p * before
		case lacking:
			expected += p * after(list, 0, true)
		default:
			side := math.Sqrt(3) * c.sd
			expected += p * (4*after(list, c.value, false) + after(list, c.value-side, false) + after(list, c.value+side, false)) / 6
		}
	}
	return before - expected
}

// after is the entropy over hypotheses after an outcome.
func after(list []seen, value float64, open bool) float64 {
	var sums [mostComponents + 1]float64
	for i := range list {
		sums[list[i].slot] += list[i].p * list[i].density(value, open)
	}
	return entropy(sums[:])
}

// entropy of weights, bits: of shares w/W it is lg W − Σ w·lg w / W.
func entropy(weights []float64) float64 {
	whole, sum := 0.0, 0.0
	for _, w := range weights {
		if w > 0 {
			whole += w
			sum += w * math.Log(w)
		}
	}
	if whole == 0 {
		return 0
	}
	return (math.Log(whole) - sum/whole) / math.Ln2
}

// density of an outcome. unknown is taken as
// wide: the outcome tells neither for nor against.
func (s *seen) density(value float64, open bool) float64 {
	if s.wide != nil {
		anywhere := math.Exp(s.wide.one(entered{value: value, lacks: open}))
		return (s.likely(value, open) + anywhere) / 2
	}
	return s.likely(value, open)
}

func (s *seen) likely(value float64, open bool) float64 {
	switch {
	case s.state == unknown:
		return 1e-2
	case open:
		if s.state == lacking {
			return 1
		}
		return stray
	case s.state == lacking:
		return 0
	}
	z := (value - s.value) * s.narrow
	if z *= z; z > negligible {
		return 0
	}
	return math.Exp(-z/2) * s.narrow / math.Sqrt(2*math.Pi)
}

// outcomes gathers what a row may show into ranges that do not touch: each is what
// some hypotheses lie within by two deviations.
func (r *Ranking) outcomes(in []component, row int) []Outcome {
	list := slices.DeleteFunc(r.table.at(in, row), func(s seen) bool { return s.wide != nil || s.state == unknown || s.p < inPlay/10 })
	slices.SortStableFunc(list, func(a, b seen) int {
		return cmp.Or(cmp.Compare(a.state, b.state), cmp.Compare(a.value-apart*a.sd, b.value-apart*b.sd))
	})
	kind := r.table.Readings[r.table.rows[row].reading].Kind
	var all []Outcome
	for i := 0; i < len(list); {
		o := Outcome{Open: list[i].state == lacking, Low: list[i].value - apart*list[i].sd, High: list[i].value + apart*list[i].sd}
		j := i
		for j < len(list) && (list[j].state == lacking) == o.Open && (o.Open || list[j].value-apart*list[j].sd <= o.High) {
			o.High = max(o.High, list[j].value+apart*list[j].sd)
			j++
		}
		if o.Open {
			o.Low, o.High = 0, 0
		}
		if kind == reading.Ohms {
			o.Low = max(o.Low, 0)
		}
		r.means(&o, list[i:j])
		all = append(all, o)
		i = j
	}
	slices.SortStableFunc(all, func(a, b Outcome) int { return cmp.Compare(b.Probability, a.Probability) })
	return all
}

// means says which hypotheses an outcome would leave.
func (r *Ranking) means(o *Outcome, list []seen) {
	for _, s := range list {
		name := r.table.Hypotheses[s.hypothesis].Name
		o.Probability += s.p
		if i := slices.IndexFunc(o.Means, func(m Meaning) bool { return m.Name == name }); i >= 0 {
			o.Means[i].Probability += s.p
		} else {
			o.Means = append(o.Means, Meaning{name, s.p})
		}
	}
	for i := range o.Means {
		o.Means[i].Probability /= o.Probability
	}
	slices.SortStableFunc(o.Means, func(a, b Meaning) int { return cmp.Compare(b.Probability, a.Probability) })
}
