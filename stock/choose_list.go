package stock

import (
	"math"
	"slices"
	"sort"

	"bandwright/quantity"
)

const (
	none = -1
	// perCoil candidates of one coil are kept, that bands which want the same
	// coil have others to go to; more where coils are few.
	perCoil  = 12
	listMost = 600
	// Of a drawer with more capacitors than allPairs only pairs whose
	// reactance lies within pairWindow of what is needed are looked at, of a
	// great one fewer yet.
	allPairs     = 64
	pairWindow   = 0.02
	manyParts    = 400.0
	resistorsAt  = 3  // resistors tried beside each pair of coil and capacitors,
	fewResistors = 12 // or all, where there are no more than these
)

// candidate is a whole leg for one band.
type candidate struct {
	coil       int
	capacitors [2]int // the second: none
	series     bool
	resistor   int // none: a new one
	leg        Model
	resonance  float64 // hertz
	ohms       float64 // series resistance there
	reactance  float64 // of the coil there
	doubt      float64 // what is not known, in limits squared
	error      float64 // by the leg model, with doubt
}

// parts gives the places in the drawer of what the candidate takes.
func (k *candidate) parts() [4]int {
	return [4]int{k.coil, k.capacitors[0], k.capacitors[1], k.resistor}
}

// ohmage is a resistor that may be had.
type ohmage struct {
	part     int
	ohms     float64
	relative float64 // standard uncertainty
}

// lister makes the list of one band.
type lister struct {
	*chooser
	band       int
	aim        aim
	capacitors []int // by susceptance, rising
	y          []complex128
	resistors  []ohmage
	list       []candidate // of one coil, the least error first
	most       int
	window     float64
	copper     float64 // what error of the boost a coil leaves at least
	nearest    float64 // the least error of any leg at all, by the leg model and what is known
	every      bool    // nothing is left off
}

// list makes every band's candidates for its aim, the least error first.
func (c *chooser) list() {
	c.lists, c.cutoff, c.nearest = nil, nil, nil
	for band := range c.Bands {
		l := lister{chooser: c, band: band, aim: c.aimed[band]}
		l.gather()
		list, cutoff := l.all()
		c.lists, c.cutoff, c.nearest = append(c.lists, list), append(c.cutoff, cutoff), append(c.nearest, l.nearest)
	}
}

func (l *lister) gather() {
	for i, p := range l.Parts {
		if !l.usable(l.band, i) {
			continue
		}
		e := &l.at[l.band][i]
		switch p.Kind {
		case Capacitor:
			l.capacitors = append(l.capacitors, i)
		case Resistor:
			if e.Model.Ohms >= leastOhms {
				l.resistors = append(l.resistors, ohmage{i, e.Model.Ohms, e.SE / e.Value})
			}
		}
	}
	l.newOhms()
	slices.SortStableFunc(l.resistors, func(a, b ohmage) int { return compare(a.ohms, b.ohms) })
	at := l.at[l.band]
	slices.SortStableFunc(l.capacitors, func(a, b int) int { return compare(at[a].Model.Farads, at[b].Model.Farads) })
	for _, i := range l.capacitors {
		l.y = append(l.y, 1/at[i].Model.Impedance(l.aim.hertz))
	}
	l.window = math.Inf(1)
	if n := float64(len(l.capacitors)); n > allPairs && !l.every {
		l.window = pairWindow * min(1, manyParts/n)
	}
}

func compare(a, b float64) int {
	switch {
	case a < b:
		return -1
	case a > b:
		return 1
	}
	return 0
}

// newOhms adds the resistors that may be bought.
func (l *lister) newOhms() {
	if l.NewOhms == 0 || len(l.ofKind(l.fixed[l.band], Resistor)) > 0 {
		return
	}
	for _, r := range quantity.Within(l.NewOhms, leastOhms, 2*l.aim.ohms+10) {
		l.resistors = append(l.resistors, ohmage{none, r, l.newTolerance() / math.Sqrt(3)})
	}
}

// newTolerance is what a resistor of the series is made to.
func (c *chooser) newTolerance() float64 {
	if t, ok := c.NewOhms.Tolerance(); ok {
		return max(t.Minus, t.Plus)
	}
	return 0.01
}

// all gathers the candidates of every coil. No leg that is left off has a
// lesser error by the leg model than cutoff.
func (l *lister) all() (list []candidate, cutoff float64) {
	cutoff, l.nearest = math.Inf(1), math.Inf(1)
	coils := l.coils()
	l.most = max(perCoil, listMost/max(len(coils), 1))
	if l.every {
		l.most = math.MaxInt
	}
	for _, coil := range coils {
		l.list = l.list[:0]
		l.ofCoil(coil)
		if l.window < 1 && !l.OneCapacitor {
			outside := square(math.Log1p(-l.window)/2/l.Limits.Centre) + l.copper
			cutoff, l.nearest = min(cutoff, outside), min(l.nearest, outside)
		}
		if len(l.list) == l.most {
			cutoff = min(cutoff, l.list[l.most-1].error)
		}
		list = append(list, l.list...)
	}
	slices.SortStableFunc(list, func(a, b candidate) int { return compare(a.error, b.error) })
	return list, cutoff
}

// coils gives those that the band may have.
func (l *lister) coils() (coils []int) {
	for i, p := range l.Parts {
		if p.Kind == Coil && l.usable(l.band, i) && l.fits(i) {
			coils = append(coils, i)
		}
	}
	return coils
}

// fits says whether a coil is near enough to the design's; a fixed one is.
func (l *lister) fits(coil int) bool {
	ratio := l.at[l.band][coil].Value / l.aim.henries
	return slices.Contains(l.fixed[l.band], coil) || ratio <= l.Spread && ratio >= 1/l.Spread
}

// ofCoil tries a coil with every capacitor, and with every two whose
// reactance is near.
func (l *lister) ofCoil(coil int) {
	z := l.at[l.band][coil].Model.Impedance(l.aim.hertz)
	if l.copper = l.leastBoostError(real(z)); imag(z) <= 0 {
		return
	}
	for i := range l.capacitors {
		l.try(coil, z, i, none, false)
	}
	if l.OneCapacitor {
		return
	}
	for i := range l.capacitors {
		b := imag(l.y[i])
		l.pairs(coil, z, i, false, 1/imag(z)/(1+l.window)-b, 1/imag(z)/max(1-l.window, 0)-b)
		low, high := imag(z)*max(1-l.window, 0)-1/b, imag(z)*(1+l.window)-1/b
		if high > 0 {
			most := math.Inf(1)
			if low > 0 {
				most = 1 / low
			}
			l.pairs(coil, z, i, true, 1/high, most)
		}
	}
}

// leastBoostError is what a coil's own resistance leaves by the leg model,
// whatever else is in the leg.
func (l *lister) leastBoostError(own float64) float64 {
	if len(l.resistors) == 0 || own+l.resistors[0].ohms <= l.aim.ohms {
		return 0
	}
	return square(l.aim.slope * math.Log((own+l.resistors[0].ohms)/l.aim.ohms) / l.Limits.Boost)
}

// pairs tries a capacitor with each from it upwards whose susceptance lies
// between low and high.
func (l *lister) pairs(coil int, z complex128, i int, series bool, low, high float64) {
	j := sort.Search(len(l.y), func(k int) bool { return imag(l.y[k]) >= low })
	for j = max(j, i); j < len(l.y) && imag(l.y[j]) <= high; j++ {
		if i != j || l.Parts[l.capacitors[i]].Count > 1 {
			l.try(coil, z, i, j, series)
		}
	}
}

// try makes candidates of a coil of impedance z and one or two capacitors by
// their places among capacitors, with the resistors nearest to what is needed.
func (l *lister) try(coil int, z complex128, i, j int, series bool) {
	capacitors, y := [2]int{l.capacitors[i], none}, l.y[i]
	if j >= 0 {
		capacitors[1] = l.capacitors[j]
		if y += l.y[j]; series {
			y = 1 / (1/l.y[i] + 1/l.y[j])
		}
	}
	w, zc := l.want[l.band], 1/y
	resonance := l.aim.hertz * math.Sqrt(-imag(zc)/imag(z))
	least := square((resonance/l.aim.hertz-1)/l.Limits.Centre) + l.copper
	if !l.asFixed(capacitors) {
		return
	}
	if full := len(l.list) == l.most; full && least >= l.list[l.most-1].error {
		l.nearest = min(l.nearest, least)
		return
	}
	own := real(z) + real(zc)
	for _, r := range l.ohmsNear(l.aim.ohms - own) {
		k := candidate{coil: coil, capacitors: capacitors, series: series, resistor: r.part,
			resonance: resonance, ohms: own + r.ohms, reactance: imag(z)}
		k.doubt = l.doubt(&k, r)
		known := l.errorOf(l.band, l.aim.figures(w, resonance, k.ohms, k.reactance))
		l.nearest = min(l.nearest, known)
		k.error = known + k.doubt
		if n := len(l.list); n < l.most || k.error < l.list[n-1].error {
			k.leg = l.leg(&k, r.ohms)
			l.insert(k)
		}
	}
}

// asFixed says whether every capacitor fixed by hand is among those taken.
func (l *lister) asFixed(capacitors [2]int) bool {
	for _, i := range l.fixed[l.band] {
		if l.Parts[i].Kind == Capacitor && !slices.Contains(capacitors[:], i) {
			return false
		}
	}
	return true
}

// insert keeps the list in order; of equals the first come stays first.
func (l *lister) insert(k candidate) {
	if l.every {
		l.list = append(l.list, k)
		return
	}
	at := sort.Search(len(l.list), func(i int) bool { return l.list[i].error > k.error })
	if len(l.list) == l.most {
		l.list = l.list[:l.most-1]
	}
	l.list = slices.Insert(l.list, at, k)
}

// ohmsNear gives the resistors about what is needed. Of few the best may lie
// further off, where what a neighbour needs pulls this band away.
func (l *lister) ohmsNear(ohms float64) []ohmage {
	if len(l.resistors) <= fewResistors || l.every {
		return l.resistors
	}
	at := sort.Search(len(l.resistors), func(i int) bool { return l.resistors[i].ohms >= ohms })
	from := max(min(at-resistorsAt/2-resistorsAt%2, len(l.resistors)-resistorsAt), 0)
	return l.resistors[from:min(from+resistorsAt+1, len(l.resistors))]
}
