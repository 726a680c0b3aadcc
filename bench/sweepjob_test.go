package bench

import (
	"bytes"
	"context"
	"errors"
	"math"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"
	"testing/fstest"

	"bandwright/curve"
	"bandwright/demo"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/sweep"
	"bandwright/trials"
)

func names(list finding.List) (ids []finding.ID) {
	for _, f := range list {
		ids = append(ids, f.ID)
	}
	return ids
}

// The takes of the demo: every setting of its family, the ones that are taken
// off first, flat again at the end, none louder than 6 dB below what the
// circuit's own headroom says of that band.
func TestTakesOfDemo(t *testing.T) {
	c, _ := opened(t, demoFile(t, "job.toml"), demo.BassHead())
	a, found, err := c.Takes(context.Background(), StandardSignal())
	if err != nil || len(found) > 0 {
		t.Fatalf("%v %v", err, found)
	}
	var settings []string
	for i, take := range a.Takes {
		settings = append(settings, take.Setting)
		if a.Recording.Takes[i].Setting != take.Setting {
			t.Errorf("take %d is %s and is recorded as %s", i+1, take.Setting, a.Recording.Takes[i].Setting)
		}
	}
	for _, take := range a.Takes {
		if take.Less != "" && !slices.Contains(settings[:3], take.Less) {
			t.Errorf("%s is to be less %s, which is not among the first", take.Name, take.Less)
		}
	}
	family := c.Settings()
	if len(settings) != len(family)+1 || settings[0] != "flat" || settings[len(settings)-1] != "flat" {
		t.Errorf("%v", settings)
	}
	for _, n := range family {
		if !slices.Contains(settings, n.Setting.String()) {
			t.Errorf("%s is not taken", n.Name)
		}
	}
	bands, _, err := c.Bands(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	for _, h := range bands.Headroom {
		i := slices.Index(settings, h.Band+"=+1")
		if i < 0 || a.Takes[i].MostDBu == nil {
			t.Fatalf("%s has no limit", h.Band)
		}
		most := math.Sqrt(0.6) * math.Pow(10, *a.Takes[i].MostDBu/20) // 0 dBu is √0.6 V (1 mW in 600 Ω)
		if most > *h.UpVolts/2*1.0005 || most < *h.UpVolts/2*0.8 {
			t.Errorf("%s: at most %.4f V, half of the headroom is %.4f V", h.Band, most, *h.UpVolts/2)
		}
	}
	if *a.GeneratorOhms != 1000 || a.LevelDBu != -20 || a.SecondDBu == nil || *a.SecondDBu > *a.MostDBu {
		t.Errorf("%+v", a)
	}
}

// A job that says less is asked; a rail that allows less lowers the level.
func TestTakesAsk(t *testing.T) {
	text := demoFile(t, "job.toml")
	text = strings.Replace(text, "generator = \"1k\"\n", "", 1)
	text = strings.Replace(text, "rail = \"24 V\"", "rail = \"2.4 V\"", 1)
	c, _ := opened(t, text, demo.BassHead())
	a, found, err := c.Takes(context.Background(), StandardSignal())
	if err != nil || !slices.Contains(names(found), IDGeneratorUnsaid) {
		t.Fatalf("%v %v", err, found)
	}
	if low := a.MostDBu != nil && *a.MostDBu < -20; !low || a.LevelDBu != *a.MostDBu || a.SecondDBu != nil || !slices.Contains(names(found), IDLevelLow) {
		t.Errorf("from 2.4 V: at most %v dBu, level %.1f dBu, %v", a.MostDBu, a.LevelDBu, found)
	}
	words := StandardSignal()
	words.Bits, words.Length, words.Rate = "12", "long", 8000
	if _, _, err := c.Takes(context.Background(), words); err == nil {
		t.Error("takes of a signal that cannot be")
	}
}

// A curve with another setting's take taken off is held against the prediction
// less the prediction there, and counts for nothing but that.
func TestComparesDifferences(t *testing.T) {
	text := demoFile(t, "job.toml")
	text, _, _ = strings.Cut(text, "# The curves of the two units")
	c, _ := opened(t, text, fstest.MapFS{})
	ctx := context.Background()
	hz := AudioGrid()
	files := fstest.MapFS{}
	lifted, _ := c.setting("lift")
	less, err := c.predicted(ctx, "", lifted, hz)
	if err != nil {
		t.Fatal(err)
	}
	for name, setting := range map[string]string{"flat": "flat", "boost": "400=+1", "cut": "400=-1"} {
		s, _ := c.setting(setting)
		total, err := c.predicted(ctx, "", s, hz)
		if err != nil {
			t.Fatal(err)
		}
		left, _, err := curve.Difference(total, less, curve.Range{})
		if err != nil {
			t.Fatal(err)
		}
		ohms := 1000.0
		left.Name, left.Setting = name, s
		left.Origin = curve.Origin{File: "take.wav", Taken: &curve.Taking{Less: lifted.String(), GeneratorOhms: &ohms}}
		var b bytes.Buffer
		if err := curve.Write(&b, left); err != nil {
			t.Fatal(err)
		}
		files[name+".csv"] = &fstest.MapFile{Data: b.Bytes()}
		text += "\n[[curve]]\nname = \"" + name + "\"\nunit = \"box\"\nrole = \"measured\"\nfile = \"" + name + ".csv\"\nsetting = \"" + setting + "\"\ninvented = true\n"
	}
	c, _ = opened(t, text, files)
	a, found, err := c.Compare(ctx)
	if err != nil || len(a.Units) != 1 || a.Units[0].Less != "footswitch:lifted" {
		t.Fatalf("%v %v", err, found)
	}
	for _, k := range a.Units[0].Curves {
		if k.RMSDB > 1e-9 || math.Abs(k.LevelDB) > 1e-9 {
			t.Errorf("%s: rms %g dB, level %g dB", k.Name, k.RMSDB, k.LevelDB)
		}
	}
	for _, b := range a.Units[0].Bands {
		if b.Band == "400" && (b.MeasuredHz == nil || math.Abs(*b.CentreOff) > 0.1 || math.Abs(*b.BoostOff) > 0.02) {
			t.Errorf("%+v", b)
		}
	}
	if units := c.units(); len(units) != 0 {
		t.Errorf("%d units have curves of total gain", len(units))
	}
	// What cannot be taken off, and another generator, are said.
	files["cut.csv"].Data = bytes.Replace(files["cut.csv"].Data, []byte("footswitch:lifted"), []byte("footswitch:half"), 1)
	files["flat.csv"].Data = bytes.Replace(files["flat.csv"].Data, []byte("generator: 1000"), []byte("generator: 600"), 1)
	_, found = Open(ctx, "job.toml", []byte(text), files)
	if !slices.Contains(names(found), IDCurveLess) || !slices.Contains(names(found), IDCurveGenerator) {
		t.Errorf("%v", found)
	}
}

// Recordings together: each with its setting, differences of them, a take that
// does not repeat, one that is spoilt beside one that is not.
func TestRecordingsTogether(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260362), 1))
	words := StandardSignal()
	words.Rate, words.Length = 44100, "2 s"
	file, sound := played(t, words)
	take := func(name string, gain float64) RecordingFile {
		frames := 1 + rng.IntN(50_000)
		return inMemory(name, wavOf(44100, late(rng, sound, frames, gain), late(rng, sound, frames, 1)))
	}
	ohms := 600.0
	q := RecordingQuestion{Recordings: []RecordingFile{take("up.wav", 0.2), take("lift.wav", 0.1), take("out.wav", 0.05)},
		Settings: []string{"400=+1", "lift", "bypass"}, Played: file, Channel: 1, Reference: 2, GeneratorOhms: &ohms}
	for _, c := range []struct {
		less, name string
	}{{EngagedLessLifted, "take 1, 400=+1 less footswitch:lifted"}, {LiftedLessBypassed, "take 1, footswitch:lifted less panel:out"}} {
		q.Less = c.less
		a, found, err := Recording(context.Background(), q, nil)
		if err != nil || len(found) > 0 || len(a.Takes) != 3 || len(a.Differences) != 1 {
			t.Fatalf("%s: %v %v", c.less, err, found)
		}
		d := a.Differences[0]
		m := d.Curve().Measure()
		if d.Name != c.name || math.Abs(m.Highest-20*math.Log10(2)) > 0.05 || math.Abs(m.Lowest-20*math.Log10(2)) > 0.05 || d.Curve().Origin.Taken.Less == "" {
			t.Errorf("%s: %s, %.4f to %.4f dB", c.less, d.Name, m.Lowest, m.Highest)
		}
		if a.Takes[0].Origin.Taken.Less != "" {
			t.Error("the take itself became a difference")
		}
	}
	q.Less, q.Recordings, q.Settings = "", []RecordingFile{take("1.wav", 0.2), take("2.wav", 0.2*1.02)}, []string{"flat", "flat"}
	if _, found, err := Recording(context.Background(), q, nil); err != nil || !slices.Equal(names(found), []finding.ID{IDRepeat}) {
		t.Errorf("0.17 dB apart: %v %v", err, found)
	}
	loud := inMemory("loud.wav", wavOf(44100, clipped(sound), sound))
	q.Recordings = []RecordingFile{loud, take("2.wav", 0.2)}
	a, found, err := Recording(context.Background(), q, nil)
	if err != nil || len(a.Takes) != 1 || !slices.ContainsFunc(found, func(f finding.Finding) bool {
		return f.ID == sweep.IDClipped && f.Level == finding.Warning && f.Place.File == "loud.wav"
	}) {
		t.Errorf("one spoilt: %v %v", err, found)
	}
	q.Recordings = []RecordingFile{loud, loud}
	if a, _, err := Recording(context.Background(), q, nil); err == nil || a != nil {
		t.Errorf("both spoilt: %v", err)
	}
}

func clipped(x []float64) []float64 {
	y := make([]float64, len(x))
	for i, v := range x {
		y[i] = max(-1, min(1, 4*v))
	}
	return y
}

// What does not go together is said, and a reading that nobody waits for ends.
func TestRecordingsAsked(t *testing.T) {
	words := StandardSignal()
	words.Rate, words.Length, words.Pause = 44100, "2 s", "0 s"
	file, sound := played(t, words)
	two, _ := played(t, words, "flat", "lift")
	take := inMemory("take.wav", wavOf(44100, sound, sound))
	q := RecordingQuestion{Recordings: []RecordingFile{take}, Played: file, Channel: 1, Reference: 2}
	for _, c := range []struct {
		change func(q *RecordingQuestion)
		id     finding.ID
	}{
		{func(q *RecordingQuestion) { q.Settings = []string{"flat", "lift"} }, IDSettingsCount},
		{func(q *RecordingQuestion) { q.Settings, q.Played = []string{"lift"}, two }, IDSettingsTakes},
		{func(q *RecordingQuestion) { q.Settings = []string{"63=+2"} }, curve.IDSettingPosition},
		{func(q *RecordingQuestion) { q.Played = take }, sweep.IDNotOurs},
		{func(q *RecordingQuestion) { q.Less = EngagedLessLifted }, IDNoSuchTake},
		{func(q *RecordingQuestion) { q.Channel = 3 }, sweep.IDNoChannel},
		{func(q *RecordingQuestion) { q.Load.Top = -1 }, sweep.IDDivider},
	} {
		asked := q
		c.change(&asked)
		_, found, err := Recording(context.Background(), asked, nil)
		wrong, _ := finding.From(err)
		if !slices.Contains(names(append(found, wrong...)), c.id) || err == nil {
			t.Errorf("want %s: %v %v", c.id, err, found)
		}
	}
	last := 0
	tell := func(done, total int) {
		if done <= last || total != 100 {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last = done
	}
	if _, _, err := Recording(context.Background(), q, tell); err != nil || last < 50 {
		t.Errorf("%v, told to %d", err, last)
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if _, _, err := Recording(ctx, q, nil); !errors.Is(err, context.Canceled) {
		t.Errorf("stopped: %v", err)
	}
	if s, err := equaliser.ReadSetting(" 63=+1 , lift"); err != nil || s.String() != "63=+1,footswitch:lifted" {
		t.Errorf("%v %v", s, err)
	}
}
