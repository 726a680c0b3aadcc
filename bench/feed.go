package bench

import (
	"cmp"
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/feed"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/wiring"
)

// What can be wrong with a question about the feed.
const (
	// IDNoFeed (error): the job says nothing of a feed. No args.
	IDNoFeed finding.ID = "bench.no-feed"
	// IDFeedPart (error): the feed names a part that the circuit has not, or has
	// as something else. Place: the part. key, read, want ("a voltage source",
	// "a resistor", "a zener", "a part with legs"), known.
	IDFeedPart finding.ID = "bench.feed-part"
	// IDNoRipple (note): nobody has read the ripple, so that hum is not reckoned.
	IDNoRipple finding.ID = "bench.no-ripple"
	// IDDropperFitted (note): the dropper in the job is none of the values
	// chosen. Place: the first of it. fitted, chosen: ohms in all.
	IDDropperFitted finding.ID = "bench.dropper-fitted"
)

// FeedAnswer is what the supply does to every part.
type FeedAnswer struct {
	JobHead
	Celsius   float64            `json:"celsius"`
	Rail      FeedRail           `json:"rail"`
	Limits    FeedLimits         `json:"limits"`
	Settings  []string           `json:"settings"` // where the board draws differently: each case is the worst of them
	Cases     []FeedCase         `json:"cases"`
	Parts     []FeedPart         `json:"parts"`
	Loads     []feed.Load        `json:"loads"` // every part in every case
	Fitted    []FeedDropper      `json:"fitted"`
	Dropper   *feed.Dropper      `json:"dropper"`    // null: none is asked for, or none does
	Zener     string             `json:"zener"`      // the part; "": none
	ZenerOpen *feed.ZenerFailure `json:"zener_open"` // null: no zener
	Hum       []FeedHum          `json:"hum"`        // null: no ripple was read
	Rise      []feed.Rise        `json:"rise"`
	Safe      FeedSafe           `json:"safe"`
	Fuse      string             `json:"fuse"` // as marked; "": nobody has looked
}

// FeedRail is the rail as the job has it.
type FeedRail struct {
	Part     string  `json:"part"`
	Point    string  `json:"point"` // where it is read
	Volts    float64 `json:"volts"`
	Cold     float64 `json:"cold"`
	ColdRead bool    `json:"cold_read"` // false: the usual share over Volts
	Low      float64 `json:"mains_low"` // as shares
	High     float64 `json:"mains_high"`
	Hertz    float64 `json:"hertz"`
}

// FeedLimits are the shares of its rating that a part may carry.
type FeedLimits struct {
	Volts   float64 `json:"volts"`
	Amperes float64 `json:"amperes"`
	Watts   float64 `json:"watts"`
}

// FeedCase is one case, and whether the circuit has an operating point there.
type FeedCase struct {
	Name   feed.CaseName `json:"name"`
	Rail   float64       `json:"rail"`
	Solved bool          `json:"solved"`
}

// FeedPart is the worst that a part carries, of each figure by itself.
type FeedPart struct {
	Part    string    `json:"part"`
	Kind    string    `json:"kind"`
	Volts   FeedWorst `json:"volts"`
	Amperes FeedWorst `json:"amperes"`
	Watts   FeedWorst `json:"watts"`
	Over    bool      `json:"over"` // a limit is passed
}

// FeedWorst is one figure in its worst case. Nil: not rated.
type FeedWorst struct {
	Carries float64       `json:"carries"`
	Case    feed.CaseName `json:"case"`
	Rated   *float64      `json:"rated"`
	Share   *float64      `json:"share"` // of Rated
}

// FeedDropper is a dropper as it is in the job.
type FeedDropper struct {
	Part  string  `json:"part"`
	Ohms  float64 `json:"ohms"`
	Watts float64 `json:"watts"` // rated; 0: not stated
	Volts float64 `json:"volts"` // rated; 0: not stated
}

// FeedHum is the ripple at the output, at one setting. Nil: nothing comes
// through, or no level was stated.
type FeedHum struct {
	feed.Ripple
	Name    string   `json:"name"` // "flat", "all up"
	DBu     *float64 `json:"dbu"`
	BelowDB *float64 `json:"below_level_db"`
}

// FeedSafe is how long charge stays once the plug is out, and what ends it.
type FeedSafe struct {
	Volts   float64     `json:"volts"`
	Seconds float64     `json:"seconds"` // that are allowed
	Held    []feed.Held `json:"held"`
	Bleeds  []feed.Bled `json:"bleeds"`
}

// What stands for what the job leaves blank. Common practice, no source, but
// the mains frequency and the tolerance, which are IEC 60038's.
const (
	usualRail    = "rail"
	usualMains   = 0.1
	usualHertz50 = 50
	usualKeep    = 2e-3
	usualSafe    = 50
	usualAfter   = 60
	usualColder  = 1.3
)

// Feed asks what the supply does to every part, in every case.
func (c *Case) Feed(ctx context.Context) (*FeedAnswer, finding.List, error) {
	if c.job.Wired() && c.job.Feed != nil { // what hangs on the harness draws too
		whole, found, err := c.at(wiring.Complete)
		if err != nil {
			return nil, nil, err
		}
		a, more, err := whole.feedAnswer(ctx)
		return a, append(found, more...), err
	}
	return c.feedAnswer(ctx)
}

func (c *Case) feedAnswer(ctx context.Context) (*FeedAnswer, finding.List, error) {
	s, err := c.supply()
	if err != nil {
		return nil, nil, err
	}
	f, whole, cond := c.job.Feed, c.equaliser.Circuit(), c.conditions()
	limits := feed.Limits{Volts: shareOf(f.Volts), Amperes: shareOf(f.Amperes), Watts: shareOf(f.Watts)}.Filled()
	a := &FeedAnswer{JobHead: c.head(), Celsius: c.kelvin() - kelvinAtZero, Rail: c.feedRail(s), Zener: f.Zener, Fuse: f.Fuse, Limits: FeedLimits(limits)}
	if s.Settings, err = c.drawingSettings(ctx); err != nil {
		return nil, nil, err
	}
	for _, set := range s.Settings {
		a.Settings = append(a.Settings, set.String())
	}
	loads, found, err := feed.Loads(ctx, whole, s, c.ratings(), limits, cond)
	if err != nil {
		return nil, nil, err
	}
	a.Loads, a.Cases = loads, feedCases(s, loads)
	a.Parts = c.worstOf(loads, limits)
	for _, ask := range []func(context.Context, *FeedAnswer, feed.Supply) (finding.List, error){
		c.feedDropper, c.feedZener, c.feedHum, c.feedTimes,
	} {
		more, err := ask(ctx, a, s)
		if list, ok := finding.From(err); ok {
			return nil, nil, located(list, c.job, c.name)
		}
		if err != nil {
			return nil, nil, err
		}
		found = append(found, more...)
	}
	return a, once(located(found, c.job, c.name)), nil
}

// feedCases names each case once, however many settings it was taken at.
func feedCases(s feed.Supply, loads []feed.Load) []FeedCase {
	s.Settings = nil
	var list []FeedCase
	for _, k := range s.Cases() {
		solved := slices.ContainsFunc(loads, func(l feed.Load) bool { return l.Case == k.Name })
		list = append(list, FeedCase{Name: k.Name, Rail: k.Rail, Solved: solved})
	}
	return list
}

func (c *Case) conditions() circuit.Conditions {
	return circuit.Conditions{Kelvin: c.equaliser.Spec().Kelvin}
}

func shareOf(t *quantity.Tolerance) float64 {
	if t == nil {
		return 0
	}
	return t.Plus
}

// supply says the job's feed in the room's terms; every name that the circuit
// does not have so is told.
func (c *Case) supply() (feed.Supply, error) {
	f := c.job.Feed
	if f == nil {
		return feed.Supply{}, finding.New(IDNoFeed, finding.Error, finding.Place{File: c.name}, nil)
	}
	s := feed.Supply{Rail: cmp.Or(f.Rail, usualRail), Low: usualMains, High: usualMains, Dropper: f.Dropper, Zener: f.Zener, Board: f.Board,
		Hertz: cmp.Or(float64(given(f.Frequency)), usualHertz50)}
	if f.Tolerance != nil {
		s.Low, s.High = f.Tolerance.Minus, f.Tolerance.Plus
	}
	var found finding.List
	source, ok := feedPart[circuit.VoltageSource](c, &found, "rail", s.Rail, "a voltage source")
	s.Volts = source.DC
	s.Cold = cmp.Or(float64(given(f.Cold)), usualColder*s.Volts)
	for _, name := range f.Dropper {
		feedPart[circuit.Resistor](c, &found, "dropper", name, "a resistor")
	}
	if f.Zener != "" {
		feedPart[circuit.Zener](c, &found, "zener", f.Zener, "a zener")
	}
	for _, name := range f.Board {
		if p, ok := feedPart[circuit.Part](c, &found, "board", name, "a part with legs"); ok && len(p.Terminals()) == 0 {
			found = append(found, c.feedRefusal("board", name, "a part with legs"))
		}
	}
	if ok && !(s.Volts > 0) {
		found = append(found, c.feedRefusal("rail", s.Rail, "a voltage source above 0 V"))
	}
	return s, found.Err()
}

// feedPart finds a part that must be of a kind.
func feedPart[P circuit.Part](c *Case, found *finding.List, key, name, want string) (P, bool) {
	p, there := c.equaliser.Circuit().Part(name)
	as, is := p.(P)
	if !there || !is {
		*found = append(*found, c.feedRefusal(key, name, want))
	}
	return as, there && is
}

func (c *Case) feedRefusal(key, name, want string) finding.Finding {
	return finding.New(IDFeedPart, finding.Error, finding.Place{File: c.name, Line: c.job.Feed.Line},
		finding.Args{"key": key, "read": name, "want": want})
}

func (c *Case) feedRail(s feed.Supply) FeedRail {
	p, _ := c.equaliser.Circuit().Part(s.Rail)
	return FeedRail{Part: s.Rail, Point: p.Terminals()[0], Volts: s.Volts, Cold: s.Cold, ColdRead: c.job.Feed.Cold != nil,
		Low: s.Low, High: s.High, Hertz: s.Hertz}
}

// ratings gathers what every part may carry; a [[part]] has the last word.
func (c *Case) ratings() []feed.Rating {
	var list []feed.Rating
	add := func(part string, r job.Rated) {
		list = append(list, feed.Rating{Part: part, Volts: float64(given(r.Volts)), Amperes: float64(given(r.Amperes)), Watts: float64(given(r.Watts))})
	}
	for _, b := range c.job.Bands {
		add(b.Name, b.Slider.Rated)
		add(b.Name+".resistor", b.Resistor.Rated)
		add(b.Name+".coil", b.Coil.Rated)
		add(b.Name+".capacitor", b.Capacitor.Rated)
	}
	for _, p := range c.job.Parts {
		if p.Rated != (job.Rated{}) {
			add(p.Name, p.Rated)
		}
	}
	return list
}

// worstOf gives the worst of every part, in the circuit's order.
func (c *Case) worstOf(loads []feed.Load, limits feed.Limits) []FeedPart {
	var list []FeedPart
	at, rated := map[string]int{}, map[string]feed.Rating{}
	for _, r := range c.ratings() {
		rated[r.Part] = r
	}
	for _, l := range loads {
		i, seen := at[l.Part]
		if !seen {
			i = len(list)
			at[l.Part] = i
			p, _ := c.equaliser.Circuit().Part(l.Part)
			list = append(list, FeedPart{Part: l.Part, Kind: kindOf(p)})
		}
		p, r := &list[i], rated[l.Part]
		p.Volts.see(l.Case, l.Volts, r.Volts)
		p.Amperes.see(l.Case, l.Amperes, r.Amperes)
		p.Watts.see(l.Case, l.Watts, r.Watts)
		p.Over = p.Volts.over(limits.Volts) || p.Amperes.over(limits.Amperes) || p.Watts.over(limits.Watts)
	}
	return list
}

func (w *FeedWorst) see(in feed.CaseName, carries, rated float64) {
	if w.Case != "" && carries <= w.Carries {
		return
	}
	w.Carries, w.Case = carries, in
	if rated > 0 {
		share := carries / rated
		w.Share, w.Rated = &share, &rated
	}
}

func (w *FeedWorst) over(limit float64) bool { return w.Share != nil && *w.Share > limit }

// feedDropper chooses the dropper, and says where the one fitted is another.
func (c *Case) feedDropper(ctx context.Context, a *FeedAnswer, s feed.Supply) (finding.List, error) {
	f, ohms := c.job.Feed, 0.0
	rated := map[string]feed.Rating{}
	for _, r := range c.ratings() {
		rated[r.Part] = r
	}
	for _, name := range s.Dropper {
		p, _ := c.equaliser.Circuit().Part(name)
		a.Fitted = append(a.Fitted, FeedDropper{Part: name, Ohms: p.(circuit.Resistor).Ohms, Watts: rated[name].Watts, Volts: rated[name].Volts})
		ohms += p.(circuit.Resistor).Ohms
	}
	if len(s.Dropper) == 0 || s.Zener == "" {
		return nil, nil
	}
	needs := cmp.Or(float64(given(f.ZenerLeast)), usualKeep)
	found, err := c.starved(ctx, s, needs)
	if err != nil {
		return nil, err
	}
	q := feed.DropperQuestion{Supply: s, Series: quantity.E12, ZenerLeast: needs,
		ZenerWatts: rated[s.Zener].Watts, Sizes: feed.DropperWatts(), EachVolts: rated[s.Dropper[0]].Volts, Limits: feed.Limits(a.Limits)}
	if f.Series != nil {
		q.Series = *f.Series
	}
	d, err := feed.ChooseDropper(ctx, c.equaliser.Circuit(), q, c.conditions())
	if list, ok := finding.From(err); ok && len(list) == 1 && list[0].ID == feed.IDNoDropper {
		list[0].Level = finding.Warning // the rest of the answer stands
		return append(found, list...), nil
	}
	if err != nil {
		return nil, err
	}
	a.Dropper = &d
	if chosen := d.Each * float64(d.InSeries); ohms != chosen {
		found = append(found, finding.New(IDDropperFitted, finding.Note, finding.Place{Part: s.Dropper[0]},
			finding.Args{"fitted": ohms, "chosen": chosen}))
	}
	return found, nil
}

// starved says where the dropper in the job leaves the zener too little.
func (c *Case) starved(ctx context.Context, s feed.Supply, needs float64) (finding.List, error) {
	k, err := feed.ZenerKeeps(ctx, c.equaliser.Circuit(), s, c.conditions())
	if err != nil || k.Amperes >= needs {
		return nil, err
	}
	return finding.List{finding.New(feed.IDStarved, finding.Warning, finding.Place{Part: s.Zener, Setting: k.Setting},
		finding.Args{"case": string(k.Case), "keeps": k.Amperes, "needs": needs})}, nil
}

func (c *Case) feedZener(ctx context.Context, a *FeedAnswer, s feed.Supply) (finding.List, error) {
	if s.Zener == "" {
		return nil, nil
	}
	var err error
	a.ZenerOpen, err = feed.WhenZenerOpens(ctx, c.equaliser.Circuit(), s, c.ratings(), feed.Limits(a.Limits), c.conditions())
	return nil, err
}

// feedHum carries the ripple to the output, flat and with every slider up.
func (c *Case) feedHum(ctx context.Context, a *FeedAnswer, s feed.Supply) (finding.List, error) {
	if c.job.Feed.Ripple == nil {
		return finding.List{finding.New(IDNoRipple, finding.Note, finding.Place{}, nil)}, nil
	}
	for _, at := range [...]struct {
		name string
		set  curve.Setting
	}{{"flat", curve.Setting{}}, {"all up", c.equaliser.AllUp()}} {
		st, err := c.solve(ctx, at.set)
		if err != nil {
			return nil, err
		}
		r, err := feed.RippleAt(ctx, st, s, float64(*c.job.Feed.Ripple), equaliser.OutputPoint)
		if err != nil {
			return nil, err
		}
		h := FeedHum{Name: at.name, Ripple: r, DBu: dBu(r.AtOut)}
		if level := c.equaliser.Spec().LevelVolts; level > 0 && h.DBu != nil {
			below := *dBu(level) - *h.DBu
			h.BelowDB = &below
		}
		a.Hum = append(a.Hum, h)
	}
	return nil, nil
}

// feedTimes says how fast charge comes and goes.
func (c *Case) feedTimes(ctx context.Context, a *FeedAnswer, s feed.Supply) (finding.List, error) {
	f, whole, cond := c.job.Feed, c.equaliser.Circuit(), c.conditions()
	var err error
	if a.Rise, err = feed.WarmUp(ctx, whole, s, cond); err != nil {
		return nil, err
	}
	a.Safe = FeedSafe{Volts: cmp.Or(float64(given(f.Safe)), usualSafe), Seconds: cmp.Or(float64(given(f.SafeAfter)), usualAfter)}
	if a.Safe.Held, err = feed.Discharge(ctx, whole, s, a.Safe.Volts, cond); err != nil {
		return nil, err
	}
	a.Safe.Bleeds, err = feed.Bleeds(ctx, whole, s, a.Safe.Held, a.Safe.Seconds, quantity.E12, cond)
	return nil, err
}
