package equaliser

import (
	"math"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/leastsq"
)

// Findings of what is wanted from an original. Place band.
const (
	// IDPointsFew: Error. points, want.
	IDPointsFew finding.ID = "equaliser.points-few"
	// IDPointsRough: Warning. rms (dB): the points do not lie on one boost or cut.
	IDPointsRough finding.ID = "equaliser.points-rough"
	// IDPointsNoTop: Warning: the tallest of the points is the first or the last.
	IDPointsNoTop finding.ID = "equaliser.points-no-top"
	// IDPointsVague: Warning. figure ("centre", "boost", "cut" or "Q"); share
	// (of 1): the standard error of a figure that the points hardly tell.
	IDPointsVague finding.ID = "equaliser.points-vague"
)

// WantedOf asks for what an equaliser does: centre, boost and Q of every band
// that was found, for another with bands of the same names.
func WantedOf(features []Feature) []Wanted {
	var list []Wanted
	for _, f := range features {
		if !f.Found {
			continue
		}
		w := Wanted{Band: f.Band, CentreHz: f.CentreHz, BoostDB: f.BoostDB}
		if f.Q != nil {
			w.Q = *f.Q
		}
		list = append(list, w)
	}
	return list
}

const (
	fewestPoints = 3
	roughDB      = 0.5
	vagueCentre  = 0.03
	vagueRest    = 0.2
)

// WantedAt asks for what typed points of a curve show: one band alone at full
// boost (or cut), in dB beside flat, at three frequencies or more. The
// peaking response of the Audio EQ Cookbook is fitted to them (R.
// Bristow-Johnson, W3C note 2021-06-08): that of a leg in an ideal cell,
//
//	dB = 10·log10((G² + x²)/(1 + x²)),  x = q·√G·(f/centre − centre/f)
//
// with G = 10^(boost/20); a cut is the same turned over. Points near the top
// count more: on the slopes the neighbours pull. The error is a
// finding.List: too few points, or points no one could have read.
func WantedAt(band string, points curve.Curve) (Wanted, finding.List, error) {
	w := Wanted{Band: band}
	at := finding.Place{Band: band}
	if err := curve.Validate(points); err != nil {
		return w, nil, err
	}
	if len(points.Hz) < fewestPoints {
		return w, nil, finding.List{finding.New(IDPointsFew, finding.Error, at,
			finding.Args{"points": len(points.Hz), "want": fewestPoints})}
	}
	p := newPeaking(points)
	if p.height == 0 {
		return w, nil, finding.List{finding.New(IDPointsFew, finding.Error, at,
			finding.Args{"points": 0, "want": fewestPoints})}
	}
	best := p.fit()
	w.CentreHz, w.Q = math.Exp(best.P[0]), math.Exp(best.P[2])
	kind := figureBoost
	if w.BoostDB = math.Exp(best.P[1]); p.sign < 0 {
		w.BoostDB, w.CutDB, kind = 0, -w.BoostDB, figureCut
	}
	return w, p.judge(best, kind, at), nil
}

// judge says how far the points tell what was read from them.
func (p *peaking) judge(best *leastsq.Result, kind int, at finding.Place) finding.List {
	var found finding.List
	if p.near == p.hz[0] || p.near == p.hz[len(p.hz)-1] {
		found = append(found, finding.New(IDPointsNoTop, finding.Warning, at, nil))
	}
	left, sum := make([]float64, len(p.hz)), 0.0
	p.residuals(best.P, left)
	for _, db := range left {
		sum += db * db
	}
	if rms := math.Sqrt(sum / float64(len(p.hz))); rms > roughDB {
		found = append(found, finding.New(IDPointsRough, finding.Warning, at, finding.Args{"rms": rms}))
	}
	for k, figure := range [...]int{figureCentre, kind, figureQ} {
		limit := vagueRest
		if figure == figureCentre {
			limit = vagueCentre
		}
		share := best.SD(k)
		if !best.Determined[k] {
			share = 1
		}
		if share > limit {
			found = append(found, finding.New(IDPointsVague, finding.Warning, at,
				finding.Args{"figure": figureWords[figure], "share": share}))
		}
	}
	return found
}

// peaking is points to be fitted by ln(centre), ln(dB) and ln(q).
type peaking struct {
	hz, db []float64
	sign   float64 // of the tallest
	height float64 // of it
	near   float64 // hertz of it
}

func newPeaking(points curve.Curve) *peaking {
	p := &peaking{hz: points.Hz, db: points.DB}
	for i, db := range points.DB {
		if math.Abs(db) > p.height {
			p.height, p.near, p.sign = math.Abs(db), points.Hz[i], math.Copysign(1, db)
		}
	}
	return p
}

// residuals are in dB.
func (p *peaking) residuals(at, r []float64) {
	centre, gain := math.Exp(at[0]), math.Pow(10, math.Exp(at[1])/20)
	q := math.Exp(at[2]) * math.Sqrt(gain)
	for i, hz := range p.hz {
		x := q * (hz/centre - centre/hz)
		r[i] = p.sign*10*math.Log10((gain*gain+x*x)/(1+x*x)) - p.db[i]
	}
}

// fit takes the best of fits from a wide, a middling and a narrow start.
func (p *peaking) fit() *leastsq.Result {
	var best *leastsq.Result
	last := len(p.hz) - 1
	options := leastsq.Options{
		Lower: []float64{math.Log(p.hz[0] / 2), math.Log(p.height / 2), math.Log(0.03)},
		Upper: []float64{math.Log(p.hz[last] * 2), math.Log(p.height * 4), math.Log(100)},
	}
	problem := leastsq.Problem{Rows: len(p.hz), Residuals: p.residuals}
	for _, db := range p.db {
		share := max(math.Abs(db)/p.height, 0.2)
		problem.SD = append(problem.SD, 1/(share*share))
	}
	for _, q := range [...]float64{0.5, 1.5, 5} {
		start := []float64{math.Log(p.near), math.Log(p.height), math.Log(q)}
		result, err := leastsq.Solve(problem, start, options)
		if err != nil {
			panic("equaliser: a peaking response without a value: " + err.Error())
		}
		if best == nil || result.Sum < best.Sum {
			best = result
		}
	}
	return best
}
