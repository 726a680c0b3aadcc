package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/report"
)

// Trim asks for the fewest changes that bring a made board to what is wanted.
type Trim struct {
	Unit        string   `json:"unit"`   // as its curves show it; "": as the job's parts are
	Drawer      string   `json:"drawer"` // a file; "": preferred values alone
	Mapping     Mapping  `json:"mapping"`
	Band        []string `json:"band"`
	Original    bool     `json:"original"`
	LimitCentre string   `json:"limit_centre"`
	LimitBoost  string   `json:"limit_boost"`
	LimitQ      string   `json:"limit_q"`
	Capacitors  string   `json:"capacitors"` // series they may be bought from; "": E12 without a drawer, else none
	Resistors   string   `json:"resistors"`  // the same; E24
	Most        int      `json:"most"`       // parts a band
}

// StandardTrim holds what stands for fields left out.
func StandardTrim() Trim { return Trim{LimitCentre: "1%", LimitBoost: "0.2dB", LimitQ: "20%", Most: 2} }

// What is bought where there is no drawer and nobody says: common practice, no
// source.
const (
	usualCapacitors = "E12"
	usualResistors  = "E24"
)

// IDMost: a count of parts that no band is given. read.
const IDMost finding.ID = "ask.most"

// TrimAnswer is the trims, and each band's in a sentence.
type TrimAnswer struct {
	*bench.TrimAnswer
	Sentences []string `json:"sentences"`
}

// Ask answers.
func (q Trim) Ask(ctx context.Context, from From) (*TrimAnswer, finding.List, error) {
	put, err := q.question()
	if err != nil {
		return nil, nil, err
	}
	c, found, err := from.Open(ctx)
	if err != nil {
		return nil, found, err
	}
	if q.Drawer != "" {
		if put.Drawer, err = parts(ctx, from, q.Drawer, q.Mapping); err != nil {
			return nil, found, err
		}
	}
	var more finding.List
	if q.Original {
		if put.Original, more, err = original(ctx, c); err != nil {
			return nil, append(found, more...), err
		}
		found = append(found, more...)
	}
	answer, more, err := c.Trim(ctx, put)
	if found = report.Once(append(found, more...)); err != nil {
		return nil, found, err
	}
	return &TrimAnswer{TrimAnswer: answer, Sentences: report.TrimSentences(answer)}, found, nil
}

// question reads the fields; every one that cannot be read is named.
func (q Trim) question() (bench.TrimQuestion, error) {
	if q.Drawer == "" {
		if q.Capacitors == "" {
			q.Capacitors = usualCapacitors
		}
		if q.Resistors == "" {
			q.Resistors = usualResistors
		}
	}
	limits, err := Choose{Least: "total", Original: q.Original, Band: q.Band, LimitCentre: q.LimitCentre, LimitBoost: q.LimitBoost, LimitQ: q.LimitQ}.question()
	put := bench.TrimQuestion{Unit: q.Unit, Bands: q.Band, Limits: limits.Limits, Most: q.Most}
	var w wrongs
	w.add(err)
	for _, s := range [...]struct {
		text string
		to   *quantity.Series
	}{{q.Capacitors, &put.Capacitors}, {q.Resistors, &put.Resistors}} {
		if s.text != "" {
			series, err := quantity.ParseSeries(s.text)
			w.add(err)
			*s.to = series
		}
	}
	if q.Most < 1 || q.Most > 2 {
		w.add(refusal(IDMost, finding.Args{"read": q.Most}))
	}
	return put, w.err()
}
