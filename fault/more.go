package fault

import (
	"context"
	"slices"

	"bandwright/finding"
)

// With gives the table with more readings, of which only those are computed. The
// error is as of New.
func (t *Table) With(ctx context.Context, more []Allowed, progress func(done, total int)) (*Table, error) {
	plan := t.plan
	plan.Readings, plan.Progress = more, progress
	if err := checkPlan(ctx, plan); err != nil {
		return nil, err
	}
	extra := &Table{plan: plan, base: t.base, Readings: more, Hypotheses: t.Hypotheses, prior: t.prior}
	extra.number()
	plan.Readings = slices.Concat(t.Readings, more)
	extra.causes = causesOf(t.base, plan.Parts, plan.Readings)
	if err := extra.compute(ctx); err != nil {
		return nil, err
	}
	for k := range extra.columns {
		if extra.columns[k].moved && !t.columns[k].moved { // curves there are held more loosely then
			return New(ctx, plan)
		}
		extra.columns[k].moved = t.columns[k].moved
	}
	extra.close()
	return t.joined(extra, plan), nil
}

// joined is a table of the rows of two.
func (t *Table) joined(extra *Table, plan Plan) *Table {
	all := &Table{plan: plan, base: t.base, Hypotheses: t.Hypotheses, Readings: plan.Readings, of: t.of, prior: t.prior,
		causes: extra.causes, wide: slices.Concat(t.wide, extra.wide), rows: slices.Clone(t.rows), first: slices.Clone(t.first)}
	for _, r := range extra.rows {
		r.reading += len(t.Readings)
		all.rows = append(all.rows, r)
	}
	for _, first := range extra.first[1:] {
		all.first = append(all.first, len(t.rows)+first)
	}
	for k, c := range t.columns {
		more := extra.columns[k]
		c.value, c.state, c.own = slices.Concat(c.value, more.value), slices.Concat(c.state, more.state), slices.Concat(c.own, more.own)
		c.loads = slices.Concat(c.loads, more.loads)
		if c.slope != nil {
			c.slope = slices.Concat(c.slope, more.slope)
		}
		all.columns = append(all.columns, c)
	}
	all.Findings = slices.Clone(t.Findings)
	for _, f := range extra.Findings {
		told := func(g finding.Finding) bool { return g.Args["hypothesis"] == f.Args["hypothesis"] }
		if !slices.ContainsFunc(all.Findings, told) {
			all.Findings = append(all.Findings, f)
		}
	}
	all.hidden = all.unseen()
	return all
}
