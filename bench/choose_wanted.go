package bench

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/stock"
)

// What is wrong with the question of a board, and what is said beside its
// answer.
const (
	// IDChooseLimit (error): a limit or a count that cannot be. what, value.
	IDChooseLimit finding.ID = "bench.choose-limit"
	// IDChooseFix (error): a part to be fixed without its band. read.
	IDChooseFix finding.ID = "bench.choose-fix"
	// IDChooseBoth (error): a part fixed and barred. Place band; id.
	IDChooseBoth finding.ID = "bench.choose-both"
	// IDChooseFewer (error): a part fixed more often than it is there. id; have,
	// want (int).
	IDChooseFewer finding.ID = "bench.choose-fewer"
	// IDChooseLeg (error): a leg that is not coil, capacitor and resistor. Place
	// band; no args.
	IDChooseLeg finding.ID = "bench.choose-leg"
	// IDChooseNoBoost (error): no boost was named, and the job's own parts give
	// none. Place band; no args.
	IDChooseNoBoost finding.ID = "bench.choose-no-boost"
	// IDChooseNoPeak (error): even as designed a band has no centre. Place band;
	// no args.
	IDChooseNoPeak finding.ID = "bench.choose-no-peak"
	// IDChooseCut (note): only a cut is wanted; the parts serve a boost as high.
	// Place band; no args.
	IDChooseCut finding.ID = "bench.choose-cut"
	// IDChooseRows (warning): rows of the drawer that cannot be used. count (int).
	IDChooseRows finding.ID = "bench.choose-rows"
	// IDChooseWidth (warning): a band whose Q is free is far from as wide as with
	// the job's own parts. Place band; q, was.
	IDChooseWidth finding.ID = "bench.choose-width"
	// IDChooseCurves (note): the job's measured curves are of the parts it had
	// before. count (int).
	IDChooseCurves finding.ID = "bench.choose-curves"
)

// The most boards that may be drawn, and how far a Q that is wanted may be off
// where nobody said, and how many times wider or narrower a band is another
// band: common practice, no source.
const (
	mostDraws   = 1_000_000
	usualQLimit = 0.2
	otherWidth  = 1.3
)

// checked says what no board could be chosen by.
func (q ChooseQuestion) checked() error {
	var found finding.List
	for _, v := range [...]struct {
		what        string
		value, most float64
	}{{"centre", q.Limits.Centre, 1}, {"boost", q.Limits.Boost, 100}, {"Q", q.Limits.Q, 10}, {"count of draws", float64(q.Draws), mostDraws}} {
		if !(v.value >= 0 && v.value <= v.most) {
			found = append(found, finding.New(IDChooseLimit, finding.Error, finding.Place{}, finding.Args{"what": v.what, "value": v.value}))
		}
	}
	return found.Err()
}

// limits are those asked for, or the usual ones, which stock.Choose names.
func (q ChooseQuestion) limits(wishes []wish) stock.Limits {
	l := stock.Limits{Centre: cmp.Or(q.Limits.Centre, 0.01), Boost: cmp.Or(q.Limits.Boost, 0.2)}
	if slices.ContainsFunc(wishes, func(w wish) bool { return w.Q > 0 }) {
		l.Q = cmp.Or(q.Limits.Q, usualQLimit)
	}
	return l
}

// wish is what is wanted of a band, and where each figure comes from.
type wish struct {
	equaliser.Wanted
	centre, boost, q string
	now              equaliser.Feature // what the job's own parts do
}

// wishes gives what is wanted of every band of the job: what the question
// names, else what the job does.
func (c *Case) wishes(ctx context.Context, q ChooseQuestion) ([]wish, finding.List, error) {
	inJob, err := c.Targets(DesignWords{})
	if err != nil {
		return nil, nil, err
	}
	from, asked := "asked", equaliser.Targets{}
	if len(q.Original) > 0 {
		from = "original"
	}
	if len(q.Bands)+len(q.Original) > 0 {
		if asked, err = c.Targets(DesignWords{Original: q.Original, Bands: q.Bands}); err != nil {
			return nil, nil, err
		}
	}
	var list []wish
	var wrong, found finding.List
	for _, b := range c.equaliser.Spec().Bands {
		now, _, err := c.equaliser.Feature(ctx, c.solve, b.Name, curve.Setting{})
		if err != nil {
			return nil, nil, err
		}
		w := wish{Wanted: equaliser.Wanted{Band: b.Name}, now: now}
		for _, source := range [...]struct {
			name   string
			wanted []equaliser.Wanted
		}{{"job", inJob.Wanted}, {from, asked.Wanted}} {
			found = append(found, w.take(source.name, source.wanted)...)
		}
		w.fill()
		if _, _, _, ok := legOf(c.equaliser.Circuit(), b.Name); !ok {
			wrong = append(wrong, finding.New(IDChooseLeg, finding.Error, finding.Place{Band: b.Name}, nil))
		} else if !(w.BoostDB > 0) {
			wrong = append(wrong, finding.New(IDChooseNoBoost, finding.Error, finding.Place{Band: b.Name}, nil))
		}
		list = append(list, w)
	}
	return list, found, located(wrong, c.job, c.name).Err()
}

// take lays what one source wants over what was wanted before; the last word
// on a figure counts.
func (w *wish) take(from string, wanted []equaliser.Wanted) (found finding.List) {
	lay := func(to *float64, source *string, v float64) {
		if v != 0 {
			*to, *source = v, from
		}
	}
	for _, a := range wanted {
		if a.Band != w.Band {
			continue
		}
		lay(&w.CentreHz, &w.centre, a.CentreHz)
		lay(&w.Q, &w.q, a.Q)
		lay(&w.BoostDB, &w.boost, a.BoostDB)
		if a.BoostDB == 0 && a.CutDB < 0 {
			lay(&w.BoostDB, &w.boost, -a.CutDB)
			found = append(found, finding.New(IDChooseCut, finding.Note, finding.Place{Band: w.Band}, nil))
		}
	}
	return found
}

// fill takes what nobody wants otherwise: the stated centre, and the boost
// that the job's own parts give.
func (w *wish) fill() {
	if w.CentreHz == 0 {
		w.CentreHz, w.centre = w.now.StatedHz, "job"
	}
	if w.BoostDB == 0 && w.now.Found {
		w.BoostDB, w.boost = w.now.BoostDB, "predicted"
	}
}

// hands writes the bands of the board, with what is fixed and barred by hand.
func (c *Case) hands(q ChooseQuestion, wishes []wish, b *stock.Board) error {
	names := equaliser.FigureNames()
	at := map[string]int{}
	for i, w := range wishes {
		at[w.Band] = i
		b.Bands = append(b.Bands, stock.BoardBand{Band: w.Band, Coil: w.Band + ".coil", Capacitor: w.Band + ".capacitor",
			Resistor: w.Band + ".resistor", Centre: w.Band + " " + names[0], Boost: w.Band + " " + names[1], Q: w.Band + " " + names[3],
			CentreHz: w.CentreHz, BoostDB: w.BoostDB, WantedQ: w.Q})
	}
	var wrong finding.List
	for _, text := range q.Barred {
		band, id := bandAndID(text)
		if i, ok := at[band]; ok && id != "" {
			b.Bands[i].Barred = append(b.Bands[i].Barred, id)
		} else {
			b.Barred = append(b.Barred, strings.TrimSpace(text))
		}
	}
	for _, text := range q.Fixed {
		band, id := bandAndID(text)
		i, ok := at[band]
		switch {
		case id == "":
			wrong = append(wrong, finding.New(IDChooseFix, finding.Error, finding.Place{}, finding.Args{"read": text}))
		case !ok:
			wrong = append(wrong, finding.New(IDWantedNoBand, finding.Error, finding.Place{},
				finding.Args{"band": band, "known": strings.Join(c.equaliser.Bands(), ", ")}))
		default:
			b.Bands[i].Fixed = append(b.Bands[i].Fixed, id)
		}
	}
	return append(wrong, contradictions(*b)...).Err()
}

// bandAndID parts "63: C17"; the id is "" where there is no colon.
func bandAndID(text string) (band, id string) {
	band, id, _ = strings.Cut(text, ":")
	return strings.TrimSpace(band), strings.TrimSpace(id)
}

// contradictions names parts that are fixed and barred, or fixed more often
// than they are there.
func contradictions(b stock.Board) finding.List {
	var wrong finding.List
	fixed := map[string]int{}
	for _, band := range b.Bands {
		for _, id := range band.Fixed {
			fixed[id]++
			if slices.Contains(b.Barred, id) || slices.Contains(band.Barred, id) {
				wrong = append(wrong, finding.New(IDChooseBoth, finding.Error, finding.Place{Band: band.Band}, finding.Args{"id": id}))
			}
		}
	}
	for _, p := range b.Parts {
		if fixed[p.ID] > p.Count {
			wrong = append(wrong, finding.New(IDChooseFewer, finding.Error, finding.Place{},
				finding.Args{"id": p.ID, "have": p.Count, "want": fixed[p.ID]}))
		}
	}
	return wrong
}

// ofDrawer places what is said of the drawer's parts in its file, and the rest
// in the job.
func (c *Case) ofDrawer(list finding.List, file string) finding.List {
	list = slices.Clone(list)
	for i := range list {
		if at := &list[i].Place; at.Part != "" || *at == (finding.Place{}) {
			at.File = file
		}
	}
	return located(list, c.job, c.name)
}

// told leaves out that resistors were not measured: those within their marked
// tolerance are used so.
func told(list finding.List, d *DrawerAnswer) finding.List {
	resistor := map[string]bool{}
	for _, p := range d.Parts {
		resistor[p.ID] = p.Kind == stock.Resistor
	}
	return slices.DeleteFunc(slices.Clone(list), func(f finding.Finding) bool {
		return f.ID == stock.IDNotMeasured && resistor[f.Place.Part]
	})
}

// besides says what a board rests on beside its parts.
func (c *Case) besides(d *DrawerAnswer) finding.List {
	var found finding.List
	if d.Counts.Bad > 0 {
		found = append(found, finding.New(IDChooseRows, finding.Warning, finding.Place{File: d.File}, finding.Args{"count": d.Counts.Bad}))
	}
	measured := 0
	for _, k := range c.job.Curves {
		if k.Role == "measured" {
			measured++
		}
	}
	if measured > 0 {
		found = append(found, finding.New(IDChooseCurves, finding.Note, finding.Place{File: c.name}, finding.Args{"count": measured}))
	}
	return found
}
