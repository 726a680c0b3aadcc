package reading

import "math"

// load writes every row with a number as a sum of independent causes, each of
// variance 1: one for every part's own deviation, one for every group's common
// one, one for the level of every interface. The covariance is the factors
// times their transpose, which no rounding can make impossible; what the
// instrument errs at each reading alone is added on the diagonal.
func (p *Prediction) load() {
	groups, levels := p.causes()
	for i := range p.Rows {
		row := &p.Rows[i]
		if row.Lack != Nothing {
			continue
		}
		causes := make([]float64, len(p.Parts)+len(groups)+len(levels))
		for k, u := range p.Parts {
			causes[k] = row.By[k] * u.SD
			if g, ok := groups[u.Group]; ok {
				causes[len(p.Parts)+g] += causes[k] * math.Sqrt(u.Common)
				causes[k] *= math.Sqrt(1 - u.Common)
			}
		}
		row.PartSD = norm(causes)
		r := p.Readings[row.Reading]
		level := 0.0
		if r.Kind == Gain {
			level = rectangular(r.level())
			causes[len(p.Parts)+len(groups)+levels[r.Interface]] = level
		}
		row.MeterSD = math.Hypot(r.own(row.Worst.Nominal), level)
		p.numbered = append(p.numbered, i)
		p.factors = append(p.factors, causes)
	}
}

// causes numbers the groups and the interfaces.
func (p *Prediction) causes() (groups map[string]int, levels map[Interface]int) {
	groups, levels = map[string]int{}, map[Interface]int{}
	for _, u := range p.Parts {
		if _, known := groups[u.Group]; !known && u.Group != "" {
			groups[u.Group] = len(groups)
		}
	}
	for _, r := range p.Readings {
		if _, known := levels[r.Interface]; !known && r.Kind == Gain {
			levels[r.Interface] = len(levels)
		}
	}
	return groups, levels
}

func norm(v []float64) float64 {
	sum := 0.0
	for _, x := range v {
		sum += x * x
	}
	return math.Sqrt(sum)
}

// Numbered gives the rows that have a number, in order: the order of
// Covariance.
func (p *Prediction) Numbered() []int { return p.numbered }

// Covariance gives the joint covariance of all numbered rows: JΣJᵀ of what is
// uncertain, with the instruments' errors (the level of an interface shared by
// all its curves, the rest on the diagonal). Square, symmetric, by numbered
// row.
func (p *Prediction) Covariance() [][]float64 { return p.covariance(p.numbered) }

// PartCovariance is Covariance of ideal instruments that load as the real
// ones do.
func (p *Prediction) PartCovariance() [][]float64 {
	groups, _ := p.causes()
	return product(p.factors, len(p.Parts)+len(groups))
}

// covariance gives it of some rows; they must have numbers.
func (p *Prediction) covariance(rows []int) [][]float64 {
	at := make(map[int]int, len(p.numbered))
	for n, row := range p.numbered {
		at[row] = n
	}
	factors := make([][]float64, len(rows))
	for i, row := range rows {
		factors[i] = p.factors[at[row]]
	}
	v := product(factors, -1)
	for i, row := range rows {
		own := p.Readings[p.Rows[row].Reading].own(p.Rows[row].Worst.Nominal)
		v[i][i] += own * own
	}
	return v
}

// product is F·Fᵀ over the first causes; −1 means all.
func product(f [][]float64, causes int) [][]float64 {
	v := make([][]float64, len(f))
	for i := range f {
		v[i] = make([]float64, len(f))
		for j := range i + 1 {
			sum := 0.0
			for k, x := range f[i] {
				if k == causes {
					break
				}
				sum += x * f[j][k]
			}
			v[i][j], v[j][i] = sum, sum
		}
	}
	return v
}
