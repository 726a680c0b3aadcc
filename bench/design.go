package bench

import (
	"context"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
)

// DesignAnswer is wanted beside achieved, band by band: as the job has it now,
// with parts of any value, and with those allowed.
type DesignAnswer struct {
	Bands []DesignBand `json:"bands"`
	// The weighted errors of all figures wanted; null: a wanted figure is not
	// there at all. See equaliser.Counts for what counts as one.
	FreeError   *float64 `json:"free_error"`
	ChosenError *float64 `json:"chosen_error"`
	Builds      int      `json:"builds"` // behind the ranges; 0: there are none

	job *job.Job
}

// DesignBand is one wanted band. Range is where its chosen figures lie in 95 %
// of boards made of such parts; null where no part says how far it may be off.
type DesignBand struct {
	equaliser.DesignedBand
	Range *BandRange        `json:"range"`
	Now   equaliser.Feature `json:"now"` // with the job's own parts
}

// Job gives the job with the chosen values in it, to be written by job.Update;
// do not change it.
func (a *DesignAnswer) Job() *job.Job { return a.job }

// Design finds the parts of wanted bands; see equaliser.Design. A question
// without any wanted bands asks for what Targets gives for no words at all.
// The ranges are those that Ranges would give of the designed job.
func (c *Case) Design(ctx context.Context, question equaliser.Targets) (*DesignAnswer, finding.List, error) {
	if len(question.Wanted) == 0 {
		asked, err := c.Targets(DesignWords{})
		if err != nil {
			return nil, nil, err
		}
		question.Wanted = asked.Wanted
	}
	designed, found, err := c.equaliser.Design(ctx, question)
	if list, ok := finding.From(err); ok {
		return nil, nil, located(list, c.job, c.name)
	}
	if err != nil {
		return nil, nil, err
	}
	a := &DesignAnswer{FreeError: known(designed.FreeError), ChosenError: known(designed.Error), job: c.designedJob(designed)}
	for _, b := range designed.Bands {
		now, _, err := c.equaliser.Feature(ctx, c.solve, b.Wanted.Band, curve.Setting{})
		if err != nil {
			return nil, nil, err
		}
		a.Bands = append(a.Bands, DesignBand{DesignedBand: b, Now: now})
	}
	more, err := a.ranged(ctx, c)
	if err != nil {
		return nil, nil, err
	}
	return a, once(append(located(found, c.job, c.name), more...)), nil
}

// ranged gives the designed job's ranges to the bands.
func (a *DesignAnswer) ranged(ctx context.Context, c *Case) (finding.List, error) {
	built, err := c.rebuilt(a.job)
	if err != nil {
		return nil, err
	}
	ranges, found, err := built.bandRanges(ctx)
	if err != nil || ranges == nil {
		return found, err
	}
	a.Builds = ranges.Builds
	for i := range a.Bands {
		a.Bands[i].Range = ranges.of(a.Bands[i].Wanted.Band)
	}
	return found, nil
}

// known gives an error that is finite; nil for one that is not.
func known(x float64) *float64 {
	if x-x != 0 {
		return nil
	}
	return &x
}

func (c *Case) wantedAsStated() []equaliser.Wanted {
	var list []equaliser.Wanted
	for _, b := range c.equaliser.Spec().Bands {
		list = append(list, equaliser.Wanted{Band: b.Name, CentreHz: b.Hz})
	}
	return list
}

// WantedAfter asks for what the measured curves of originals show: centre,
// boost, cut where there is no boost, and Q. Bands that no original was
// measured at are left out.
func (c *Case) WantedAfter(ctx context.Context) ([]equaliser.Wanted, finding.List, error) {
	compared, found, err := c.Compare(ctx)
	if err != nil {
		return nil, nil, err
	}
	seen := map[string]bool{}
	var list []equaliser.Wanted
	for _, u := range compared.Units {
		if u.Role != "original" {
			continue
		}
		for _, b := range u.Bands {
			if w, ok := wantedAfter(b); ok && !seen[b.Band] {
				seen[b.Band] = true
				list = append(list, w)
			}
		}
	}
	return list, found, nil
}

func wantedAfter(b BandCompare) (equaliser.Wanted, bool) {
	w := equaliser.Wanted{Band: b.Band}
	if b.MeasuredHz != nil {
		w.CentreHz = *b.MeasuredHz
	}
	switch {
	case b.MeasuredDB != nil:
		w.BoostDB = *b.MeasuredDB
	case b.MeasuredCut != nil:
		w.CutDB = *b.MeasuredCut
	}
	if b.MeasuredQ != nil {
		w.Q = *b.MeasuredQ
	}
	return w, w.BoostDB > 0 || w.CutDB < 0
}
