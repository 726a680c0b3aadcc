package fit

import (
	"math"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/leastsq"
)

// result turns the parameters into what a person asked for.
func (m *model) result(a *leastsq.Result) *Result {
	m.ask(a.P)
	r := &Result{Iterations: a.Iterations}
	m.curves(r)
	m.judge(a, r)
	wide := r.Noise.Widened
	for i, u := range m.plan.Unknowns {
		sd := a.SD(i) * wide
		v := Value{Part: u.Part, Field: u.Value, Value: math.Exp(a.P[i]), LogSD: sd, AtBound: a.AtBound[i]}
		half := min(ninetyFive*sd, widest)
		v.Low, v.High = math.Exp(a.P[i]-half), math.Exp(a.P[i]+half)
		prior := u.Prior
		if prior == 0 {
			prior = weakPrior
		}
		v.Told = a.SD(i) < 0.7*prior
		r.Values = append(r.Values, v)
	}
	for i, x := range m.positions {
		x.Found, x.SD = a.P[m.unknowns+i], a.SD(m.unknowns+i)*wide
		r.Positions = append(r.Positions, x)
	}
	if m.levels > 0 && m.stage == nil {
		for _, k := range m.takes {
			r.Offsets = append(r.Offsets, Offset{a.P[k.level], a.SD(k.level) * wide})
		}
	}
	for i := range m.unknowns {
		row := make([]float64, m.unknowns)
		for k := range row {
			row[k] = a.Covariance[i][k] * wide * wide
		}
		r.Covariance = append(r.Covariance, row)
	}
	m.speak(a, r)
	return r
}

// curves fills in fitted curves and residuals; an unknown stage is the mean of
// what is left, weighted, and is added to all.
func (m *model) curves(r *Result) {
	var stage []float64
	if m.stage != nil {
		stage = make([]float64, len(m.takes[0].hz))
		weight := 0.0
		for _, k := range m.takes {
			w := 1 / (k.sd * k.sd)
			weight += w
			for j, x := range k.residual {
				stage[j] -= x * k.sd * w
			}
		}
		for j := range stage {
			stage[j] /= weight
		}
		r.Stage = &curve.Curve{Hz: m.takes[0].hz, DB: stage}
	}
	for i, k := range m.takes {
		from := m.plan.Takes[i].Curve
		fitted := curve.Curve{Name: from.Name, Setting: from.Setting, Hz: k.hz, DB: make([]float64, len(k.hz))}
		left := curve.Curve{Name: from.Name, Setting: from.Setting, Hz: k.hz, DB: make([]float64, len(k.hz))}
		for j, x := range k.residual {
			left.DB[j] = -x * k.sd
			if stage != nil {
				left.DB[j] -= stage[j]
			}
			fitted.DB[j] = k.db[j] - left.DB[j]
		}
		r.Fitted, r.Residuals = append(r.Fitted, fitted), append(r.Residuals, left)
	}
}

// Limits of the judgement: the chance below which what is left is too large, and
// the deviations beyond which neighbours agree too much. Each would be met by
// chance in fewer than one fit in a thousand.
const (
	leastChance = 1e-4
	mostWander  = 4.0
)

// judge holds what is left to the noise, by its size and by its run.
func (m *model) judge(a *leastsq.Result, r *Result) {
	n := Noise{Freedom: m.rows() - m.size(), Chance: 1, Widened: 1}
	square, noise := 0.0, 0.0
	for i, left := range r.Residuals {
		for _, x := range left.DB {
			square += x * x
		}
		sd := m.takes[i].sd
		noise += sd * sd * float64(len(left.DB))
		if z := wander(left.DB); i == 0 || z > n.Wander {
			n.Wander, n.Take = z, i
		}
	}
	points := float64(m.points())
	n.RMS, n.DB = math.Sqrt(square/points), math.Sqrt(noise/points)
	ratio := a.Sum / float64(max(1, n.Freedom))
	if m.plan.stated() {
		n.Chance = leastsq.ChiSquareAbove(a.Sum, max(1, n.Freedom))
	}
	if n.Chance < leastChance && ratio > 1 {
		n.Widened = math.Sqrt(ratio)
	}
	n.WorstHz = roughest(r.Residuals[n.Take])
	r.Noise = n
}

// wander is von Neumann's ratio (1941) as deviations of the normal law: the mean
// square of neighbours' differences is twice the variance where they are
// independent, and less where they run together. Positive: they do.
func wander(x []float64) float64 {
	n := float64(len(x))
	if n < 10 {
		return 0
	}
	mean := 0.0
	for _, v := range x {
		mean += v / n
	}
	square, steps := 0.0, 0.0
	for i, v := range x {
		square += (v - mean) * (v - mean)
		if i > 0 {
			steps += (v - x[i-1]) * (v - x[i-1])
		}
	}
	if !(square > 0) {
		return 0
	}
	return (2 - steps/square*n/(n-1)) / 2 / math.Sqrt((n-2)/(n*n-1))
}

// roughest is where the mean over a sixth of an octave is farthest from 0.
func roughest(left curve.Curve) float64 {
	reach := max(1, int(left.PerOctave()/12))
	worst, at := 0.0, 0.0
	for i, hz := range left.Hz {
		sum, n := 0.0, 0.0
		for j := max(0, i-reach); j <= min(len(left.DB)-1, i+reach); j++ {
			sum += left.DB[j]
			n++
		}
		if z := math.Abs(sum) / math.Sqrt(n); z > worst {
			worst, at = z, hz
		}
	}
	return at
}

// speak adds the findings of the answer.
func (m *model) speak(a *leastsq.Result, r *Result) {
	add := func(id finding.ID, at finding.Place, args finding.Args) {
		r.Findings = append(r.Findings, finding.New(id, finding.Warning, at, args))
	}
	if !a.Reason.Converged() {
		add(IDNotConverged, finding.Place{}, finding.Args{"iterations": a.Iterations})
	}
	if n := r.Noise; n.Chance < leastChance || n.Wander > mostWander {
		add(IDLackOfFit, finding.Place{Setting: m.plan.Takes[n.Take].Curve.Setting.String()},
			finding.Args{"rms": n.RMS, "noise": n.DB, "take": n.Take + 1, "hz": n.WorstHz})
	}
	for _, v := range r.Values {
		at := finding.Place{Part: v.Part}
		if v.AtBound != 0 {
			add(IDAtBound, at, finding.Args{"value": v.Field, "unit": unitOf(v.Field), "at": v.Value})
		} else if !v.Told && v.LogSD > 0.5 {
			add(IDNotTold, at, finding.Args{"value": v.Field})
		}
	}
}

// unitOf names the unit of a part's value.
func unitOf(field string) string {
	switch field {
	case "Ohms", "DCR", "CoreOhms", "Track", "BoostEnd", "CutEnd", "WiperOhms", "ESR", "OnOhms", "OutputOhms", "InputOhms":
		return "ohm"
	case "Henries":
		return "henry"
	case "Farads", "SelfFarads":
		return "farad"
	case "GainBandwidth":
		return "hertz"
	}
	return ""
}
