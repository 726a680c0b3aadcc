package bench

import (
	"context"
	"crypto/sha256"
	"encoding/hex"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/sweep"
)

// RecordingFile is a recording to be read, wherever its bytes lie.
type RecordingFile struct {
	Name   string
	Source io.ReaderAt
	Size   int64
}

// What may be taken off what.
const (
	EngagedLessLifted  = "engaged less lifted"  // the bands by themselves
	LiftedLessBypassed = "lifted less bypassed" // what being in the chain costs
)

// RecordingQuestion is what was recorded and how.
type RecordingQuestion struct {
	Recordings []RecordingFile
	// Settings, when there are any, are those of the recordings, one each, in
	// place of the test recording's: for one sweep that was played again and again.
	Settings  []string
	Played    RecordingFile  // the test recording
	Loopback  *RecordingFile // a take of the interface alone; nil: none
	Channel   int            // of the amp, from 1
	Reference int            // of the loopback in the same recording; 0: none

	LoopbackChannel int
	GeneratorOhms   *float64 // that fed the amp; nil: not known
	Load            Loading
	BackLoad        Loading // of the loopback's input; its source is the generator
	MainsHz         float64 // 0: 50 or 60
	KeepDrift       bool
	Less            string // EngagedLessLifted, LiftedLessBypassed or "": the takes as they are
}

// HumLine is a single tone in the silence of a take.
type HumLine = sweep.Line

// Loading is what stands between a point and the input that recorded it, in
// ohms and farads; zeros are not there.
type Loading struct {
	Source float64 // of the point itself
	Top    float64 // of a divider
	Bottom float64
	Input  float64
	Farads float64 // of input and cable
}

// RecordingAnswer is what recordings hold.
type RecordingAnswer struct {
	Recordings []RecordingRead `json:"recordings"`
	Played     curve.Source    `json:"played"`
	Loopback   *curve.Source   `json:"loopback"`
	Takes      []TakeRead      `json:"takes"`
	// Differences are of the takes, where some were asked for.
	Differences []TakeRead `json:"differences"`
	Written     []string   `json:"written"` // the files it was written to
}

// RecordingRead is a recording as it was understood.
type RecordingRead struct {
	curve.Source
	sweep.Format
	Seconds float64 `json:"seconds"`
}

// TakeRead is a curve out of a recording.
type TakeRead struct {
	Name   string       `json:"name"`
	Origin curve.Origin `json:"origin"`
	sweep.Result
}

// Curve gives the take as a curve that says how it was taken.
func (t TakeRead) Curve() curve.Curve {
	c := t.Result.Curve(t.Name)
	c.Origin = t.Origin
	return c
}

// FileName names a curve file after the take's setting: what a file's name cannot
// hold is written out. The number is its place among those that are written, from 1.
func (t TakeRead) FileName(number int) string {
	name := strings.NewReplacer("=+", "-up-", "=-", "-down-", ":", "-", ",", "-", " ", "-", "/", "-", `\`, "-").Replace(t.Setting.String())
	if t.Origin.Taken != nil && t.Origin.Taken.Less != "" {
		name += "-less-" + strings.ReplaceAll(t.Origin.Taken.Less, ":", "-")
	}
	return fmt.Sprintf("%02d-%s.csv", number, name)
}

// Findings of recordings.
const (
	// IDGeneratorAsked (warning): nobody said through how many ohms the amp was fed. No args.
	IDGeneratorAsked finding.ID = "bench.generator-asked"
	// IDNoSuchTake: a difference lacks one of its takes. what (the difference), lacks ("lifted", "bypassed", "engaged").
	IDNoSuchTake finding.ID = "bench.no-such-take"
	// IDRepeat (warning): two takes at one setting differ by more than 0.05 dB.
	// db, hz (where), limit. Place: the setting.
	IDRepeat finding.ID = "bench.takes-differ"
	// IDSettingsCount: settings and recordings that do not match. settings, recordings.
	IDSettingsCount finding.ID = "bench.settings-count"
	// IDSettingsTakes: one setting for a recording of several. takes.
	IDSettingsTakes finding.ID = "bench.settings-takes"
)

// repeatDB is how well a take must repeat (common practice, no source).
const repeatDB = 0.05

// Recording reads curves out of recordings of a test signal. A take that is
// spoilt is an error among the findings with its place and leaves the others;
// when none is left there is no answer. No job is needed.
func Recording(ctx context.Context, q RecordingQuestion, progress func(done, total int)) (*RecordingAnswer, finding.List, error) {
	if err := q.check(); err != nil {
		return nil, nil, err
	}
	r := &recordings{RecordingQuestion: q, steps: newSteps(ctx, q, progress), answer: &RecordingAnswer{Written: []string{}}}
	err := r.read()
	if stopped := ctx.Err(); stopped != nil {
		return nil, nil, stopped
	}
	if err != nil {
		return nil, once(r.found), err
	}
	return r.answer, once(r.found), nil
}

func (q RecordingQuestion) check() error {
	if n := len(q.Settings); n > 0 && n != len(q.Recordings) {
		return finding.New(IDSettingsCount, finding.Error, finding.Place{},
			finding.Args{"settings": n, "recordings": len(q.Recordings)})
	}
	return nil
}

// recordings is the work on one question.
type recordings struct {
	RecordingQuestion
	steps  *steps
	how    sweep.How
	set    []curve.Setting
	answer *RecordingAnswer
	found  finding.List
}

func (r *recordings) read() error {
	for _, text := range r.Settings {
		s, err := equaliser.ReadSetting(text)
		if err != nil {
			return err
		}
		r.set = append(r.set, s)
	}
	if err := r.prepare(); err != nil {
		return err
	}
	var spoilt finding.List
	for i, file := range r.Recordings {
		err := r.one(i, file)
		list, ok := finding.From(err)
		if err != nil && !ok {
			return err
		}
		spoilt = append(spoilt, list...)
	}
	if len(r.answer.Takes) == 0 {
		return spoilt.Err()
	}
	r.found = append(r.found, asWarnings(spoilt)...)
	r.found = append(r.found, r.repeats()...)
	if r.GeneratorOhms == nil {
		r.found = append(r.found, finding.New(IDGeneratorAsked, finding.Warning, finding.Place{}, nil))
	}
	return r.differences()
}

// open opens a recording and takes its check-sum.
func (r *recordings) open(file RecordingFile) (*sweep.Recording, curve.Source, error) {
	source := r.steps.watch(file)
	rec, found, err := sweep.Open(source, file.Size)
	r.found = append(r.found, placeIn(withoutErrors(found), file.Name)...)
	if err != nil {
		return nil, curve.Source{}, placedError(err, file.Name)
	}
	sum := sha256.New()
	if _, err := io.Copy(sum, io.NewSectionReader(source, 0, file.Size)); err != nil {
		return nil, curve.Source{}, placedError(finding.New(sweep.IDUnreadable, finding.Error, finding.Place{},
			finding.Args{"byte": int64(0), "why": err.Error()}), file.Name)
	}
	return rec, curve.Source{File: file.Name, SHA256: hex.EncodeToString(sum.Sum(nil))}, nil
}

func withoutErrors(list finding.List) finding.List {
	return slices.DeleteFunc(slices.Clone(list), func(f finding.Finding) bool { return f.Level == finding.Error })
}

// placedError puts a file's name to an error.
func placedError(err error, name string) error {
	if list, ok := finding.From(err); ok {
		return placeIn(list, name)
	}
	return err
}

// prepare opens the test recording and the loopback.
func (r *recordings) prepare() error {
	played, source, err := r.open(r.Played)
	if err != nil {
		return err
	}
	r.answer.Played = source
	signal, err := sweep.Played(played)
	if err != nil {
		return placedError(err, r.Played.Name)
	}
	if len(r.Settings) > 0 && len(signal.Takes()) > 1 {
		return finding.New(IDSettingsTakes, finding.Error, finding.Place{File: r.Played.Name}, finding.Args{"takes": len(signal.Takes())})
	}
	r.how = sweep.How{Signal: signal, Channel: r.Channel, Reference: r.Reference, LoopbackChannel: r.LoopbackChannel,
		KeepDrift: r.KeepDrift, MainsHz: r.MainsHz, Load: sweep.Divider(r.Load), BackLoad: sweep.Divider(r.BackLoad)}
	if r.Loopback == nil {
		return nil
	}
	back, source, err := r.open(*r.Loopback)
	if err != nil {
		return err
	}
	r.how.Loopback, r.answer.Loopback = back, &source
	return nil
}

// one reads one recording.
func (r *recordings) one(i int, file RecordingFile) error {
	rec, source, err := r.open(file)
	if err != nil {
		return err
	}
	r.answer.Recordings = append(r.answer.Recordings, RecordingRead{Source: source, Format: rec.Format, Seconds: rec.Seconds()})
	how := r.how
	if len(r.Settings) > 0 {
		how.Signal.Settings = r.set[i : i+1]
	}
	results, found, err := sweep.Read(rec, how)
	found = placeIn(found, file.Name)
	if err != nil {
		r.found = append(r.found, withoutErrors(found)...)
		if found.Err() != nil {
			return slices.DeleteFunc(found, func(f finding.Finding) bool { return f.Level < finding.Error })
		}
		return placedError(err, file.Name)
	}
	r.found = append(r.found, asWarnings(found)...)
	for _, result := range results {
		t := r.take(source, result)
		for _, f := range result.Findings {
			f.Place.File, f.Place.Setting = file.Name, result.Setting.String()
			r.found = append(r.found, f)
		}
		t.Findings = nil // they travel with the answer's
		r.answer.Takes = append(r.answer.Takes, t)
	}
	return nil
}

func (r *recordings) take(source curve.Source, result sweep.Result) TakeRead {
	taken := &curve.Taking{LevelDBFS: &result.LevelDBFS, LevelDBu: result.LevelDBu, GeneratorOhms: r.GeneratorOhms,
		Loopback: r.answer.Loopback, LoopbackChannel: r.Reference, Played: &r.answer.Played}
	if r.Reference > 0 {
		taken.Loopback = nil
	} else {
		taken.LoopbackChannel = 0
	}
	return TakeRead{Name: "take " + strconv.Itoa(result.Number) + ", " + result.Setting.String(), Result: result,
		Origin: curve.Origin{File: source.File, SHA256: source.SHA256, Taken: taken}}
}

// repeats holds takes at one setting against the first of them.
func (r *recordings) repeats() finding.List {
	var list finding.List
	for i, t := range r.answer.Takes {
		setting := t.Setting.String()
		first, _ := at(r.answer.Takes[:i], func(s curve.Setting) bool { return s.String() == setting })
		if first < 0 {
			continue
		}
		apart, _, err := curve.Difference(t.Curve(), r.answer.Takes[first].Curve(), curve.Range{Low: audioLow, High: audioHigh})
		if err != nil {
			continue // they share no frequencies
		}
		if m := apart.Measure(); max(m.Farthest, -m.Farthest) > repeatDB {
			list = append(list, finding.New(IDRepeat, finding.Warning, finding.Place{Setting: setting},
				finding.Args{"db": max(m.Farthest, -m.Farthest), "hz": m.AtHz, "limit": repeatDB}))
		}
	}
	return list
}

// at gives the first take whose setting is so; −1: none.
func at(takes []TakeRead, is func(curve.Setting) bool) (int, bool) {
	i := slices.IndexFunc(takes, func(t TakeRead) bool { return is(t.Setting) })
	return i, i >= 0
}

func isLifted(s curve.Setting) bool   { return s.Switches[equaliser.FootSwitch] == "lifted" }
func isBypassed(s curve.Setting) bool { return s.Switches[equaliser.PanelSwitch] == "out" }
func isEngaged(s curve.Setting) bool  { return !isLifted(s) && !isBypassed(s) }

// differences takes off what was asked for.
func (r *recordings) differences() error {
	d := difference{"engaged", "lifted", isEngaged, isLifted, sweep.EngagedMinusLifted}
	switch r.Less {
	case "":
		return nil
	case LiftedLessBypassed:
		d = difference{"lifted", "bypassed", isLifted, isBypassed, sweep.LiftedMinusBypassed}
	case EngagedLessLifted:
	default:
		panic("bench: no such difference: " + r.Less)
	}
	off, there := at(r.answer.Takes, d.less)
	lacks := d.second
	if _, some := at(r.answer.Takes, d.from); !some {
		there, lacks = false, d.first
	}
	if !there {
		return finding.New(IDNoSuchTake, finding.Error, finding.Place{}, finding.Args{"what": r.Less, "lacks": lacks})
	}
	return r.takeOff(r.answer.Takes[off], d)
}

// difference is one of the two that people ask for.
type difference struct {
	first, second string
	from, less    func(curve.Setting) bool
	minus         func(a, b sweep.Result) (sweep.Result, error)
}

// takeOff takes one take off every one that is so.
func (r *recordings) takeOff(less TakeRead, d difference) error {
	for _, t := range r.answer.Takes {
		if !d.from(t.Setting) {
			continue
		}
		result, err := d.minus(t.Result, less.Result)
		if err != nil {
			return err
		}
		for _, f := range result.Findings {
			f.Place.Setting = t.Setting.String()
			r.found = append(r.found, f)
		}
		result.Findings = nil
		taken := *t.Origin.Taken
		taken.Less = less.Setting.String()
		origin := t.Origin
		origin.Taken = &taken
		r.answer.Differences = append(r.answer.Differences, TakeRead{Name: t.Name + " less " + taken.Less, Origin: origin, Result: result})
	}
	return nil
}

// steps counts how far recordings are read and ends the reading with its context.
type steps struct {
	ctx      context.Context
	progress func(done, total int)
	total    int64
	done     int64
	told     int
}

func newSteps(ctx context.Context, q RecordingQuestion, progress func(done, total int)) *steps {
	s := &steps{ctx: ctx, progress: progress}
	for _, r := range q.Recordings {
		s.total += 2 * r.Size // once for the check-sum, once for the marks
	}
	return s
}

// watch gives a source that counts.
func (s *steps) watch(file RecordingFile) io.ReaderAt { return counted{s, file.Source} }

type counted struct {
	*steps
	io.ReaderAt
}

// ReadAt reads unless nobody waits any more. Progress is told in hundredths.
func (c counted) ReadAt(b []byte, at int64) (int, error) {
	if err := c.ctx.Err(); err != nil {
		return 0, err
	}
	n, err := c.ReaderAt.ReadAt(b, at)
	c.done += int64(n)
	if c.progress != nil && c.total > 0 {
		if now := int(min(99, 100*c.done/c.total)); now > c.told {
			c.told = now
			c.progress(now, 100)
		}
	}
	return n, err
}
