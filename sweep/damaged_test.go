package sweep

import (
	"bytes"
	"encoding/binary"
	"errors"
	"io"
	"math"
	"strings"
	"testing"

	"bandwright/finding"
)

// sound is a small file, 16 bits, two channels, 100 frames of a ramp, as the
// room's own writer makes it: head 44 bytes, sound from there on.
func sound(t *testing.T) []byte {
	t.Helper()
	block := [][]float64{make([]float64, 100), make([]float64, 100)}
	for i := range 100 {
		block[0][i], block[1][i] = float64(i)/128, -float64(i)/128
	}
	return written(t, Format{Rate: 48000, Channels: 2, Bits: 16}, block, nil)
}

// put overwrites bytes at a place.
func put(at int, with ...byte) func([]byte) []byte {
	return func(b []byte) []byte { copy(b[at:], with); return b }
}

// insert adds bytes at a place.
func insert(at int, with string) func([]byte) []byte {
	return func(b []byte) []byte {
		return append(b[:at:at], append([]byte(with), b[at:]...)...)
	}
}

func cut(at int) func([]byte) []byte { return func(b []byte) []byte { return b[:at] } }

// Damaged recordings: what is done to a good one, what is said of it and at
// which byte, and how many of its 100 frames are still right; −1: refused.
func TestDamaged(t *testing.T) {
	for _, c := range []struct {
		name   string
		damage func([]byte) []byte
		id     finding.ID
		at     int // the finding's byte; −1: it has none
		frames int64
	}{
		{"nothing", cut(0), IDEmpty, -1, -1},
		{"cut in the first bytes", cut(9), IDNotWAV, -1, -1},
		{"another kind of file", put(0, []byte("fLaC")...), IDNotWAV, -1, -1},
		{"another kind of RIFF", put(8, []byte("AVI ")...), IDNotWAV, -1, -1},
		{"big-endian", put(0, []byte("RIFX")...), IDNotWAV, -1, -1},
		{"cut in the format", cut(30), IDFormatShort, 20, -1},
		{"format chunk overwritten", put(12, []byte("fmT ")...), IDNoFormat, -1, -1},
		{"compressed", put(20, 2, 0), IDEncoding, 20, -1},
		{"no channels", put(22, 0, 0), IDChannels, 22, -1},
		{"rate of nothing", put(24, 0, 0, 0, 0), IDRate, 24, -1},
		{"36 bits", put(34, 36, 0), IDDepth, 34, -1},
		{"cut before the sound", cut(36), IDNoData, -1, -1},
		{"cut at the sound's first byte", cut(44), IDNoSamples, 44, -1},
		{"cut in the sound", cut(244), IDDataCut, 244, 50},
		{"cut inside a frame", cut(246), IDFrameCut, 244, 50},
		{"streamed", put(40, 0xFF, 0xFF, 0xFF, 0xFF), IDDataOpen, 36, 100},
		{"streamed, length left at nothing", put(40, 0, 0, 0, 0), IDDataOpen, 36, 100},
		{"streamed, a length of 2 GB", put(40, 0x24, 0xF0, 0xFF, 0x7F), IDDataOpen, 36, 100},
		{"frame length wrong", put(32, 3, 0), IDAlign, 32, 100},
		{"bytes a second wrong", put(28, 1, 0, 0, 0), IDByteRate, 28, 100},
		{"a chunk reaches out of the file", insert(444, "LIST\xff\x00\x00\x00adtl"), IDChunkCut, 444, 100},
		{"padding missing", insert(36, "fact\x05\x00\x00\x0012345"), IDPadding, 50, 100},
		{"padding too long", insert(36, "fact\x04\x00\x00\x001234\x00"), IDPadding, 48, 100},
		{"bytes between the chunks", insert(36, "\x00\x01\x02\x03\x04\x05\x06\x07\x08\x09"), IDGarbled, 36, 100},
		{"bytes behind the sound", insert(444, "\x00\x01\x02"), IDTrailing, 444, 100},
		{"garbage behind the sound", insert(444, "\x00\x01\x02\x03\x04\x05\x06\x07\x08\x09"), IDTrailing, 444, 100},
		{"a second format", insert(36, "fmt \x10\x00\x00\x00\x01\x00\x01\x00\x44\xac\x00\x00\x88\x58\x01\x00\x02\x00\x10\x00"), IDSecondChunk, 36, 100},
		{"a second sound", insert(444, "data\x04\x00\x00\x001234"), IDSecondChunk, 444, 100},
		{"RF64 without its lengths", func(b []byte) []byte {
			return put(40, 0xFF, 0xFF, 0xFF, 0xFF)(put(0, []byte("RF64")...)(b))
		}, IDNo64, 36, 100},
		{"extensible without its extension", put(20, 0xFE, 0xFF), IDExtensionShort, 36, 100},
	} {
		b := c.damage(sound(t))
		rec, found, err := Open(bytes.NewReader(b), int64(len(b)))
		if (err != nil) != (c.frames < 0) {
			t.Errorf("%s: %v", c.name, err)
			continue
		}
		if !said(found, c.id, c.at) {
			t.Errorf("%s: %v, want %s at byte %d", c.name, found, c.id, c.at)
		}
		if err != nil {
			continue
		}
		if rec.Frames != c.frames {
			t.Errorf("%s: %d frames, want %d", c.name, rec.Frames, c.frames)
		}
		for i, x := range all(t, rec)[1] {
			if x != -float64(i)/128 {
				t.Errorf("%s: frame %d is %g", c.name, i, x)
				break
			}
		}
	}
}

// said tells whether a finding stands in a list, at a byte.
func said(found finding.List, id finding.ID, at int) bool {
	for _, f := range found {
		if b, has := f.Args["byte"].(int64); f.ID == id && (at < 0 && !has || has && b == int64(at)) {
			return true
		}
	}
	return false
}

func TestKindsOfFile(t *testing.T) {
	for _, c := range []struct{ b, kind string }{
		{"FORM\x00\x00\x00\x00AIFF", "AIFF"}, {"ID3\x03\x00\x00\x00\x00\x00\x00\x00\x00", "MP3"}, {"OggS\x00\x00\x00\x00\x00\x00\x00\x00", "Ogg"},
		{"%PDF-1.4\n...", "PDF"}, {"hertz, dB\n1, 2\n", "text file"}, {"\x00\x00\x00\x18ftypM4A ", "MP4"},
		{"RIFF\x00\x00\x00\x00AVI LIST", "RIFF file of another kind"}, {"\x00\x01\x02\x03\x04\x05\x06\x07\x08\x09\x0a\x0b", "binary file"},
	} {
		_, found, err := Open(strings.NewReader(c.b), int64(len(c.b)))
		if err == nil || found[0].Args["kind"] != c.kind {
			t.Errorf("%q: %v, want %s", c.b, found, c.kind)
		}
	}
}

// Depths that stand in wider containers, odd depths, valid bits: left-justified
// values all the same.
func TestOddDepths(t *testing.T) {
	le := binary.LittleEndian
	file := func(format []byte, data string) []byte {
		b := append([]byte("RIFF\x00\x00\x00\x00WAVEfmt "), le.AppendUint32(nil, uint32(len(format)))...)
		b = append(append(b, format...), "data"...)
		return append(le.AppendUint32(b, uint32(len(data))), data...)
	}
	format := func(tag, channels, align, bits int, more string) []byte {
		b := le.AppendUint16(nil, uint16(tag))
		b = le.AppendUint16(b, uint16(channels))
		b = le.AppendUint32(b, 48000)
		b = le.AppendUint32(b, uint32(48000*align))
		b = le.AppendUint16(b, uint16(align))
		return append(le.AppendUint16(b, uint16(bits)), more...)
	}
	for _, c := range []struct {
		name  string
		b     []byte
		valid int
		want  float64
	}{
		{"12 bits in two bytes", file(format(1, 1, 2, 12, ""), "\x10\x40"), 12, 0.5 + 1.0/2048},
		{"20 bits in three", file(format(1, 1, 3, 20, ""), "\x00\x00\xC0"), 20, -0.5},
		{"24 bits in four", file(format(1, 1, 4, 24, ""), "\x00\x00\x00\x40"), 24, 0.5},
		{"5 bits in one", file(format(1, 1, 1, 5, ""), "\xC0"), 5, 0.5},
		{"24 valid of 32", file(format(0xFFFE, 1, 4, 32, "\x16\x00\x18\x00\x00\x00\x00\x00\x01\x00"+guidTail), "\x00\x01\x00\x40"), 24, 0.5 + 1.0/(1<<23)},
		{"float, extensible", file(format(0xFFFE, 1, 4, 32, "\x16\x00\x20\x00\x00\x00\x00\x00\x03\x00"+guidTail), "\x00\x00\x40\x3f"), 32, 0.75},
		{"valid bits beyond all", file(format(0xFFFE, 1, 2, 16, "\x16\x00\x18\x00\x00\x00\x00\x00\x01\x00"+guidTail), "\x00\x40"), 16, 0.5},
	} {
		rec, found := opened(t, c.b)
		if got := all(t, rec)[0][0]; got != c.want || rec.Valid != c.valid {
			t.Errorf("%s: %g with %d bits valid, want %g with %d", c.name, got, rec.Valid, c.want, c.valid)
		}
		if strings.HasPrefix(c.name, "valid bits") != has(found, IDValidBits) {
			t.Errorf("%s: %v", c.name, found)
		}
	}
	b := file(format(0xFFFE, 1, 2, 16, "\x16\x00\x10\x00\x00\x00\x00\x00\x01\x00"+strings.Repeat("x", 14)), "\x00\x40")
	if _, found, err := Open(bytes.NewReader(b), int64(len(b))); err == nil || found[0].ID != IDEncoding {
		t.Errorf("a sub-format of its own: %v", found)
	}
}

// brokenSource fails from a byte on, as a stick does that is pulled out.
type brokenSource struct {
	b  []byte
	at int64
}

func (s brokenSource) ReadAt(p []byte, at int64) (int, error) {
	n := copy(p, s.b[min(at, int64(len(s.b))):max(at, s.at)])
	if n < len(p) {
		return n, errors.New("pulled out")
	}
	return n, nil
}

func TestSourceThatFails(t *testing.T) {
	b := sound(t)
	_, found, err := Open(brokenSource{b, 6}, int64(len(b)))
	if err == nil || !said(found, IDUnreadable, 6) {
		t.Errorf("in the head: %v", found)
	}
	rec, _, err := Open(brokenSource{b, 144}, int64(len(b)))
	if err != nil {
		t.Fatal(err)
	}
	_, err = rec.Read([][]float64{make([]float64, 100)}, 0)
	if list, _ := finding.From(err); !said(list, IDUnreadable, 144) {
		t.Errorf("in the sound: %v", err)
	}
	if _, err := rec.Read([][]float64{make([]float64, 20)}, 0); err != nil {
		t.Errorf("before it: %v", err)
	}
	if err := Standard(48000).Write(brokenSink{}); !errors.Is(err, io.ErrShortWrite) {
		t.Errorf("a full disk: %v", err)
	}
	if s := (Format{Float: true}).Step(); s != 0 || (Format{Valid: 16}).Step() != math.Ldexp(1, -15) {
		t.Errorf("steps of %g", s)
	}
}

type brokenSink struct{}

func (brokenSink) Write([]byte) (int, error) { return 0, io.ErrShortWrite }
