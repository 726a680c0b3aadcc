package sweep

import (
	"bytes"
	"math"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// short is a signal for tests that ask for many takes.
func short(rate int) Signal {
	s := Standard(rate)
	s.Seconds = 3
	return s
}

// spoil is something that happens to the two channels of a take.
type spoil func(y, x []float64) (ny, nx []float64)

// both does the same to both channels, as lost samples do.
func both(change func([]float64) []float64) spoil {
	return func(y, x []float64) ([]float64, []float64) { return change(y), change(x) }
}

func remove(at, count int) spoil {
	return both(func(x []float64) []float64 { return append(slices.Clone(x[:at]), x[at+count:]...) })
}

func only(change func([]float64)) spoil {
	return func(y, x []float64) ([]float64, []float64) {
		y = slices.Clone(y)
		change(y)
		return y, x
	}
}

func limit(x []float64, gain, most float64) {
	for i := range x {
		x[i] = max(-most, min(most, gain*x[i]))
	}
}

// Takes that are spoilt are refused, and the place in the recording is named.
// At 48 kHz with early = 6000 frames the sweep runs from frame 126,000 to 270,000.
func TestSpoiltTakes(t *testing.T) {
	const rate, early, mid = 48000, 6000, 200_000 - 6000
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260330), 1))
	s := short(rate)
	x := played(t, s)
	y := sixBands(rate, map[float64]float64{400: 12}).play(x)
	for _, c := range []struct {
		name   string
		spoil  spoil
		id     finding.ID // "": it is read
		at     int        // frame it names; 0: none
		within int
	}{
		{"clean", both(func(x []float64) []float64 { return x }), "", 0, 0},
		{"clipped at full scale", only(func(y []float64) { limit(y, 8, 1) }), IDClipped, 190_000, 70_000},
		{"loopback clipped", func(y, x []float64) ([]float64, []float64) {
			x = slices.Clone(x)
			limit(x, 3, 1)
			return y, x
		}, IDClipped, 126_000, 12_000},
		{"ends in the sweep", both(func(x []float64) []float64 { return x[:mid] }), IDTakeCut, 200_000 + 12_000, 0},
		{"ends before the second mark", both(func(x []float64) []float64 { return x[:282_000] }), IDTakeCut, 300_000, 0},
		{"starts after the first mark", both(func(x []float64) []float64 { return x[60_000:] }), IDTakeLate, 243_600, 300},
		{"64 frames lost", remove(mid, 64), IDJump, 200_000, 2},
		{"200 frames lost", remove(mid, 200), IDLost, 54_000, 100},
		{"1000 frames lost", remove(mid, 1000), IDMarkLost, 54_000, 100},
		{"a tenth of a second lost", remove(mid, 4800), IDMarkLost, 54_000, 100},
		{"64 frames twice", both(func(x []float64) []float64 { return slices.Insert(slices.Clone(x), mid, x[mid-64:mid]...) }), IDJump, 200_000, 2},
		{"a buffer of nothing", both(func(x []float64) []float64 { x = slices.Clone(x); clear(x[mid : mid+480]); return x }), IDJump, 200_000, 2},
		{"a buffer played twice", both(func(x []float64) []float64 { x = slices.Clone(x); copy(x[mid:mid+480], x[mid-480:mid]); return x }), IDJump, 200_000, 2},
		{"a click", only(func(y []float64) { y[mid] += 0.1 }), IDJump, 200_000, 2},
		{"swapped", func(y, x []float64) ([]float64, []float64) { return x, y }, IDSwapped, 0, 0},
		{"nothing on the amp's channel", only(func(y []float64) { clear(y) }), IDQuiet, 0, 0},
		{"nothing at all", func(y, x []float64) ([]float64, []float64) { return make([]float64, len(y)), make([]float64, len(x)) }, IDNoMarks, 0, 0},
		// What must not be refused: dirt, hum, noise, an edge every half cycle.
		{"overdriven", only(func(y []float64) {
			for i := range y {
				y[i] = 0.3 * math.Tanh(8*y[i])
			}
		}), "", 0, 0},
		{"crossover", only(func(y []float64) {
			for i, v := range y {
				y[i] = v - math.Copysign(min(0.01, math.Abs(v)), v)
			}
		}), "", 0, 0},
		{"hum", only(func(y []float64) {
			for i := range y {
				y[i] += 0.03 * math.Sin(2*math.Pi*50*float64(i)/rate)
			}
		}), "", 0, 0},
		{"noisy", only(func(y []float64) {
			for i := range y {
				y[i] += 0.01 * rng.NormFloat64()
			}
		}), "", 0, 0},
	} {
		ny, nx := c.spoil(y, x)
		rec, _ := opened(t, taken(t, rng, rate, early, -80, ny, nx))
		results, found, err := Read(rec, How{Signal: s, Channel: 1, Reference: 2})
		if c.id == "" {
			if err != nil || len(results) != 1 {
				t.Errorf("%s: refused, %v", c.name, found)
			}
			continue
		}
		i := slices.IndexFunc(found, func(f finding.Finding) bool { return f.ID == c.id })
		if err == nil || i < 0 {
			t.Errorf("%s: %v, want %s", c.name, found, c.id)
			continue
		}
		if at, _ := found[i].Args["frame"].(int64); c.at > 0 && math.Abs(float64(at)-float64(c.at)) > float64(c.within) {
			t.Errorf("%s: frame %d, want %d", c.name, at, c.at)
		}
	}
}

// A stretch of exact nothing, tops cut flat below full scale, and samples that are no numbers, as only a file
// without noise has them.
func TestDropoutAndNoNumbers(t *testing.T) {
	s := short(48000)
	x := played(t, s)
	y := sixBands(48000, nil).play(x)
	hole := slices.Clone(y)
	clear(hole[150_000:150_500])
	rec, _ := opened(t, taken(t, nil, 48000, 100, 0, hole, x))
	_, found, err := Read(rec, How{Signal: s, Channel: 1, Reference: 2})
	if err == nil || !has(found, IDDropout) || found[0].Args["frame"] != int64(150_100) {
		t.Errorf("%v", found)
	}
	flat := slices.Clone(y)
	limit(flat, 1, 0.06)
	rec, _ = opened(t, taken(t, nil, 48000, 100, 0, flat, x))
	if _, found, err = Read(rec, How{Signal: s, Channel: 1, Reference: 2}); err == nil || !has(found, IDClipped) {
		t.Errorf("%v", found)
	}
	y[160_000], y[160_001] = math.NaN(), math.Inf(1)
	rec, _ = opened(t, written(t, Format{Rate: 48000, Channels: 2, Bits: 32, Float: true}, [][]float64{y, x}, nil))
	_, found, err = Read(rec, How{Signal: s, Channel: 1, Reference: 2})
	if err == nil || !has(found, IDNotFinite) || found[0].Args["frame"] != int64(160_000) || found[0].Args["count"] != 2 {
		t.Errorf("%v", found)
	}
}

// Sound taken at one rate in a file that names another.
func TestWrongRate(t *testing.T) {
	for _, c := range []struct{ played, named int }{{44100, 48000}, {48000, 44100}, {48000, 96000}, {96000, 48000}} {
		s := short(c.played)
		s.StopHz = 20000
		x := played(t, s)
		rec, _ := opened(t, written(t, Format{Rate: c.named, Channels: 1, Bits: 24}, [][]float64{x}, nil))
		_, found, err := Read(rec, How{Signal: s, Channel: 1})
		if err == nil || !has(found, IDWrongRate) || found[0].Args["likely"] != float64(c.played) {
			t.Errorf("%d named %d: %v", c.played, c.named, found)
		}
	}
}

func TestWhatIsAskedWrongly(t *testing.T) {
	s := short(48000)
	x := played(t, s)
	rec, _ := opened(t, written(t, Format{Rate: 48000, Channels: 1, Bits: 24}, [][]float64{x}, nil))
	other, _ := opened(t, written(t, Format{Rate: 44100, Channels: 1, Bits: 24}, [][]float64{x}, nil))
	empty, _ := opened(t, written(t, Format{Rate: 48000, Channels: 1, Bits: 24}, [][]float64{make([]float64, 100)}, nil))
	bad := s
	bad.StopHz = math.NaN()
	for _, c := range []struct {
		how How
		id  finding.ID
	}{
		{How{Signal: s, Channel: 0}, IDNoChannel},
		{How{Signal: s, Channel: 2}, IDNoChannel},
		{How{Signal: s, Channel: 1, Reference: 2}, IDNoChannel},
		{How{Signal: bad, Channel: 1}, IDSignal},
		{How{Signal: Standard(96000), Channel: 1}, IDTakeCut},
		{How{Signal: s, Channel: 1, Loopback: other}, IDLoopbackRate},
		{How{Signal: s, Channel: 1, Loopback: empty}, IDLoopbackTake},
		{How{Signal: s, Channel: 1, Load: Divider{Top: -1}}, IDDivider},
	} {
		results, found, err := Read(rec, c.how)
		if err == nil || results != nil || !has(found, c.id) {
			t.Errorf("want %s: %v", c.id, found)
		}
		if err := bad.Write(&bytes.Buffer{}); err == nil {
			t.Error("a signal that stops nowhere was written")
		}
	}
}
