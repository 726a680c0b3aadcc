package fault

import (
	"cmp"
	"context"
	"math"
	"reflect"
	"slices"
	"strconv"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/reading"
)

// Findings of entered readings. The place is the point and the setting.
const (
	// IDNoNumber: a value that is no number, or not as many values as the
	// reading has. value: as text, or how many; want: how many.
	IDNoNumber finding.ID = "fault.no-number"
	// IDImpossible: a value that no such instrument shows: ohms below 0, more
	// volts than are in any amplifier, a gain beyond what can be told. kind,
	// value.
	IDImpossible finding.ID = "fault.impossible"
	// IDNotAllowed: a reading that is none of those the table was made for.
	// kind. Hint: make the table with it.
	IDNotAllowed finding.ID = "fault.not-allowed"
	// IDContradicted: no hypothesis explains the readings; "none of these" comes
	// first. Note.
	IDContradicted finding.ID = "fault.contradicted"
)

// Taken is a reading with what the display showed: one value, or one for each
// frequency of a gain.
type Taken struct {
	reading.Reading
	Values []float64
	Open   bool // the display said "open", or nothing: Values are without meaning
}

const (
	mostVolts = 5000.0 // no valve amplifier has more inside; common practice, no source
	mostDB    = 200.0
	leastOhms = -0.5 // leads zeroed a little too far; common practice, no source
)

// enter turns readings into rows of the table, in the order of the rows.
func (t *Table) enter(ctx context.Context, taken []Taken) ([]entered, error) {
	var list []entered
	var found finding.List
	for _, k := range taken {
		which, err := t.find(ctx, k.Reading)
		if err != nil {
			wrong, ok := finding.From(err)
			if !ok {
				return nil, err
			}
			found = append(found, wrong...)
			continue
		}
		if wrong := k.Check(); len(wrong) > 0 {
			found = append(found, wrong...)
			continue
		}
		list = append(list, t.entries(k, which)...)
	}
	slices.SortStableFunc(list, func(a, b entered) int { return cmp.Compare(a.row, b.row) })
	return list, found.Err()
}

func (t *Table) entries(k Taken, which int) []entered {
	var list []entered
	for row := t.first[which]; row < t.first[which+1]; row++ {
		e := entered{row: row, lacks: k.Open}
		if !k.Open {
			e.value = k.Values[row-t.first[which]]
		}
		if k.Kind == reading.Gain {
			if k.Open {
				e.value = floorDB
			}
			// A recording has its noise in it, and how much below the floor that lies
			// tells nothing: a level there is a level at the floor, whatever it is.
			e.lacks = k.Less == nil && e.value <= floorDB
			if e.lacks {
				e.value = floorDB
			}
		}
		if k.Kind == reading.Ohms && !k.Open {
			e.value = max(e.value, 0)
			if most := k.Meter.MostOhms; most > 0 && e.value > most {
				e.lacks = true
			}
		}
		list = append(list, e)
	}
	return list
}

// Check refuses what no instrument shows; Rank does so too.
func (k Taken) Check() finding.List {
	if k.Open {
		return nil
	}
	at := finding.Place{Point: k.Red, Setting: k.Setting.String()}
	want := max(1, len(k.Hz))
	if len(k.Values) != want {
		return finding.List{finding.New(IDNoNumber, finding.Error, at, finding.Args{"value": strconv.Itoa(len(k.Values)), "want": want})}
	}
	var found finding.List
	for _, v := range k.Values {
		args := finding.Args{"kind": string(k.Kind), "value": strconv.FormatFloat(v, 'g', -1, 64)}
		switch {
		case math.IsNaN(v) || math.IsInf(v, 0):
			args["want"] = want
			found = append(found, finding.New(IDNoNumber, finding.Error, at, args))
		case k.Kind == reading.Ohms && v < leastOhms, k.Kind == reading.Volts && math.Abs(v) > mostVolts,
			k.Kind == reading.Gain && math.Abs(v) > mostDB:
			found = append(found, finding.New(IDImpossible, finding.Error, at, args))
		}
	}
	return found
}

// find gives the allowed reading that a taken one is. Leads on ohms may be
// exchanged where the meter opens no junction. What the circuit does not have is
// said by the circuit.
func (t *Table) find(ctx context.Context, r reading.Reading) (int, error) {
	if i := t.Number(r); i >= 0 {
		return i, nil
	}
	if _, err := reading.Predict(ctx, t.plan.Circuit, []reading.Reading{r}, nil, t.plan.Cond); err != nil {
		return 0, err
	}
	return 0, finding.List{finding.New(IDNotAllowed, finding.Error,
		finding.Place{Point: r.Red, Setting: r.Setting.String()}, finding.Args{"kind": string(r.Kind)})}
}

// Number gives the number of a reading among those allowed, −1 for none.
func (t *Table) Number(r reading.Reading) int {
	return slices.IndexFunc(t.Readings, func(a Allowed) bool { return Same(a.Reading, r) })
}

// Same says whether two readings are one: of ohms, with a meter that opens no
// junction, whichever way round the leads are.
func Same(a, b reading.Reading) bool {
	a.Black, b.Black = black(a), black(b)
	if a.Kind == reading.Ohms && a.Meter.TestVolts < circuit.JunctionVolts && a.Red == b.Black {
		b.Red, b.Black = b.Black, b.Red
	}
	if a.Setting.String() != b.Setting.String() || (a.Less == nil) != (b.Less == nil) || a.Less != nil && a.Less.String() != b.Less.String() {
		return false
	}
	b.Setting, b.Less = a.Setting, a.Less
	return reflect.DeepEqual(a, b)
}
