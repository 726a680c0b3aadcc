package bench

import (
	"context"
	"io"

	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/sweep"
)

// SignalAnswer is a test recording before it is written: what is played when.
type SignalAnswer struct {
	Signal  sweep.Signal `json:"signal"`
	Seconds float64      `json:"seconds"`
	Frames  int64        `json:"frames"`
	Bytes   int64        `json:"bytes"` // of its samples
	Takes   []SignalTake `json:"takes"`
	Written []string     `json:"written"` // the files it was written to
}

// SignalTake is where one take lies, in seconds from the start.
type SignalTake struct {
	Number  int     `json:"number"` // from 1
	Setting string  `json:"setting"`
	Mark    float64 `json:"mark_seconds"`  // everything must stand ready by then
	Sweep   float64 `json:"sweep_seconds"` // where the sweep begins
	End     float64 `json:"end_seconds"`   // from here on sliders may be moved
}

// Write writes the recording as a WAV file. Errors are w's.
func (a *SignalAnswer) Write(w io.Writer) error { return a.Signal.Write(w) }

// SignalWords are a test recording in a person's words. StandardSignal has what
// most will leave as it is.
type SignalWords struct {
	Rate     int      `json:"rate"`       // hertz
	Bits     string   `json:"bits"`       // 16, 24 or float
	Channels int      `json:"channels"`   // 1, or 2 alike
	Start    string   `json:"start"`      // hertz
	Stop     string   `json:"stop"`       // hertz; "": as high as the rate allows, at most 22 kHz
	Length   string   `json:"length"`     // of one sweep
	DBFS     float64  `json:"level_dbfs"` // of its peak
	FullDBu  *float64 `json:"full_dbu"`   // dBu of a sine that peaks at full scale; null: not known
	FadeIn   string   `json:"fade_in"`
	FadeOut  string   `json:"fade_out"`
	Silence  string   `json:"silence"` // before the sweep, where the noise is read
	Pause    string   `json:"pause"`   // between takes, to move the sliders
}

// StandardSignal is for a first try.
func StandardSignal() SignalWords {
	return SignalWords{Rate: 96000, Bits: "24", Channels: 2, Start: "10 Hz", Length: "10 s", DBFS: -6,
		FadeIn: "0.2 s", FadeOut: "20 ms", Silence: "1 s", Pause: "15 s"}
}

// IDBits: a depth that is none. read.
const IDBits finding.ID = "bench.signal-bits"

// signal reads the words; every one that cannot be read is told.
func (w SignalWords) signal() (sweep.Signal, error) {
	s := sweep.Standard(w.Rate)
	s.Channels, s.LevelDBFS, s.FullDBu = w.Channels, w.DBFS, w.FullDBu
	var wrong finding.List
	seconds := func(text string, into *float64) {
		v, err := quantity.ParseSeconds(text)
		wrong = append(wrong, toldBy(err)...)
		*into = float64(v)
	}
	hertz := func(text string, into *float64) {
		v, err := quantity.ParseHertz(text)
		wrong = append(wrong, toldBy(err)...)
		*into = float64(v)
	}
	hertz(w.Start, &s.StartHz)
	if w.Stop != "" {
		hertz(w.Stop, &s.StopHz)
	}
	seconds(w.Length, &s.Seconds)
	seconds(w.FadeIn, &s.FadeIn)
	seconds(w.FadeOut, &s.FadeOut)
	seconds(w.Silence, &s.Silence)
	seconds(w.Pause, &s.Pause)
	switch w.Bits {
	case "16":
		s.Bits = 16
	case "24":
		s.Bits = 24
	case "float":
		s.Bits, s.Float = 32, true
	default:
		wrong = append(wrong, finding.New(IDBits, finding.Error, finding.Place{}, finding.Args{"read": w.Bits}))
	}
	return s, wrong.Err()
}

// toldBy gives what an error of reading says.
func toldBy(err error) finding.List {
	list, _ := finding.From(err)
	return list
}

// TestSignal lays out a test recording of some settings ("63=+1,lift"); none:
// flat alone. Everything that it cannot be is an error; no job is needed.
func TestSignal(w SignalWords, settings []string) (*SignalAnswer, finding.List, error) {
	s, err := w.signal()
	wrong := toldBy(err)
	for _, text := range settings {
		setting, err := equaliser.ReadSetting(text)
		wrong = append(wrong, toldBy(err)...)
		s.Settings = append(s.Settings, setting)
	}
	if err := wrong.Err(); err != nil {
		return nil, nil, err
	}
	a, err := laidOut(s)
	return a, nil, err
}

// laidOut tells what a signal plays when.
func laidOut(s sweep.Signal) (*SignalAnswer, error) {
	if err := s.Check().Err(); err != nil {
		return nil, err
	}
	a := &SignalAnswer{Signal: s, Frames: s.Length(), Bytes: s.Length() * int64(s.Channels*s.Bits/8), Written: []string{}}
	a.Seconds = float64(a.Frames) / float64(s.Rate)
	for _, t := range s.Takes() {
		a.Takes = append(a.Takes, SignalTake{Number: t.Number, Setting: t.Setting.String(), Mark: t.Mark, Sweep: t.Sweep, End: t.End})
	}
	return a, nil
}

// Findings of the takes to be made.
const (
	// IDGeneratorUnsaid (warning): the job does not say through how many ohms
	// its curves are taken. source (ohms of the tap-in).
	IDGeneratorUnsaid finding.ID = "bench.generator-unsaid"
	// IDNoClip (note): no stage of the circuit limits the level, as far as it is
	// described. No args.
	IDNoClip finding.ID = "bench.no-clip"
	// IDLevelLow (warning): the circuit does not allow the usual level. dbu
	// (allowed), usual. Place: the part that clips and the setting.
	IDLevelLow finding.ID = "bench.take-level-low"
)

// Levels of the two rounds of takes, dBu: their agreement rules out effects of
// level (common practice, no source).
const (
	usualDBu  = -20.0
	secondDBu = 0.0
)

// TakesAnswer is what to record of a job: the settings in the order of least
// work, the level that its circuit allows, and the recording that guides
// through them.
type TakesAnswer struct {
	SourceOhms    float64       `json:"source_ohms"`    // of the tap-in in the amp
	GeneratorOhms *float64      `json:"generator_ohms"` // that take its place, as the job says
	LevelDBu      float64       `json:"level_dbu"`      // at the tap-in, for the first round
	SecondDBu     *float64      `json:"second_dbu"`     // for the second; nil: there is no room for one
	MostDBu       *float64      `json:"most_dbu"`       // 6 dB below where the first stage clips; nil: nothing limits it
	MostAt        string        `json:"most_at"`        // the setting that limits it
	LimitedBy     string        `json:"limited_by"`     // the part
	Takes         []TakeToMake  `json:"takes"`
	Recording     *SignalAnswer `json:"recording"`
}

// TakeToMake is one take.
type TakeToMake struct {
	Name      string   `json:"name"`
	Setting   string   `json:"setting"`
	Less      string   `json:"less"`     // the setting whose take is taken off it; "": none
	MostDBu   *float64 `json:"most_dbu"` // 6 dB below clipping here
	LimitedBy string   `json:"limited_by"`
}

// Takes lists what to record of the job, and lays a test recording out over it.
func (c *Case) Takes(ctx context.Context, w SignalWords) (*TakesAnswer, finding.List, error) {
	s, err := w.signal()
	if err != nil {
		return nil, nil, err
	}
	var ohms *float64
	if has := c.job.TapIn.GeneratorHas; has != nil {
		x := float64(*has)
		ohms = &x
	}
	a := &TakesAnswer{SourceOhms: c.equaliser.Spec().SourceOhms, GeneratorOhms: ohms}
	var most *float64
	for _, t := range c.toRecord() {
		s.Settings = append(s.Settings, t.setting)
		volts, by, _, err := c.equaliser.Largest(ctx, c.solve, t.setting, AudioGrid()...)
		if err != nil {
			return nil, nil, err
		}
		if volts != nil {
			half := *volts / 2
			t.MostDBu, t.LimitedBy = dBu(half), by.Part
			if most == nil || half < *most {
				most, a.MostDBu, a.MostAt, a.LimitedBy = &half, t.MostDBu, t.Setting, by.Part
			}
		}
		a.Takes = append(a.Takes, t.TakeToMake)
	}
	found := a.settleLevel()
	if ohms == nil {
		found = append(found, finding.New(IDGeneratorUnsaid, finding.Warning, finding.Place{}, finding.Args{"source": a.SourceOhms}))
	}
	if a.Recording, err = laidOut(s); err != nil {
		return nil, nil, err
	}
	return a, found, nil
}

// settleLevel takes the usual levels as far as the circuit allows.
func (a *TakesAnswer) settleLevel() finding.List {
	a.LevelDBu = usualDBu
	if a.MostDBu == nil {
		return finding.List{finding.New(IDNoClip, finding.Note, finding.Place{}, nil)}
	}
	if *a.MostDBu < usualDBu {
		a.LevelDBu = *a.MostDBu
		return finding.List{finding.New(IDLevelLow, finding.Warning, finding.Place{Part: a.LimitedBy, Setting: a.MostAt},
			finding.Args{"dbu": *a.MostDBu, "usual": usualDBu})}
	}
	// Less than 6 dB apart two rounds tell nothing of level.
	if second := min(secondDBu, *a.MostDBu); second >= usualDBu+6 {
		a.SecondDBu = &second
	}
	return nil
}

// toMake is a take with its setting.
type toMake struct {
	TakeToMake
	setting curve.Setting
}

// toRecord gives the settings that show the equaliser whole, each once, the ones
// that others are taken off first, flat again at the end to see whether
// anything has moved.
func (c *Case) toRecord() []toMake {
	lifted, lifts := c.equaliser.Lifted()
	bypassed, _ := c.equaliser.Bypassed()
	var first, rest []toMake
	for _, n := range c.equaliser.Family() {
		t := toMake{TakeToMake{Name: n.Name, Setting: n.Setting.String()}, n.Setting}
		switch text := t.Setting; {
		case text == bypassed.String() && text != "flat":
			first = append(first, t)
		case text == lifted.String() && text != "flat":
			t.Less = ifThere(bypassed)
			first = append(first, t)
		case text == "flat":
			t.Less = ifThere(lifted)
			first = append([]toMake{t}, first...)
		default:
			if lifts {
				t.Less = lifted.String()
			}
			rest = append(rest, t)
		}
	}
	again := first[0]
	again.Name += " again"
	return append(append(first, rest...), again)
}

// ifThere gives a setting's text, "" for one that the equaliser has not.
func ifThere(s curve.Setting) string {
	if text := s.String(); text != "flat" {
		return text
	}
	return ""
}
