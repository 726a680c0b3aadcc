package spread

import (
	"context"
	"slices"

	"bandwright/finding"
)

// Extreme is the build that drives a figure furthest to one side.
type Extreme struct {
	Value *float64  `json:"value"` // as measured of that very build; nil: it has none
	Knobs []float64 `json:"knobs"` // by knob: its law's low or high end, nominal where it has no effect
}

// Corner is the worst case of a figure, to both sides.
type Corner struct {
	Figure string  `json:"figure"`
	Low    Extreme `json:"low"`
	High   Extreme `json:"high"`
}

// cornerRounds bounds how often the signs are taken again at the corner.
const cornerRounds = 3

// Corners finds the worst case of every figure: each knob is turned from end to
// end alone, all others nominal, which gives the sign of its effect; all
// knobs set to the ends by their signs make the corner, which is measured. Then
// every knob is turned to its other end at the corner itself, and turned for
// good where that is worse still. Exact where every figure rises or falls
// with each knob throughout; batches are not heeded.
func Corners(ctx context.Context, p Plan) ([]Corner, finding.List, error) {
	names := p.Measure().Figures()
	if err := p.check(names).Err(); err != nil {
		return nil, nil, err
	}
	s := &climbers{plan: p}
	if err := s.begin(ctx, len(names)); err != nil {
		return nil, nil, err
	}
	for range cornerRounds {
		changed, err := s.climb(ctx)
		if err != nil {
			return nil, nil, err
		}
		if !changed {
			break
		}
	}
	corners := make([]Corner, len(names))
	var found finding.List
	for f, name := range names {
		corners[f] = Corner{Figure: name, Low: s.all[2*f].extreme(), High: s.all[2*f+1].extreme()}
		for i, e := range [...]Extreme{corners[f].Low, corners[f].High} {
			if e.Value == nil || s.all[2*f].lost {
				found = append(found, finding.New(IDNoCorner, finding.Warning, finding.Place{},
					finding.Args{"figure": name, "end": [...]string{"low", "high"}[i]}))
			}
		}
	}
	return corners, found, nil
}

// climbers look for the lowest and the highest of every figure.
type climbers struct {
	plan Plan
	all  []climber // by figure: low, high
}

type climber struct {
	figure int
	sign   float64 // +1: the highest
	knobs  []float64
	value  float64
	lost   bool // some build looked at does not have the figure
}

func (c *climber) extreme() Extreme {
	e := Extreme{Knobs: c.knobs}
	if v := c.value; has(v) {
		e.Value = &v
	}
	return e
}

// begin takes the signs about the nominal build and measures the corners.
func (s *climbers) begin(ctx context.Context, figures int) error {
	turned := [][]float64{s.plan.nominal()}
	for i, l := range s.plan.Laws {
		for _, end := range [...]float64{l.Low, l.High} {
			build := s.plan.nominal()
			build[i] = end
			turned = append(turned, build)
		}
	}
	effect, err := s.plan.measureAt(ctx, turned)
	if err != nil {
		return err
	}
	var corners [][]float64
	for f := range figures {
		for _, sign := range [...]float64{-1, 1} {
			c := climber{figure: f, sign: sign, knobs: s.plan.nominal()}
			for i, l := range s.plan.Laws {
				switch by := sign * rise(effect[f][0], effect[f][2*i+1], effect[f][2*i+2]); {
				case by > 0:
					c.knobs[i] = l.High
				case by < 0:
					c.knobs[i] = l.Low
				}
			}
			c.lost = slices.ContainsFunc(effect[f], func(v float64) bool { return !has(v) })
			s.all, corners = append(s.all, c), append(corners, c.knobs)
		}
	}
	values, err := s.plan.measureAt(ctx, corners)
	if err != nil {
		return err
	}
	for i := range s.all {
		s.all[i].value = values[s.all[i].figure][i]
	}
	return nil
}

// rise is what a figure gains from a knob's low end to its high one; an end
// without the figure is taken as the middle.
func rise(middle, low, high float64) float64 {
	if !has(low) {
		low = middle
	}
	if !has(high) {
		high = middle
	}
	return high - low
}

// climb looks at the corners' neighbours: signs about the nominal build may be
// wrong at the corner where parts work on each other. It turns every knob of every corner to its other end, and keeps the
// turns that lead further out, together where that is further still.
func (s *climbers) climb(ctx context.Context) (changed bool, err error) {
	var tried [][]float64
	for _, c := range s.all {
		for i := range c.knobs {
			tried = append(tried, s.flipped(c.knobs, i))
		}
	}
	values, err := s.plan.measureAt(ctx, tried)
	if err != nil {
		return false, err
	}
	var joined [][]float64
	for n := range s.all {
		first := n * len(s.plan.Laws)
		joined = append(joined, s.step(&s.all[n], tried[first:], values[s.all[n].figure][first:], &changed))
	}
	values, err = s.plan.measureAt(ctx, joined)
	if err != nil {
		return false, err
	}
	for n := range s.all {
		if c := &s.all[n]; c.further(values[c.figure][n]) {
			c.knobs, c.value = joined[n], values[c.figure][n]
		}
	}
	return changed, nil
}

// step looks at every single turn from where a climber stands. It moves a climber to its best single turn and gives all good turns
// joined.
func (s *climbers) step(c *climber, tried [][]float64, values []float64, changed *bool) []float64 {
	joined := slices.Clone(c.knobs)
	from := *c
	for i := range from.knobs {
		if !from.further(values[i]) {
			continue
		}
		*changed = true
		joined[i] = tried[i][i]
		if c.further(values[i]) {
			c.knobs, c.value = tried[i], values[i]
		}
	}
	return joined
}

// further says whether a value lies further out. A corner without the figure
// is left as it is.
func (c *climber) further(v float64) bool {
	return has(v) && has(c.value) && c.sign*(v-c.value) > 0
}

func (s *climbers) flipped(knobs []float64, i int) []float64 {
	next := slices.Clone(knobs)
	l := s.plan.Laws[i]
	next[i] = l.High
	if knobs[i] == l.High {
		next[i] = l.Low
	}
	return next
}

// CheckCorners finds the corners that a sampled build lies beyond: there some
// figure turns round between the ends of a knob.
func CheckCorners(corners []Corner, r *Result) finding.List {
	var found finding.List
	for _, c := range corners {
		f, ok := r.At(c.Figure)
		if !ok || f.Count == 0 {
			continue
		}
		beyond := func(end string, corner *float64, sampled, sign float64) {
			if corner != nil && sign*(sampled-*corner) > 0 {
				found = append(found, finding.New(IDBeyondCorner, finding.Warning, finding.Place{},
					finding.Args{"figure": c.Figure, "end": end, "corner": *corner, "sampled": sampled}))
			}
		}
		beyond("low", c.Low.Value, f.Min, -1)
		beyond("high", c.High.Value, f.Max, 1)
	}
	return found
}
