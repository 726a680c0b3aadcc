package bench

import (
	"context"
	"slices"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/demo"
	"bandwright/finding"
	"bandwright/job"
)

func firstVolts(t *testing.T, c *Case, q FirstVoltsQuestion) (*FirstVoltsAnswer, finding.List) {
	t.Helper()
	a, found, err := c.FirstVolts(context.Background(), q)
	if err != nil {
		t.Fatal(err)
	}
	return a, found
}

func rowOf(t *testing.T, a *FirstVoltsAnswer, point string) StageVolts {
	t.Helper()
	for _, r := range a.Rows {
		if r.Point == point {
			return r
		}
	}
	t.Fatalf("no row of %s", point)
	return StageVolts{}
}

func volts(point, value string) job.Reading {
	return job.Reading{Kind: job.ReadVolts, Red: point, Value: value}
}

// TestVoltsFollowFromTheRail: points above the zener go with the rail that was
// read, those below it do not; each nominal is what a meter of 10 MΩ shows on
// the circuit with that rail, solved anew.
func TestVoltsFollowFromTheRail(t *testing.T) {
	c := feedCase(t)
	for _, rail := range []float64{330, 398, 412, 470} {
		a, _ := firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageMains, Rail: &rail})
		at, err := c.equaliser.Circuit().Edited(circuit.Set("rail", "DC", rail))
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range a.Rows {
			v, err := at.Voltmeter(context.Background(), c.equaliser.Flat(), c.conditions(), 10e6, r.Point, circuit.Ground)
			if err != nil {
				t.Fatal(err)
			}
			if r.Shown == nil || r.Shown.Worst.Nominal-v.Volts > 1e-9 || v.Volts-r.Shown.Worst.Nominal > 1e-9 {
				t.Errorf("rail %v, %s: %+v, solved anew %v", rail, r.Point, r.Shown, v)
			}
			if n := r.Shown.Worst; n.Low > n.Nominal || n.High < n.Nominal {
				t.Errorf("%s: %+v", r.Point, n)
			}
		}
		if a.Rows[0].Point != "ht" || a.Rail.From != "read" || *a.Rows[0].Read != rail || a.Rows[0].Verdict != Pass {
			t.Errorf("the rail is read first: %+v, %+v", a.Rail, a.Rows[0])
		}
		if z := rowOf(t, a, "zener.top").Shown.Worst.Nominal; z < 23.8 || z > 24.2 {
			t.Errorf("rail %v: the zener at %v", rail, z)
		}
	}
}

// TestRailOfTheMains: with no rail read it is the job's, scaled where the mains
// were read, and a warning asks for the reading.
func TestRailOfTheMains(t *testing.T) {
	c, mains := feedCase(t), 220.0
	a, found := firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageMains, Mains: &mains})
	if want := 412.0 * 220 / 231; a.Rail.From != "mains" || a.Rail.Volts-want > 1e-9 || want-a.Rail.Volts > 1e-9 || !warned(found, IDRailUnread) {
		t.Errorf("%+v, %v", a.Rail, found)
	}
	a, found = firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageMains})
	if a.Rail.From != "job" || a.Rail.Volts != 412 || !warned(found, IDRailUnread) {
		t.Errorf("%+v, %v", a.Rail, found)
	}
	a, found = firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageMains, Mains: &mains, Readings: []job.Reading{volts("ht", "401 V")}})
	if a.Rail.From != "read" || a.Rail.Volts != 401 || warned(found, IDRailUnread) {
		t.Errorf("read at the point of the rail: %+v, %v", a.Rail, found)
	}
}

func warned(found finding.List, id finding.ID) bool {
	for _, f := range found {
		if f.ID == id {
			return true
		}
	}
	return false
}

// TestVerdicts: by the job's limits, blanks NOT DONE, and nothing but what was
// read is called anything.
func TestVerdicts(t *testing.T) {
	c, rail := feedCase(t), 412.0
	a, found := firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageMains, Rail: &rail, Readings: []job.Reading{
		volts("out", "12.5 V"), volts("q1.base", "14.2 V"), volts("q1.collector", "10 V"), volts("cut", "0.0001 V"), volts("rail", "open"),
		{Kind: job.ReadVolts, Red: "q1.base", Black: "q1.emitter", Value: "0.61 V"},
		{Kind: job.ReadVolts, Red: "dc.mid", Value: "1 V", Stage: job.StageBench},
	}})
	for point, want := range map[string]Verdict{"out": Pass, "q1.base": Look, "q1.collector": Stop, "cut": Pass, "rail": Stop, "supply": NotDone, "dc.mid": NotDone, "ht": Pass} {
		if r := rowOf(t, a, point); r.Verdict != want {
			t.Errorf("%s: %v, want %s", point, r.Verdict, want)
		}
	}
	between := slices.IndexFunc(a.Rows, func(r StageVolts) bool { return r.Black == "q1.emitter" })
	if between < 0 || a.Rows[between].Point != "q1.base" || a.Rows[between].Verdict != Pass {
		t.Errorf("read between two points: %+v", a.Rows)
	}
	for i := 2; i < len(a.Rows); i++ {
		if a.Rows[i].Standing() > a.Rows[i-1].Standing() {
			t.Errorf("%s stands above %s", a.Rows[i].Point, a.Rows[i-1].Point)
		}
	}
	if a.Passed != 4 || a.Looks != 1 || a.Stops != 2 || a.NotDone != len(a.Rows)-7 || !warned(found, IDVoltsStop) || !warned(found, IDVoltsLook) {
		t.Errorf("%d pass, %d look, %d stop, %d not done; %v", a.Passed, a.Looks, a.Stops, a.NotDone, found)
	}
}

// TestLimiter: every point must rise to a bound and never exceed another, and
// both hold the circuit's own answer at any rail between.
func TestLimiter(t *testing.T) {
	c := feedCase(t)
	a, _ := firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageLimiter, Readings: []job.Reading{
		volts("dropper.mid", "90 V"), volts("out", "14 V"), volts("q1.base", "1 V")}})
	for point, want := range map[string]Verdict{"dropper.mid": Pass, "out": Stop, "q1.base": Stop, "rail": NotDone} {
		if r := rowOf(t, a, point); r.Verdict != want || r.Most == nil || r.Rises == nil {
			t.Errorf("%+v, want %s", r, want)
		}
	}
	for _, rail := range []float64{103, 200, 300, 400, 500, 572} {
		at, err := c.equaliser.Circuit().Edited(circuit.Set("rail", "DC", rail))
		if err != nil {
			t.Fatal(err)
		}
		for _, r := range a.Rows {
			v, err := at.Voltmeter(context.Background(), c.equaliser.Flat(), c.conditions(), 10e6, r.Point, circuit.Ground)
			if err != nil {
				t.Fatal(err)
			}
			if v.Volts > *r.Most || r.Rises != nil && v.Volts < *r.Rises {
				t.Errorf("rail %v, %s: %v V, bounds %v and %v", rail, r.Point, v.Volts, r.Rises, *r.Most)
			}
		}
	}
}

// TestBenchStage: the board alone on its supply; nothing of the feed is on the
// list; its current is what the circuit draws, and each band is alive or dead.
func TestBenchStage(t *testing.T) {
	c, amperes := feedCase(t), 6.5e-3
	q := FirstVoltsQuestion{Stage: job.StageBench, Amperes: &amperes}
	at := c.job.Bands[0].Centre
	gain := func(band, value string) job.Reading {
		hz := at
		for _, b := range c.job.Bands {
			if b.Name == band {
				hz = b.Centre
			}
		}
		return job.Reading{Kind: job.ReadGain, At: &hz, Setting: band + "=+1", Value: value}
	}
	q.Readings = []job.Reading{gain("63", "10.1 dB"), gain("400", "0.3 dB")}
	a, found := firstVolts(t, c, q)
	for _, r := range a.Rows {
		if strings.HasPrefix(r.Point, "dropper") || r.Point == "ht" || r.Point == "zener.top" || r.Point == "supply" {
			t.Errorf("%s is not on the board", r.Point)
		}
	}
	if s := a.Supply; s.Point != "rail" || s.Volts != 24 || *s.Limit != 0.03 || s.Verdict != Pass || s.Amperes < 5e-3 || s.Amperes > 8e-3 {
		t.Errorf("%+v", s)
	}
	for i, want := range []Verdict{Pass, NotDone, Stop, NotDone, NotDone, NotDone} {
		if b := a.Bands[i]; b.Verdict != want || *b.Up < *b.Flat+9 || *b.Down > *b.Flat-9 {
			t.Errorf("%+v, want %s", b, want)
		}
	}
	if !warned(found, IDBandDead) || warned(found, IDRailUnread) {
		t.Errorf("%v", found)
	}
	amperes = 25e-3
	if a, found = firstVolts(t, c, q); a.Supply.Verdict != Stop || !warned(found, IDCurrentStop) {
		t.Errorf("%+v", a.Supply)
	}
	// A supply led in elsewhere feeds the board alone: the drawing's rail is off.
	text := strings.Replace(demoFile(t, "job.toml"), "[driver]", "[volts]\nbench_at = \"out\"\nbench_volts = \"9 V\"\n\n[driver]", 1)
	elsewhere, opened := Open(context.Background(), "job.toml", []byte(text), demo.BassHead())
	if elsewhere == nil {
		t.Fatal(opened)
	}
	a, _ = firstVolts(t, elsewhere, FirstVoltsQuestion{Stage: job.StageBench})
	if out, rail := rowOf(t, a, "out"), rowOf(t, a, "rail"); out.Shown.Worst.Nominal != 9 || rail.Shown.Worst.Nominal > 9 || rail.Shown.Worst.Nominal < 1 {
		t.Errorf("9 V at out: %+v, rail %+v", out.Shown, rail.Shown)
	}
	// A job without a feed has the rail itself as its supply.
	if a, _ = firstVolts(t, demoCase(t), FirstVoltsQuestion{Stage: job.StageBench}); a.Supply.Point != "rail" || a.Supply.Volts != 24 {
		t.Errorf("%+v", a.Supply)
	}
}

// TestStagesInTheirOrder: an earlier stage that is open is named; a reason is
// kept, and a signature is no verdict.
func TestStagesInTheirOrder(t *testing.T) {
	c := feedCase(t)
	a, found := firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageMains})
	if len(a.Before) != 2 || a.Before[0].Open || a.Before[0].Signed == "" || !a.Before[1].Open || !warned(found, IDStageOpen) || a.NotDone != len(a.Rows) {
		t.Errorf("%+v %v", a.Before, found)
	}
	a, found = firstVolts(t, c, FirstVoltsQuestion{Stage: job.StageMains, Skipped: []job.PowerStage{{Stage: "limiter", Skipped: "no lamp in the house"}}})
	if a.Before[1].Open || a.Before[1].Skipped != "no lamp in the house" || warned(found, IDStageOpen) {
		t.Errorf("%+v %v", a.Before, found)
	}
}

// TestFirstVoltsRefused: what nobody can have read is refused with its place,
// all of it at once.
func TestFirstVoltsRefused(t *testing.T) {
	c, less, much, nan := feedCase(t), -398.0, 1e9, 0.0
	nan /= nan
	for what, q := range map[string]struct {
		q    FirstVoltsQuestion
		want []finding.ID
	}{
		"negative rail": {FirstVoltsQuestion{Stage: "mains", Rail: &less}, []finding.ID{IDBadVolts}},
		"no number":     {FirstVoltsQuestion{Stage: "mains", Rail: &nan, Mains: &much}, []finding.ID{IDBadVolts, IDBadVolts}},
		"no stage":      {FirstVoltsQuestion{Stage: "bed"}, []finding.ID{IDBadStage}},
		"no reason":     {FirstVoltsQuestion{Stage: "mains", Skipped: []job.PowerStage{{Stage: "bench"}}}, []finding.ID{IDNoReason}},
		"itself":        {FirstVoltsQuestion{Stage: "bench", Skipped: []job.PowerStage{{Stage: "mains", Skipped: "why"}}}, []finding.ID{IDNoReason}},
		"point":         {FirstVoltsQuestion{Stage: "mains", Readings: []job.Reading{volts("nowhere", "1 V"), volts("out", "1e9 V")}}, []finding.ID{circuit.IDNoPoint, IDBadVolts}},
		"setting":       {FirstVoltsQuestion{Stage: "mains", Readings: []job.Reading{{Kind: job.ReadVolts, Red: "out", Value: "1 V", Setting: "64=+1"}}}, []finding.ID{"equaliser.setting-name"}},
	} {
		for i := range q.q.Readings {
			q.q.Readings[i].File, q.q.Readings[i].Line = "read.csv", i+2
		}
		_, _, err := c.FirstVolts(context.Background(), q.q)
		list, _ := finding.From(err)
		if len(list) != len(q.want) {
			t.Errorf("%s: %v", what, err)
			continue
		}
		for i, f := range list {
			if what != "setting" && f.ID != q.want[i] || what == "point" && (f.Place.File != "read.csv" || f.Place.Line != i+2) {
				t.Errorf("%s: %v, want %s", what, f, q.want[i])
			}
		}
	}
}
