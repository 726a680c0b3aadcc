package sweep

import (
	"encoding/binary"
	"io"
	"slices"
	"strings"

	"bandwright/finding"
)

// The bounds of what is looked at in a file beside its sound.
const (
	mostChunks  = 10_000
	mostMarkers = 1000
	mostPayload = 1 << 20 // bytes of a chunk of names
	searchBytes = 1 << 16 // for the next chunk after garbled bytes
)

// unknownLength is written where the length of a stream is not known.
const unknownLength = 0xFFFFFFFF

// streamedLength is the least length that some writers put for "not known"
// while the file ends sooner.
const streamedLength = 0x7FFF0000

// Open reads the head of a WAV file of size bytes: PCM of 8, 16, 24 and 32 bits
// (and odd depths between), float of 32 and 64, extensible formats, RF64 with
// its long lengths (EBU Tech 3306), any other chunks around. What is damaged
// is mended where the sound can still be read, and named in the findings with
// its byte; otherwise the error is a finding.List.
func Open(r io.ReaderAt, size int64) (*Recording, finding.List, error) {
	w := &walk{source: r, size: size, rec: &Recording{source: r}}
	if w.head() {
		w.chunks()
		w.finish()
	}
	if err := w.found.Err(); err != nil {
		return nil, w.found, err
	}
	return w.rec, w.found, nil
}

// walk goes through the chunks of one file.
type walk struct {
	source  io.ReaderAt
	size    int64
	at      int64 // byte of the next chunk
	found   finding.List
	rec     *Recording
	long    bool  // RF64: lengths of 64 bits stand in ds64
	data64  int64 // from there
	seen64  bool
	format  bool // chunk seen
	data    bool
	open    bool  // the length of the data is not written
	bytes   int64 // of the data that are there
	missing int64 // and that are not
	before  string
	odd     bool // the chunk before has an odd length
}

func (w *walk) say(id finding.ID, level finding.Level, args finding.Args) {
	w.found = append(w.found, finding.New(id, level, finding.Place{}, args))
}

// get reads up to n bytes at a place; fewer at the end of the file.
func (w *walk) get(at int64, n int64) []byte {
	n = min(n, w.size-at)
	if n <= 0 || at < 0 {
		return nil
	}
	b := make([]byte, n)
	got, err := w.source.ReadAt(b, at)
	if int64(got) < n && err != io.EOF {
		w.say(IDUnreadable, finding.Error, finding.Args{"byte": at + int64(got), "why": err.Error()})
	}
	return b[:got]
}

func (w *walk) head() bool {
	b := w.get(0, 12)
	switch {
	case w.found != nil:
		return false
	case len(b) == 0:
		w.say(IDEmpty, finding.Error, nil)
		return false
	case len(b) < 12 || string(b[8:12]) != "WAVE" || !slices.Contains([]string{"RIFF", "RF64", "BW64"}, string(b[:4])):
		w.say(IDNotWAV, finding.Error, finding.Args{"kind": kindOf(b)})
		return false
	}
	w.long = string(b[:4]) != "RIFF"
	w.at = 12
	return true
}

// kindOf names a file that is no WAV by its first bytes.
func kindOf(b []byte) string {
	for _, k := range [...]struct{ start, kind string }{
		{"RIFX", "big-endian WAV"}, {"FORM", "AIFF"}, {"fLaC", "FLAC"}, {"OggS", "Ogg"}, {"caff", "CAF"},
		{"ID3", "MP3"}, {"\xff\xfb", "MP3"}, {"\xff\xf3", "MP3"}, {".snd", "AU"}, {"riff", "Wave64"},
		{"wvpk", "WavPack"}, {"%PDF", "PDF"}, {"PK\x03\x04", "ZIP archive"}, {"\x1aE\xdf\xa3", "Matroska"},
	} {
		if strings.HasPrefix(string(b), k.start) {
			return k.kind
		}
	}
	switch {
	case len(b) >= 8 && string(b[4:8]) == "ftyp":
		return "MP4"
	case len(b) >= 4 && string(b[:4]) == "RIFF" && len(b) < 12:
		return "WAV cut off in its first bytes"
	case len(b) >= 12 && string(b[:4]) == "RIFF":
		return "RIFF file of another kind"
	}
	for _, c := range b {
		if c < 9 || c > 126 {
			return "binary file"
		}
	}
	return "text file"
}

// known are the chunks that stand in WAV files; a name among them proves that
// a chunk begins here.
func known(name string) bool {
	switch name {
	case "fmt ", "data", "fact", "cue ", "LIST", "ds64", "bext", "JUNK", "junk", "PAD ", "PEAK", "FLLR",
		"iXML", "id3 ", "ID3 ", "axml", "smpl", "inst", "plst", "chna", "cart", "levl", "qlty", "mext", "umid",
		"_PMX", "DISP", "wavl", "slnt", "acid", "strc", "afsp", "minf", "elm1", "regn", "ovwf", "SyLp":
		return true
	}
	return false
}

// chunks goes from chunk to chunk to the end of the file.
func (w *walk) chunks() {
	for w.at+8 <= w.size && len(w.rec.Chunks) < mostChunks && w.found.Worst() < finding.Error {
		head := w.get(w.at, 8)
		if len(head) < 8 {
			return
		}
		name := string(head[:4])
		if !known(name) && w.realign(name) {
			continue
		}
		length := int64(binary.LittleEndian.Uint32(head[4:]))
		w.rec.Chunks = append(w.rec.Chunks, name)
		w.at += 8
		length = w.chunk(name, length)
		w.before, w.odd = name, length%2 == 1
		w.at += length + length%2
	}
	if rest := w.size - w.at; rest > 0 && rest < 8 {
		w.say(IDTrailing, finding.Note, finding.Args{"byte": w.at, "bytes": rest})
	}
}

// realign looks for the chunk that should begin here: a byte earlier or later
// when the padding is wrong, further on when bytes are garbled. An unknown but
// printable name with nothing better near it is a chunk like any other.
func (w *walk) realign(name string) bool {
	for _, by := range [...]int64{-1, 1} {
		if by < 0 && !w.odd {
			continue
		}
		if b := w.get(w.at+by, 4); len(b) == 4 && known(string(b)) {
			w.say(IDPadding, finding.Warning, finding.Args{"byte": w.at, "chunk": strings.TrimSpace(w.before)})
			w.at, w.odd = w.at+by, false
			return true
		}
	}
	if printable(name) {
		return false
	}
	if w.data && w.format {
		w.say(IDTrailing, finding.Note, finding.Args{"byte": w.at, "bytes": w.size - w.at})
		w.at = w.size
		return true
	}
	next := w.size
	near := string(w.get(w.at, searchBytes))
	for _, name := range [...]string{"fmt ", "data"} {
		if i := strings.Index(near, name); i >= 0 {
			next = min(next, w.at+int64(i))
		}
	}
	w.say(IDGarbled, finding.Warning, finding.Args{"byte": w.at, "bytes": next - w.at})
	w.at = next
	return true
}

func printable(name string) bool {
	for _, c := range []byte(name) {
		if c < ' ' || c > '~' {
			return false
		}
	}
	return true
}

// chunk reads one chunk whose content begins at w.at and gives its true length.
func (w *walk) chunk(name string, length int64) int64 {
	if name == "data" {
		return w.sound(length)
	}
	if rest := w.size - w.at; length > rest {
		w.say(IDChunkCut, finding.Warning, finding.Args{"byte": w.at - 8, "chunk": strings.TrimSpace(name), "bytes": length - rest})
		length = rest
	}
	switch name {
	case "fmt ":
		if w.format {
			w.say(IDSecondChunk, finding.Warning, finding.Args{"byte": w.at - 8, "chunk": "fmt"})
			break
		}
		w.format = true
		w.readFormat(w.get(w.at, min(length, 64)))
	case "ds64":
		if b := w.get(w.at, min(length, 24)); len(b) >= 16 {
			w.seen64, w.data64 = true, int64(binary.LittleEndian.Uint64(b[8:])&(1<<63-1))
		}
	case "cue ":
		w.cues(w.get(w.at, min(length, mostPayload)))
	case "LIST":
		w.names(w.get(w.at, min(length, mostPayload)))
	}
	return length
}

// sound settles how much of the data chunk is there.
func (w *walk) sound(length int64) int64 {
	if w.data {
		w.say(IDSecondChunk, finding.Warning, finding.Args{"byte": w.at - 8, "chunk": "data"})
		return min(length, w.size-w.at)
	}
	rest := w.size - w.at
	if w.long && length == unknownLength {
		if w.seen64 {
			length = w.data64
		} else {
			w.say(IDNo64, finding.Warning, finding.Args{"byte": w.at - 8})
		}
	}
	w.data, w.rec.start = true, w.at
	unwritten := length == unknownLength || length >= streamedLength && length > rest && !w.seen64 ||
		length == 0 && rest > 8 && !known(string(w.get(w.at, 4)))
	switch {
	case unwritten:
		w.open, length = true, rest
	case length > rest:
		w.missing, length = length-rest, rest
	}
	w.bytes = length
	return length
}

// finish joins format and data.
func (w *walk) finish() {
	names := strings.Join(w.rec.Chunks, ", ")
	switch {
	case w.found.Worst() == finding.Error:
		return
	case !w.format:
		w.say(IDNoFormat, finding.Error, finding.Args{"chunks": names})
		return
	case !w.data:
		w.say(IDNoData, finding.Error, finding.Args{"chunks": names})
		return
	}
	frame := w.rec.frame()
	w.rec.Frames = w.bytes / frame
	end := w.rec.start + w.bytes
	switch {
	case w.rec.Frames == 0:
		w.say(IDNoSamples, finding.Error, finding.Args{"byte": w.rec.start, "bytes": w.bytes})
		return
	case w.open:
		w.say(IDDataOpen, finding.Note, finding.Args{"byte": w.rec.start - 8, "frames": w.rec.Frames})
	case w.missing > 0:
		w.say(IDDataCut, finding.Warning, finding.Args{"byte": end, "frames": w.rec.Frames,
			"missing": (w.missing + frame - 1) / frame, "seconds": w.rec.Seconds()})
	}
	if left := w.bytes % frame; left > 0 {
		w.say(IDFrameCut, finding.Warning, finding.Args{"byte": end - left, "bytes": left})
	}
	w.rec.Markers = slices.DeleteFunc(w.rec.Markers, func(m Marker) bool { return m.Frame > w.rec.Frames })
}
