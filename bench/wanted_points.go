package bench

import (
	"bytes"
	"slices"
	"strings"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
)

// What is wrong with typed points: errors.
const (
	// IDPointsText: points that cannot be read. read; pair, the one that stops
	// it.
	IDPointsText finding.ID = "bench.points-text"
	// IDPointsTwice: two points at one frequency. read; hz.
	IDPointsTwice finding.ID = "bench.points-twice"
)

// IDPointsBand (note): points that name no band were taken for the band whose
// stated centre lies nearest to the tallest of them. Place band; hz of that
// point, centre of the band.
const IDPointsBand finding.ID = "bench.points-band"

// PointsOf is points of a curve of an original: one band alone at full boost
// or cut, in dB beside flat.
type PointsOf struct {
	Band  string // "": the one stated nearest to the tallest point
	Curve curve.Curve
}

// ReadPoints reads points as typed, "63: 20 0, 63 9.5, 160 -1": a band if one
// is named, then hertz and dB of each point, in any order. Pairs are parted by
// commas, or by semicolons, which leaves the comma to decimals.
func ReadPoints(text string) (PointsOf, error) {
	var p PointsOf
	rest := text
	if name, after, named := strings.Cut(text, ":"); named {
		p.Band, rest = strings.TrimSpace(name), after
	}
	part := ","
	if strings.Contains(rest, ";") {
		part = ";"
	}
	var found finding.List
	points := map[float64]float64{}
	for _, pair := range strings.Split(strings.TrimRight(rest, " "+part), part) {
		hz, db, ok := readPair(pair)
		_, twice := points[hz]
		switch {
		case !ok:
			found = append(found, finding.New(IDPointsText, finding.Error, finding.Place{},
				finding.Args{"read": text, "pair": strings.TrimSpace(pair)}))
		case twice:
			found = append(found, finding.New(IDPointsTwice, finding.Error, finding.Place{}, finding.Args{"read": text, "hz": hz}))
		default:
			points[hz] = db
			p.Curve.Hz = append(p.Curve.Hz, hz)
		}
	}
	slices.Sort(p.Curve.Hz)
	for _, hz := range p.Curve.Hz {
		p.Curve.DB = append(p.Curve.DB, points[hz])
	}
	return p, found.Err()
}

// readPair reads "63 9.5" and "63 Hz 9.5 dB": wherever the blanks are, one of
// them parts hertz from decibels.
func readPair(pair string) (hz, db float64, ok bool) {
	words := strings.Fields(pair)
	for i := 1; i < len(words); i++ {
		f, wrong := quantity.ParseHertz(strings.Join(words[:i], " "))
		d, wrong2 := quantity.ParseDecibels(strings.Join(words[i:], " "))
		if wrong == nil && wrong2 == nil && f > 0 {
			return float64(f), float64(d), true
		}
	}
	return 0, 0, false
}

// ReadPointsFile reads points from a file of hertz and dB, as any curve file is
// read. The findings are of the file.
func ReadPointsFile(band, file string, text []byte) (PointsOf, finding.List, error) {
	c, understood, err := curve.Read(bytes.NewReader(text), curve.As{})
	found := placeIn(understood.Findings, file)
	if err != nil {
		return PointsOf{}, nil, placeIn(findingsOf(err), file)
	}
	return PointsOf{Band: band, Curve: c}, found, nil
}

// WantedAt asks for what points of an original's curves show; see
// equaliser.WantedAt. All mistakes are named.
func (c *Case) WantedAt(points []PointsOf) ([]equaliser.Wanted, finding.List, error) {
	var list []equaliser.Wanted
	var found finding.List
	for _, p := range points {
		w, more := c.wantedAt(p)
		list, found = append(list, w), append(found, more...)
	}
	if err := found.Err(); err != nil {
		return nil, nil, err
	}
	return list, found, nil
}

func (c *Case) wantedAt(p PointsOf) (equaliser.Wanted, finding.List) {
	var found finding.List
	known := c.equaliser.Bands()
	switch {
	case p.Band == "" && len(p.Curve.Hz) > 0:
		p.Band, found = c.nearestBand(p.Curve)
	case !slices.Contains(known, p.Band):
		return equaliser.Wanted{}, finding.List{finding.New(IDWantedNoBand, finding.Error, finding.Place{},
			finding.Args{"band": p.Band, "known": strings.Join(known, ", ")})}
	}
	w, more, err := equaliser.WantedAt(p.Band, p.Curve)
	if err != nil {
		return w, append(found, findingsOf(err)...)
	}
	return w, append(found, more...)
}

// nearestBand takes the tallest point for a band.
func (c *Case) nearestBand(points curve.Curve) (string, finding.List) {
	tallest := 0
	size := func(db float64) float64 { return max(db, -db) }
	for i, db := range points.DB {
		if size(db) > size(points.DB[tallest]) {
			tallest = i
		}
	}
	hz := points.Hz[tallest]
	away := func(b equaliser.Band) float64 { return max(b.Hz/hz, hz/b.Hz) }
	bands := c.equaliser.Spec().Bands
	best := bands[0]
	for _, b := range bands {
		if away(b) < away(best) {
			best = b
		}
	}
	return best.Name, finding.List{finding.New(IDPointsBand, finding.Note, finding.Place{Band: best.Name},
		finding.Args{"hz": hz, "centre": best.Hz})}
}
