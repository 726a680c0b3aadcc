package spread

import "math"

// NormalQuantile gives z with a share p of the standard normal law below it,
// 0 < p < 1.
func NormalQuantile(p float64) float64 { return -math.Sqrt2 * math.Erfcinv(2*p) }

// NormalShare gives the share of the standard normal law below z.
func NormalShare(z float64) float64 { return math.Erfc(-z/math.Sqrt2) / 2 }

// Wilson gives the interval that holds the true share with a confidence of
// level when good of the of trials were good (Wilson 1927, score interval): it
// stays within 0 and 1 and keeps its level near both.
func Wilson(good, of int, level float64) (low, high float64) {
	if of < 1 || good < 0 || good > of || !(level > 0 && level < 1) {
		panic("spread: Wilson's interval of nothing")
	}
	z := NormalQuantile((1 + level) / 2)
	n, p := float64(of), float64(good)/float64(of)
	middle := (p + z*z/(2*n)) / (1 + z*z/n)
	half := z / (1 + z*z/n) * math.Sqrt(p*(1-p)/n+z*z/(4*n*n))
	return max(min(middle-half, p), 0), min(max(middle+half, p), 1) // rounding must not part it from the share
}

// BuildsNeeded gives how many builds must be made for their highest (ends 1),
// or their lowest and highest (ends 2), to hold at least a share cover of all
// builds with a confidence of level, whatever the law (Wilks 1941): the least n
// with 1 − Pⁿ ≥ level, or 1 − n·Pⁿ⁻¹ + (n−1)·Pⁿ ≥ level.
func BuildsNeeded(cover, level float64, ends int) int {
	if !(cover > 0 && cover < 1 && level > 0 && level < 1) || ends != 1 && ends != 2 {
		panic("spread: how many builds for no cover")
	}
	for n := 1; ; n++ {
		power := math.Pow(cover, float64(n-1))
		sure := 1 - power*cover
		if ends == 2 {
			sure = 1 - float64(n)*power + float64(n-1)*power*cover
		}
		if sure >= level {
			return n
		}
	}
}

// KitYield gives the chance that at least need of made boards are good when
// each is with chance good, independent of the others: the upper tail of the
// binomial law.
func KitYield(need, made int, good float64) float64 {
	if need < 0 || made < 0 || !(good >= 0 && good <= 1) {
		panic("spread: the yield of no kit")
	}
	sum := 0.0
	for k := max(need, 0); k <= made; k++ {
		sum += math.Exp(logChoose(made, k)) * math.Pow(good, float64(k)) * math.Pow(1-good, float64(made-k))
	}
	return min(sum, 1)
}

func logChoose(n, k int) float64 {
	lg := func(n int) float64 { v, _ := math.Lgamma(float64(n + 1)); return v }
	return lg(n) - lg(k) - lg(n-k)
}

// percentile takes one of sorted values, by straight lines between the order
// statistics (definition 7 of Hyndman and Fan 1996). Its standard error
// is half the distance between the values one deviation of the binomial
// rank, √(np(1−p)), to both sides: the distribution-free interval of a
// quantile from order statistics (David and Nagaraja 2003, section 7.1) at
// 68.27 %. Where the sample ends short of that rank, the distance is taken in
// proportion.
func percentile(sorted []float64, percent float64) Percentile {
	n, p := float64(len(sorted)), percent/100
	rank := (n - 1) * p
	reach := math.Sqrt(n * p * (1 - p))
	low, high := max(rank-reach, 0), min(rank+reach, n-1)
	at := Percentile{Percent: percent, Value: between(sorted, rank)}
	if high > low {
		at.SE = (between(sorted, high) - between(sorted, low)) * reach / (high - low)
	}
	return at
}

func between(sorted []float64, rank float64) float64 {
	i := min(int(rank), len(sorted)-1)
	j := min(i+1, len(sorted)-1)
	return sorted[i] + (rank-float64(i))*(sorted[j]-sorted[i])
}

// moments of values in the order of the builds, in two passes. The deviation's
// standard error is s·√((κ−1)/4n), κ the fourth moment over the variance squared
// (delta method).
func (f *Figure) moments(values []float64) {
	n := float64(len(values))
	sum := 0.0
	for _, v := range values {
		sum += v
	}
	f.Mean = sum / n
	var second, fourth float64
	for _, v := range values {
		d := (v - f.Mean) * (v - f.Mean)
		second += d
		fourth += d * d
	}
	if len(values) < 2 || second == 0 {
		return
	}
	f.SD = math.Sqrt(second / (n - 1))
	f.MeanSE = f.SD / math.Sqrt(n)
	f.SDSE = f.SD * math.Sqrt(max(fourth*n/(second*second)-1, 0)/(4*n))
}
