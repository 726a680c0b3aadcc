package bench

import (
	"context"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/fit"
	"bandwright/job"
)

// FitQuestion is curves of one unit, and what is not known of it.
type FitQuestion struct {
	Unit   string   // whose curves; "": the only unit there is
	Curves []string // names of its curves; none: all of them
	Also   []string // words of FitAlso, beside the legs' ohms, henries and farads
	// Nothing says that the job's values of the legs mean nothing: only how the
	// circuit is joined up is known.
	Nothing bool
	Stage   bool   // an unknown stage lies behind, the same in all curves
	Level   string // of curves without such a stage: see FitLevels; "": free
	// SliderOff is how far a slider may stand off its setting, as a share of its
	// travel; one at an end stands there. Reset: each was set anew for every curve.
	SliderOff float64
	Reset     bool
	NoiseDB   float64 // standard deviation of a point; 0: found from what is left
}

// Findings of the question and of its answer.
const (
	// IDFitNoUnit (error): no curves of the unit. unit, known.
	IDFitNoUnit finding.ID = "bench.fit-no-unit"
	// IDFitWhichUnit (error): curves of several units, and none named. known.
	IDFitWhichUnit finding.ID = "bench.fit-which-unit"
	// IDFitNoCurve (error): no curve of the unit has that name. curve, unit, known.
	IDFitNoCurve finding.ID = "bench.fit-no-curve"
	// IDFitAlso (error): no kind of value that can be fitted. read, known.
	IDFitAlso finding.ID = "bench.fit-also"
	// IDFitNone (error): the circuit has no such value. read.
	IDFitNone finding.ID = "bench.fit-none"
	// IDFitLevel (error): nothing that is known of levels. read, known.
	IDFitLevel finding.ID = "bench.fit-level"
	// IDFitLeg (warning): a leg that is not coil, capacitor and resistor is left
	// as the job has it. Place band.
	IDFitLeg finding.ID = "bench.fit-leg"
	// IDFitReversed (warning): the curves show the slider's ends exchanged; its
	// settings were taken so. Place band; curve.
	IDFitReversed finding.ID = "bench.fit-reversed"
)

// FitAnswer is the part values that explain the curves.
type FitAnswer struct {
	Unit     string         `json:"unit"`
	Role     string         `json:"role"`
	Curves   []string       `json:"curves"`
	Reversed []string       `json:"reversed,omitempty"` // bands whose slider's ends are exchanged
	Legs     []FitLeg       `json:"legs"`
	Others   []FitValue     `json:"others,omitempty"`
	Sliders  []fit.Position `json:"sliders,omitempty"`
	Levels   []fit.Offset   `json:"levels,omitempty"`
	Noise    fit.Noise      `json:"noise"`
	Ties     []FitTie       `json:"ties,omitempty"`
	// Fitted and Residuals are by curve: what the circuit makes of it with these
	// values, and what is left of the measured one.
	Fitted    []curve.Curve `json:"fitted"`
	Residuals []curve.Curve `json:"residuals"`
	Stage     *curve.Curve  `json:"stage,omitempty"` // the unknown stage's, as found

	result *fit.Result
	knobs  []circuit.Knob
	job    *job.Job
}

// FitLeg is one band's leg as found.
type FitLeg struct {
	Band      string   `json:"band"`
	Resistor  FitValue `json:"resistor"`
	Coil      FitValue `json:"coil"`
	Capacitor FitValue `json:"capacitor"`
	Resonance fit.Span `json:"resonance_hz"`
	Ohms      fit.Span `json:"ohms"` // resistor and copper together
}

// FitValue is one value as found beside the job's.
type FitValue struct {
	fit.Value
	Job float64 `json:"job"`
	Off float64 `json:"off"` // found over the job's, less 1
}

// FitTie is values that the curves tell only together; Settle is the setting of
// the one take that would part them best, "" where none would.
type FitTie struct {
	Parts  []string `json:"parts"`
	Known  []string `json:"known"` // products and quotients
	Settle string   `json:"settle"`
}

// Job gives the job with the values found in it; do not change it.
func (a *FitAnswer) Job() *job.Job { return a.job }

// Fit finds the values of the parts that explain a unit's curves; see fit.Solve.
func (c *Case) Fit(ctx context.Context, q FitQuestion) (*FitAnswer, finding.List, error) {
	c, err := c.asTaken()
	if err != nil {
		return nil, nil, err
	}
	u, err := c.fittedUnit(q)
	if err != nil {
		return nil, nil, err
	}
	plan, found, err := c.fitPlan(q)
	if err != nil {
		return nil, found, err
	}
	a := &FitAnswer{Unit: u.name, Role: u.role}
	more, err := c.takes(ctx, u, &plan, a)
	if found = append(found, more...); err != nil {
		return nil, found, err
	}
	c.believe(&plan, c.beliefs())
	r, err := fit.Solve(ctx, plan)
	if list, ok := finding.From(err); ok {
		return nil, found, located(list, c.job, c.name)
	}
	if err != nil {
		return nil, nil, err
	}
	a.fill(plan, r)
	a.job = c.fittedJob(a)
	return a, once(append(found, located(r.Findings, c.job, c.name)...)), nil
}

// fittedUnit finds the curves that are asked for.
func (c *Case) fittedUnit(q FitQuestion) (*unit, error) {
	var names []string
	var list []*unit
	for _, u := range c.units() {
		if u.role != "target" {
			names = append(names, u.name)
			list = append(list, u)
		}
	}
	refused := func(id finding.ID, args finding.Args) error {
		args["known"] = strings.Join(names, ", ")
		return finding.New(id, finding.Error, finding.Place{File: c.name}, args)
	}
	if q.Unit == "" && len(list) > 1 {
		for _, u := range list { // the curves that are named may tell
			if len(q.Curves) > 0 && u.has(q.Curves[0]) {
				q.Unit = u.name
			}
		}
		if q.Unit == "" {
			return nil, refused(IDFitWhichUnit, finding.Args{})
		}
	}
	at := slices.IndexFunc(list, func(u *unit) bool { return q.Unit == "" || u.name == q.Unit })
	if at < 0 {
		return nil, refused(IDFitNoUnit, finding.Args{"unit": q.Unit})
	}
	return list[at], c.only(list[at], q.Curves)
}

// only leaves a unit the curves that are named; none: all of them.
func (c *Case) only(u *unit, names []string) error {
	if len(names) == 0 {
		return nil
	}
	for _, name := range names {
		if u.has(name) {
			continue
		}
		var known []string
		for _, t := range u.curves {
			known = append(known, t.Name)
		}
		return finding.New(IDFitNoCurve, finding.Error, finding.Place{File: c.name},
			finding.Args{"curve": name, "unit": u.name, "known": strings.Join(known, ", ")})
	}
	u.curves = slices.DeleteFunc(u.curves, func(t taken) bool { return !slices.Contains(names, t.Name) })
	return nil
}

func (u *unit) has(name string) bool {
	return slices.ContainsFunc(u.curves, func(t taken) bool { return t.Name == name })
}

// takes adds the unit's curves to the plan. A band whose curves point the wrong
// way has its slider's ends exchanged, and every setting is turned for it.
func (c *Case) takes(ctx context.Context, u *unit, plan *fit.Plan, a *FitAnswer) (finding.List, error) {
	features, _, err := c.equaliser.Features(ctx, c.solve, curve.Setting{})
	if err != nil {
		return nil, err
	}
	var found finding.List
	for _, f := range features {
		if name, turned := u.reversed(f); turned {
			a.Reversed = append(a.Reversed, f.Band)
			found = append(found, finding.New(IDFitReversed, finding.Warning, finding.Place{Band: f.Band}, finding.Args{"curve": name}))
		}
	}
	for _, t := range u.curves {
		k := t.curve
		for _, band := range a.Reversed {
			if at := k.Setting.Slider(band); at != 0 {
				k.Setting = k.Setting.WithSlider(band, -at)
			}
		}
		plan.Takes = append(plan.Takes, fit.Take{Curve: k})
		a.Curves = append(a.Curves, t.Name)
	}
	return found, nil
}

// reversed tells whether a band's own curve, less the one taken flat, goes down
// at the centre by more than half of what it should go up, or the other way.
func (u *unit) reversed(f equaliser.Feature) (curveName string, turned bool) {
	flat, ok := u.at(curve.Setting{})
	if !ok || !f.Found || !f.CutFound {
		return "", false
	}
	for _, side := range [...]struct{ position, want float64 }{{1, f.BoostDB}, {-1, f.CutDB}} {
		t, ok := u.at(curve.Setting{}.WithSlider(f.Band, side.position))
		if !ok {
			continue
		}
		end, _, inside := curve.At(t.curve, f.CentreHz)
		middle, _, also := curve.At(flat.curve, f.CentreHz)
		if inside && also && (end-middle)/side.want < -0.5 {
			return t.Name, true
		}
	}
	return "", false
}

// fill takes the result over.
func (a *FitAnswer) fill(plan fit.Plan, r *fit.Result) {
	a.result, a.Sliders, a.Levels, a.Noise = r, r.Positions, r.Offsets, r.Noise
	a.Fitted, a.Residuals, a.Stage = r.Fitted, r.Residuals, r.Stage
	values := map[circuit.Knob]FitValue{}
	for _, v := range r.Values {
		own, _ := plan.Circuit.Value(circuit.Knob{Part: v.Part, Value: v.Field})
		k := circuit.Knob{Part: v.Part, Value: v.Field}
		values[k] = FitValue{v, own, v.Value/own - 1}
		a.knobs = append(a.knobs, k)
	}
	spans := r.Legs(plan.Circuit, plan.Legs)
	inLeg := map[circuit.Knob]bool{}
	for i, l := range plan.Legs {
		of := knobsOfLeg(l)
		for _, k := range of {
			inLeg[k] = true
		}
		a.Legs = append(a.Legs, FitLeg{Band: l.Band, Resistor: values[of[0]], Coil: values[of[1]], Capacitor: values[of[2]],
			Resonance: spans[i].Resonance, Ohms: spans[i].Ohms})
	}
	for _, k := range a.knobs {
		if !inLeg[k] {
			a.Others = append(a.Others, values[k])
		}
	}
	for _, t := range r.Ties {
		a.Ties = append(a.Ties, tieOf(r, t))
	}
}

func tieOf(r *fit.Result, t fit.Tie) FitTie {
	parts, known := r.Named(t)
	out := FitTie{Parts: parts, Known: known}
	if t.Settle != nil {
		out.Settle = t.Settle.String()
	}
	return out
}
