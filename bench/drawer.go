package bench

import (
	"io"

	"bandwright/finding"
	"bandwright/stock"
)

// DrawerQuestion is what to ask of the parts at hand.
type DrawerQuestion struct {
	Mapping stock.Mapping // the zero one: find out
	Hz      float64       // where the parts are looked at; 0: nowhere
	Celsius float64       // of the parts there
}

// DrawerAnswer is what lies in a drawer.
type DrawerAnswer struct {
	File     string        `json:"file"`
	Mapping  stock.Mapping `json:"mapping"` // what each column was taken for; given back, it reads the file alike
	Missing  []stock.Field `json:"missing"` // fields without a column
	Encoding string        `json:"encoding"`
	Counts   stock.Counts  `json:"counts"`
	Meter    string        `json:"meter,omitempty"` // whose limits the uncertainties are of
	Parts    []DrawerPart  `json:"parts"`
}

// DrawerPart is a part and, where it was measured and a frequency was asked
// for, what it is there.
type DrawerPart struct {
	stock.Part
	At *stock.Estimate `json:"at"`
}

// Drawer reads the drawer from a spreadsheet's CSV; name is the file's. A bad
// row is an error among the findings that leaves the others as they are, and
// so no error of Drawer's.
func Drawer(name string, from io.Reader, q DrawerQuestion) (*DrawerAnswer, finding.List, error) {
	if q.Hz != 0 {
		if !(q.Hz > 0 && q.Hz <= mostHertz) {
			return nil, nil, finding.New(IDBadFrequency, finding.Error, finding.Place{}, finding.Args{"hz": q.Hz})
		}
	}
	drawer, err := stock.Read(from, q.Mapping)
	if list, ok := finding.From(err); ok {
		return nil, nil, inFile(list, name)
	}
	if err != nil {
		return nil, nil, err
	}
	a := &DrawerAnswer{File: name, Mapping: drawer.Mapping, Missing: drawer.Missing, Encoding: drawer.Encoding, Counts: drawer.Counts}
	found := drawer.Findings
	meter := stock.HandMeter()
	for _, p := range drawer.Parts {
		part := DrawerPart{Part: p}
		if q.Hz > 0 && p.Measured() {
			e := p.SeriesAt(q.Hz, q.Celsius, meter)
			found = append(found, e.Findings...)
			e.Findings = nil // they travel with the answer's
			part.At, a.Meter = &e, meter.Name
		}
		a.Parts = append(a.Parts, part)
	}
	return a, once(inFile(found, name)), nil
}

// inFile says which file findings without one are of.
func inFile(list finding.List, name string) finding.List {
	named := make(finding.List, len(list))
	for i, f := range list {
		if f.Place.File == "" {
			f.Place.File = name
		}
		named[i] = f
	}
	return named
}
