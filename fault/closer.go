package fault

import (
	"context"
	"math"
	"slices"
)

// A closer look: the table's cells of sizes are wide, and a curve bends within them,
// or jumps where a device leaves its range. Once readings are there, the cells that
// they leave in play are split, and solved anew for what was read, until across each
// a straight line holds.
const (
	splitBy     = 5    // into so many
	mostRounds  = 4    // of splitting: a cell of 0.5 is one of 0.0008 then
	closest     = 0.1  // no look at the sizes of what is less likely: many such cost more than a person waits
	leastCell   = 1e-4 // of the hypothesis' probability: a cell that counts
	broadest    = 4.0  // deviations left within a cell that a straight line serves
	mostBent    = 0.7  // of a reading's own deviation: what the line may leave
	besideFirst = 2    // cells split to each side of those that count: a wide one may have been misjudged
)

// grain is a cell of sizes as the readings have left it: its share of the
// hypothesis' probability, and in it the middle of ln size and the deviation.
type grain struct {
	size, width, share, middle, sd float64
	coarse                         bool // it is too wide for a straight line
}

// grains says what the values leave of each of a hypothesis' cells, their shares
// being known.
func (t *Table) grains(values []entered, cases []column, shares []float64) []grain {
	j := t.judge(values)
	list := make([]grain, len(cases))
	for i := range cases {
		c := &cases[i]
		list[i] = grain{size: c.size, width: c.width, share: shares[i]}
		if shares[i] > leastCell {
			middle, sd := j.inCell(c)
			list[i].middle, list[i].sd = math.Log(c.size)+middle, sd
			list[i].coarse = c.width > broadest*sd || slices.ContainsFunc(values, func(v entered) bool {
				_, left := line(cases, i, v.row)
				return left > mostBent*c.own[v.row]
			})
		}
	}
	return list
}

// shared gives the shares of a hypothesis' cells.
func (t *Table) shared(values []entered, cases []column) []float64 {
	j := t.judge(values)
	logs := make([]float64, len(cases))
	for i := range cases {
		logs[i] = log(cases[i].weight) + j.log(&cases[i], math.Inf(-1))
	}
	whole := logSum(logs)
	for i := range logs {
		logs[i] = math.Exp(logs[i] - whole)
	}
	return logs
}

func coarse(list []grain) bool {
	return slices.ContainsFunc(list, func(g grain) bool { return g.coarse })
}

// split gives the cells that count, and so many beside them, in parts.
func split(list []grain, beside int) []cell {
	var parts []cell
	for i, g := range list {
		near := list[max(0, i-beside):min(len(list), i+beside+1)]
		if !slices.ContainsFunc(near, func(g grain) bool { return g.share > leastCell }) {
			continue
		}
		for k := range splitBy {
			off := (float64(k)+0.5)/splitBy - 0.5
			parts = append(parts, cell{g.size * math.Exp(off*g.width), g.width / splitBy})
		}
	}
	return parts
}

// sizes tells the sizes of the hypotheses in play.
func (r *Ranking) sizes(ctx context.Context) error {
	t := r.table
	looks := map[int][]grain{} // by hypothesis
	var due []int
	for i := range r.inPlay() {
		k := &r.Ranked[i]
		if k.Hypothesis < 0 || k.Probability == 0 || t.columns[t.of[k.Hypothesis]].width == 0 {
			continue
		}
		first, end := t.of[k.Hypothesis], t.of[k.Hypothesis+1]
		shares := slices.Clone(r.cases[first:end])
		for i := range shares {
			shares[i] /= k.Probability
		}
		looks[k.Hypothesis] = t.grains(r.values, t.columns[first:end], shares)
		if k.Probability > closest && t.Hypotheses[k.Hypothesis].edits != nil && coarse(looks[k.Hypothesis]) {
			due = append(due, k.Hypothesis)
		}
	}
	if err := r.closer(ctx, looks, due); err != nil {
		return err
	}
	for i := range r.inPlay() {
		if k := &r.Ranked[i]; looks[k.Hypothesis] != nil {
			k.Size = sizeOf(looks[k.Hypothesis])
		}
	}
	return nil
}

// closer splits the cells of some hypotheses until a straight line serves.
func (r *Ranking) closer(ctx context.Context, looks map[int][]grain, due []int) error {
	if len(due) == 0 {
		return nil
	}
	look, values := r.table.look(r.values)
	b, err := look.bank(ctx)
	if err != nil {
		return err
	}
	for round := 0; round < mostRounds && len(due) > 0; round++ {
		beside := max(1, besideFirst-round)
		var list []Hypothesis
		for _, h := range due {
			list = append(list, r.table.Hypotheses[h].over(split(looks[h], beside)))
		}
		now := look.with(list)
		b.table = now
		if err := now.fill(ctx, b); err != nil {
			return err
		}
		now.settle()
		var rest []int
		for i, h := range due {
			cases := now.columns[now.of[i+1]:now.of[i+2]]
			looks[h] = now.grains(values, cases, now.shared(values, cases))
			if coarse(looks[h]) {
				rest = append(rest, h)
			}
		}
		due = rest
	}
	return nil
}

// look is a table, still without hypotheses, of those readings that were taken, and
// the values as its rows have them.
func (t *Table) look(values []entered) (*Table, []entered) {
	look := &Table{plan: t.plan, base: t.base}
	row := map[int]int{} // by row of the whole table
	for _, v := range values {
		which := t.rows[v.row].reading
		if _, ok := row[v.row]; ok || v.row != t.first[which] {
			continue
		}
		for at := t.first[which]; at < t.first[which+1]; at++ {
			row[at] = len(row)
		}
		look.Readings = append(look.Readings, t.Readings[which])
		look.wide = append(look.wide, t.wide[which])
	}
	look.plan.Readings, look.plan.Progress = look.Readings, nil
	look.causes = causesOf(t.base, t.plan.Parts, look.Readings)
	mine := slices.Clone(values)
	for i := range mine {
		mine[i].row = row[mine[i].row]
	}
	return look, mine
}

// with is the table with hypotheses, not filled yet.
func (t *Table) with(list []Hypothesis) *Table {
	now := *t
	built := Hypothesis{Name: string(AsBuilt), Kind: AsBuilt, Cases: []Case{{Weight: 1}}}
	now.Hypotheses = append([]Hypothesis{built}, list...)
	now.number()
	return &now
}

// settle finishes the columns; cells that do not touch are bent apart.
func (t *Table) settle() {
	for h := range t.Hypotheses {
		cases := t.columns[t.of[h]:t.of[h+1]]
		for first := 0; first < len(cases); {
			end := first + 1
			for end < len(cases) && touch(cases[end-1], cases[end]) {
				end++
			}
			t.bend(cases[first:end])
			first = end
		}
	}
	for k := range t.columns[1:] {
		t.loosen(&t.columns[k+1])
	}
}

func touch(a, b column) bool {
	return math.Abs(math.Log(b.size/a.size)-(a.width+b.width)/2) < 1e-6
}

// sizeOf gives the quantiles over the cells, of a normal law within each.
func sizeOf(list []grain) *Size {
	low, high, whole := math.Inf(1), math.Inf(-1), 0.0
	for _, g := range list {
		if g.share > leastCell {
			low, high = min(low, g.middle-6*g.sd), max(high, g.middle+6*g.sd)
			whole += g.share
		}
	}
	quantile := func(q float64) float64 {
		from, to := low, high
		for range 50 {
			middle, below := (from+to)/2, 0.0
			for _, g := range list {
				if g.share > leastCell {
					below += g.share / whole * 0.5 * math.Erfc((g.middle-middle)/(math.Sqrt2*g.sd))
				}
			}
			if below < q {
				from = middle
			} else {
				to = middle
			}
		}
		return math.Exp((from + to) / 2)
	}
	return &Size{Low: quantile(0.025), Middle: quantile(0.5), High: quantile(0.975)}
}
