package bench

import (
	"bytes"
	"context"
	"encoding/binary"
	"math"
	"math/bits"
	"math/cmplx"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/curve"
	"bandwright/demo"
	"bandwright/finding"
	"bandwright/sweep"
	"bandwright/trials"
)

// What the demo would do to a sound is worked out here from its predicted
// response alone, by a transform of this file's own; nothing of it comes from
// room sweep.

// spectrumOf is the plain transform of radix two (Cooley and Tukey 1965), in
// place; sign −1 forward, +1 back without the 1/n.
func spectrumOf(x []complex128, sign float64) {
	n := len(x)
	shift := 64 - bits.Len(uint(n-1))
	for i := range x {
		if j := int(bits.Reverse64(uint64(i)) >> shift); j > i {
			x[i], x[j] = x[j], x[i]
		}
	}
	for size := 2; size <= n; size *= 2 {
		turns := make([]complex128, size/2)
		for k := range turns {
			turns[k] = cmplx.Rect(1, sign*2*math.Pi*float64(k)/float64(size))
		}
		for from := 0; from < n; from += size {
			for k, w := range turns {
				a, b := x[from+k], w*x[from+k+size/2]
				x[from+k], x[from+k+size/2] = a+b, a-b
			}
		}
	}
}

// clickOf is what comes of a click of one frame: the predicted response at so
// many evenly spaced frequencies up to half the rate, transformed back.
func clickOf(t *testing.T, c *Case, setting string, rate float64) []float64 {
	t.Helper()
	const n = 1 << 18
	hz := make([]float64, n/2)
	for k := range hz {
		hz[k] = float64(k+1) * rate / n
	}
	s, err := c.setting(setting)
	if err != nil {
		t.Fatal(err)
	}
	r, _, err := c.response(context.Background(), s, hz)
	if err != nil {
		t.Fatal(err)
	}
	x := make([]complex128, n) // nothing at 0 Hz: the coupling caps let none pass
	for k, g := range r.Gains[0] {
		if k+1 == n/2 {
			x[n/2] = complex(real(g), 0)
			break
		}
		x[k+1], x[n-k-1] = g, cmplx.Conj(g)
	}
	spectrumOf(x, 1)
	click := make([]float64, n)
	for i, v := range x {
		click[(i+ahead)%n] = real(v) / n
	}
	return click
}

// ahead is where in clickOf's answer the click itself stands, frames: cut off at
// half the rate, a response rings before it as well as after.
const ahead = 8192

// through is a sound after the circuit: the convolution with its click.
func through(x, click []float64) []float64 {
	n := 1 << bits.Len(uint(len(x)+len(click)))
	z := make([]complex128, n)
	for i, v := range x {
		z[i] = complex(v, 0)
	}
	for i, v := range click {
		z[i] += complex(0, v)
	}
	spectrumOf(z, -1)
	y := make([]complex128, n)
	for k := range y {
		a, b := z[k], cmplx.Conj(z[(n-k)%n])
		y[k] = (a + b) / 2 * (a - b) / 2i
	}
	spectrumOf(y, 1)
	out := make([]float64, len(x))
	for i := range out {
		out[i] = real(y[i+ahead]) / float64(n)
	}
	return out
}

// wavOf is a recording of 24 bits, put together here by hand.
func wavOf(rate int, channels ...[]float64) []byte {
	le := binary.LittleEndian
	frame := 3 * len(channels)
	b := append([]byte("RIFF\x00\x00\x00\x00WAVEfmt \x10\x00\x00\x00\x01\x00"), byte(len(channels)), 0)
	b = le.AppendUint32(b, uint32(rate))
	b = le.AppendUint32(b, uint32(rate*frame))
	b = append(b, byte(frame), 0, 24, 0)
	b = le.AppendUint32(append(b, "data"...), uint32(frame*len(channels[0])))
	for i := range channels[0] {
		for _, x := range channels {
			v := int32(math.Round(x[i] * (1<<23 - 1)))
			b = append(b, byte(v), byte(v>>8), byte(v>>16))
		}
	}
	return b
}

func inMemory(name string, b []byte) RecordingFile {
	return RecordingFile{Name: name, Source: bytes.NewReader(b), Size: int64(len(b))}
}

// played is a test recording: its file, and the sound in it.
func played(t *testing.T, w SignalWords, settings ...string) (file RecordingFile, sound []float64) {
	t.Helper()
	a, _, err := TestSignal(w, settings)
	if err != nil {
		t.Fatal(err)
	}
	var b bytes.Buffer
	if err := a.Write(&b); err != nil {
		t.Fatal(err)
	}
	rec, _, err := sweep.Open(bytes.NewReader(b.Bytes()), int64(b.Len()))
	if err != nil {
		t.Fatal(err)
	}
	sound = make([]float64, rec.Frames)
	if _, err := rec.Read([][]float64{sound}, 0); err != nil {
		t.Fatal(err)
	}
	return inMemory("test.wav", b.Bytes()), sound
}

// late is a sound that begins some frames later, weaker, with noise.
func late(rng *rand.Rand, x []float64, frames int, gain float64) []float64 {
	y := make([]float64, frames+len(x)+9600)
	for i, v := range x {
		y[frames+i] = gain * v
	}
	for i := range y {
		y[i] += 1e-4 * rng.NormFloat64() // −80 dBFS
	}
	return y
}

// The demo through a whole recording: 10 s at −6 dBFS into the circuit, a
// divider of 10 : 1 into an input of 10 kΩ, −80 dBFS of noise, 24 bits, any
// latency. What is read is what was predicted, to 0.02 dB and half a degree.
func TestDemoRecordedOnTwoChannels(t *testing.T) {
	c, _ := opened(t, demoFile(t, "job.toml"), demo.BassHead())
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260360), 1))
	file, sound := played(t, StandardSignal())
	load := Loading{Source: 220, Top: 4700, Bottom: 1000, Input: 10e3}
	shunt := 1 / (1/load.Bottom + 1/load.Input)
	for _, setting := range []string{"flat", "400=+1", "2500=-1"} {
		y := through(sound, clickOf(t, c, setting, 96000))
		frames := 1 + rng.IntN(100_000)
		take := wavOf(96000, late(rng, y, frames, shunt/(load.Source+load.Top+shunt)), late(rng, sound, frames, 1))
		ohms := 1000.0
		a, found, err := Recording(context.Background(), RecordingQuestion{Recordings: []RecordingFile{inMemory("take.wav", take)},
			Settings: []string{setting}, Played: file, Channel: 1, Reference: 2, GeneratorOhms: &ohms, Load: load}, nil)
		if err != nil || len(found) > 0 || len(a.Takes) != 1 {
			t.Fatalf("%s: %v %v", setting, err, found)
		}
		r := a.Takes[0]
		db, degrees := c.apartFrom(t, r.Curve(), setting, 30, 18000)
		t.Logf("%s: gain within %.4f dB, phase within %.3f°, clocks %.4f ppm", setting, db, degrees, *r.DriftPPM)
		if db > 0.02 || degrees > 0.5 || math.Abs(*r.DriftPPM) > 0.05 {
			t.Errorf("%s: gain off by %.4f dB, phase by %.3f°", setting, db, degrees)
		}
	}
}

// apartFrom gives the largest differences of a curve from the prediction.
func (c *Case) apartFrom(t *testing.T, got curve.Curve, setting string, low, high float64) (db, degrees float64) {
	t.Helper()
	s, err := c.setting(setting)
	if err != nil {
		t.Fatal(err)
	}
	want, err := c.predicted(context.Background(), "", s, got.Hz)
	if err != nil {
		t.Fatal(err)
	}
	for i, f := range got.Hz {
		if f < low || f > high {
			continue
		}
		db = max(db, math.Abs(got.DB[i]-want.DB[i]))
		if got.Degrees != nil {
			turn := got.Degrees[i] - want.Degrees[i]
			degrees = max(degrees, math.Abs(turn-360*math.Round(turn/360)))
		}
	}
	return db, degrees
}

// stretchedBy is a sound on a recorder whose clock is fast, by sine cardinals
// under a Hann window (common practice, no source).
func stretchedBy(x []float64, ppm float64) []float64 {
	const half = 40
	y := make([]float64, len(x))
	for n := range y {
		at := float64(n) / (1 + ppm*1e-6)
		whole := int(at)
		part := at - float64(whole)
		if part < 1e-9 {
			y[n] = x[whole]
			continue
		}
		// Neighbours of a sine cardinal differ by sign and distance alone, those of
		// the window by a constant turn.
		turn := cmplx.Rect(1, -math.Pi/half)
		window := cmplx.Rect(1, math.Pi*(part+half-1)/half)
		sine := math.Sin(math.Pi*part) / math.Pi
		if half%2 == 0 {
			sine = -sine
		}
		var sum float64
		for k := whole - half + 1; k <= whole+half; k++ {
			if k >= 0 && k < len(x) {
				sum += x[k] * (0.5 + 0.5*real(window)) * sine / (at - float64(k))
			}
			window *= turn
			sine = -sine
		}
		y[n] = sum
	}
	return y
}

// One channel, a stored loopback, a recorder 5 parts in a million fast: the
// clock is found to 0.2, the gain to 0.02 dB; with the clocks left as they are
// the phase is not known above 5 kHz.
func TestDemoRecordedOnOneChannel(t *testing.T) {
	c, _ := opened(t, demoFile(t, "job.toml"), demo.BassHead())
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260361), 1))
	words := StandardSignal()
	words.Channels = 1
	file, sound := played(t, words)
	loopback := inMemory("loop.wav", wavOf(96000, late(rng, sound, 4321, 0.7)))
	const setting = "400=+1"
	y := stretchedBy(through(sound, clickOf(t, c, setting, 96000)), 5)
	take := inMemory("take.wav", wavOf(96000, late(rng, y, 1+rng.IntN(100_000), 0.7*0.15)))
	q := RecordingQuestion{Recordings: []RecordingFile{take}, Settings: []string{setting}, Played: file, Channel: 1,
		Loopback: &loopback, LoopbackChannel: 1, Load: Loading{Source: 8500, Input: 1500}}
	for _, keep := range []bool{false, true} {
		q.KeepDrift = keep
		a, found, err := Recording(context.Background(), q, nil)
		if err != nil || len(a.Takes) != 1 {
			t.Fatalf("%v %v", err, found)
		}
		r := a.Takes[0]
		db, _ := c.apartFrom(t, r.Curve(), setting, 30, 18000)
		t.Logf("clocks left: %v: gain within %.4f dB, clocks %.4f ppm, phase to %.0f Hz", keep, db, *r.DriftPPM, r.PhaseTo)
		if math.Abs(*r.DriftPPM-5) > 0.2 || db > 0.02 {
			t.Errorf("clocks %.4f ppm, gain off by %.4f dB", *r.DriftPPM, db)
		}
		if unknown := r.PhaseTo <= 5000; unknown != keep {
			t.Errorf("clocks left: %v, yet the phase is known to %.0f Hz", keep, r.PhaseTo)
		}
		for _, id := range []finding.ID{IDGeneratorAsked, sweep.IDDelayFitted} {
			if !slices.ContainsFunc(found, func(f finding.Finding) bool { return f.ID == id }) {
				t.Errorf("%s is not said: %v", id, found)
			}
		}
	}
}
