package bench

import (
	"slices"
	"strconv"
	"strings"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
)

// What is wrong with a typed wish: errors.
const (
	// IDWantedText: a wish that cannot be read. read; word, the one that stops
	// it.
	IDWantedText finding.ID = "bench.wanted-text"
	// IDWantedNoBand: a wish for a band that the job has not. band, known.
	IDWantedNoBand finding.ID = "bench.wanted-no-band"
	// IDWantedKeep: a part to keep that no leg has. read, known.
	IDWantedKeep finding.ID = "bench.wanted-keep"
)

// DesignWords is a design's question as a person types it. With neither
// Original nor Bands the job's own [[wanted]] tables are the question, and where
// it has none every band is wanted at its stated centre.
type DesignWords struct {
	Original []equaliser.Wanted // what an original does, see WantedAfter and WantedAt
	Bands    []string           // "400: centre 400Hz boost 10dB q 1"
	Keep     []string           // of every leg: "coil", "capacitor", "resistor"
	Series   quantity.Series    // of what is not kept and has no picks of its own; 0: any value
}

// DesignLeg is a leg of an answer, with what its band does.
type DesignLeg = equaliser.DesignedLeg

// Targets reads a question; see DesignWords. What is kept keeps the job's own
// value. All mistakes are named.
func (c *Case) Targets(words DesignWords) (equaliser.Targets, error) {
	var t equaliser.Targets
	var found finding.List
	for _, text := range words.Bands {
		w, wrong := c.wanted(text)
		t.Wanted, found = append(t.Wanted, w), append(found, wrong...)
	}
	t.Wanted = append(t.Wanted, words.Original...)
	switch {
	case len(t.Wanted) > 0:
	case len(c.job.Wanted) > 0:
		t.Wanted = c.wantedInJob()
	default:
		t.Wanted = c.wantedAsStated()
	}
	for i := range t.Wanted {
		fromSeries(&t.Wanted[i], words.Series)
	}
	for _, part := range words.Keep {
		if !slices.Contains(legParts(), part) {
			found = append(found, finding.New(IDWantedKeep, finding.Error, finding.Place{},
				finding.Args{"read": part, "known": strings.Join(legParts(), ", ")}))
			continue
		}
		for i := range t.Wanted {
			c.keep(&t.Wanted[i], part)
		}
	}
	return t, found.Err()
}

// fromSeries takes the parts that serve a wanted figure, and say nothing of
// their own, from a series; a part that serves none stays what it is.
func fromSeries(w *equaliser.Wanted, series quantity.Series) {
	put := func(p *equaliser.Pick) {
		if p.Series == 0 && len(p.Owned) == 0 {
			p.Series = series
		}
	}
	if w.BoostDB != 0 || w.CutDB != 0 {
		put(&w.Resistor)
	}
	if w.CentreHz != 0 || w.Q != 0 {
		put(&w.Coil)
		put(&w.Capacitor)
	}
}

func legParts() []string { return []string{"coil", "capacitor", "resistor"} }

// wanted reads "400: centre 400Hz boost 10dB q 1", in any order.
func (c *Case) wanted(text string) (equaliser.Wanted, finding.List) {
	name, rest, ok := strings.Cut(text, ":")
	w := equaliser.Wanted{Band: strings.TrimSpace(name)}
	bad := func(word string) (equaliser.Wanted, finding.List) {
		return w, finding.List{finding.New(IDWantedText, finding.Error, finding.Place{}, finding.Args{"read": text, "word": word})}
	}
	if !ok {
		return bad(text)
	}
	if known := c.equaliser.Bands(); !slices.Contains(known, w.Band) {
		return w, finding.List{finding.New(IDWantedNoBand, finding.Error, finding.Place{},
			finding.Args{"band": w.Band, "known": strings.Join(known, ", ")})}
	}
	words := strings.Fields(rest)
	if len(words) == 0 {
		return bad(text)
	}
	for ; len(words) > 0; words = words[min(2, len(words)):] {
		if len(words) < 2 {
			return bad(words[0])
		}
		ok, err := putWanted(&w, words[0], words[1])
		if list, is := finding.From(err); is {
			return w, list
		}
		if !ok {
			return bad(words[0])
		}
	}
	return w, nil
}

// putWanted reads one figure; false: there is none of that name.
func putWanted(w *equaliser.Wanted, figure, value string) (bool, error) {
	switch strings.ToLower(figure) {
	case "centre":
		hz, err := quantity.ParseHertz(value)
		w.CentreHz = float64(hz)
		return true, err
	case "boost":
		db, err := quantity.ParseDecibels(value)
		w.BoostDB = float64(db)
		return true, err
	case "cut":
		db, err := quantity.ParseDecibels(value)
		w.CutDB = min(float64(db), -float64(db)) // "10dB" of cut means down
		return true, err
	case "q":
		q, err := strconv.ParseFloat(value, 64)
		w.Q = q
		return err == nil, nil
	}
	return false, nil
}

// keep fixes a part of a band at the job's own value.
func (c *Case) keep(w *equaliser.Wanted, part string) {
	p, ok := c.equaliser.Circuit().Part(w.Band + "." + part)
	if !ok {
		return // a leg drawn otherwise: Design says so
	}
	own := equaliser.Pick{Owned: []equaliser.Owned{{Name: p.PartName()}}}
	switch p := p.(type) {
	case circuit.Inductor:
		own.Owned[0].Value, own.Owned[0].DCR = p.Henries, p.DCR
		w.Coil = own
	case circuit.Capacitor:
		own.Owned[0].Value = p.Farads
		w.Capacitor = own
	case circuit.Resistor:
		own.Owned[0].Value = p.Ohms
		w.Resistor = own
	}
}
