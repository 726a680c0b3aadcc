package spread

import (
	"context"
	"math"

	"bandwright/finding"
)

// Linear is the range of a figure by its sensitivities alone.
type Linear struct {
	Figure string    `json:"figure"`
	Middle float64   `json:"middle"` // with every knob at its law's mean
	SD     float64   `json:"sd"`     // √(J·Σ·Jᵀ)
	Low    float64   `json:"low"`    // central 95 %, taken as normal
	High   float64   `json:"high"`
	Slopes []float64 `json:"slopes"` // by knob, in base units
}

// slopeStep is the step of a sensitivity in the knob's own deviations: small
// beside what a figure bends over, large beside what a root is settled to.
const slopeStep = 0.1

// normal95 is the normal law's 97.5 % point.
const normal95 = 1.959963984540054

// Linearised gives every figure's range by one-at-a-time sensitivities (central
// differences about the means) and the covariance Σ of the knobs; two of a
// batch correlate by the geometric mean of their Common. Figures without one
// are left out, with a finding.
func Linearised(ctx context.Context, p Plan) ([]Linear, finding.List, error) {
	names := p.Measure().Figures()
	if err := p.check(names).Err(); err != nil {
		return nil, nil, err
	}
	mean, sd := make([]float64, len(p.Laws)), make([]float64, len(p.Laws))
	for i, l := range p.Laws {
		mean[i], sd[i] = l.Moments()
	}
	values, err := p.measureAt(ctx, aside(mean, sd))
	if err != nil {
		return nil, nil, err
	}
	var all []Linear
	var found finding.List
	for f, name := range names {
		l := Linear{Figure: name, Middle: values[f][0], Slopes: make([]float64, len(sd))}
		for i, s := range sd {
			if s > 0 {
				l.Slopes[i] = (values[f][2*i+2] - values[f][2*i+1]) / (2 * slopeStep * s)
			}
		}
		l.SD = math.Sqrt(p.variance(l.Slopes, sd))
		l.Low, l.High = l.Middle-normal95*l.SD, l.Middle+normal95*l.SD
		if !has(l.Low) {
			found = append(found, finding.New(IDNoLinear, finding.Warning, finding.Place{}, finding.Args{"figure": name}))
			continue
		}
		all = append(all, l)
	}
	return all, found, nil
}

// aside gives the build in the middle, and for every knob one a step down and
// one a step up.
func aside(mean, sd []float64) [][]float64 {
	builds := [][]float64{mean}
	for i, s := range sd {
		for _, step := range [...]float64{-slopeStep, slopeStep} {
			build := append([]float64(nil), mean...)
			build[i] += step * s
			builds = append(builds, build)
		}
	}
	return builds
}

// variance is J·Σ·Jᵀ.
func (p Plan) variance(slopes, sd []float64) float64 {
	sum := 0.0
	for i, a := range p.Laws {
		sum += slopes[i] * slopes[i] * sd[i] * sd[i]
		for j, b := range p.Laws[:i] {
			if a.Group != "" && a.Group == b.Group {
				sum += 2 * slopes[i] * slopes[j] * sd[i] * sd[j] * math.Sqrt(a.Common*b.Common)
			}
		}
	}
	return max(sum, 0)
}

// tooFar is how much of the sampled width an end of the linear range may be
// off before it is said.
const tooFar = 0.1

// level: a figure whose range is less than this share of its size does not
// vary but by rounding.
const level = 1e-9

// CompareLinear finds the figures whose linear range differs from the sampled
// one by more than a tenth of its width at either end, beyond two standard
// errors of the sampled end. That a figure bends is one reason; another is a
// single part with a flat law that rules it: ±1.96 deviations are 0.09 of the
// width beyond its central 95 % even on a straight line.
func CompareLinear(linear []Linear, r *Result) finding.List {
	var found finding.List
	for _, l := range linear {
		f, ok := r.At(l.Figure)
		if !ok || f.Count == 0 {
			continue
		}
		low, high := f.At(2.5), f.At(97.5)
		width := high.Value - low.Value
		off := 0.0
		for _, end := range [...]struct {
			Percentile
			linear float64
		}{{low, l.Low}, {high, l.High}} {
			if by := math.Abs(end.linear - end.Value); by > tooFar*width+2*end.SE {
				off = max(off, by)
			}
		}
		if off > 0 && width > level*math.Abs(l.Middle) {
			found = append(found, finding.New(IDNotLinear, finding.Warning, finding.Place{}, finding.Args{
				"figure": l.Figure, "linear_low": l.Low, "linear_high": l.High,
				"sampled_low": low.Value, "sampled_high": high.Value, "off": off / width}))
		}
	}
	return found
}
