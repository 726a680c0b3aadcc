package bench

import (
	"bytes"
	"context"
	"math/rand/v2"
	"os"
	"slices"
	"strconv"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/reading"
	"bandwright/trials"
	"bandwright/wiring"
)

const ohmsSeed = 20260421

// wiredText is the demo's wired job.
func wiredText(t testing.TB) string {
	t.Helper()
	text, err := os.ReadFile("../demo/bass-head/wired.toml")
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

func wiredCase(t testing.TB, text string) *Case {
	t.Helper()
	c, found := Open(context.Background(), "wired.toml", []byte(text), none)
	if c == nil {
		t.Fatal(found)
	}
	return c
}

// ids are the findings by name.
func ids(list finding.List) (names []finding.ID) {
	for _, f := range list {
		names = append(names, f.ID)
	}
	return names
}

// TestRingOutOfTheDemo makes the full list of the demo's finished harness once.
func TestRingOutOfTheDemo(t *testing.T) {
	c := wiredCase(t, wiredText(t))
	l, err := c.ohmsList(OhmsQuestion{Stage: StageComplete, List: ListFull, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if err := l.plan(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	t.Run("proven", func(t *testing.T) { proven(t, l) })
	t.Run("judged", func(t *testing.T) { becomes(t, l) })
}

// fresh gives the list with nothing read yet.
func fresh(t *testing.T, l *ohmsList, signed bool) *ohmsList {
	t.Helper()
	again, err := l.c.ohmsList(l.q)
	if err != nil {
		t.Fatal(err)
	}
	again.answer.Dead.Signed = signed
	again.faults, again.ask, again.made = l.faults, l.ask, l.made
	if err := again.lay(context.Background()); err != nil {
		t.Fatal(err)
	}
	return again
}

// proven carries every fault out, one by one, asking reading.Predict alone: what
// a line says it catches lies apart from the healthy range there, and what no
// line catches lies apart at none of the probes that are tried.
func proven(t *testing.T, l *ohmsList) {
	c := l.c
	l = fresh(t, l, true)
	a := l.answer
	t.Logf("%d faults, %d lines, bound %d, %d caught, %d probes", len(a.Faults), a.Lines, a.Bound, a.Caught, a.Probes)
	if a.Gap > 1 || a.Gap < 0 || a.Caught == 0 {
		t.Errorf("%d lines, bound %d", a.Lines, a.Bound)
	}
	var rows []OhmsRow
	for _, g := range a.Groups {
		rows = append(rows, g.Rows...)
	}
	inject := injector{t: t, l: l, known: map[string]span{}}
	for f, fault := range a.Faults {
		for _, n := range fault.Lines {
			r := rows[n-1]
			s, err := c.setting(r.Setting)
			if err != nil {
				t.Fatal(err)
			}
			if !inject.apart(f, wiring.Probe{Red: r.Red, Black: r.Black, Setting: s}) {
				t.Errorf("line %d does not show %s %s", n, fault.Slip, fault.Label)
			}
		}
		if (len(fault.Lines) == 0) != (fault.Hidden != "") {
			t.Errorf("%s %s: on lines %v, hidden %q", fault.Slip, fault.Label, fault.Lines, fault.Hidden)
		}
	}
	inject.tryHidden(a)
}

// injector asks reading.Predict of sound and of faulty circuits.
type injector struct {
	t     *testing.T
	l     *ohmsList
	known map[string]span
}

type span struct {
	open      bool
	low, high float64
}

func (i injector) ask(c *circuit.Circuit, p wiring.Probe) (span, bool) {
	var parts []reading.Uncertainty
	for _, u := range i.l.ask.Parts {
		if _, err := c.Value(u.Knob); err == nil {
			parts = append(parts, u)
		}
	}
	for _, point := range []string{p.Red, p.Black} {
		if point != circuit.Ground && !slices.Contains(c.Points(), point) {
			return span{open: true}, true // nothing is left there
		}
	}
	q := []reading.Reading{{Kind: reading.Ohms, Red: p.Red, Black: p.Black, Setting: p.Setting, Meter: reading.HandMeter()}}
	predicted, err := reading.Predict(context.Background(), c, q, parts, i.l.ask.Cond)
	if err != nil {
		return span{}, false
	}
	row := predicted.Rows[0]
	return span{row.Lack != reading.Nothing, row.Worst.Low, row.Worst.High}, true
}

// apart carries a fault out and says whether a probe tells it from the sound
// circuit.
func (i injector) apart(fault int, p wiring.Probe) bool {
	key := p.Red + "|" + p.Black + "|" + p.Setting.String()
	sound, known := i.known[key]
	if !known {
		sound, _ = i.ask(i.l.ask.Circuit, p)
		i.known[key] = sound
	}
	faulty, err := i.l.ask.Circuit.Edited(i.l.faults[fault].Edits...)
	if err != nil {
		i.t.Fatal(err)
	}
	got, ok := i.ask(faulty, p)
	if !ok {
		return false
	}
	if got.open || sound.open {
		return got.open != sound.open
	}
	return got.high < sound.low || sound.high < got.low
}

// tryHidden asks probes drawn at random of every fault that is called hidden.
func (i injector) tryHidden(a *OhmsAnswer) {
	rng := rand.New(rand.NewPCG(trials.Seed(i.t, ohmsSeed), 1))
	points, settings := i.l.ask.Points, i.l.ask.Settings
	tried := 0
	for f, fault := range a.Faults {
		for range trials.Count(12) {
			red, black := points[rng.IntN(len(points))], points[rng.IntN(len(points))]
			if fault.Hidden == "" || red == black {
				continue
			}
			tried++
			if p := (wiring.Probe{Red: red, Black: black, Setting: settings[rng.IntN(len(settings))]}); i.apart(f, p) {
				i.t.Errorf("%s %s is called hidden (%s), and %s to %s at %v shows it", fault.Slip, fault.Label, fault.Hidden, red, black, p.Setting)
			}
		}
	}
	i.t.Logf("%d probes of hidden faults tried", tried)
}

// TestEveryKindOfSlipIsLookedFor: none that a hand is known to make is missing
// from the demo's stages taken together.
func TestEveryKindOfSlipIsLookedFor(t *testing.T) {
	c := wiredCase(t, strings.Replace(wiredText(t), `state = "removed"`, `state = "made"`, 1))
	found := map[wiring.Slip]bool{}
	for _, stage := range OhmsStages() {
		l, err := c.ohmsList(OhmsQuestion{Stage: stage, List: ListFull})
		if err != nil {
			t.Fatal(err)
		}
		if err := l.question(nil); err != nil {
			t.Fatal(err)
		}
		sum := 0.0
		for _, f := range l.faults {
			found[f.Slip], sum = true, sum+f.Prior
		}
		if sum < 1-1e-9 || sum > 1+1e-9 {
			t.Errorf("%s: priors make %v", stage, sum)
		}
	}
	for _, want := range []wiring.Slip{wiring.RunMissing, wiring.RunsCrossed, wiring.RunBeside, wiring.StrapSide, wiring.LinkLeft, wiring.LinkGone,
		wiring.InForOut, wiring.SwitchRound, wiring.SwitchOff, wiring.ScreenBoth, wiring.SolderShort, wiring.DryJoint, "slider reversed", "wrong kind of part"} {
		if !found[want] {
			t.Errorf("%s is not looked for", want)
		}
	}
}

// TestWorkersChangeNothing: the same list with any number of workers.
func TestWorkersChangeNothing(t *testing.T) {
	c := wiredCase(t, wiredText(t))
	var first []byte
	for _, workers := range []int{1, 3} {
		a, found, err := c.Ohms(context.Background(), OhmsQuestion{Stage: StageLoose, List: ListQuick, Workers: workers}, nil)
		if err != nil {
			t.Fatal(found, err)
		}
		text := asJSON(t, a)
		if first == nil {
			first = text
		} else if !bytes.Equal(first, text) {
			t.Error("the list depends on the number of workers")
		}
	}
}

// TestHalfMade draws harnesses in every state of being made, and holds what is
// predicted of each lug against a walk along what is made of it.
func TestHalfMade(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, ohmsSeed), 2))
	base := wiredCase(t, wiredText(t)).job
	for range trials.Count(4) {
		j := *base
		j.Runs, j.Links = slices.Clone(base.Runs), slices.Clone(base.Links)
		for i := range j.Runs {
			j.Runs[i].State = []string{job.RunMade, job.RunNotYet, job.RunRemoved}[rng.IntN(3)]
		}
		for i := range j.Links {
			j.Links[i].State = []string{job.RunMade, job.RunRemoved}[rng.IntN(2)]
		}
		text, err := job.Encode(&j)
		if err != nil {
			t.Fatal(err)
		}
		c := wiredCase(t, string(text))
		for _, position := range []string{"in", "out"} {
			s := curve.Setting{}.WithSwitch("panel", position)
			holdHalfMade(t, c, s, position)
		}
	}
}

func holdHalfMade(t *testing.T, c *Case, s curve.Setting, position string) {
	t.Helper()
	lugs := []string{"tap", "return", "panel.a1", "panel.a2", "panel.a3", "panel.b1", "panel.b2", "panel.b3", "in", "out.coupled", "jack.tip", "jack.ring", "jack.sleeve"}
	for i, red := range lugs {
		for _, black := range lugs[:i] {
			a, _, err := c.Probe(context.Background(), ProbeQuestion{Stage: StageAsMade, Red: red, Black: black, Setting: s.String()})
			if err != nil {
				t.Fatal(red, black, err)
			}
			joined := a.Shown != nil && a.Shown.Worst.Nominal < joinedOhms
			if want := walked(c.job, position, red, black); joined != want {
				t.Errorf("%s to %s at %s: joined %v, the harness as made says %v", red, black, position, joined, want)
			}
		}
	}
}

// walked follows runs, links, closed contacts and the board's track by hand.
func walked(j *job.Job, position, from, to string) bool {
	var joins [][2]string
	for _, r := range j.Runs {
		if r.State == job.RunMade {
			joins = append(joins, [2]string{r.From, r.To})
		}
	}
	for _, l := range j.Links {
		if l.State != job.RunRemoved {
			joins = append(joins, [2]string{l.From, l.To})
		}
	}
	for _, k := range j.Switches[0].Contacts {
		if slices.Contains(k.Closed, position) {
			joins = append(joins, [2]string{k.A, k.B})
		}
	}
	joins = append(joins, [2]string{"board.0", "board.0.b"}) // the board's track
	reached := map[string]bool{from: true}
	for grown := true; grown; {
		grown = false
		for _, k := range joins {
			if reached[k[0]] != reached[k[1]] {
				reached[k[0]], reached[k[1]], grown = true, true, true
			}
		}
	}
	return reached[to]
}

// becomes: pass, look, stop, and nothing before the sign-off.
func becomes(t *testing.T, l *ohmsList) {
	readings := symptomsOf(t, "ohms tap in 0.1 ohm", "ohms return out.coupled 0.7 ohm", "ohms rail amp.rail open", "ohms boost cut 1k7")
	ask := func(signed bool) (*OhmsAnswer, finding.List) {
		l := fresh(t, l, signed)
		l.q.Readings = readings
		taken, _, err := l.taken()
		if err != nil {
			t.Fatal(err)
		}
		found, err := l.judge(context.Background(), taken)
		if err != nil {
			t.Fatal(err)
		}
		return l.answer, found
	}
	a, found := ask(true)
	for _, want := range []struct {
		red, black string
		verdict    Verdict
	}{{"tap", "in", Pass}, {"return", "out.coupled", Look}, {"rail", "amp.rail", Stop}, {"boost", "cut", Pass}} {
		r := probed(a, want.red, want.black)
		if r == nil || r.Verdict != want.verdict {
			t.Errorf("%s to %s: %+v, want %s", want.red, want.black, r, want.verdict)
		}
	}
	missing := func(n int) bool { return a.Faults[n-1].Label == "run.rail" && a.Faults[n-1].Slip == wiring.RunMissing }
	if r := probed(a, "rail", "amp.rail"); r != nil && !slices.ContainsFunc(r.Fits, missing) {
		t.Errorf("the missing run does not fit: %v", r.Fits)
	}
	if !slices.Contains(ids(found), IDOhmsStop) || !slices.Contains(ids(found), IDOhmsLook) || a.Stops != 1 || a.Looks != 1 || a.Passed != 2 {
		t.Errorf("%d pass, %d look, %d stop: %v", a.Passed, a.Looks, a.Stops, ids(found))
	}
	a, found = ask(false)
	if a.Passed+a.Looks+a.Stops > 0 || !slices.Contains(ids(found), IDNotDead) {
		t.Errorf("judged before it was proved dead: %d %d %d, %v", a.Passed, a.Looks, a.Stops, ids(found))
	}
}

// oneBand is the demo's wired job with its lowest band alone.
func oneBand(t *testing.T) string {
	t.Helper()
	text := wiredText(t)
	from, to := strings.Index(text, "[[band]]\nname = \"160\""), strings.Index(text, "# ---- the harness ----")
	if from < 0 || to < from {
		t.Fatal("the demo has other bands")
	}
	return text[:from] + text[to:]
}

// TestListComesBack gives the list, read off a sound harness and off one without
// its input run, to the question for causes: nothing is wrong with the first, and
// the missing run is among what stands first of the second.
func TestListComesBack(t *testing.T) {
	l, err := wiredCase(t, oneBand(t)).ohmsList(OhmsQuestion{Stage: StageComplete, List: ListFull, Workers: 2})
	if err != nil {
		t.Fatal(err)
	}
	if err := l.plan(context.Background(), nil); err != nil {
		t.Fatal(err)
	}
	c := l.c
	read := func(of *circuit.Circuit) (list []job.Reading) {
		for _, line := range l.made.Lines {
			r, err := of.Ohms(context.Background(), line.Setting, circuit.PowerOff{Kelvin: c.kelvin()}, line.Red, line.Black)
			if err != nil {
				t.Fatal(err)
			}
			value := job.ReadOpen
			if !r.Open && r.Ohms <= reading.HandMeter().MostOhms {
				value = strconv.FormatFloat(r.Ohms, 'g', -1, 64)
			}
			list = append(list, job.Reading{Kind: job.ReadOhms, Red: line.Red, Black: line.Black, Setting: line.Setting.String(), Value: value, Stage: StageComplete})
		}
		return list
	}
	without, err := l.ask.Circuit.Edited(circuit.Open("run.board in"))
	if err != nil {
		t.Fatal(err)
	}
	for _, k := range []struct {
		of    *circuit.Circuit
		first string
	}{{l.ask.Circuit, "as built"}, {without, "run.board in: run missing"}} {
		a, found, err := c.Faults(context.Background(), FaultsQuestion{Readings: read(k.of)}, nil)
		if err != nil {
			t.Fatal(found, err)
		}
		// a contact in series with the run, and read nowhere alone, reads the same
		i := slices.IndexFunc(a.Ranked, func(r Cause) bool { return r.Name == k.first })
		if i < 0 || i > 1 || i == 1 && a.Ranked[0].Name != "open panel.1" || a.Ranked[i].Probability < 0.2 {
			t.Errorf("%s stands at %d; first stands %s with %.3f", k.first, i, a.Ranked[0].Name, a.Ranked[0].Probability)
		}
	}
}

func symptomsOf(t *testing.T, texts ...string) (list []job.Reading) {
	t.Helper()
	for _, text := range texts {
		r, err := job.ParseReading(text)
		if err != nil {
			t.Fatal(text, err)
		}
		list = append(list, r)
	}
	return list
}

// probed finds the line between two points, on the list or beside it.
func probed(a *OhmsAnswer, red, black string) *OhmsRow {
	all := slices.Clone(a.Others)
	for _, g := range a.Groups {
		all = append(all, g.Rows...)
	}
	i := slices.IndexFunc(all, func(r OhmsRow) bool {
		return r.Shown && (r.Red == red && r.Black == black || r.Red == black && r.Black == red)
	})
	if i < 0 {
		return nil
	}
	return &all[i]
}

// TestNonsenseOhmsAreRefused, each with its place.
func TestNonsenseOhmsAreRefused(t *testing.T) {
	c := wiredCase(t, wiredText(t))
	for _, k := range []struct {
		r    job.Reading
		want finding.ID
	}{
		{job.Reading{Kind: "ohms", Red: "nowhere", Value: "3k", Line: 7}, circuit.IDNoPoint},
		{job.Reading{Kind: "ohms", Red: "tap", Black: "generator", Value: "3k", Line: 7}, circuit.IDNoPoint},
		{job.Reading{Kind: "ohms", Red: "tap", Black: "tap", Value: "3k", Line: 7}, IDOneLead},
		{job.Reading{Kind: "ohms", Red: "tap", Value: "-3 ohm", Line: 7}, ""},
		{job.Reading{Kind: "ohms", Red: "tap", Value: "1e9 V", Line: 7}, ""},
		{job.Reading{Kind: "ohms", Red: "tap", Value: "900 Mohm", Line: 7}, IDBadOhms},
		{job.Reading{Kind: "ohms", Red: "tap", Value: "3k", Setting: "64=+1", Line: 7}, ""},
		{job.Reading{Kind: "ohms", Red: "tap", Value: "3k", Setting: "panel:up", Line: 7}, ""},
	} {
		_, _, err := c.Ohms(context.Background(), OhmsQuestion{Stage: StageComplete, List: ListQuick, Readings: []job.Reading{k.r}, File: "list.csv"}, nil)
		list, ok := finding.From(err)
		if !ok || len(list) != 1 || k.want != "" && list[0].ID != k.want || list[0].Place.Line != 7 || list[0].Place.File != "list.csv" {
			t.Errorf("%+v: %v", k.r, err)
		}
	}
	for _, q := range []OhmsQuestion{{Stage: "wet", List: ListFull}, {Stage: StageLoose, List: "long"}} {
		if _, _, err := c.Ohms(context.Background(), q, nil); err == nil {
			t.Errorf("%+v is answered", q)
		}
	}
	for _, q := range []ProbeQuestion{{Stage: StageComplete}, {Stage: StageComplete, Red: "tap", Black: "tap"}, {Stage: StageComplete, Red: "tap", Setting: "up"},
		{Stage: "wet", Red: "tap"}, {Stage: StageComplete, Red: "tap", TestVolts: 2.5}, {Stage: StageComplete, Red: "tap", TestVolts: 1e9, TestOhms: 1}, {Stage: StageComplete, Red: "tap", TestVolts: -1}} {
		if _, _, err := c.Probe(context.Background(), q); err == nil {
			t.Errorf("%+v is answered", q)
		}
	}
	plain := wiredCase(t, demoText(t))
	if _, _, err := plain.Runs(context.Background()); err == nil {
		t.Error("a job without a harness has runs")
	}
	if _, _, err := plain.Probe(context.Background(), ProbeQuestion{Stage: StageLoose, Red: "boost"}); err == nil {
		t.Error("a job without a harness has a stage before it")
	}
	if a, _, err := plain.Probe(context.Background(), ProbeQuestion{Stage: StageComplete, Red: "boost", Black: "cut"}); err != nil || a.Open {
		t.Errorf("%+v, %v", a, err)
	}
}

// TestOhmsStop when nobody waits any more.
func TestOhmsStop(t *testing.T) {
	ctx, stop := context.WithCancel(context.Background())
	c := wiredCase(t, wiredText(t))
	_, _, err := c.Ohms(ctx, OhmsQuestion{Stage: StageComplete, List: ListFull, Workers: 2}, func(done, _ int) {
		if done == 3 {
			stop()
		}
	})
	if err == nil || ctx.Err() == nil {
		t.Errorf("%v", err)
	}
}

// TestProbeOpensJunctions: through the lamp in the footswitch one way, and the
// other way by the resistors beside it alone.
func TestProbeOpensJunctions(t *testing.T) {
	c := wiredCase(t, wiredText(t))
	ask := func(volts, ohms float64) *ProbeAnswer {
		a, _, err := c.Probe(context.Background(), ProbeQuestion{Stage: StageLoose, Red: "cord.ring", Black: "cord.tip", TestVolts: volts, TestOhms: ohms})
		if err != nil {
			t.Fatal(err)
		}
		return a
	}
	if a := ask(0, 0); !a.Open || a.Turned != nil {
		t.Errorf("no junction: %+v", a)
	}
	a := ask(3, 1e3)
	if a.Open || a.Turned == nil || !a.Turned.Open {
		t.Errorf("the lamp: %+v", a)
	}
}
