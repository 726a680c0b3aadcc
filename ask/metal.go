package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
)

// Printed is how a template is to be printed; what is left out, the job says.
type Printed struct {
	Paper     string `json:"paper"`      // A4, Letter
	BarAcross string `json:"bar_across"` // what the check bars of a first print measured
	BarDown   string `json:"bar_down"`
}

// read reads the lengths; every one that cannot be read is told.
func (p Printed) read() (bench.PrintQuestion, error) {
	put := bench.PrintQuestion{Paper: p.Paper}
	var w wrongs
	for _, bar := range [...]struct {
		text string
		into *float64
	}{{p.BarAcross, &put.BarAcross}, {p.BarDown, &put.BarDown}} {
		if bar.text == "" {
			continue
		}
		long, err := quantity.ParseMetres(bar.text)
		w.add(err)
		*bar.into = long.Millimetres()
		if err == nil && *bar.into == 0 {
			w.add(refusal(bench.IDCheckBar, finding.Args{"which": "across", "read": 0.0}))
		}
	}
	return put, w.err()
}

// Tab asks for the flat pattern of the tab that holds a slider.
type Tab struct {
	Right int `json:"right"` // how many; none at all: a right hand for every band
	Left  int `json:"left"`
	Printed
}

// Ask answers.
func (q Tab) Ask(ctx context.Context, from From) (*bench.TabAnswer, finding.List, error) {
	print, err := q.read()
	if err != nil {
		return nil, nil, err
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.TabAnswer, finding.List, error) {
		return c.Tab(ctx, bench.TabQuestion{Right: q.Right, Left: q.Left, Print: print})
	})
}

// Panel asks for the panel's template, its scales and its lettering.
type Panel struct{ Printed }

// Ask answers.
func (q Panel) Ask(ctx context.Context, from From) (*bench.PanelAnswer, finding.List, error) {
	print, err := q.read()
	if err != nil {
		return nil, nil, err
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.PanelAnswer, finding.List, error) {
		return c.Panel(ctx, bench.PanelQuestion{Print: print})
	})
}

// Drill asks what to drill, with which bit and in which order.
type Drill struct{ Printed }

// Ask answers.
func (q Drill) Ask(ctx context.Context, from From) (*bench.DrillAnswer, finding.List, error) {
	print, err := q.read()
	if err != nil {
		return nil, nil, err
	}
	return plainly(ctx, from, func(c *bench.Case) (*bench.DrillAnswer, finding.List, error) {
		return c.Drill(ctx, bench.DrillQuestion{Print: print})
	})
}
