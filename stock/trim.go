package stock

import (
	"context"
	"fmt"
	"math"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/quantity"
)

// TrimBand is a band of a board that is made: its parts and what is wanted of it,
// as for choosing, and its leg as it is.
type TrimBand struct {
	BoardBand
	Leg Model
}

// Trims is the question of Trim. Fixed and Barred of a band are of no account.
type Trims struct {
	Bands    []TrimBand
	Ensemble *circuit.Ensemble // with Knobs
	Measure  circuit.Measure
	Limits   Limits // zeros: 1 %, 0.2 dB, Q left out

	Parts      []Part          // the drawer; may be empty
	Capacitors quantity.Series // that may be bought; 0: none
	Resistors  quantity.Series // that may be bought; 0: none
	// Most is how many parts of a band may be added or changed, 1 or 2; 0: 2.
	Most    int
	Celsius float64 // of the parts at work
	Meter   Meter
}

// How a part changes a leg.
const (
	Across  = "across"    // a capacitor in parallel with the leg's own
	Behind  = "behind"    // a capacitor in series with it
	Instead = "in place"  // a resistor or coil in place of the leg's own
	percent = 1.0 / 100.0 // for the ranges below
)

// Change is one part added or exchanged.
type Change struct {
	Part  string  `json:"part"` // of the circuit: what it goes across, behind, or in place of
	How   string  `json:"how"`
	Kind  Kind    `json:"kind"`
	ID    string  `json:"id,omitempty"` // "": to be bought
	Value float64 `json:"value"`        // henry, farad or ohm in the leg's model
	Place string  `json:"place,omitempty"`
}

// TrimmedBand is what is to be done to a band, and what it does before and after.
type TrimmedBand struct {
	Band    string     `json:"band"`
	Changes []Change   `json:"changes"`
	Leg     Model      `json:"leg"`
	Centre  Reached    `json:"centre"`
	Boost   Reached    `json:"boost"`
	Q       *Reached   `json:"q,omitempty"`
	Within  bool       `json:"within"` // its limits
	Was     [3]float64 `json:"was"`    // centre, boost and Q as the band is; no Q: 0
	Unmet   []Unmet    `json:"unmet,omitempty"`
}

// Unmet says of a figure beyond its limit what stands in the way.
type Unmet struct {
	Figure  string  `json:"figure"` // centre, boost or Q
	Wanted  float64 `json:"wanted"`
	Reached float64 `json:"reached"`
	// Nearest is what any of the trims of this band alone brings the figure to,
	// the rest of the board as it is.
	Nearest float64 `json:"nearest"`
	// Against is the figure that is then beyond its limit; "": even the nearest is
	// beyond it.
	Against string `json:"against,omitempty"`
}

// Trimmed is the answer of Trim.
type Trimmed struct {
	Bands   []TrimmedBand `json:"bands"`
	Changes int           `json:"changes"`
	Outside int           `json:"outside"` // bands beyond their limits
	Before  float64       `json:"before"`  // error of the board as it is: deviations in limits, squared and added up
	Error   float64       `json:"error"`   // and trimmed
	Settled bool          `json:"settled"` // no exchange of one band's trims betters it
	Solved  int           `json:"solved"`  // boards solved whole
}

// Trim finds the fewest changes that bring every band of a board within its limits:
// a capacitor across or behind a leg's own, another resistor, another coil, at most
// so many a band, all bands at once on the whole circuit. Of boards that are as far
// beyond their limits (added up, to a tenth of a limit) that with fewer changes is
// taken, and of those that with the least error. Targets that
// cannot be met are said in the bands' Unmet. The error is the context's.
func Trim(ctx context.Context, q Trims) (*Trimmed, error) {
	t := q.begin()
	if err := t.search(ctx); err != nil {
		return nil, err
	}
	return t.answer(), nil
}

// trimmer is one search.
type trimmer struct {
	Trims
	want    []wish
	room    *solver
	options [][]option // by band; the first: as it is
	best    trimBoard
	settled bool
}

// option is what may be done to one band.
type option struct {
	changes []Change
	uses    []int // parts of the drawer
	leg     Model
	parts   [2]int // of a pair: the single options it is made of; else −1
}

// trimBoard is an option for every band and what the board then does.
type trimBoard struct {
	at      []int        // by band: its option
	figures [][3]float64 // by band
	rank    rank
}

func (b trimBoard) clone() trimBoard {
	return trimBoard{slices.Clone(b.at), slices.Clone(b.figures), b.rank}
}

// rank orders boards by all but the first; the least is best. Counting bands beyond
// their limits first would give one band up for the sake of its neighbours.
type rank struct {
	outside int     // bands beyond a limit
	tenths  int     // how far all are beyond, in tenths of a limit
	changes int     // parts
	error   float64 // deviations in limits, squared and added up
}

const farthest = 1 << 30 // tenths of a board without a figure

// less says whether a board is better.
func (r rank) less(s rank) bool {
	switch {
	case r.tenths != s.tenths:
		return r.tenths < s.tenths
	case r.changes != s.changes:
		return r.changes < s.changes
	}
	return r.error < s.error*(1-gain)-gain*gain
}

func (q Trims) begin() *trimmer {
	if q.Ensemble == nil || q.Measure == nil || len(q.Bands) == 0 {
		panic("stock: trims without circuit, measure or bands")
	}
	fill := func(v *float64, standard float64) {
		if *v == 0 {
			*v = standard
		}
	}
	fill(&q.Limits.Centre, 0.01)
	fill(&q.Limits.Boost, 0.2)
	if q.Most == 0 {
		q.Most = 2
	}
	if q.Most < 1 || q.Most > 2 || !(q.Limits.Centre > 0 && q.Limits.Boost > 0 && q.Limits.Q >= 0) {
		panic(fmt.Sprintf("stock: %d changes, limits %+v", q.Most, q.Limits))
	}
	q.Parts = slices.Clone(q.Parts)
	slices.SortStableFunc(q.Parts, func(a, b Part) int { return strings.Compare(a.ID, b.ID) })
	var bands []BoardBand
	for _, b := range q.Bands {
		bands = append(bands, b.BoardBand)
	}
	t := &trimmer{Trims: q, room: newSolver(Board{Bands: bands, Ensemble: q.Ensemble, Measure: q.Measure})}
	for _, b := range q.Bands {
		w := wish{t.room.figure(b.Centre), t.room.figure(b.Boost), -1, b.CentreHz, b.BoostDB, b.WantedQ}
		if b.WantedQ > 0 && q.Limits.Q > 0 {
			w.q = t.room.figure(b.Q)
		}
		t.want = append(t.want, w)
	}
	for band := range q.Bands {
		t.options = append(t.options, t.optionsOf(band))
	}
	return t
}

// off gives a band's deviations in limits; a figure that is not there is
// infinitely far off.
func (t *trimmer) off(band int, figures [3]float64) (off [3]float64) {
	w := t.want[band]
	off[0] = (figures[0]/w.hertz - 1) / t.Limits.Centre
	off[1] = (figures[1] - w.dB) / t.Limits.Boost
	if w.q >= 0 {
		off[2] = (figures[2]/w.Q - 1) / t.Limits.Q
	}
	for i := range off {
		if math.IsNaN(off[i]) {
			off[i] = math.Inf(1)
		}
	}
	return off
}

// rankOf judges a board by its figures.
func (t *trimmer) rankOf(at []int, figures [][3]float64) (r rank) {
	beyond := 0.0
	for band := range figures {
		r.changes += len(t.options[band][at[band]].changes)
		most := 0.0
		for _, v := range t.off(band, figures[band]) {
			r.error += v * v
			most = max(most, math.Abs(v))
			beyond += max(0, math.Abs(v)-1)
		}
		if most > 1 {
			r.outside++
		}
	}
	if r.tenths = farthest; beyond < farthest/10 {
		r.tenths = int(math.Ceil(10 * beyond))
	}
	return r
}

// possible says whether the drawer has what a board takes.
func (t *trimmer) possible(at []int) bool {
	used := map[int]int{}
	for band, n := range at {
		for _, part := range t.options[band][n].uses {
			if used[part]++; used[part] > t.Parts[part].Count {
				return false
			}
		}
	}
	return true
}
