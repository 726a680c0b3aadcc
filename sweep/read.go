package sweep

import (
	"math"
	"math/cmplx"
	"slices"

	"bandwright/finding"
)

// How says what a recording holds and what is known about how it was made.
type How struct {
	Signal    Signal `json:"signal"`              // that was played
	Channel   int    `json:"channel"`             // of the amp, from 1
	Reference int    `json:"reference,omitempty"` // of the loopback, from 1; 0: none in this recording

	// Loopback is a stored take of the interface alone, for a recording without
	// a reference; its signal when it is another, its channel from 1.
	Loopback        *Recording `json:"-"`
	LoopbackSignal  *Signal    `json:"loopback_signal,omitempty"`
	LoopbackChannel int        `json:"loopback_channel,omitempty"`

	KeepDrift bool    `json:"keep_drift,omitempty"` // leave the clocks' difference in
	MainsHz   float64 `json:"mains_hz,omitempty"`   // 0: 50 or 60, whichever is there
	Load      Divider `json:"load"`                 // between the measured point and the input
	BackLoad  Divider `json:"loopback_load"`        // between the generator and the reference's input
}

// Read reads every take of the signal that the recording holds, wherever it
// lies in it: gain against the loopback with its noise, harmonics, the silence,
// the clocks. A take that is spoilt is refused by an error among the findings
// and does not hinder the others; the error is set when none can be read.
func Read(rec *Recording, how How) ([]Result, finding.List, error) {
	found := how.check(rec)
	if err := found.Err(); err != nil {
		return nil, found, err
	}
	pairs, more, err := how.locate(rec)
	found = append(found, more...)
	if err != nil {
		return nil, found, err
	}
	loopback, more, err := how.loopback(rec)
	found = append(found, more...)
	if err != nil {
		return nil, found, err
	}
	var results []Result
	for _, p := range pairs {
		r, spoilt, err := how.one(rec, p, loopback)
		if err != nil {
			return nil, found, err
		}
		if spoilt != nil {
			found = append(found, spoilt...)
			continue
		}
		results = append(results, r)
	}
	found = append(found, how.missing(pairs)...)
	if len(results) == 0 {
		return nil, found, found.Err()
	}
	return results, found, nil
}

func (h How) check(rec *Recording) finding.List {
	found := append(h.Signal.Check(), h.Load.check()...)
	found = append(found, h.BackLoad.check()...)
	if h.LoopbackSignal != nil {
		found = append(found, h.LoopbackSignal.Check()...)
	}
	channel := func(read, least, most int) {
		if read < least || read > most {
			found = append(found, finding.New(IDNoChannel, finding.Error, finding.Place{},
				finding.Args{"channel": read, "channels": most}))
		}
	}
	channel(h.Channel, 1, rec.Channels)
	channel(h.Reference, 0, rec.Channels)
	if h.Loopback != nil {
		channel(h.LoopbackChannel, 0, h.Loopback.Channels)
		if h.Loopback.Rate != rec.Rate {
			found = append(found, finding.New(IDLoopbackRate, finding.Error, finding.Place{},
				finding.Args{"rate": rec.Rate, "loopback": h.Loopback.Rate}))
		}
	}
	if 2*h.Signal.StopHz*0.96 > float64(rec.Rate) && found == nil {
		found = append(found, finding.New(IDSignal, finding.Error, finding.Place{},
			finding.Args{"what": "stop", "read": h.Signal.StopHz, "low": 4000.0, "high": 0.52 * float64(rec.Rate)}))
	}
	return found
}

// listen is the channel in which the marks are sought: the reference, which
// nothing but the interface has passed, where there is one.
func (h How) listen() int {
	if h.Reference > 0 {
		return h.Reference
	}
	return h.Channel
}

// locate finds the takes, and says why there are none.
func (h How) locate(rec *Recording) ([]pair, finding.List, error) {
	marks, err := newSearch(rec, h.listen()-1, []float64{1}).marks(rec.Frames)
	if err != nil {
		return nil, nil, err
	}
	takes, rate := h.Signal.takes(), float64(rec.Rate)
	found, alone := pairs(marks[0], takes, rate)
	if len(found) == 0 {
		more, err := h.speed(rec)
		if err != nil || more != nil {
			return nil, more, errorOf(err, more)
		}
	}
	inOrder(found)
	var list finding.List
	for _, m := range alone {
		f, tell, err := h.lonely(m, found, takes, rec)
		if err != nil {
			return nil, list, err
		}
		if tell {
			list = append(list, f)
		}
	}
	if len(found) == 0 && list == nil {
		list = append(list, finding.New(IDNoMarks, finding.Error, finding.Place{}, finding.Args{"seconds": rec.Seconds()}))
	}
	if len(found) == 0 {
		return nil, list, list.Err()
	}
	return found, list, nil
}

func errorOf(err error, list finding.List) error {
	if err != nil {
		return err
	}
	return list.Err()
}

// lonely says what a mark without its other means. One inside a take that was
// found is only something alike.
func (h How) lonely(m mark, found []pair, takes []take, rec *Recording) (f finding.Finding, tell bool, err error) {
	rate, at := float64(rec.Rate), m.frame/float64(rec.Rate)
	for _, p := range found {
		if m.frame > p.first-rate && m.frame < p.second+rate {
			return f, false, nil
		}
	}
	args := finding.Args{"frame": int64(m.frame), "seconds": at}
	missing := at + takes[0].between() + markSeconds - rec.Seconds()
	switch second, err := h.afterASweep(m, rec); {
	case err != nil:
		return f, false, err
	case second && at < takes[0].between():
		return finding.New(IDTakeLate, finding.Error, finding.Place{}, args), true, nil
	case !second && missing > 0:
		return finding.New(IDTakeCut, finding.Error, finding.Place{},
			finding.Args{"frame": rec.Frames, "seconds": rec.Seconds(), "missing": missing}), true, nil
	}
	return finding.New(IDMarkLost, finding.Error, finding.Place{}, args), true, nil
}

// afterASweep tells whether a mark is the second of its take: the sweep stands
// before it, where before the first there is only the pause.
func (h How) afterASweep(m mark, rec *Recording) (bool, error) {
	rate := float64(rec.Rate)
	before, err := window(rec, h.listen(), int64(m.frame-(afterSweep+0.45)*rate), int(0.4*rate))
	if err != nil {
		return false, err
	}
	after, err := window(rec, h.listen(), int64(m.frame+(markSeconds+0.1)*rate), int(0.6*rate))
	return rms(before) > 3*rms(after), err
}

// rates at which recordings are made.
func rates() []float64 { return []float64{44100, 48000, 88200, 96000, 176400, 192000} }

// speed looks whether the signal is there at another speed, as when a head
// names a rate that the samples were not taken at. Ten minutes are searched.
func (h How) speed(rec *Recording) (finding.List, error) {
	named := float64(rec.Rate)
	var slower, likely []float64
	for _, r := range rates() {
		if q := r / named; q != 1 && q > 0.4 && q < 2.5 {
			slower, likely = append(slower, q), append(likely, r)
		}
	}
	marks, err := newSearch(rec, h.listen()-1, slower).marks(min(rec.Frames, 600*int64(rec.Rate)))
	if err != nil {
		return nil, err
	}
	for i := range marks {
		if found, _ := pairs(marks[i], h.Signal.takes(), likely[i]); len(found) > 0 {
			return finding.List{finding.New(IDWrongRate, finding.Error, finding.Place{},
				finding.Args{"rate": named, "likely": likely[i]})}, nil
		}
	}
	return nil, nil
}

// missing names the settings of the signal that were not found.
func (h How) missing(pairs []pair) finding.List {
	var list finding.List
	for i, s := range h.Signal.settings() {
		if !slices.ContainsFunc(pairs, func(p pair) bool { return p.number == i }) {
			list = append(list, finding.New(IDTakeMissing, finding.Warning, finding.Place{Setting: s.String()}, finding.Args{"number": i + 1}))
		}
	}
	return list
}

// back is the stored loopback: its response, and the grid it stands on.
type back struct {
	response
	hz []float64
}

// loopback reads the stored loopback, the first take of it.
func (h How) loopback(rec *Recording) (*back, finding.List, error) {
	if h.Loopback == nil || h.Reference > 0 {
		if h.Reference == 0 {
			return nil, finding.List{finding.New(IDNoLoopback, finding.Warning, finding.Place{}, nil)}, nil
		}
		return nil, nil, nil
	}
	own := How{Signal: h.Signal, Channel: max(1, h.LoopbackChannel), MainsHz: h.MainsHz}
	if h.LoopbackSignal != nil {
		own.Signal = *h.LoopbackSignal
	}
	pairs, found, err := own.locate(h.Loopback)
	for _, p := range pairs {
		c, spoilt, err := own.capture(h.Loopback, p)
		if err != nil {
			return nil, found, err
		}
		if found = append(found, spoilt...); spoilt.Err() == nil {
			im := deconvolve(c.y, c.ideal(own.Signal, c.scale), c.rate, own.Signal)
			hz := im.grid()
			quiet := hush(c.quiet[0], c.rate, own.mains())
			return &back{respond(im, hz, [2]*silence{&quiet, nil}), hz}, found, nil
		}
	}
	found = append(found, finding.New(IDLoopbackTake, finding.Error, finding.Place{}, nil))
	return nil, found, errorOf(err, found)
}

func (h How) mains() []float64 {
	if h.MainsHz > 0 {
		return []float64{h.MainsHz}
	}
	return []float64{50, 60}
}

// capture brings a take into memory and finds what spoils it.
func (h How) capture(rec *Recording, p pair) (*capture, finding.List, error) {
	c, err := h.Signal.measure(rec, h.listen(), p)
	if err != nil {
		return nil, nil, err
	}
	if err := c.load(rec, h.Signal, h.Channel, h.Reference); err != nil {
		return nil, nil, err
	}
	return c, c.refuse(rec.Format, h.Signal), nil
}

// one reads one take; spoilt is set when there is no result.
func (h How) one(rec *Recording, p pair, loopback *back) (r Result, spoilt finding.List, err error) {
	c, found, err := h.capture(rec, p)
	if err != nil || found.Err() != nil {
		return r, found, err
	}
	x, scale := c.x, c.scale
	if c.x != nil {
		found = append(found, c.references(h.Signal, c.unevenness(c.y, h.Signal), c.unevenness(c.x, h.Signal))...)
		if found.Err() != nil {
			return r, found, nil
		}
	} else {
		if h.KeepDrift {
			scale = 1
		}
		x = c.ideal(h.Signal, scale)
	}
	im := deconvolve(c.y, x, c.rate, h.Signal)
	r = h.result(c, im, scale)
	r.Findings = found
	h.evaluate(&r, c, im, loopback, scale)
	return r, nil, nil
}

// result fills in what is known of a take beside its curve.
func (h How) result(c *capture, im *impulse, scale float64) Result {
	s := h.Signal
	peak := decibel(math.Max(slices.Max(c.y), -slices.Min(c.y)))
	r := Result{Setting: s.settings()[c.number], Number: c.number + 1, DriftPPM: &c.ppm,
		Corrected: !h.KeepDrift || c.x != nil, Delay: &im.peak, LevelDBFS: s.LevelDBFS, PeakDBFS: &peak,
		Frame: c.frame + int64(c.sweep), Seconds: (float64(c.frame) + c.sweep) / c.rate}
	if s.FullDBu != nil {
		dbu := s.LevelDBFS + *s.FullDBu
		r.LevelDBu = &dbu
	}
	return r
}

// evaluate reads curve, noise and harmonics out of the response.
func (h How) evaluate(r *Result, c *capture, im *impulse, loopback *back, scale float64) {
	r.Hz = im.grid()
	amp := hush(c.quiet[0], c.rate, h.mains())
	r.Silence = &amp.Noise
	quiet := [2]*silence{&amp, nil}
	if c.x != nil {
		own := hush(c.quiet[1], c.rate, h.mains())
		r.Reference, quiet[1] = &own.Noise, &own
	}
	got := respond(im, r.Hz, quiet)
	r.Harmonics, r.THD = im.harmonics(r.Hz, got, &amp, scale)
	if loopback != nil {
		r.Hz, got = against(got, r.Hz, loopback)
	}
	for i, f := range r.Hz {
		k := h.BackLoad.Gain(f) / h.Load.Gain(f)
		got.gain[i] *= k
		got.variance[i] *= real(k)*real(k) + imag(k)*imag(k)
	}
	h.settlePhase(r, c, got)
	r.level(got)
}

// against divides by the stored loopback, at the frequencies both have.
func against(got response, hz []float64, b *back) ([]float64, response) {
	var common []float64
	var out response
	for i, f := range hz {
		j, _ := slices.BinarySearch(b.hz, f*(1-1e-9))
		if j >= len(b.hz) || b.hz[j] > f*(1+1e-9) {
			continue
		}
		power := real(b.gain[j])*real(b.gain[j]) + imag(b.gain[j])*imag(b.gain[j])
		g := got.gain[i] / b.gain[j]
		common = append(common, f)
		out.gain = append(out.gain, g)
		out.variance = append(out.variance, (got.variance[i]+b.variance[j]*(real(g)*real(g)+imag(g)*imag(g)))/power)
	}
	return common, out
}

// turnedBy is the phase in degrees by which a clock left as it is may be off
// before the phase counts as unknown.
const turnedBy = 5.0

// settlePhase takes the delay out of a take without reference and says how far
// up the phase is known.
func (h How) settlePhase(r *Result, c *capture, got response) {
	top := r.Hz[len(r.Hz)-1]
	r.PhaseTo = top
	if c.x != nil {
		return
	}
	delay := fitDelay(r.Hz, got.gain)
	for i, f := range r.Hz {
		got.gain[i] *= unit(2 * math.Pi * f * delay)
	}
	r.Findings = append(r.Findings, finding.New(IDDelayFitted, finding.Note, finding.Place{}, finding.Args{"seconds": delay}))
	if !h.KeepDrift {
		return
	}
	p := h.Signal.shape()
	off := func(f float64) float64 { return 360 * f * math.Abs(c.ppm) * 1e-6 * p.when(f) }
	if i := slices.IndexFunc(r.Hz, func(f float64) bool { return off(f) > turnedBy }); i >= 0 {
		r.PhaseTo = r.Hz[max(0, i-1)]
		r.Findings = append(r.Findings, finding.New(IDPhaseUnknown, finding.Warning, finding.Place{}, finding.Args{"ppm": c.ppm, "hz": r.Hz[i]}))
	}
}

// level writes gain, phase and noise, and warns of points that noise moves.
func (r *Result) level(got response) {
	worst, at, count := 0.0, 0, 0
	for i := range r.Hz {
		gain := cmplx.Abs(got.gain[i])
		r.DB = append(r.DB, decibel(gain))
		r.Degrees = append(r.Degrees, phase(got.gain[i])*180/math.Pi)
		r.Floor = append(r.Floor, decibel(math.Sqrt(got.variance[i])))
		d := deviation(gain, got.variance[i])
		r.Noise = append(r.Noise, d)
		if d > 0.1 {
			count++
		}
		if d > worst {
			worst, at = d, i
		}
	}
	r.Degrees = unwrapped(r.Degrees)
	if count > 0 {
		r.Findings = append(r.Findings, finding.New(IDNoise, finding.Warning, finding.Place{},
			finding.Args{"points": count, "of": len(r.Hz), "hz": r.Hz[at], "db": worst}))
	}
}

// unwrapped takes the turns out of a phase in degrees.
func unwrapped(degrees []float64) []float64 {
	for i := 1; i < len(degrees); i++ {
		degrees[i] -= 360 * math.Round((degrees[i]-degrees[i-1])/360)
	}
	return degrees
}
