package fault

import (
	"cmp"
	"context"
	"math"
	"slices"
	"sync"
	"sync/atomic"

	"bandwright/finding"
)

// Ranking is what entered readings make of the hypotheses.
type Ranking struct {
	Ranked   []Ranked     `json:"ranked"` // the likeliest first; "none of these" among them
	Classes  []Class      `json:"classes"`
	Findings finding.List `json:"findings,omitempty"`

	table  *Table
	values []entered
	cases  []float64 // probability of every column
	taken  map[int]bool
}

// Ranked is a hypothesis with its probability.
type Ranked struct {
	Hypothesis  int             `json:"-"` // in the table; −1 is "none of these"
	Name        string          `json:"name"`
	Kind        Kind            `json:"kind"`
	Places      []finding.Place `json:"places,omitempty"`
	Probability float64         `json:"probability"`
	// Size is the size of the change, where it has one: its middle, and between
	// which it lies in 19 of 20 cases. A factor is of the value as drawn: the part's
	// own tolerance is in it. Size and Evidence are of those in play, by Explain.
	Size     *Size      `json:"size,omitempty"`
	Evidence []Evidence `json:"evidence,omitempty"`
}

// Size is how large a change is: a factor of a value, or ohms.
type Size struct {
	Low    float64 `json:"low"`
	Middle float64 `json:"middle"`
	High   float64 `json:"high"`
}

// Evidence is what one taken reading says of a hypothesis.
type Evidence struct {
	Reading int `json:"reading"` // of the table
	// Weight is the logarithm to ten of how much likelier the reading is under
	// the hypothesis than under all others in their shares beforehand: above 0
	// for it, below 0 against (Good 1950; memory).
	Weight float64 `json:"weight"`
	// What the reading was and should have been; of a curve, where they differ
	// most. Nil: "open", or no number is predicted.
	Hz       float64  `json:"hz,omitempty"`
	Value    *float64 `json:"value"`
	Expected *float64 `json:"expected"`
	SD       float64  `json:"sd"`
}

// inPlay is how likely a hypothesis must be to be talked of.
const (
	inPlay     = 1e-3
	mostInPlay = 30
)

// Rank holds entered readings against the table; Explain says why. The error is a finding.List:
// readings that cannot be, each with its place.
func (t *Table) Rank(ctx context.Context, taken []Taken) (*Ranking, error) {
	values, err := t.enter(ctx, taken)
	if err != nil {
		return nil, err
	}
	logs, err := t.likelihoods(ctx, values, farBehind)
	if err != nil {
		return nil, err
	}
	for h := range t.Hypotheses {
		for k := t.of[h]; k < t.of[h+1]; k++ {
			logs[k] += log(t.prior[h]) + log(t.columns[k].weight)
		}
	}
	none := math.Log(shareNone) + t.none(values)
	whole := logSum(append(slices.Clone(logs), none))
	r := &Ranking{table: t, values: values, cases: logs, taken: map[int]bool{}}
	for k := range logs {
		logs[k] = math.Exp(logs[k] - whole)
	}
	for _, v := range values {
		r.taken[t.rows[v.row].reading] = true
	}
	r.list(math.Exp(none - whole))
	r.classify()
	if len(values) > 0 && r.Ranked[0].Kind == None { // of nothing read nothing is contradicted
		r.Findings = append(r.Findings, finding.New(IDContradicted, finding.Warning, finding.Place{}, nil))
	}
	return r, nil
}

// How far below the likeliest case, in natural logarithms, a case's likelihood is
// worked out: beyond it no weight beforehand brings it into play. Of one reading
// alone it is what evidence against can come to.
const (
	farBehind = 60
	farAlone  = 300
)

// likelihoods gives the logarithm of every case's, the cases shared out among
// workers. Every fourth is worked out whole; from the likeliest of those the
// others know how far they may fall behind, whatever order they come in.
func (t *Table) likelihoods(ctx context.Context, values []entered, far float64) ([]float64, error) {
	const every = 4
	logs := make([]float64, len(t.columns))
	least := math.Inf(-1)
	for _, first := range [...]bool{true, false} {
		t.share(len(logs), 64, func(next func() int) {
			j := t.judge(values)
			for k := next(); k < len(logs) && ctx.Err() == nil; k = next() {
				if (k%every == 0) == first {
					logs[k] = j.log(&t.columns[k], least)
				}
			}
		})
		if first {
			for k := 0; k < len(logs); k += every {
				least = max(least, logs[k]-far)
			}
		}
	}
	return logs, ctx.Err()
}

// share has every worker call work once, which asks for the next of n things until
// it is given n or more; they are dealt out so many at a time.
func (t *Table) share(n, stride int, work func(next func() int)) {
	var wait sync.WaitGroup
	var blocks atomic.Int64
	for range min(n, t.workers()) {
		wait.Go(func() {
			k, end := -1, -1
			work(func() int {
				if k++; k >= end {
					k = int(blocks.Add(int64(stride))) - stride
					end = k + stride
				}
				return k
			})
		})
	}
	wait.Wait()
}

// list sorts the hypotheses.
func (r *Ranking) list(none float64) {
	t := r.table
	r.Ranked = append(r.Ranked, Ranked{Hypothesis: -1, Name: string(None), Kind: None, Probability: none})
	for h, hyp := range t.Hypotheses {
		p := 0.0
		for k := t.of[h]; k < t.of[h+1]; k++ {
			p += r.cases[k]
		}
		r.Ranked = append(r.Ranked, Ranked{Hypothesis: h, Name: hyp.Name, Kind: hyp.Kind, Places: hyp.Places, Probability: p})
	}
	slices.SortStableFunc(r.Ranked, func(a, b Ranked) int { return cmp.Compare(b.Probability, a.Probability) })
}

// Explain adds to the hypotheses in play what each reading says of them and how
// large they are: what a person is told, and choosing the next reading needs not.
func (r *Ranking) Explain(ctx context.Context) error {
	alone, err := r.alone(ctx)
	if err != nil {
		return err
	}
	for i := range r.inPlay() {
		if k := &r.Ranked[i]; k.Hypothesis >= 0 {
			k.Evidence = r.evidence(k.Hypothesis, alone)
		}
	}
	return r.sizes(ctx)
}

// inPlay gives the hypotheses that are likely enough to be talked of.
func (r *Ranking) inPlay() []Ranked {
	n := 0
	for n < len(r.Ranked) && n < mostInPlay && r.Ranked[n].Probability >= inPlay {
		n++
	}
	return r.Ranked[:n]
}

// alone is the likelihood of each taken reading by itself, by reading and
// column, for evidence.
type alone struct {
	reading int
	values  []entered
	logs    []float64
	average float64
}

func (r *Ranking) alone(ctx context.Context) (list []alone, err error) {
	t := r.table
	for first := 0; first < len(r.values); {
		which, next := t.rows[r.values[first].row].reading, first
		for next < len(r.values) && t.rows[r.values[next].row].reading == which {
			next++
		}
		a := alone{reading: which, values: r.values[first:next]}
		if a.logs, err = t.likelihoods(ctx, a.values, farAlone); err != nil {
			return nil, err
		}
		weighed := make([]float64, len(t.columns))
		for h := range t.Hypotheses {
			for k := t.of[h]; k < t.of[h+1]; k++ {
				weighed[k] = a.logs[k] + log(t.prior[h]) + log(t.columns[k].weight)
			}
		}
		a.average = logSum(weighed)
		list = append(list, a)
		first = next
	}
	return list, nil
}

// evidence of each reading, the cases weighed as all readings together have them.
func (r *Ranking) evidence(h int, list []alone) []Evidence {
	t := r.table
	var all []Evidence
	for _, a := range list {
		best, p := t.of[h], 0.0
		var logs []float64
		for k := t.of[h]; k < t.of[h+1]; k++ {
			p += r.cases[k]
			logs = append(logs, a.logs[k]+log(r.cases[k]))
			if r.cases[k] > r.cases[best] {
				best = k
			}
		}
		e := Evidence{Reading: a.reading, Weight: (logSum(logs) - log(p) - a.average) / math.Ln10}
		t.point(&t.columns[best], a.values, &e)
		all = append(all, e)
	}
	return all
}

// point fills in the number in which a reading and a case differ most.
func (t *Table) point(c *column, values []entered, e *Evidence) {
	worst := -1.0
	for _, v := range values {
		if v.lacks && t.rows[v.row].hz == 0 || c.state[v.row] != number {
			if worst < 0 {
				if !v.lacks {
					e.Value = new(v.value)
				}
				if c.state[v.row] == number {
					e.Expected, e.SD = new(c.value[v.row]), c.sd(v.row)
				}
			}
			continue
		}
		if z := math.Abs(v.value-c.value[v.row]) / c.sd(v.row); z > worst {
			worst = z
			e.Hz, e.Value, e.Expected, e.SD = t.rows[v.row].hz, new(v.value), new(c.value[v.row]), c.sd(v.row)
		}
	}
}
