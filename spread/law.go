package spread

import (
	"math"

	"bandwright/circuit"
	"bandwright/quantity"
	"bandwright/reading"
)

// Shape is the form of a law.
type Shape string

// The shapes.
const (
	Flat     Shape = "flat"     // every value from Low to High alike
	Normal   Shape = "normal"   // of SD about Nominal, cut at Low and High
	Skewed   Shape = "skewed"   // a triangle from Low over Nominal to High
	Measured Shape = "measured" // as normal: SD is the standard uncertainty of the reading
)

// Law says how the true value of a knob may lie. Members of a batch share a
// Group: Common of the variance of each is one draw for all of them, the rest
// its own. The shift is laid on the normal scores (a Gaussian copula), so that
// each part by itself follows its law to the digit, whatever the shape and
// whatever Common.
type Law struct {
	Shape   Shape   `json:"shape"`
	Nominal float64 `json:"nominal"`
	Low     float64 `json:"low"` // above 0
	High    float64 `json:"high"`
	SD      float64 `json:"sd,omitempty"`     // of Normal and Measured, before the cut
	Group   string  `json:"group,omitempty"`  // "": a part of no batch
	Common  float64 `json:"common,omitempty"` // 0 … 1
}

// Within gives a law of a shape within a tolerance. A normal law that is given
// no deviation has its tolerance at two of them on the wider side: wider than
// the three often taken, so that it errs on the safe side (common practice,
// no source). The skewed law is a triangle with its top at the nominal value,
// for −20/+80 % parts and wherever nothing better is known (common practice, no
// source).
func Within(shape Shape, nominal float64, t quantity.Tolerance) Law {
	low, high := quantity.Range(nominal, t)
	l := Law{Shape: shape, Nominal: nominal, Low: low, High: high}
	if shape == Normal || shape == Measured {
		l.SD = nominal * max(t.Minus, t.Plus) / cutAt
	}
	return l
}

const (
	cutAt = 2 // standard deviations in a normal law's half width
	// measuredCut is where a measured law ends, in standard uncertainties: a
	// billionth of it lies outside.
	measuredCut = 6
	// leastShare of its mean keeps a wildly uncertain value above zero.
	leastShare = 1e-3
)

// MeasuredAs gives the law of a value read with a standard uncertainty.
func MeasuredAs(value, uncertainty float64) Law {
	return Law{Shape: Measured, Nominal: value, SD: uncertainty,
		Low: max(value-measuredCut*uncertainty, value*leastShare), High: value + measuredCut*uncertainty}
}

// InBatch puts a law into a batch.
func (l Law) InBatch(group string, common float64) Law {
	l.Group, l.Common = group, common
	return l
}

// wrong says what is wrong with a law, "" for nothing.
func (l Law) wrong() string {
	finite := func(v float64) bool { return !math.IsNaN(v) && !math.IsInf(v, 0) }
	switch {
	case l.Shape != Flat && l.Shape != Normal && l.Shape != Skewed && l.Shape != Measured:
		return "shape"
	case !finite(l.Low) || !finite(l.High) || !(l.Low > 0) || !(l.Low <= l.Nominal && l.Nominal <= l.High):
		return "ends"
	case !finite(l.SD) || l.SD < 0 || l.bell() && l.SD == 0 && l.Low < l.High:
		return "deviation"
	case !(l.Common >= 0 && l.Common <= 1):
		return "common"
	}
	return ""
}

func (l Law) bell() bool { return l.Shape == Normal || l.Shape == Measured }

// sampler is a law made ready: value = quantile of a uniform number.
type sampler struct {
	Law
	below, inside float64 // bell: the normal law's share below Low, and from Low to High
	turn          float64 // skewed: the share below the top
}

func (l Law) sampler() sampler {
	s := sampler{Law: l}
	if l.Low == l.High {
		return s
	}
	if l.bell() {
		s.below = NormalShare((l.Low - l.Nominal) / l.SD)
		s.inside = NormalShare((l.High-l.Nominal)/l.SD) - s.below
	}
	s.turn = (l.Nominal - l.Low) / (l.High - l.Low)
	return s
}

// quantile is the inverse of the law's distribution; u lies between 0 and 1.
func (s *sampler) quantile(u float64) float64 {
	width := s.High - s.Low
	if width == 0 {
		return s.Nominal
	}
	v := s.Low + u*width
	switch s.Shape {
	case Normal, Measured:
		v = s.Nominal + s.SD*NormalQuantile(s.below+u*s.inside)
	case Skewed:
		if u < s.turn {
			v = s.Low + math.Sqrt(u*width*(s.Nominal-s.Low))
		} else {
			v = s.High - math.Sqrt((1-u)*width*(s.High-s.Nominal))
		}
	}
	return min(max(v, s.Low), s.High)
}

// Quantile gives the value that a share u of all parts lies below, 0 < u < 1.
func (l Law) Quantile(u float64) float64 {
	s := l.sampler()
	return s.quantile(u)
}

// Moments gives the mean and the standard deviation of a law, after the cut:
// the closed forms of the uniform, the triangular and the doubly truncated
// normal distribution, worked out from their definitions.
func (l Law) Moments() (mean, sd float64) {
	width := l.High - l.Low
	switch {
	case width == 0:
		return l.Nominal, 0
	case l.bell():
		return l.cutMoments()
	case l.Shape == Skewed:
		down, up := l.Nominal-l.Low, l.High-l.Nominal
		return l.Nominal + (up-down)/3, math.Sqrt((down*down + up*up + down*up) / 18)
	}
	return (l.Low + l.High) / 2, width / math.Sqrt(12)
}

func (l Law) cutMoments() (mean, sd float64) {
	density := func(z float64) float64 { return math.Exp(-z*z/2) / math.Sqrt(2*math.Pi) }
	a, b := (l.Low-l.Nominal)/l.SD, (l.High-l.Nominal)/l.SD
	inside := NormalShare(b) - NormalShare(a)
	shift := (density(a) - density(b)) / inside
	variance := 1 + (a*density(a)-b*density(b))/inside - shift*shift
	return l.Nominal + l.SD*shift, l.SD * math.Sqrt(max(variance, 0))
}

// About gives the law as the uncertainty of the value that the circuit has for a
// knob, which is the law's nominal one: for predicting a reading by its slopes.
// The deviation is the root mean square about that value, so that a skewed law
// is not made narrower than it is. The ends are the law's own; but those of a
// measured value, which are no limits of the part, lie as reading.Measured has
// them.
func (l Law) About(k circuit.Knob) reading.Uncertainty {
	mean, sd := l.Moments()
	u := reading.Uncertainty{Knob: k, SD: math.Hypot(sd, mean-l.Nominal), Low: l.Low - l.Nominal, High: l.High - l.Nominal}
	if l.Shape == Measured {
		u = reading.Measured(k, sd)
	}
	u.Group, u.Common = l.Group, l.Common
	return u
}
