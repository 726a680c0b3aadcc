package bench

import (
	"cmp"
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/reading"
)

// ExpectQuestion is what to expect of instruments led to the circuit.
type ExpectQuestion struct {
	// Readings in any order. Of a gain, a blank source is the equaliser's and a
	// blank red lead stands on its output.
	Readings []reading.Reading
	// SourceOhms are sources that stay a path with the power off, by name: see
	// circuit.PowerOff.
	SourceOhms map[string]float64
}

// ExpectAnswer is what each reading should show for this very set of parts,
// and how the readings vary together.
type ExpectAnswer struct {
	Celsius  float64           `json:"celsius"`
	Readings []reading.Reading `json:"readings"`
	Rows     []ExpectRow       `json:"rows"`
	// Covariance of the rows named by Numbered, parts and instruments together,
	// in the square of each row's unit.
	Numbered   []int       `json:"numbered"`
	Covariance [][]float64 `json:"covariance"`
	// Prediction is what the answer was laid out from; values as read are held
	// against it by Judge.
	Prediction *reading.Prediction `json:"-"`
}

// ExpectRow is one expected number: a reading, or one frequency of a curve.
// Volts, ohms or decibels.
type ExpectRow struct {
	Reading int          `json:"reading"` // number of the reading, from 0
	Hz      float64      `json:"hz,omitempty"`
	Lack    reading.Lack `json:"lack,omitempty"` // why there is no number
	Shown   *Shown       `json:"shown"`          // null: no number
	PartSD  float64      `json:"part_sd"`
	MeterSD float64      `json:"meter_sd"`
}

// Shown is what an instrument should show, in two ranges about one nominal
// value: 95 % of all sets of parts, and every part at its limit that hurts most.
type Shown struct {
	Likely reading.Expected `json:"likely"`
	Worst  reading.Expected `json:"worst"`
}

// Expect puts readings to the circuit. Parts lie about their values as Spread
// draws them, and those that move the operating point are followed here.
func (c *Case) Expect(ctx context.Context, q ExpectQuestion) (*ExpectAnswer, finding.List, error) {
	a := &ExpectAnswer{Celsius: c.kelvin() - kelvinAtZero, Readings: slices.Clone(q.Readings)}
	var wrong finding.List
	for i := range a.Readings {
		list, _ := finding.From(c.settle(&a.Readings[i])) // it asks nobody but the person
		wrong = append(wrong, list...)
	}
	if err := wrong.Err(); err != nil {
		return nil, nil, err
	}
	l := c.lawsOf(SpreadQuestion{})
	var parts []reading.Uncertainty
	for _, v := range l.varied {
		parts = append(parts, v.Law.About(circuit.Knob{Part: v.Part, Value: v.Value}))
	}
	p, err := reading.Predict(ctx, c.equaliser.Circuit(), a.Readings, parts,
		reading.Conditions{Kelvin: c.equaliser.Spec().Kelvin, SourceOhms: q.SourceOhms})
	if list, ok := finding.From(err); ok {
		return nil, nil, located(list, c.job, c.name)
	}
	if err != nil {
		return nil, nil, err
	}
	a.Prediction, a.Rows = p, rowsOf(p)
	a.Numbered, a.Covariance = p.Numbered(), p.Covariance()
	found := append(p.Findings, standing(IDNotVaried, finding.Note, c.unsaid(l))...)
	return a, once(located(found, c.job, c.name)), nil
}

// settle fills in what a reading leaves blank and writes its settings as the
// case has them: one setting has one text.
func (c *Case) settle(r *reading.Reading) error {
	if r.Kind == reading.Gain {
		r.Source, r.Red = cmp.Or(r.Source, equaliser.Source), cmp.Or(r.Red, equaliser.OutputPoint)
	}
	s, err := c.setting(r.Setting.String())
	if err != nil {
		return err
	}
	r.Setting = s
	if r.Less != nil {
		less, err := c.setting(r.Less.String())
		if err != nil {
			return err
		}
		r.Less = &less
	}
	return nil
}

func rowsOf(p *reading.Prediction) []ExpectRow {
	rows := make([]ExpectRow, len(p.Rows))
	for i, r := range p.Rows {
		rows[i] = ExpectRow{Reading: r.Reading, Hz: r.Hz, Lack: r.Lack, PartSD: r.PartSD, MeterSD: r.MeterSD}
		if r.Lack == reading.Nothing {
			rows[i].Shown = &Shown{Likely: r.Likely, Worst: r.Worst}
		}
	}
	return rows
}

// unsaid names the parts that no reading's range has: those that stand still and
// those of the drawing of which the job says nothing.
func (c *Case) unsaid(l laws) []string {
	varied := map[string]bool{}
	for _, v := range l.varied {
		varied[v.Part] = true
	}
	var names []string
	for _, p := range c.equaliser.Circuit().Parts() {
		v := valueOf(p)
		if theValue(kindOf(p)) != "" && v != nil && *v > 0 && !varied[p.PartName()] && !c.ofHarness(p.PartName()) {
			names = append(names, p.PartName())
		}
	}
	return names
}
