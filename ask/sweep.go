package ask

import (
	"context"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/report"
)

// Takes asks what to record of a job, in which order and how loud.
type Takes struct{ bench.SignalWords }

// StandardTakes holds what stands for fields left out.
func StandardTakes() Takes { return Takes{bench.StandardSignal()} }

// TakesAnswer is what to record, and how to wire for it, cautions among it.
type TakesAnswer struct {
	Guide []report.GuidePart `json:"guide"`
	*bench.TakesAnswer
}

// Ask answers.
func (q Takes) Ask(ctx context.Context, from From) (*TakesAnswer, finding.List, error) {
	return plainly(ctx, from, func(c *bench.Case) (*TakesAnswer, finding.List, error) {
		takes, found, err := c.Takes(ctx, q.SignalWords)
		if err != nil {
			return nil, found, err
		}
		return &TakesAnswer{report.TakesGuide(takes), takes}, found, nil
	})
}

// Signal asks for a test recording of settings that are named.
type Signal struct {
	bench.SignalWords
	Set []string `json:"set"` // one a take, "63=+1,lift"; none: flat alone
}

// StandardTest holds what stands for fields left out.
func StandardTest() Signal { return Signal{SignalWords: bench.StandardSignal()} }

// Ask answers; nothing is written.
func (q Signal) Ask(context.Context, From) (*bench.SignalAnswer, finding.List, error) {
	return bench.TestSignal(q.SignalWords, q.Set)
}

// Recording asks which curves recordings of a test signal hold.
type Recording struct {
	Files           []string `json:"files"`
	Set             []string `json:"set"`              // the setting of each file; none: as the test recording says
	Played          string   `json:"played"`           // the file of the test recording
	Channel         int      `json:"channel"`          // of the amp, from 1
	Reference       int      `json:"reference"`        // of the loopback in the same file; 0: none
	Loopback        string   `json:"loopback"`         // a file of the interface alone; "": none
	LoopbackChannel int      `json:"loopback_channel"` // in it
	Generator       string   `json:"generator"`        // ohms the amp was fed through; "": not known
	Source          string   `json:"source"`           // ohms of the point that was recorded
	Top             string   `json:"top"`              // ohms of a divider behind it
	Bottom          string   `json:"bottom"`
	Input           string   `json:"input"`             // ohms of the input
	Capacitance     string   `json:"input_capacitance"` // of input and cable
	LoopbackInput   string   `json:"loopback_input"`    // ohms of the loopback's input
	Mains           string   `json:"mains"`             // hertz; "": 50 or 60, whichever is there
	KeepDrift       bool     `json:"keep_drift"`        // leave the difference of the clocks in
	Less            string   `json:"less"`              // "engaged less lifted", "lifted less bypassed" or ""
}

// StandardRecording holds what stands for fields left out.
func StandardRecording() Recording { return Recording{Channel: 1, LoopbackChannel: 1} }

// What is wrong with a question of recordings; all are errors.
const (
	// IDNoRecording: no file to read. No args.
	IDNoRecording finding.ID = "ask.no-recording"
	// IDNoPlayed: the test recording is not named. No args.
	IDNoPlayed finding.ID = "ask.no-played"
	// IDLess: no difference that can be made. read.
	IDLess finding.ID = "ask.less"
)

// Ask answers. A take that is spoilt is named and leaves the others.
func (q Recording) Ask(ctx context.Context, from From) (*bench.RecordingAnswer, finding.List, error) {
	put, err := q.words()
	if err != nil {
		return nil, nil, err
	}
	end, err := q.open(&put, from)
	defer end()
	if err != nil {
		return nil, nil, err
	}
	return bench.Recording(ctx, put, from.Progress)
}

// words reads the fields; every one that cannot be read is told.
func (q Recording) words() (bench.RecordingQuestion, error) {
	put := bench.RecordingQuestion{Settings: q.Set, Channel: q.Channel, Reference: q.Reference,
		LoopbackChannel: q.LoopbackChannel, KeepDrift: q.KeepDrift, Less: q.Less}
	var w wrongs
	ohms := func(text string, into *float64) {
		if text != "" {
			v, err := quantity.ParseOhms(text)
			w.add(err)
			*into = float64(v)
		}
	}
	if q.Generator != "" {
		put.GeneratorOhms = new(float64)
		ohms(q.Generator, put.GeneratorOhms)
	}
	ohms(q.Source, &put.Load.Source)
	ohms(q.Top, &put.Load.Top)
	ohms(q.Bottom, &put.Load.Bottom)
	ohms(q.Input, &put.Load.Input)
	if q.LoopbackInput != "" && put.GeneratorOhms != nil {
		put.BackLoad.Source = *put.GeneratorOhms
		ohms(q.LoopbackInput, &put.BackLoad.Input)
	}
	if q.Capacitance != "" {
		v, err := quantity.ParseFarads(q.Capacitance)
		w.add(err)
		put.Load.Farads = float64(v)
	}
	if q.Mains != "" {
		v, err := quantity.ParseHertz(q.Mains)
		w.add(err)
		put.MainsHz = float64(v)
	}
	q.judge(&w)
	return put, w.err()
}

func (q Recording) judge(w *wrongs) {
	if len(q.Files) == 0 {
		w.add(refusal(IDNoRecording, nil))
	}
	if q.Played == "" {
		w.add(refusal(IDNoPlayed, nil))
	}
	if q.Less != "" && q.Less != bench.EngagedLessLifted && q.Less != bench.LiftedLessBypassed {
		w.add(refusal(IDLess, finding.Args{"read": q.Less}))
	}
	if q.Reference > 0 && q.Loopback != "" {
		w.add(refusal(IDClash, finding.Args{"one": "--reference", "other": "--loopback"}))
	}
	if q.LoopbackInput != "" && q.Generator == "" {
		w.add(refusal(IDLacks, finding.Args{"one": "--loopback-input", "other": "--generator"}))
	}
}

// IDLacks: one, other; a field or flag that says nothing without another.
const IDLacks finding.ID = "ask.lacks"

// open opens every file that is named; end closes what was opened.
func (q Recording) open(put *bench.RecordingQuestion, from From) (end func(), err error) {
	var ends []func()
	end = func() {
		for _, one := range ends {
			one()
		}
	}
	var w wrongs
	open := func(path string) bench.RecordingFile {
		file, one, err := from.Recording(path)
		w.add(err)
		if one != nil {
			ends = append(ends, one)
		}
		return file
	}
	for _, path := range q.Files {
		put.Recordings = append(put.Recordings, open(path))
	}
	put.Played = open(q.Played)
	if q.Loopback != "" {
		file := open(q.Loopback)
		put.Loopback = &file
	}
	return end, w.err()
}
