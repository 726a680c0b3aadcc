package ask

import (
	"bytes"
	"context"

	"bandwright/bench"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/report"
	"bandwright/stock"
)

// DrawerFile is the drawer's usual name beside a job.
const DrawerFile = "drawer.csv"

// Mapping says how a drawer's file is read; the zero one: find out.
type Mapping = stock.Mapping

// Drawer asks what lies in a drawer.
type Drawer struct {
	File        string  `json:"file"`
	CSV         *string `json:"csv"`         // the file's text, where it is not kept yet; null: the file's own
	At          string  `json:"at"`          // also what each measured part is at this frequency
	Temperature string  `json:"temperature"` // of the parts there
	Mapping     Mapping `json:"mapping"`
}

// StandardDrawer holds what stands for fields left out.
func StandardDrawer() Drawer { return Drawer{File: DrawerFile, Temperature: "20 °C"} }

// Ask answers. Rows that cannot be used are errors among the findings, yet the
// others stand.
func (q Drawer) Ask(ctx context.Context, from From) (*bench.DrawerAnswer, finding.List, error) {
	var w wrongs
	put := bench.DrawerQuestion{Mapping: q.Mapping}
	celsius, err := quantity.ParseCelsius(q.Temperature)
	w.add(err)
	put.Celsius = float64(celsius)
	if q.At != "" {
		hz, err := quantity.ParseHertz(q.At)
		w.add(err)
		put.Hz = float64(hz)
	}
	if w.err() != nil {
		return nil, nil, w.err()
	}
	name, text, err := q.File, []byte(nil), error(nil)
	if q.CSV != nil {
		text = []byte(*q.CSV)
	} else if name, text, err = from.File(q.File); err != nil {
		return nil, nil, err
	}
	if err := ctx.Err(); err != nil {
		return nil, nil, err
	}
	return bench.Drawer(name, bytes.NewReader(text), put)
}

// parts reads a drawer for who takes parts from it. What the rows themselves
// give rise to is the drawer's own question's to say.
func parts(ctx context.Context, from From, file string, mapping Mapping) (*bench.DrawerAnswer, error) {
	q := StandardDrawer()
	q.File, q.Mapping = file, mapping
	answer, _, err := q.Ask(ctx, from)
	return answer, err
}

// Design asks for values of wanted bands.
type Design struct {
	Band         []string `json:"band"`   // "400: centre 400Hz boost 10dB q 1"
	Points       []string `json:"points"` // "63: 20 0.8, 40 4.6, 63 9.5"
	PointsFile   []Points `json:"points_file"`
	Original     bool     `json:"original"` // want what the job's curves of an original show
	Keep         []string `json:"keep"`     // of every leg: coil, capacitor, resistor
	Series       string   `json:"series"`   // preferred values of the other parts; "": any
	OhmsPerHenry float64  `json:"ohms_per_henry"`
}

// Points is a file of points of a band's curve.
type Points struct {
	Band string `json:"band"`
	File string `json:"file"`
}

// Ask answers.
func (q Design) Ask(ctx context.Context, from From) (*bench.DesignAnswer, finding.List, error) {
	words, points, read, err := q.words(from)
	if err != nil {
		return nil, nil, err
	}
	c, found, err := from.Open(ctx)
	found = append(found, read...)
	if err != nil {
		return nil, found, err
	}
	var more finding.List
	if q.Original {
		words.Original, more, err = original(ctx, c)
	} else {
		words.Original, more, err = c.WantedAt(points)
	}
	if found = append(found, more...); err != nil {
		return nil, found, err
	}
	targets, err := c.Targets(words)
	if err != nil {
		return nil, found, err
	}
	targets.OhmsPerHenry = q.OhmsPerHenry
	answer, more, err := c.Design(ctx, targets)
	return answer, report.Once(append(found, more...)), err
}

// original asks for what the job's curves of an original show.
func original(ctx context.Context, c *bench.Case) ([]equaliser.Wanted, finding.List, error) {
	wanted, found, err := c.WantedAfter(ctx)
	if err == nil && len(wanted) == 0 {
		err = refusal(IDNoOriginal, nil)
	}
	return wanted, found, err
}

// words reads the fields; every one that cannot be read is told.
func (q Design) words(from From) (bench.DesignWords, []bench.PointsOf, finding.List, error) {
	words := bench.DesignWords{Bands: q.Band, Keep: q.Keep}
	var points []bench.PointsOf
	var found finding.List
	var w wrongs
	for _, clash := range []struct {
		name  string
		given int
	}{{"--band", len(q.Band)}, {"--points", len(q.Points)}, {"--points-file", len(q.PointsFile)}} {
		if q.Original && clash.given > 0 {
			w.add(refusal(IDClash, finding.Args{"one": "--original", "other": clash.name}))
		}
	}
	if q.Series != "" {
		series, err := quantity.ParseSeries(q.Series)
		w.add(err)
		words.Series = series
	}
	for _, text := range q.Points {
		p, err := bench.ReadPoints(text)
		w.add(err)
		points = append(points, p)
	}
	for _, file := range q.PointsFile {
		name, text, err := from.File(file.File)
		w.add(err)
		if err == nil {
			p, more, err := bench.ReadPointsFile(file.Band, name, text)
			w.add(err)
			points, found = append(points, p), append(found, more...)
		}
	}
	return words, points, found, w.err()
}

// Choose asks for parts from the drawer for every band.
type Choose struct {
	Drawer       string   `json:"drawer"`
	Mapping      Mapping  `json:"mapping"`
	Band         []string `json:"band"`
	Original     bool     `json:"original"`
	LimitCentre  string   `json:"limit_centre"`
	LimitBoost   string   `json:"limit_boost"`
	LimitQ       string   `json:"limit_q"`
	Least        string   `json:"least"`    // total, worst
	Fixed        []string `json:"fixed"`    // "63: bag 1"
	Barred       []string `json:"barred"`   // "film 8", "63: film 8"
	NewOhms      string   `json:"new_ohms"` // series that resistors may be bought from; "": the drawer's
	OneCapacitor bool     `json:"one_capacitor"`
	Draws        int      `json:"draws"` // boards drawn for the chance that all holds; 0: none
	Seed         uint64   `json:"seed"`
}

// StandardChoose holds what stands for fields left out.
func StandardChoose() Choose {
	return Choose{Drawer: DrawerFile, LimitCentre: "1%", LimitBoost: "0.2dB", LimitQ: "20%", Least: "total", Draws: 2000, Seed: 1}
}

// Ask answers.
func (q Choose) Ask(ctx context.Context, from From) (*bench.ChooseAnswer, finding.List, error) {
	put, err := q.question()
	if err != nil {
		return nil, nil, err
	}
	c, found, err := from.Open(ctx)
	if err != nil {
		return nil, found, err
	}
	if put.Drawer, err = parts(ctx, from, q.Drawer, q.Mapping); err != nil {
		return nil, found, err
	}
	var more finding.List
	if q.Original {
		if put.Original, more, err = original(ctx, c); err != nil {
			return nil, append(found, more...), err
		}
		found = append(found, more...)
	}
	var solving func(int)
	if from.Progress != nil {
		solving = func(solved int) { from.Progress(solved, 0) }
	}
	answer, more, err := c.Choose(ctx, put, solving)
	return answer, report.Once(append(found, more...)), err
}

// question reads the fields; every one that cannot be read is named.
func (q Choose) question() (bench.ChooseQuestion, error) {
	put := bench.ChooseQuestion{Bands: q.Band, Fixed: q.Fixed, Barred: q.Barred, OneCapacitor: q.OneCapacitor, Draws: q.Draws, Seed: q.Seed}
	var w wrongs
	above := func(flag, text string, value float64, err error) float64 {
		if w.add(err); err == nil && !(value > 0) {
			w.add(refusal(IDNoLimit, finding.Args{"flag": flag, "read": text}))
		}
		return value
	}
	share := func(flag, text string) float64 {
		t, err := quantity.ParseTolerance(text)
		return above(flag, text, min(t.Minus, t.Plus), err)
	}
	put.Limits.Centre, put.Limits.Q = share("--limit-centre", q.LimitCentre), share("--limit-q", q.LimitQ)
	db, err := quantity.ParseDecibels(q.LimitBoost)
	put.Limits.Boost = above("--limit-boost", q.LimitBoost, float64(db), err)
	if put.Worst = q.Least == "worst"; !put.Worst && q.Least != "total" {
		w.add(refusal(IDLeast, finding.Args{"read": q.Least}))
	}
	if q.NewOhms != "" {
		put.NewOhms, err = quantity.ParseSeries(q.NewOhms)
		w.add(err)
	}
	if q.Original && len(q.Band) > 0 {
		w.add(refusal(IDClash, finding.Args{"one": "--original", "other": "--band"}))
	}
	return put, w.err()
}
