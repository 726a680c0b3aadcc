package sweep

import (
	"encoding/binary"
	"io"
	"math"

	"bandwright/finding"
)

// Format is how the samples of a recording are kept.
type Format struct {
	Rate     int  `json:"rate_hz"`  // frames a second
	Channels int  `json:"channels"` // samples a frame
	Bits     int  `json:"bits"`     // a sample takes in the file: 8, 16, 24, 32 or 64
	Valid    int  `json:"valid"`    // of them that count, left-justified
	Float    bool `json:"float"`
}

// frame gives the bytes of one frame.
func (f Format) frame() int64 { return int64(f.Channels) * int64(f.Bits/8) }

// Step gives the difference of two neighbouring values, full scale being 1;
// 0 for float.
func (f Format) Step() float64 {
	if f.Float {
		return 0
	}
	return math.Ldexp(1, 1-f.Valid)
}

// Marker is a named place in a recording.
type Marker struct {
	Frame int64  `json:"frame"` // from 0
	Name  string `json:"name"`
}

// Recording is a WAV file open for reading. It is never changed and has many
// readers; only what is asked for is ever held in memory.
type Recording struct {
	Format
	Frames  int64    `json:"frames"`
	Markers []Marker `json:"markers,omitempty"`
	Comment string   `json:"comment,omitempty"`
	Chunks  []string `json:"chunks"` // names, in the file's order

	source io.ReaderAt
	start  int64 // byte of the first frame
}

// Seconds gives the length of the recording.
func (r *Recording) Seconds() float64 { return float64(r.Frames) / float64(r.Rate) }

// Read fills dst, a slice a channel, all of one length, with the frames from
// one on; a channel whose slice is nil is passed over. Full scale is 1. It
// gives the count of frames read, fewer only at the end of the recording.
// A float recording may hold values that are no numbers; they come as they are.
// The error is a finding when the source fails.
func (r *Recording) Read(dst [][]float64, from int64) (int, error) {
	return r.reader().read(dst, from)
}

// pieceBytes is what is fetched from the source at once, about.
const pieceBytes = 1 << 16

// reader reads a recording piece by piece with one buffer of its own.
type reader struct {
	rec   *Recording
	bytes []byte
}

func (r *Recording) reader() *reader {
	frames := max(1, pieceBytes/r.frame())
	return &reader{rec: r, bytes: make([]byte, frames*r.frame())}
}

func (r *reader) read(dst [][]float64, from int64) (int, error) {
	rec := r.rec
	if len(dst) > rec.Channels || from < 0 {
		panic("sweep: read outside the recording's channels or before its start")
	}
	total := min(length(dst), max(0, rec.Frames-from))
	frame := rec.frame()
	for done := int64(0); done < total; {
		count := min(total-done, int64(len(r.bytes))/frame)
		at := rec.start + (from+done)*frame
		piece := r.bytes[:count*frame]
		if n, err := rec.source.ReadAt(piece, at); int64(n) < count*frame {
			return int(done), finding.New(IDUnreadable, finding.Error, finding.Place{},
				finding.Args{"byte": at + int64(n), "why": err.Error()})
		}
		for c, samples := range dst {
			if samples != nil {
				rec.decode(samples[done:done+count], piece[c*rec.Bits/8:], int(frame))
			}
		}
		done += count
	}
	return int(total), nil
}

func length(dst [][]float64) (most int64) {
	for _, samples := range dst {
		most = max(most, int64(len(samples)))
	}
	return most
}

// decode reads one channel's samples, a frame's length apart. Integers are
// left-justified in their container, 8 bits count from 128 (Multimedia
// Programming Interface and Data Specifications 1.0, 1991).
func (f Format) decode(dst []float64, b []byte, frame int) {
	switch {
	case f.Float && f.Bits == 32:
		for i := range dst {
			dst[i] = float64(math.Float32frombits(binary.LittleEndian.Uint32(b[i*frame:])))
		}
	case f.Float:
		for i := range dst {
			dst[i] = math.Float64frombits(binary.LittleEndian.Uint64(b[i*frame:]))
		}
	case f.Bits == 8:
		for i := range dst {
			dst[i] = float64(int(b[i*frame])-128) * (1.0 / 128)
		}
	case f.Bits == 16:
		for i := range dst {
			dst[i] = float64(int16(binary.LittleEndian.Uint16(b[i*frame:]))) * (1.0 / (1 << 15))
		}
	case f.Bits == 24:
		for i := range dst {
			s := b[i*frame:][:3]
			dst[i] = float64(int32(s[0])<<8|int32(s[1])<<16|int32(s[2])<<24) * (1.0 / (1 << 31))
		}
	default:
		for i := range dst {
			dst[i] = float64(int32(binary.LittleEndian.Uint32(b[i*frame:]))) * (1.0 / (1 << 31))
		}
	}
}
