package sweep

import (
	"bytes"
	"encoding/json"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"strings"
	"testing"

	"bandwright/curve"
	"bandwright/finding"
	"bandwright/trials"
)

// guided is a signal with several settings and short pauses.
func guided(rate int, settings ...string) Signal {
	s := short(rate)
	s.Pause = 1
	for _, text := range settings {
		setting, err := curve.ParseSetting(text)
		if err != nil {
			panic(err)
		}
		s.Settings = append(s.Settings, setting)
	}
	return s
}

// One recording of several settings: the amp is changed between the takes, the
// recorder starts late and stops early, and every take is known for what it is.
func TestGuidedSet(t *testing.T) {
	const rate = 48000
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260340), 1))
	s := guided(rate, "flat", "63=+1", "400=-1", "footswitch:lifted")
	boosts := []map[float64]float64{nil, {63: 12}, {400: -12}, {1000: 3}}
	x := stretched(played(t, s), -20)
	y := make([]float64, len(x))
	takes := s.takes()
	for i, take := range takes {
		from := int((take.mark - 0.5) * rate)
		copy(y[from:], sixBands(rate, boosts[i]).play(x)[from:])
	}
	late := int(takes[1].mark*rate) - 20_000
	early := int(takes[3].sweep * rate)
	results, found := read(t, taken(t, rng, rate, 0, -80, y[late:early], x[late:early]), How{Signal: s, Channel: 1, Reference: 2}, 2)
	for i, r := range results {
		a := sixBands(rate, boosts[i+1])
		db, degrees, _, _ := off(r, 30, 18000, func(hz float64) complex128 { return a.gain(hz, rate) })
		if r.Setting.String() != s.Settings[i+1].String() || r.Number != i+2 || db > 0.03 || degrees > 0.5 || math.Abs(*r.DriftPPM+20) > 0.2 {
			t.Errorf("take %d: %s, gain off by %.4f dB, phase by %.3f°, drift %.3f ppm", r.Number, r.Setting, db, degrees, *r.DriftPPM)
		}
	}
	var missing []string
	for _, f := range found {
		if f.ID == IDTakeMissing {
			missing = append(missing, f.Place.Setting)
		}
	}
	if !slices.Equal(missing, []string{"flat", "footswitch:lifted"}) || !has(found, IDTakeCut) {
		t.Errorf("%v", found)
	}
}

// A spoilt take does not take the others with it.
func TestOneSpoiltTake(t *testing.T) {
	s := guided(44100, "flat", "63=+1")
	x := played(t, s)
	x[int(s.takes()[0].sweep*44100)+60_000] += 0.4
	rec, _ := opened(t, written(t, Format{Rate: 44100, Channels: 1, Bits: 24}, [][]float64{x}, nil))
	results, found, err := Read(rec, How{Signal: s, Channel: 1})
	if err != nil || len(results) != 1 || results[0].Number != 2 || !has(found, IDJump) || !has(found, IDNoLoopback) {
		t.Errorf("%d results, %v, %v", len(results), found, err)
	}
}

// Every rate and depth the signal comes in, read against itself, is flat.
func TestRatesAndDepths(t *testing.T) {
	for _, c := range []struct {
		rate, bits int
		float      bool
		within     float64
	}{
		{44100, 16, false, 0.005}, {48000, 24, false, 0.005}, {88200, 24, false, 0.005},
		{96000, 32, true, 0.005}, {176400, 24, false, 0.005}, {192000, 16, false, 0.005},
	} {
		s := short(c.rate)
		s.Bits, s.Float = c.bits, c.float
		var b bytes.Buffer
		if err := s.Write(&b); err != nil {
			t.Fatal(err)
		}
		// 16 bits leave steps in the lowest turns of the sweep, so without the
		// second channel the ideal is the reference.
		for _, reference := range []int{0, 2} {
			results, _ := read(t, b.Bytes(), How{Signal: s, Channel: 1, Reference: reference}, 1)
			db, degrees, _, _ := off(results[0], 20, 19000, func(float64) complex128 { return 1 })
			if db > c.within || degrees > 0.05 {
				t.Errorf("%d Hz, %d bits, reference %d: off by %.5f dB, %.4f°", c.rate, c.bits, reference, db, degrees)
			}
		}
		if rec, _ := opened(t, b.Bytes()); len(rec.Markers) != 1 || rec.Markers[0].Name != "flat" || rec.Markers[0].Frame != int64(c.rate) {
			t.Errorf("%d Hz: markers %v", c.rate, rec.Markers)
		}
	}
}

// What a result is as a curve: at least 48 points an octave, valid, and with
// every number a number, in JSON too.
func TestResultAsCurve(t *testing.T) {
	s := short(48000)
	x := played(t, s)
	results, _ := read(t, taken(t, nil, 48000, 500, 0, sixBands(48000, map[float64]float64{63: -15}).play(x), x), How{Signal: s, Channel: 1, Reference: 2}, 1)
	c := results[0].Curve("as found")
	if err := curve.Validate(c); err != nil || c.PerOctave() < 47.9 || c.Degrees == nil || c.Name != "as found" {
		t.Errorf("%v, %.2f points an octave", err, c.PerOctave())
	}
	if c.Span().Low > 15 || c.Span().High < 20000 {
		t.Errorf("from %.1f to %.0f Hz", c.Span().Low, c.Span().High)
	}
	text, err := json.Marshal(results[0])
	if err != nil || !strings.Contains(string(text), `"mains":null`) || strings.Contains(string(text), "NaN") {
		t.Errorf("%v %.200s", err, text)
	}
}

// Engaged minus lifted is the band by itself: what both takes passed through
// is gone, and their noises add.
func TestDifferences(t *testing.T) {
	const rate = 48000
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260341), 1))
	s := short(rate)
	x := played(t, s)
	rest := amp{level: 0.2, chain: []biquad{coupling(20, rate), peaking(100, 6, 0.5, rate)}}
	band := peaking(400, 12, 1.6, rate)
	one := func(chain amp, setting string) Result {
		s := s
		s.Settings = guided(rate, setting).Settings
		results, _ := read(t, taken(t, rng, rate, 500+rng.IntN(5000), -70, chain.play(x), x), How{Signal: s, Channel: 1, Reference: 2}, 1)
		return results[0]
	}
	engaged := one(amp{level: 0.2, chain: append(slices.Clone(rest.chain), band)}, "400=+1")
	lifted := one(rest, "400=+1,footswitch:lifted")
	r, err := EngagedMinusLifted(engaged, lifted)
	if err != nil {
		t.Fatal(err)
	}
	db, degrees, _, _ := off(r, 30, 18000, func(hz float64) complex128 { return band.gain(hz, rate) })
	if db > 0.05 || degrees > 0.5 || r.Setting.String() != "400=+1" || len(r.Findings) > 0 {
		t.Errorf("off by %.4f dB, %.3f°, %v", db, degrees, r.Findings)
	}
	for i := range r.Hz {
		if want := math.Hypot(engaged.Noise[i], lifted.Noise[i]); r.Noise[i] != want {
			t.Fatalf("%.1f Hz: noise %g, want %g", r.Hz[i], r.Noise[i], want)
		}
	}
	// A difference with itself is nothing, and says that it is one.
	r, err = LiftedMinusBypassed(lifted, lifted)
	if err != nil || r.Curve("").Measure().RMS != 0 || !has(r.Findings, IDSameSetting) {
		t.Errorf("%v %v", err, r.Findings)
	}
	lifted.LevelDBFS = -12
	if r, _ = Minus(engaged, lifted); !has(r.Findings, IDLevels) {
		t.Errorf("%v", r.Findings)
	}
	lifted.Hz = []float64{1, 2}
	if _, err = Minus(engaged, lifted); err == nil {
		t.Error("a difference of two takes without a common frequency")
	}
}

// Loading is corrected from stated ohms: a point of 47 kΩ into 10:1 and an
// interface of 10 kΩ reads low by what the divider says, worked out from the
// definition, and comes back as it was.
func TestLoading(t *testing.T) {
	d := Divider{Source: 47e3, Top: 900e3, Bottom: 100e3, Input: 10e3}
	parallel := 1 / (1/100e3 + 1/10e3)
	if want := parallel / (47e3 + 900e3 + parallel); math.Abs(real(d.Gain(1000))-want) > 1e-15 || imag(d.Gain(1000)) != 0 {
		t.Errorf("%v, want %g", d.Gain(1000), want)
	}
	// A capacitance alone: 3 dB and 45° down at 1/(2πRC).
	c := Divider{Source: 10e3, Farads: 1e-9}
	corner := 1 / (2 * math.Pi * 10e3 * 1e-9)
	if math.Abs(c.DB(corner)+10*math.Log10(2)) > 1e-12 || math.Abs(cmplx.Phase(c.Gain(corner))+math.Pi/4) > 1e-12 {
		t.Errorf("%g dB", c.DB(corner))
	}
	if (Divider{}).Gain(1000) != 1 {
		t.Error("a wire is no divider")
	}

	s := short(48000)
	x := played(t, s)
	load, back := Divider{Source: 2200, Input: 10e3}, Divider{Source: 600, Input: 10e3}
	y, loaded := make([]float64, len(x)), make([]float64, len(x))
	for i, v := range sixBands(48000, nil).play(x) {
		y[i], loaded[i] = v*10/12.2, x[i]*10/10.6
	}
	results, _ := read(t, taken(t, nil, 48000, 500, 0, y, loaded), How{Signal: s, Channel: 1, Reference: 2, Load: load, BackLoad: back}, 1)
	a := sixBands(48000, nil)
	if db, _, _, _ := off(results[0], 30, 18000, func(hz float64) complex128 { return a.gain(hz, 48000) }); db > 0.015 { // a short sweep has a short gate
		t.Errorf("off by %.4f dB", db)
	}
}

// The silence: its hiss, and the two lines of the mains apart, each to a
// fraction of a dB, at either mains and a little beside.
func TestSilence(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260342), 1))
	s := short(48000)
	x := played(t, s)
	full := 10.0
	s.FullDBu = &full
	for _, c := range []struct{ hz, once, twice float64 }{{50, -60, -70}, {60.02, -50, -45}, {49.9, -75, -66}} {
		y := sixBands(48000, nil).play(x)
		for i := range y {
			turn := 2 * math.Pi * c.hz * float64(i) / 48000
			y[i] += math.Pow(10, c.once/20)*math.Sin(turn+1) + math.Pow(10, c.twice/20)*math.Sin(2*turn)
		}
		results, _ := read(t, taken(t, rng, 48000, 900, -80, y, x), How{Signal: s, Channel: 1, Reference: 2}, 1)
		n := results[0].Silence
		if n.Mains == nil || n.TwiceMains == nil {
			t.Errorf("%g Hz: %+v", c.hz, n)
			continue
		}
		if math.Abs(n.Mains.DBFS-c.once) > 0.3 || math.Abs(n.TwiceMains.DBFS-c.twice) > 0.3 || math.Abs(n.Mains.Hz-c.hz) > 0.15 || math.Abs(n.TwiceMains.Hz-2*c.hz) > 0.15 {
			t.Errorf("%g Hz: %+v and %+v", c.hz, *n.Mains, *n.TwiceMains)
		}
		// −80 dBFS rms of hiss reads as a sine that peaks at −77.
		if math.Abs(n.Hiss+77) > 0.3 || *results[0].LevelDBu != 4 {
			t.Errorf("%g Hz: hiss %.2f dBFS, level %.1f dBu", c.hz, n.Hiss, *results[0].LevelDBu)
		}
		if r := results[0].Reference; r.Mains != nil || math.Abs(r.DBFS+77) > 0.3 {
			t.Errorf("%g Hz: reference %+v", c.hz, r)
		}
	}
}

// What a signal cannot be is said, every mistake in one go.
func TestSignalCheck(t *testing.T) {
	for _, rate := range []int{44100, 48000, 88200, 96000, 176400, 192000} {
		if found := Standard(rate).Check(); len(found) > 0 {
			t.Errorf("%d: %v", rate, found)
		}
	}
	low := -100.0
	s := Signal{Rate: 8000, Bits: 12, Channels: 3, StartHz: 0, StopHz: math.Inf(1), Seconds: 500, LevelDBFS: 3, Pause: -1, FullDBu: &low}
	var said []string
	for _, f := range s.Check() {
		if f.ID != IDSignal || f.Level != finding.Error {
			t.Errorf("%v", f)
		}
		said = append(said, f.Args["what"].(string))
	}
	want := []string{"rate", "channels", "bits", "start", "stop", "seconds", "level", "fade-in", "fade-out", "silence", "pause", "calibration"}
	if !slices.Equal(said, want) {
		t.Errorf("%v, want %v", said, want)
	}
	if s := Standard(48000); true {
		s.Bits = 20
		if found := s.Check(); !has(found, IDFormat) {
			t.Errorf("%v", found)
		}
	}
}

// The timing of the sweep's harmonics: exact offsets L ln m for 20 Hz to
// 20 kHz, worked out from the definition (Novak, Lotton and Simon 2015); order
// 2 at 4816 samples of 48 kHz for 1 s, and 1551 samples from order 4 to 5, as
// quoted by a second text on Farina 2000.
func TestHarmonicTiming(t *testing.T) {
	p := Signal{StartHz: 20, StopHz: 20000, Seconds: 10}.shape()
	for order, want := range map[int]float64{2: 1.003433, 3: 1.590404, 4: 2.006867, 5: 2.329900} {
		if got := p.before(order); math.Abs(got-want) > 5e-7 {
			t.Errorf("order %d: %.7f s, want %.6f", order, got, want)
		}
	}
	p.l /= 10
	if second, gap := p.before(2)*48000, (p.before(5)-p.before(4))*48000; math.Abs(second-4816.5) > 0.05 || math.Abs(gap-1550.5) > 0.1 {
		t.Errorf("%.2f and %.2f samples", second, gap)
	}
	// A harmonic of the sweep is the sweep itself, earlier.
	p = Signal{StartHz: 20, StopHz: 20000, Seconds: 5}.shape()
	for _, at := range []float64{0.3, 1, 2} {
		phase := func(t float64) float64 { return 2 * math.Pi * p.start * p.l * math.Exp(t/p.l) }
		for order := 2; order <= 5; order++ {
			if a, b := float64(order)*phase(at), phase(at+p.before(order)); math.Abs(a/b-1) > 1e-12 {
				t.Errorf("order %d at %g s: %g and %g", order, at, a, b)
			}
		}
	}
	// The inverse spectrum 2√(f/L) exp{−2πi f L (1 − ln(f/f1)) + iπ/4} undoes
	// the sweep's, from the author's own code; here at some frequencies inside
	// the band, by summing the sweep against the sine.
	s := Signal{StartHz: 20, StopHz: 20000, Seconds: 5, FadeIn: 0.2, FadeOut: 0.02}
	p = s.shape()
	const rate = 96000.0
	for _, hz := range []float64{100, 440, 1000, 5000} {
		var sum complex128
		for i := range int(5 * rate) {
			sum += complex(p.at(float64(i)/rate)/rate, 0) * unit(-2*math.Pi*math.Mod(hz*float64(i)/rate, 1))
		}
		inverse := complex(2*math.Sqrt(hz/p.l), 0) * unit(-2*math.Pi*hz*p.l*(1-math.Log(hz/p.start))+math.Pi/4)
		if flat := sum * inverse; cmplx.Abs(flat-1) > 0.02 && cmplx.Abs(flat+1) > 0.02 {
			t.Errorf("%g Hz: the product with the inverse spectrum is %.4f", hz, flat)
		}
	}
}
