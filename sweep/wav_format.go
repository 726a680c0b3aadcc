package sweep

import (
	"bytes"
	"encoding/binary"
	"fmt"
	"slices"
	"strings"

	"bandwright/finding"
)

// The encodings of the format chunk (RFC 2361) that are read.
const (
	tagPCM        = 1
	tagFloat      = 3
	tagExtensible = 0xFFFE
)

// guidTail follows the encoding's number in the sub-format of an extensible
// chunk: {xxxxxxxx-0000-0010-8000-00AA00389B71}.
const guidTail = "\x00\x00\x00\x00\x10\x00\x80\x00\x00\xaa\x00\x38\x9b\x71"

// The bounds of what is taken for sound.
const (
	MaxChannels = 32
	MinRate     = 1000
	MaxRate     = 768_000
)

// readFormat reads the format chunk, whose content begins at w.at.
func (w *walk) readFormat(b []byte) {
	if len(b) < 16 {
		w.say(IDFormatShort, finding.Error, finding.Args{"byte": w.at, "bytes": int64(len(b))})
		return
	}
	two := func(i int) int { return int(binary.LittleEndian.Uint16(b[i:])) }
	tag, channels, align, bits := two(0), two(2), two(12), two(14)
	rate, byteRate := binary.LittleEndian.Uint32(b[4:]), int64(binary.LittleEndian.Uint32(b[8:]))
	switch {
	case channels < 1 || channels > MaxChannels:
		w.say(IDChannels, finding.Error, finding.Args{"byte": w.at + 2, "channels": channels})
		return
	case rate < MinRate || rate > MaxRate:
		w.say(IDRate, finding.Error, finding.Args{"byte": w.at + 4, "rate": int64(rate)})
		return
	}
	w.rec.Format = Format{Rate: int(rate), Channels: channels, Valid: bits}
	if tag == tagExtensible {
		tag = w.extension(b, bits)
	}
	w.encoding(tag, bits, align)
	if w.found.Worst() < finding.Error && byteRate != w.rec.frame()*int64(rate) {
		w.say(IDByteRate, finding.Note, finding.Args{"byte": w.at + 8, "read": byteRate, "right": w.rec.frame() * int64(rate)})
	}
}

// extension reads what an extensible format adds and gives the true encoding.
func (w *walk) extension(b []byte, bits int) int {
	if len(b) < 40 {
		w.say(IDExtensionShort, finding.Warning, finding.Args{"byte": w.at + 16})
		return tagPCM
	}
	if valid := int(binary.LittleEndian.Uint16(b[18:])); valid > bits {
		w.say(IDValidBits, finding.Warning, finding.Args{"byte": w.at + 18, "valid": valid, "bits": bits})
	} else if valid > 0 {
		w.rec.Valid = valid
	}
	if !bytes.Equal(b[26:40], []byte(guidTail)) {
		return tagExtensible
	}
	return int(binary.LittleEndian.Uint16(b[24:]))
}

// encoding settles depth and frame length.
func (w *walk) encoding(tag, bits, align int) {
	f := &w.rec.Format
	container := (bits + 7) / 8 * 8
	f.Float = tag == tagFloat
	switch {
	case tag != tagPCM && tag != tagFloat:
		w.say(IDEncoding, finding.Error, finding.Args{"byte": w.at, "encoding": encodingName(tag)})
		return
	case tag == tagPCM && (bits < 1 || bits > 32), tag == tagFloat && bits != 32 && bits != 64:
		w.say(IDDepth, finding.Error, finding.Args{"byte": w.at + 14, "bits": bits, "float": f.Float})
		return
	}
	// A wider frame than the bits need is how 24 bits stand in four bytes.
	if wide := align / f.Channels * 8; !f.Float && align%f.Channels == 0 && wide > container && wide <= 32 {
		container = wide
	}
	f.Bits = container
	if int64(align) != f.frame() {
		w.say(IDAlign, finding.Warning, finding.Args{"byte": w.at + 12, "read": align, "taken": int(f.frame())})
	}
}

// encodingName names an encoding by its registered number (RFC 2361).
func encodingName(tag int) string {
	switch tag {
	case 2, 0x11:
		return "ADPCM"
	case 6:
		return "A-law"
	case 7:
		return "µ-law"
	case 0x31:
		return "GSM"
	case 0x50:
		return "MPEG"
	case 0x55:
		return "MP3"
	case tagExtensible:
		return "an extensible format of its own"
	}
	return fmt.Sprintf("number 0x%04X", tag)
}

// cues reads the places of markers.
func (w *walk) cues(b []byte) {
	for i := 4; i+24 <= len(b) && len(w.rec.Markers) < mostMarkers; i += 24 {
		w.rec.Markers = append(w.rec.Markers, Marker{
			Frame: int64(binary.LittleEndian.Uint32(b[i+20:])),
			Name:  cueName(binary.LittleEndian.Uint32(b[i:])),
		})
	}
}

// cueName stands for a marker until its label is read.
func cueName(id uint32) string { return fmt.Sprintf("#%d", id) }

// names reads the labels of markers from a list of type adtl, and the comment
// from one of type INFO.
func (w *walk) names(b []byte) {
	if len(b) < 4 {
		return
	}
	kind := string(b[:4])
	for b = b[4:]; len(b) >= 8; {
		name, length := string(b[:4]), int64(binary.LittleEndian.Uint32(b[4:]))
		b = b[8:]
		body := b[:min(length, int64(len(b)))]
		switch {
		case kind == "adtl" && name == "labl" && len(body) >= 4:
			w.label(cueName(binary.LittleEndian.Uint32(body)), body[4:])
		case kind == "INFO" && name == "ICMT" && w.rec.Comment == "":
			text, _, _ := bytes.Cut(body, []byte{0})
			w.rec.Comment = strings.ToValidUTF8(string(text), "?")
		}
		b = b[min(length+length%2, int64(len(b))):]
	}
}

func (w *walk) label(name string, text []byte) {
	if i := slices.IndexFunc(w.rec.Markers, func(m Marker) bool { return m.Name == name }); i >= 0 {
		text, _, _ = bytes.Cut(text, []byte{0})
		w.rec.Markers[i].Name = strings.ToValidUTF8(string(text), "?")
	}
}
