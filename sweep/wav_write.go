package sweep

import (
	"encoding/binary"
	"io"
	"math"
	"slices"

	"bandwright/finding"
)

// Writer writes a WAV file whose length is known beforehand: plain PCM of 8 and
// 16 bits, extensible PCM of 24 and 32, float of 32 and 64; markers with their
// names; RF64 where 32 bits cannot hold the length.
type Writer struct {
	w      io.Writer
	format Format
	frames int64
	left   int64 // frames still to come
	bytes  []byte
}

// NewWriter writes the head of a file of so many frames, with markers and a
// comment where there are any. The error is a finding when the format is not
// one that is written, else what w said.
func NewWriter(w io.Writer, f Format, frames int64, markers []Marker, comment string) (*Writer, error) {
	f.Valid = f.Bits
	if err := f.check(); err != nil {
		return nil, err
	}
	if frames < 0 {
		panic("sweep: a recording of less than no frames")
	}
	beside := slices.Concat(cueChunk(markers), labelChunk(markers), commentChunk(comment))
	_, err := w.Write(head(f, frames, beside))
	return &Writer{w: w, format: f, frames: frames, left: frames}, err
}

// check refuses a format that is not written.
func (f Format) check() error {
	wrong := func(what string, read int) error {
		return finding.New(IDFormat, finding.Error, finding.Place{}, finding.Args{"what": what, "read": read})
	}
	switch depths := map[int]bool{8: !f.Float, 16: !f.Float, 24: !f.Float, 32: true, 64: f.Float}; {
	case f.Rate < MinRate || f.Rate > MaxRate:
		return wrong("rate", f.Rate)
	case f.Channels < 1 || f.Channels > MaxChannels:
		return wrong("channels", f.Channels)
	case !depths[f.Bits]:
		return wrong("bits", f.Bits)
	}
	return nil
}

// Write adds frames, a slice a channel, all of one length; full scale is 1 and
// what goes beyond is held there. Integers are rounded, without dither: the
// test signal is loud, and its silence stays silence.
func (w *Writer) Write(block [][]float64) error {
	count := length(block)
	if len(block) != w.format.Channels || count > w.left {
		panic("sweep: more written than the head says")
	}
	w.left -= count
	frame := int(w.format.frame())
	if need := int(count) * frame; cap(w.bytes) < need {
		w.bytes = make([]byte, need)
	} else {
		w.bytes = w.bytes[:need]
	}
	for c, samples := range block {
		w.format.encode(w.bytes[c*w.format.Bits/8:], samples, frame)
	}
	_, err := w.w.Write(w.bytes)
	return err
}

// Close ends the file. Fewer frames than the head says is our own mistake.
func (w *Writer) Close() error {
	if w.left != 0 {
		panic("sweep: fewer frames written than the head says")
	}
	if w.frames*w.format.frame()%2 == 1 {
		_, err := w.w.Write([]byte{0})
		return err
	}
	return nil
}

func (f Format) encode(b []byte, samples []float64, frame int) {
	scale := math.Ldexp(1, f.Bits-1)
	for i, x := range samples {
		at := b[i*frame:]
		if f.Float {
			if f.Bits == 32 {
				binary.LittleEndian.PutUint32(at, math.Float32bits(float32(x)))
			} else {
				binary.LittleEndian.PutUint64(at, math.Float64bits(x))
			}
			continue
		}
		v := int64(math.RoundToEven(max(-scale, min(scale-1, x*scale))))
		if f.Bits == 8 {
			v += 128
		}
		for k := range f.Bits / 8 {
			at[k] = byte(v >> (8 * k))
		}
	}
}

// head is everything before the samples.
func head(f Format, frames int64, marks []byte) []byte {
	le := binary.LittleEndian
	bytes := frames * f.frame()
	body := append([]byte("WAVE"), formatChunk(f, frames)...)
	body = append(body, marks...)
	all := int64(len(body)) + 8 + bytes + bytes%2
	b := []byte("RIFF")
	if all+36 > math.MaxUint32 {
		// EBU Tech 3306: the long lengths stand first.
		b = []byte("RF64")
		long := le.AppendUint32([]byte("WAVEds64"), 28)
		long = le.AppendUint64(long, uint64(all+36))
		long = le.AppendUint64(long, uint64(bytes))
		long = le.AppendUint64(long, uint64(frames))
		long = le.AppendUint32(long, 0)
		body = append(long, body[4:]...)
		all, bytes = unknownLength, unknownLength
	}
	b = append(le.AppendUint32(b, uint32(all)), body...)
	return le.AppendUint32(append(b, "data"...), uint32(bytes))
}

func formatChunk(f Format, frames int64) []byte {
	le := binary.LittleEndian
	extensible := !f.Float && f.Bits > 16
	b, tag, size := []byte("fmt "), tagPCM, 16
	switch {
	case f.Float:
		tag, size = tagFloat, 18
	case extensible:
		tag, size = tagExtensible, 40
	}
	b = le.AppendUint32(b, uint32(size))
	b = le.AppendUint16(b, uint16(tag))
	b = le.AppendUint16(b, uint16(f.Channels))
	b = le.AppendUint32(b, uint32(f.Rate))
	b = le.AppendUint32(b, uint32(int64(f.Rate)*f.frame()))
	b = le.AppendUint16(b, uint16(f.frame()))
	b = le.AppendUint16(b, uint16(f.Bits))
	switch {
	case f.Float:
		b = le.AppendUint16(b, 0)
		b = le.AppendUint32(append(b, "fact"...), 4)
		b = le.AppendUint32(b, uint32(min(frames, unknownLength)))
	case extensible:
		b = le.AppendUint16(b, 22)
		b = le.AppendUint16(b, uint16(f.Valid))
		b = le.AppendUint32(b, 0) // no loudspeaker positions
		b = append(le.AppendUint16(b, tagPCM), guidTail...)
	}
	return b
}

func cueChunk(markers []Marker) []byte {
	if len(markers) == 0 {
		return nil
	}
	le := binary.LittleEndian
	b := le.AppendUint32([]byte("cue "), uint32(4+24*len(markers)))
	b = le.AppendUint32(b, uint32(len(markers)))
	for i, m := range markers {
		b = le.AppendUint32(b, uint32(i+1))
		b = le.AppendUint32(b, uint32(m.Frame))
		b = append(b, "data"...)
		b = le.AppendUint32(b, 0)
		b = le.AppendUint32(b, 0)
		b = le.AppendUint32(b, uint32(m.Frame))
	}
	return b
}

func labelChunk(markers []Marker) []byte {
	if len(markers) == 0 {
		return nil
	}
	le := binary.LittleEndian
	list := []byte("adtl")
	for i, m := range markers {
		text := append([]byte(m.Name), 0)
		list = le.AppendUint32(append(list, "labl"...), uint32(4+len(text)))
		list = append(le.AppendUint32(list, uint32(i+1)), text...)
		if len(text)%2 == 1 {
			list = append(list, 0)
		}
	}
	return append(le.AppendUint32([]byte("LIST"), uint32(len(list))), list...)
}

// commentChunk is a list of type INFO with one comment in it.
func commentChunk(comment string) []byte {
	if comment == "" {
		return nil
	}
	le := binary.LittleEndian
	text := append([]byte(comment), 0)
	list := le.AppendUint32([]byte("INFOICMT"), uint32(len(text)))
	list = append(list, text...)
	if len(text)%2 == 1 {
		list = append(list, 0)
	}
	return append(le.AppendUint32([]byte("LIST"), uint32(len(list))), list...)
}
