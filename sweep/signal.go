package sweep

import (
	"io"
	"math"

	"bandwright/curve"
	"bandwright/finding"
)

// Signal is a test recording: a sweep for every setting, each between two
// marks, with silence before it in which the noise is read.
type Signal struct {
	Rate     int  `json:"rate_hz"`
	Bits     int  `json:"bits"` // 16, 24 or 32
	Float    bool `json:"float,omitempty"`
	Channels int  `json:"channels"` // 1, or 2 alike: one for the amp, one for the loopback

	StartHz   float64         `json:"start_hz"`
	StopHz    float64         `json:"stop_hz"`
	Seconds   float64         `json:"seconds"`            // of one sweep
	LevelDBFS float64         `json:"level_dbfs"`         // of the peak; full scale is 0
	FullDBu   *float64        `json:"full_dbu,omitempty"` // dBu of a sine that peaks at full scale, if known
	FadeIn    float64         `json:"fade_in_seconds"`    // raised cosine
	FadeOut   float64         `json:"fade_out_seconds"`   // raised cosine
	Silence   float64         `json:"silence_seconds"`    // before the sweep
	Pause     float64         `json:"pause_seconds"`      // before each setting but the first, to move the sliders
	Settings  []curve.Setting `json:"settings,omitempty"` // none: one sweep, flat
}

// The parts of a take beside sweep and silence, in seconds. Common practice,
// no source: long enough for a room of speakers and coils to fall quiet.
const (
	leadIn      = 1.0 // before the first mark
	markSeconds = 0.2
	afterMark   = 0.3 // until the silence counts
	afterSweep  = 0.7 // until the second mark
	afterTake   = 0.3
)

// stagger lengthens the silence of each further take by this part of a take,
// so that the distance of two marks tells which take they enclose.
const stagger = 0.004

// The mark is a chirp of constant rate under a Hann window, in a range that
// every amp passes.
const (
	markLow  = 300.0
	markHigh = 1500.0
)

// Standard is the signal for a first try: 10 Hz to 22 kHz (less where the rate
// does not allow it) in 10 seconds at −6 dBFS, 24 bits, two channels.
func Standard(rate int) Signal {
	return Signal{Rate: rate, Bits: 24, Channels: 2, StartHz: 10, StopHz: min(22000, 0.46*float64(rate)),
		Seconds: 10, LevelDBFS: -6, FadeIn: 0.2, FadeOut: 0.02, Silence: 1, Pause: 15}
}

// Check finds what a signal cannot be: every mistake, as errors.
func (s Signal) Check() finding.List {
	var found finding.List
	within := func(what string, read, low, high float64) {
		if !(read >= low && read <= high) {
			found = append(found, finding.New(IDSignal, finding.Error, finding.Place{},
				finding.Args{"what": what, "read": finite(read), "low": low, "high": high}))
		}
	}
	within("rate", float64(s.Rate), 44100, 192000)
	within("channels", float64(s.Channels), 1, 2)
	within("bits", float64(s.Bits), 16, 32)
	within("start", s.StartHz, 1, 1000)
	within("stop", s.StopHz, max(4000, 4*s.StartHz), 0.48*float64(s.Rate))
	within("seconds", s.Seconds, 2, 120)
	within("level", s.LevelDBFS, -60, 0)
	within("fade-in", s.FadeIn, 0.001, s.Seconds/10)
	within("fade-out", s.FadeOut, 0.001, s.Seconds/10)
	within("silence", s.Silence, 0.5, 30)
	within("pause", s.Pause, 0, 600)
	within("settings", float64(len(s.Settings)), 0, 200)
	if s.FullDBu != nil {
		within("calibration", *s.FullDBu, -40, 60)
	}
	if found == nil {
		if err := s.format().check(); err != nil {
			found, _ = finding.From(err)
		}
	}
	return found
}

// finite keeps what is no number out of a finding.
func finite(x float64) float64 {
	if math.IsNaN(x) || math.IsInf(x, 0) {
		return 0
	}
	return x
}

func (s Signal) format() Format {
	return Format{Rate: s.Rate, Channels: s.Channels, Bits: s.Bits, Valid: s.Bits, Float: s.Float}
}

// settings are those of the takes; a signal without any has one, flat.
func (s Signal) settings() []curve.Setting {
	if len(s.Settings) == 0 {
		return []curve.Setting{{}}
	}
	return s.Settings
}

// take is where one take lies in the signal, in seconds from its start.
type take struct {
	mark, silence, sweep, second, end float64
}

// between is the distance of the two marks.
func (t take) between() float64 { return t.second - t.mark }

// takes lays the takes out one after the other.
func (s Signal) takes() []take {
	takes := make([]take, len(s.settings()))
	whole := markSeconds + afterMark + s.Silence + s.Seconds + afterSweep
	at := leadIn
	for i := range takes {
		if i > 0 {
			at += s.Pause
		}
		t := &takes[i]
		t.mark = at
		t.silence = t.mark + markSeconds + afterMark
		t.sweep = t.silence + s.Silence + stagger*float64(i)*whole
		t.second = t.sweep + s.Seconds + afterSweep
		t.end = t.second + markSeconds + afterTake
		at = t.end
	}
	return takes
}

// Length gives the frames of the whole recording.
func (s Signal) Length() int64 {
	takes := s.takes()
	return int64(math.Ceil(takes[len(takes)-1].end * float64(s.Rate)))
}

// Write writes the test recording as a WAV file, a marker at every take that
// names its setting and a comment that Played reads. The error is a
// finding.List when the signal cannot be, else what w said.
func (s Signal) Write(w io.Writer) error {
	if err := s.Check().Err(); err != nil {
		return err
	}
	takes := s.takes()
	markers := make([]Marker, len(takes))
	for i, t := range takes {
		markers[i] = Marker{Frame: int64(t.mark * float64(s.Rate)), Name: s.settings()[i].String()}
	}
	out, err := NewWriter(w, s.format(), s.Length(), markers, s.describe())
	if err != nil {
		return err
	}
	block := make([]float64, 1<<14)
	for from, length := int64(0), s.Length(); from < length; from += int64(len(block)) {
		block = block[:min(int64(len(block)), length-from)]
		s.fill(block, takes, from)
		channels := [][]float64{block, block}
		if err := out.Write(channels[:s.Channels]); err != nil {
			return err
		}
	}
	return out.Close()
}

// fill gives the samples from one frame on.
func (s Signal) fill(dst []float64, takes []take, from int64) {
	clear(dst)
	shape := s.shape()
	level := math.Pow(10, s.LevelDBFS/20)
	rate := float64(s.Rate)
	add := func(start, seconds float64, value func(t float64) float64) {
		first := max(from, int64(math.Ceil(start*rate)))
		last := min(from+int64(len(dst)), int64(math.Ceil((start+seconds)*rate)))
		for i := first; i < last; i++ {
			dst[i-from] += level * value(float64(i)/rate-start)
		}
	}
	for _, t := range takes {
		add(t.mark, markSeconds, markAt)
		add(t.sweep, s.Seconds, shape.at)
		add(t.second, markSeconds, markAt)
	}
}

// markAt is the mark, of peak 1, t seconds from its start.
func markAt(t float64) float64 {
	if t < 0 || t > markSeconds {
		return 0
	}
	hann := math.Sin(math.Pi * t / markSeconds)
	return hann * hann * math.Sin(2*math.Pi*t*(markLow+(markHigh-markLow)/markSeconds*t/2))
}

// shape is the sweep of peak 1: sin{2π f1 L exp(t/L)} with L = T/ln(f2/f1)
// (Novak, Lotton and Simon 2015; from the author's page), under its fades.
type shape struct {
	start, l, seconds, in, out float64
}

func (s Signal) shape() shape {
	return shape{start: s.StartHz, l: s.Seconds / math.Log(s.StopHz/s.StartHz), seconds: s.Seconds, in: s.FadeIn, out: s.FadeOut}
}

func (p shape) at(t float64) float64 {
	if t < 0 || t > p.seconds {
		return 0
	}
	return p.fade(t) * math.Sin(2*math.Pi*p.start*p.l*math.Exp(t/p.l))
}

func (p shape) fade(t float64) float64 {
	gain := 1.0
	if t < p.in {
		gain = 0.5 - 0.5*math.Cos(math.Pi*t/p.in)
	}
	if left := p.seconds - t; left < p.out {
		gain *= 0.5 - 0.5*math.Cos(math.Pi*left/p.out)
	}
	return gain
}

// when gives the time at which the sweep passes a frequency.
func (p shape) when(hz float64) float64 { return p.l * math.Log(hz/p.start) }

// hertz gives the frequency the sweep passes at a time.
func (p shape) hertz(t float64) float64 { return p.start * math.Exp(t/p.l) }

// before gives how much earlier than the sine its harmonic of an order stands.
func (p shape) before(order int) float64 { return p.l * math.Log(float64(order)) }

// Take is where a setting's take lies in a signal, in seconds from its start.
type Take struct {
	Number  int // from 1
	Setting curve.Setting
	Mark    float64 // the first mark: all must stand ready
	Sweep   float64 // its sweep
	End     float64 // sliders may be moved
}

// Takes gives the takes of a signal in order.
func (s Signal) Takes() []Take {
	var all []Take
	for i, t := range s.takes() {
		all = append(all, Take{Number: i + 1, Setting: s.settings()[i], Mark: t.mark, Sweep: t.sweep, End: t.end})
	}
	return all
}
