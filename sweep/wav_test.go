package sweep

import (
	"bytes"
	"fmt"
	"math"
	"math/rand/v2"
	"reflect"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// written is a whole file in memory.
func written(t testing.TB, f Format, block [][]float64, markers []Marker) []byte {
	t.Helper()
	var b bytes.Buffer
	w, err := NewWriter(&b, f, length(block), markers, "")
	if err != nil {
		t.Fatal(err)
	}
	if err := w.Write(block); err != nil {
		t.Fatal(err)
	}
	if err := w.Close(); err != nil {
		t.Fatal(err)
	}
	return b.Bytes()
}

// opened opens bytes that must be a recording.
func opened(t testing.TB, b []byte) (*Recording, finding.List) {
	t.Helper()
	rec, found, err := Open(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	return rec, found
}

// all reads a whole recording.
func all(t testing.TB, rec *Recording) [][]float64 {
	t.Helper()
	block := make([][]float64, rec.Channels)
	for c := range block {
		block[c] = make([]float64, rec.Frames)
	}
	if n, err := rec.Read(block, 0); err != nil || int64(n) != rec.Frames {
		t.Fatalf("%d of %d frames, %v", n, rec.Frames, err)
	}
	return block
}

func random(rng *rand.Rand, channels, frames int) [][]float64 {
	block := make([][]float64, channels)
	for c := range block {
		block[c] = make([]float64, frames)
		for i := range block[c] {
			block[c][i] = 2*rng.Float64() - 1
		}
	}
	return block
}

var depths = []Format{
	{Bits: 8}, {Bits: 16}, {Bits: 24}, {Bits: 32}, {Bits: 32, Float: true}, {Bits: 64, Float: true},
}

// What is written comes back, to half a step of its depth, markers and all.
func TestWAVRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260303), 1))
	markers := []Marker{{0, "flat"}, {17, "63=+1"}, {40, "odd"}}
	for _, f := range depths {
		for _, channels := range []int{1, 2, 3} {
			f.Channels, f.Rate, f.Valid = channels, 96000, f.Bits
			block := random(rng, channels, 41)
			rec, found := opened(t, written(t, f, block, markers))
			if len(found) > 0 || rec.Format != f || rec.Frames != 41 || !reflect.DeepEqual(rec.Markers, markers) {
				t.Fatalf("%+v: %+v %v", f, rec, found)
			}
			half := f.Step() / 2
			if f.Float && f.Bits == 32 {
				half = 1.0 / (1 << 25)
			}
			for c, got := range all(t, rec) {
				for i, x := range got {
					want := min(block[c][i], 1-f.Step())
					if math.Abs(x-want) > half {
						t.Fatalf("%+v channel %d frame %d: %g, want %g", f, c, i, x, want)
					}
				}
			}
		}
	}
}

// A part of a recording is the same as that part of the whole, across the
// pieces it is fetched in; a channel that is not asked for is left alone.
func TestReadFromAnywhere(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260304), 1))
	block := random(rng, 2, 60_000)
	rec, _ := opened(t, written(t, Format{Rate: 48000, Channels: 2, Bits: 24}, block, nil))
	whole := all(t, rec)
	for range trials.Count(200) {
		from, count := rng.IntN(61_000), rng.IntN(30_000)
		part := make([]float64, count)
		n, err := rec.Read([][]float64{nil, part}, int64(from))
		if want := max(0, min(count, 60_000-from)); err != nil || n != want {
			t.Fatalf("%d frames from %d: %d, want %d, %v", count, from, n, want, err)
		}
		if n > 0 && !reflect.DeepEqual(part[:n], whole[1][from:from+n]) {
			t.Fatalf("%d frames from %d differ", count, from)
		}
	}
}

func TestFormatsNotWritten(t *testing.T) {
	for _, c := range []struct {
		f    Format
		what string
	}{
		{Format{Rate: 0, Channels: 1, Bits: 16}, "rate"},
		{Format{Rate: 48000, Channels: 0, Bits: 16}, "channels"},
		{Format{Rate: 48000, Channels: 1, Bits: 20}, "bits"},
		{Format{Rate: 48000, Channels: 1, Bits: 16, Float: true}, "bits"},
		{Format{Rate: 48000, Channels: 1, Bits: 64}, "bits"},
	} {
		_, err := NewWriter(&bytes.Buffer{}, c.f, 1, nil, "")
		list, _ := finding.From(err)
		if len(list) != 1 || list[0].ID != IDFormat || list[0].Args["what"] != c.what {
			t.Errorf("%+v: %v", c.f, err)
		}
	}
}

// An RF64 head reads back with its long lengths, from a source that only
// pretends to hold the sound.
func TestLongRecording(t *testing.T) {
	f := Format{Rate: 192000, Channels: 2, Bits: 32}
	frames := int64(2 * 3600 * 192000)
	b := head(Format{Rate: f.Rate, Channels: 2, Bits: 32, Valid: 32}, frames, nil)
	if string(b[:4]) != "RF64" {
		t.Fatalf("%d frames were written as %s", frames, b[:4])
	}
	rec, found, err := Open(zeros{b}, int64(len(b))+frames*f.frame())
	if err != nil || len(found) > 0 || rec.Frames != frames {
		t.Fatalf("%v %v %v", rec, found, err)
	}
}

// zeros is a file that begins with some bytes and goes on with nothing else.
type zeros struct{ start []byte }

func (z zeros) ReadAt(b []byte, at int64) (int, error) {
	clear(b)
	if at < int64(len(z.start)) {
		copy(b, z.start[at:])
	}
	return len(b), nil
}

// 20,000 damaged files: never a panic, never more frames than bytes, never an
// answer without either a recording or an error.
func TestMutations(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260305), 1))
	var seeds [][]byte
	for _, f := range depths {
		f.Rate, f.Channels = 44100, 1+len(seeds)%2
		seeds = append(seeds, written(t, f, random(rng, f.Channels, 25), []Marker{{3, "a"}, {9, "bc"}}))
	}
	seeds = append(seeds, head(Format{Rate: 48000, Channels: 2, Bits: 24, Valid: 24}, 1<<32, nil))
	refused := 0
	for range trials.Count(20_000) {
		b := mutate(rng, seeds[rng.IntN(len(seeds))])
		if _, err := tryRead(b); err != nil {
			refused++
			if _, ok := finding.From(err); !ok {
				t.Fatalf("%q: %v", b, err)
			}
		}
	}
	if refused == 0 {
		t.Error("nothing was ever refused")
	}
}

func mutate(rng *rand.Rand, seed []byte) []byte {
	b := append([]byte(nil), seed...)
	for range 1 + rng.IntN(4) {
		at := rng.IntN(len(b))
		switch rng.IntN(5) {
		case 0:
			b[at] = byte(rng.Uint32())
		case 1:
			b[at] ^= 1 << rng.IntN(8)
		case 2:
			b = b[:max(at, 1)]
		case 3:
			b = append(b[:at:at], append([]byte{byte(rng.Uint32())}, b[at:]...)...)
		case 4:
			b = append(b[:at:at], b[min(len(b), at+1+rng.IntN(4)):]...)
			if len(b) == 0 {
				b = []byte{0}
			}
		}
	}
	return b
}

// tryRead opens bytes and reads all they promise.
func tryRead(b []byte) (*Recording, error) {
	rec, _, err := Open(bytes.NewReader(b), int64(len(b)))
	if err != nil {
		return nil, err
	}
	if rec.Frames < 1 || rec.Frames*rec.frame() > int64(len(b)) {
		return nil, fmt.Errorf("%d frames in %d bytes", rec.Frames, len(b))
	}
	block := make([][]float64, rec.Channels)
	for c := range block {
		block[c] = make([]float64, rec.Frames)
	}
	if n, err := rec.Read(block, 0); int64(n) != rec.Frames || err != nil {
		return nil, fmt.Errorf("%d of %d frames: %v", n, rec.Frames, err)
	}
	return rec, nil
}

func FuzzOpen(f *testing.F) {
	rng := rand.New(rand.NewPCG(20260306, 1))
	for i, d := range depths {
		d.Rate, d.Channels = 44100, 1+i%2
		f.Add(written(f, d, random(rng, d.Channels, 9), []Marker{{3, "a"}}))
	}
	f.Fuzz(func(t *testing.T, b []byte) {
		if _, err := tryRead(b); err != nil {
			if _, ok := finding.From(err); !ok {
				t.Fatal(err)
			}
		}
	})
}
