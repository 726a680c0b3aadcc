package fault

import (
	"context"
	"math"
	"sync"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/reading"
)

// Findings of a table.
const (
	// IDNoPrediction: a fault for which the circuit has no answer somewhere;
	// there it is taken to read anything. Place: the device or point that has
	// none, the setting. hypothesis; why: the finding's id.
	IDNoPrediction finding.ID = "fault.no-prediction"
)

// Allowed is a reading that may be taken.
type Allowed struct {
	reading.Reading
	Effort float64 // against other readings; 0 means 1
}

// Plan is what a table is made of.
type Plan struct {
	Circuit    *circuit.Circuit
	Parts      []reading.Uncertainty // of the healthy parts
	Cond       reading.Conditions
	Hypotheses []Hypothesis // "as built" and "none of these" are added; pairs count as such by their Kind
	Readings   []Allowed
	Workers    int                   // 0 means 2
	Progress   func(done, total int) // may be nil; called from one goroutine at a time
}

// Table is what every hypothesis would make every reading show. It is never
// changed and has many readers.
type Table struct {
	Hypotheses []Hypothesis // the first is "as built"; "none of these" is not among them
	Readings   []Allowed
	Findings   finding.List

	plan    Plan
	base    *circuit.Circuit
	rows    []row
	first   []int    // by reading: its first row
	columns []column // by case, hypotheses in order
	of      []int    // by hypothesis: its first column, and one more at the end
	prior   []float64
	wide    []broad // by reading: anywhere at all
	causes  causes
	hidden  []Hidden
}

// row is one number of a reading.
type row struct {
	reading int
	hz      float64
}

// state says what a case predicts of a row.
type state uint8

const (
	number  state = iota
	lacking       // the display says "open", or nothing
	unknown       // the circuit has no answer
)

// column is what one case predicts.
type column struct {
	weight float64 // among the cases, sum 1 over a hypothesis
	size   float64
	width  float64
	value  []float64
	state  []state
	own    []float64 // deviation that is a row's alone
	loads  [][]load  // by row: what it shares with others
	small  []float64 // by row: by how much small shares have widened own
	shows  []float64 // by row of a curve: how much of a change of the level shows over the floor
	slope  []float64 // by ln size, nil without size
	moved  bool      // some operating point is not the healthy one
}

// load is a row's share of one independent cause, for a deviation of 1 of it.
type load struct {
	cause int32
	by    float32
}

// runOhms is what a run, a strap and a closed contact of no stated resistance
// have, so that they can be missing. Common practice, no source.
const runOhms = 0.01

// New computes the table. The error is a finding.List of what is wrong with the
// circuit or the questions; a fault without an answer is a Warning in Findings.
func New(ctx context.Context, plan Plan) (*Table, error) {
	if err := checkPlan(ctx, plan); err != nil {
		return nil, err
	}
	base, err := plan.Circuit.WithOhms(runOhms)
	if err != nil {
		return nil, err
	}
	t := &Table{plan: plan, base: base, Readings: plan.Readings}
	built := Hypothesis{Name: string(AsBuilt), Kind: AsBuilt, Cases: []Case{{Weight: 1}}}
	t.Hypotheses = append([]Hypothesis{built}, plan.Hypotheses...)
	t.weigh()
	t.number()
	t.causes = causesOf(base, plan.Parts, plan.Readings)
	if err := t.compute(ctx); err != nil {
		return nil, err
	}
	t.close()
	return t, nil
}

// compute fills the columns.
func (t *Table) compute(ctx context.Context) error {
	b, err := t.bank(ctx)
	if err != nil {
		return err
	}
	return t.fill(ctx, b)
}

// close finishes what hangs on all columns together.
func (t *Table) close() {
	for h := range t.Hypotheses {
		t.bend(t.columns[t.of[h]:t.of[h+1]])
	}
	t.spreadOut()
	for k := range t.columns {
		t.columns[k].small, t.columns[k].shows = nil, nil
	}
	t.hidden = t.unseen()
}

// checkPlan puts the readings to the healthy circuit: whatever is wrong with
// them is said by it.
func checkPlan(ctx context.Context, plan Plan) error {
	readings := make([]reading.Reading, len(plan.Readings))
	for i, r := range plan.Readings {
		readings[i] = r.Reading
	}
	_, err := reading.Predict(ctx, plan.Circuit, readings, nil, plan.Cond)
	return err
}

// weigh shares out the probability beforehand. A pair has the product of its
// parts' shares among all pairs there could be; those not listed are left to "none
// of these".
func (t *Table) weigh() {
	singles, pairs := 0.0, 0.0
	for _, h := range t.Hypotheses[1:] {
		if h.Weight <= 0 || len(h.Cases) == 0 {
			panic("fault: hypothesis " + h.Name + " has no weight or no case")
		}
		if h.Kind == Pair {
			pairs += h.Weight
		} else {
			singles += h.Weight
		}
	}
	both := 0.0 // what all listed pairs have
	if pairs > 0 {
		both = sharePairs * min(1, pairs/(singles*singles/2))
	}
	t.prior = []float64{shareBuilt}
	for _, h := range t.Hypotheses[1:] {
		if h.Kind == Pair {
			t.prior = append(t.prior, both*h.Weight/pairs)
		} else {
			t.prior = append(t.prior, (1-shareBuilt-shareNone-both)*h.Weight/singles)
		}
	}
}

// number gives every number of every reading a row.
func (t *Table) number() {
	for i, r := range t.Readings {
		t.first = append(t.first, len(t.rows))
		if r.Kind != reading.Gain {
			t.rows = append(t.rows, row{reading: i})
		}
		for _, hz := range r.Hz {
			t.rows = append(t.rows, row{reading: i, hz: hz})
		}
	}
	t.first = append(t.first, len(t.rows))
	for _, h := range t.Hypotheses {
		t.of = append(t.of, len(t.columns))
		sum := 0.0
		for _, c := range h.Cases {
			sum += c.Weight
		}
		for _, c := range h.Cases {
			t.columns = append(t.columns, column{weight: c.Weight / sum, size: c.Size, width: c.Width})
		}
	}
	t.of = append(t.of, len(t.columns))
}

// workers is how many work at once.
func (t *Table) workers() int {
	if t.plan.Workers == 0 {
		return 2
	}
	return t.plan.Workers
}

// Of a hypothesis' sizes every third is derived by the healthy parts' values; its
// neighbours borrow from it.
const derivedEvery = 3

// lender gives the column that one borrows from, nil if it is derived itself. The
// middle one is.
func (t *Table) lender(hypothesis, k int) *column {
	first, end := t.of[hypothesis], t.of[hypothesis+1]
	off := (k - (first+end)/2) % derivedEvery
	switch {
	case off == 0:
		return nil
	case off == 1 || off == -2:
		k--
	default:
		k++
	}
	if k < first || k >= end {
		return nil
	}
	return &t.columns[k]
}

// fill computes every column, shared out among workers: first those that are
// derived.
func (t *Table) fill(ctx context.Context, b *bank) error {
	f := &filling{table: t, bank: b, found: make([]finding.List, len(t.columns))}
	for _, lent := range [...]bool{false, true} {
		var list []toFill
		for h := range t.Hypotheses {
			for k := t.of[h]; k < t.of[h+1]; k++ {
				if lender := t.lender(h, k); (lender != nil) == lent {
					list = append(list, toFill{h, k, lender})
				}
			}
		}
		t.share((len(list)+atOnce-1)/atOnce, 1, func(next func() int) {
			for i := atOnce * next(); i < len(list) && ctx.Err() == nil; i = atOnce * next() {
				f.fill(ctx, list[i:min(i+atOnce, len(list))])
			}
		})
	}
	if err := ctx.Err(); err != nil {
		return err
	}
	if f.failure != nil {
		return f.failure
	}
	t.tell(f.found)
	return nil
}

// atOnce is how many columns are filled at a time: enough that an inverse, once it
// has been fetched, serves many.
const atOnce = 48

type toFill struct {
	hypothesis, column int
	lender             *column
}

// filling is a table being filled by several workers.
type filling struct {
	table   *Table
	bank    *bank
	found   []finding.List // by column
	mu      sync.Mutex     // guards the rest
	done    int
	failure error
}

func (f *filling) fill(ctx context.Context, list []toFill) {
	t := f.table
	all, err := f.bank.ask(ctx, list)
	f.mu.Lock()
	defer f.mu.Unlock()
	if err != nil {
		f.failure = err
		return
	}
	for _, a := range all {
		f.found[a.column] = a.found
		f.done++
		if t.plan.Progress != nil {
			t.plan.Progress(f.done, len(t.columns))
		}
	}
}

// tell gathers, once a hypothesis, where the circuit has no answer.
func (t *Table) tell(found []finding.List) {
	for h := range t.Hypotheses {
		for k := t.of[h]; k < t.of[h+1]; k++ {
			if len(found[k]) > 0 {
				f := found[k][0]
				t.Findings = append(t.Findings, finding.New(IDNoPrediction, finding.Warning, f.Place,
					finding.Args{"hypothesis": t.Hypotheses[h].Name, "why": string(f.ID)}))
				break
			}
		}
	}
}

// bend finds how each case's numbers move with its size, and adds what is left of
// their curvature within the cell to the scatter.
func (t *Table) bend(cases []column) {
	for i := range cases {
		c := &cases[i]
		if c.width == 0 {
			continue
		}
		c.slope = make([]float64, len(t.rows))
		for r := range t.rows {
			left := 0.0
			c.slope[r], left = line(cases, i, r)
			c.own[r] = math.Hypot(c.own[r], left)
		}
	}
}

// line gives a row's slope by ln size at one of the cases, and the deviation that a
// straight line leaves: of x²/2 over a cell of width w that is w²/(2·√180).
func line(cases []column, i, row int) (slope, left float64) {
	c := &cases[i]
	if c.state[row] != number {
		return 0, 0
	}
	var slopes, at []float64
	for _, n := range [...]int{i - 1, i + 1} {
		if n >= 0 && n < len(cases) && cases[n].state[row] == number {
			apart := math.Log(cases[n].size / c.size)
			slopes = append(slopes, (cases[n].value[row]-c.value[row])/apart)
			at = append(at, apart)
		}
	}
	switch len(slopes) {
	case 1:
		return slopes[0], 0
	case 2: // the parabola through three sizes
		second := 2 * (slopes[1] - slopes[0]) / (at[1] - at[0])
		return (slopes[0]*at[1] - slopes[1]*at[0]) / (at[1] - at[0]), math.Abs(second) * c.width * c.width / (2 * math.Sqrt(180))
	}
	return 0, 0
}

// Expected gives the numbers of one reading as Predicted has them, 0 where there
// is none.
func (t *Table) Expected(hypothesis, which int) []float64 {
	var values []float64
	for _, p := range t.Predicted(hypothesis)[t.first[which]:t.first[which+1]] {
		values = append(values, p.Value)
	}
	return values
}

// Predicted is one number of a table.
type Predicted struct {
	Reading int     `json:"reading"`
	Hz      float64 `json:"hz,omitempty"`
	Value   float64 `json:"value"`
	SD      float64 `json:"sd"`              // parts, instrument, and the cell of sizes
	Lacks   bool    `json:"lacks,omitempty"` // no number: open, or nothing
	Unknown bool    `json:"unknown,omitempty"`
}

// Predicted gives all that a hypothesis predicts, in the middle of its cases.
func (t *Table) Predicted(hypothesis int) []Predicted {
	c := &t.columns[(t.of[hypothesis]+t.of[hypothesis+1])/2]
	list := make([]Predicted, len(t.rows))
	for i, r := range t.rows {
		list[i] = Predicted{Reading: r.reading, Hz: r.hz, Lacks: c.state[i] == lacking, Unknown: c.state[i] == unknown}
		if c.state[i] == number {
			list[i].Value, list[i].SD = c.value[i], c.sd(i)
		}
	}
	return list
}

// Prior gives a hypothesis' probability beforehand.
func (t *Table) Prior(hypothesis int) float64 { return t.prior[hypothesis] }
