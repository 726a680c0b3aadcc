package bench

import (
	"context"
	"slices"
	"strconv"
	"strings"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/job"
)

// RecordAnswer is what a record says that no other question answers.
type RecordAnswer struct {
	Missing []Missing    `json:"missing"`
	Costs   []Cost       `json:"costs"` // flat, lifted, bypassed, so far as there are such
	Points  RecordPoints `json:"points"`
}

// RecordPoints are points that the next person looks for.
type RecordPoints struct {
	Rail string `json:"rail"` // the rail at the tap; "": the job has none of its own
}

// Missing is an entry that a whole record has and this one has not.
type Missing struct {
	Key string `json:"key"` // in the job's terms, as "agreed.customer"
	Of  string `json:"of"`  // which band, run, stage or step; "": there is one alone
}

// Cost is what being in the chain does to a signal at one setting of its
// switches, the sliders centred.
type Cost struct {
	Name    string   `json:"name"` // "flat", "lifted", "bypassed"
	Setting string   `json:"setting"`
	DB      *float64 `json:"db_at_1_khz"` // source to output; nil: nothing comes through
	LowDB   float64  `json:"low_db"`      // 20 Hz–20 kHz
	HighDB  float64  `json:"high_db"`
	DBu     *float64 `json:"noise_dbu"`
}

// costHz is where a level is spoken of. Common practice, no source.
const costHz = 1000

// Record asks what stands in a record and nowhere else.
func (c *Case) Record(ctx context.Context) (*RecordAnswer, finding.List, error) {
	a := &RecordAnswer{Missing: c.Missing()}
	if c.job.Feed != nil {
		if s, err := c.supply(); err == nil {
			a.Points.Rail = c.feedRail(s).Point
		}
	}
	var found finding.List
	for _, named := range c.equaliser.Family() {
		if len(named.Setting.Sliders) > 0 {
			continue
		}
		cost, more, err := c.cost(ctx, named.Name, named.Setting)
		if err != nil {
			return nil, nil, err
		}
		a.Costs, found = append(a.Costs, cost), append(found, more...)
	}
	return a, once(found), nil
}

func (c *Case) cost(ctx context.Context, name string, s curve.Setting) (Cost, finding.List, error) {
	k := Cost{Name: name, Setting: s.String()}
	total, found, err := c.Gains(ctx, k.Setting, nil)
	if err != nil {
		return k, nil, err
	}
	first := true
	for _, row := range total.Rows {
		if row.DB == nil {
			continue
		}
		if first {
			k.LowDB, k.HighDB, first = *row.DB, *row.DB, false
		}
		k.LowDB, k.HighDB = min(k.LowDB, *row.DB), max(k.HighDB, *row.DB)
	}
	at, more, err := c.Gains(ctx, k.Setting, []float64{costHz})
	if err != nil {
		return k, nil, err
	}
	found, k.DB = append(found, more...), at.Rows[0].DB
	noise, more, err := c.Noise(ctx, k.Setting)
	if err != nil {
		return k, nil, err
	}
	k.DBu = noise.DBu
	return k, append(found, more...), nil
}

// Missing lists what a whole record would have and the job leaves blank, in
// the order of the work.
func (c *Case) Missing() []Missing {
	m := missing{list: []Missing{}}
	m.head(c.job)
	m.parts(c.job)
	m.work(c.job)
	m.end(c.job)
	return m.list
}

// missing gathers blanks.
type missing struct{ list []Missing }

// look notes a key when its entry is blank.
func (m *missing) look(blank bool, key, of string) {
	if blank {
		m.list = append(m.list, Missing{key, of})
	}
}

// texts looks at keys of one table with their entries.
func (m *missing) texts(table string, entries ...[2]string) {
	for _, e := range entries {
		m.look(strings.TrimSpace(e[1]) == "", table+"."+e[0], "")
	}
}

func (m *missing) head(j *job.Job) {
	m.look(strings.TrimSpace(j.Amp) == "", "amp", "")
	a, f, t, r := j.Agreed, j.Found, j.TapIn, j.Record
	m.texts("record", [2]string{"owner", r.Owner}, [2]string{"serial", r.Serial}, [2]string{"taken_in", r.TakenIn},
		[2]string{"handed_back", r.HandedBack}, [2]string{"by", r.By}, [2]string{"why", r.Why})
	m.texts("agreed", [2]string{"customer", a.Customer}, [2]string{"wants", a.Wants}, [2]string{"price", a.Price},
		[2]string{"date", a.Date}, [2]string{"by", a.By})
	m.look(f.Mains == nil, "found.mains", "")
	m.look(f.Rail == nil, "found.rail", "")
	m.texts("found", [2]string{"hum", f.Hum}, [2]string{"repairs", f.Repairs}, [2]string{"measured", f.Measured})
	m.texts("tap_in", [2]string{"where", t.Where}, [2]string{"cut", t.Cut}, [2]string{"zero_volt", t.ZeroVolt}, [2]string{"rail_tap", t.RailTap})
	m.look(t.LoadOhms == nil, "tap_in.load", "")
	m.look(t.Level == nil, "tap_in.level", "")
	m.look(len(r.Photos) == 0, "record.photo", "")
}

// parts looks at coils and capacitors whose marked value is all there is.
func (m *missing) parts(j *job.Job) {
	for _, b := range j.Bands {
		m.look(b.Coil.MeasuredValue == nil, "band.coil.measured", b.Name)
		m.look(b.Capacitor.MeasuredValue == nil, "band.capacitor.measured", b.Name)
	}
}

// work looks at what was to be done: feed, runs, links, steps, stages.
func (m *missing) work(j *job.Job) {
	m.look(j.Feed == nil, "feed", "")
	if j.Feed != nil {
		m.texts("feed", [2]string{"fuse", j.Feed.Fuse})
		m.look(j.Feed.Cold == nil, "feed.cold", "")
		m.look(j.Feed.Ripple == nil, "feed.ripple", "")
	}
	m.look(!j.Wired(), "run", "")
	for _, r := range j.Runs {
		m.look(r.State != job.RunMade && r.State != job.RunRemoved, "run.state", r.Name)
	}
	for _, p := range j.Moved {
		m.look(p.Mains && strings.TrimSpace(p.SignedBy) == "", "moved.signed_by", p.Name)
	}
	for i, s := range j.Fitting {
		m.look(strings.TrimSpace(s.Done) == "", "fitting.done", strconv.Itoa(i+1)+", "+s.Do)
	}
	for _, stage := range job.PowerStages() {
		signed := slices.ContainsFunc(j.PowerUp.Stages, func(s job.PowerStage) bool {
			return s.Stage == stage && strings.TrimSpace(s.Signed) != ""
		})
		m.look(!signed, "volts.stage", stage)
	}
	taken := func(kind string) bool {
		return slices.ContainsFunc(j.Readings, func(r job.Reading) bool { return r.Kind == kind && r.Taken() })
	}
	m.look(!taken(job.ReadOhms), "reading.ohms", "")
	m.look(!taken(job.ReadVolts), "reading.volts", "")
	m.look(!slices.ContainsFunc(j.Curves, func(k job.Curve) bool { return k.Role == "measured" }), "curve", "")
}

func (m *missing) end(j *job.Job) {
	l, s := j.Left, j.Safety
	m.look(l.Mains == nil, "left.mains", "")
	m.look(l.Rail == nil, "left.rail", "")
	m.texts("left", [2]string{"hum", l.Hum}, [2]string{"noise", l.Noise}, [2]string{"normal_hum", l.NormalHum},
		[2]string{"footswitch", l.Footswitch}, [2]string{"measured", l.Measured})
	m.look(len(l.Volts) == 0, "left.volts", "")
	m.texts("safety", [2]string{"earth_bond", s.EarthBond}, [2]string{"leakage", s.Leakage}, [2]string{"insulation", s.Insulation},
		[2]string{"soak", s.Soak}, [2]string{"date", s.Date}, [2]string{"by", s.By})
}
