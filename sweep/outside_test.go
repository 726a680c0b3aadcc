package sweep

import (
	"bytes"
	"encoding/binary"
	"math"
	"math/rand/v2"
	"os"
	"os/exec"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

// Second readers and writers: sox and ffmpeg, as Debian packs them.

// command runs a program and gives what it wrote; a program that is missing or
// fails fails the test.
func command(t *testing.T, stdin []byte, name string, args ...string) []byte {
	t.Helper()
	cmd := exec.Command(name, args...)
	var out, complaint bytes.Buffer
	cmd.Stdin, cmd.Stdout, cmd.Stderr = bytes.NewReader(stdin), &out, &complaint
	if err := cmd.Run(); err != nil {
		t.Fatalf("%s %v: %v\n%s", name, args, err, complaint.String())
	}
	return out.Bytes()
}

// decoded is a file as ffmpeg reads it, sample by sample in its own order.
func decoded(t *testing.T, file string) []float64 {
	t.Helper()
	b := command(t, nil, "ffmpeg", "-v", "error", "-i", file, "-f", "f64le", "-")
	x := make([]float64, len(b)/8)
	for i := range x {
		x[i] = math.Float64frombits(binary.LittleEndian.Uint64(b[8*i:]))
	}
	return x
}

// soxed is a file as sox reads it, to 32 bits; ok is false when it cannot.
func soxed(file string) (x []float64, ok bool) {
	raw, err := exec.Command("sox", file, "-t", "raw", "-e", "signed-integer", "-b", "32", "-").Output()
	if err != nil || len(raw) == 0 {
		return nil, false
	}
	x = make([]float64, len(raw)/4)
	for i := range x {
		x[i] = float64(int32(binary.LittleEndian.Uint32(raw[4*i:]))) / (1 << 31)
	}
	return x, true
}

// second compares a file with sox, which starts ten times as fast, and with
// ffmpeg where sox cannot read it.
func second(t *testing.T, what, file string, block [][]float64) {
	t.Helper()
	if want, ok := soxed(file); ok {
		same(t, what+" (sox)", block, want, 1.0/(1<<30))
		return
	}
	same(t, what+" (ffmpeg)", block, decoded(t, file), 1e-15)
}

// same compares what this room read with a second reader's samples.
func same(t *testing.T, what string, block [][]float64, want []float64, within float64) {
	t.Helper()
	if len(block)*len(block[0]) != len(want) {
		t.Errorf("%s: %d × %d samples, the second reader has %d", what, len(block), len(block[0]), len(want))
		return
	}
	for c, samples := range block {
		for i, x := range samples {
			if d := math.Abs(x - want[i*len(block)+c]); d > within {
				t.Errorf("%s: channel %d frame %d is %g, the second reader has %g", what, c, i, x, want[i*len(block)+c])
				return
			}
		}
	}
}

// What this room writes, both read the same.
func TestOthersReadOurs(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260320), 1))
	dir := t.TempDir()
	for _, f := range depths {
		f.Rate, f.Channels = 96000, 2
		file := filepath.Join(dir, "ours.wav")
		b := written(t, f, random(rng, 2, 501), []Marker{{10, "flat"}, {77, "63=+1"}})
		if err := os.WriteFile(file, b, 0o600); err != nil {
			t.Fatal(err)
		}
		rec, _ := opened(t, b)
		ours := all(t, rec)
		same(t, "ffmpeg", ours, decoded(t, file), 1e-15)
		want, ok := soxed(file)
		if !ok {
			t.Fatal("sox does not read it")
		}
		same(t, "sox", ours, want, 1.0/(1<<30))
	}
}

// What others write, to a file or into a pipe, this room reads.
func TestWeReadOthers(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260321), 1))
	dir := t.TempDir()
	source := filepath.Join(dir, "source.wav")
	block := random(rng, 2, 3001)
	if err := os.WriteFile(source, written(t, Format{Rate: 44100, Channels: 2, Bits: 32}, block, nil), 0o600); err != nil {
		t.Fatal(err)
	}
	file := filepath.Join(dir, "theirs.wav")
	for _, c := range []struct {
		command string
		format  Format
		id      finding.ID // said of it; "": nothing
	}{
		{"sox SOURCE -D -e unsigned-integer -b 8 FILE", Format{44100, 2, 8, 8, false}, ""},
		{"sox SOURCE -D -b 16 FILE", Format{44100, 2, 16, 16, false}, ""},
		{"sox SOURCE -D -b 24 FILE", Format{44100, 2, 24, 24, false}, ""},
		{"sox SOURCE -D -b 32 FILE", Format{44100, 2, 32, 32, false}, ""},
		{"sox SOURCE -D -e floating-point -b 32 FILE", Format{44100, 2, 32, 32, true}, ""},
		{"sox SOURCE -D -e floating-point -b 64 FILE", Format{44100, 2, 64, 64, true}, ""},
		{"sox SOURCE -D -b 24 -t wavpcm FILE", Format{44100, 2, 24, 24, false}, ""},
		{"sox SOURCE -D -c 1 -b 16 --comment scenario FILE", Format{44100, 1, 16, 16, false}, ""},
		{"sox SOURCE -D -b 16 -t wav -", Format{44100, 2, 16, 16, false}, ""},
		{"sox SOURCE -D -e mu-law FILE", Format{}, IDEncoding},
		{"sox SOURCE -D -e ima-adpcm FILE", Format{}, IDEncoding},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_u8 FILE", Format{44100, 2, 8, 8, false}, ""},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_s24le FILE", Format{44100, 2, 24, 24, false}, ""},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_f32le FILE", Format{44100, 2, 32, 32, true}, ""},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_f64le FILE", Format{44100, 2, 64, 64, true}, ""},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_s24le -rf64 always FILE", Format{44100, 2, 24, 24, false}, ""},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_s16le -write_bext 1 -metadata description=x -metadata title=odd FILE", Format{44100, 2, 16, 16, false}, ""},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_s16le -f wav -", Format{44100, 2, 16, 16, false}, IDDataOpen},
		{"ffmpeg -v error -y -i SOURCE -c:a adpcm_ms FILE", Format{}, IDEncoding},
		{"ffmpeg -v error -y -i SOURCE -c:a pcm_alaw FILE", Format{}, IDEncoding},
	} {
		args := strings.Fields(strings.NewReplacer("SOURCE", source, "FILE", file).Replace(c.command))
		b := command(t, nil, args[0], args[1:]...)
		if args[len(args)-1] == "-" {
			if err := os.WriteFile(file, b, 0o600); err != nil {
				t.Fatal(err)
			}
		}
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		rec, found, err := Open(bytes.NewReader(b), int64(len(b)))
		if c.id == "" && len(found) > 0 || c.id != "" && !has(found, c.id) {
			t.Errorf("%s: %v", c.command, found)
		}
		if refused := c.format.Rate == 0; refused != (err != nil) || refused {
			if !refused {
				t.Errorf("%s: %v", c.command, err)
			}
			continue
		}
		if rec.Format != c.format || rec.Frames != 3001 {
			t.Errorf("%s: %+v, %d frames", c.command, rec.Format, rec.Frames)
			continue
		}
		second(t, c.command, file, all(t, rec))
	}
}

// Files nobody here wrote, from Debian's python3-scipy and alsa-utils.
func TestFilesFromElsewhere(t *testing.T) {
	refused := map[string]finding.ID{
		"test-44100Hz-2ch-32bit-float-be.wav": IDNotWAV, "test-44100Hz-be-1ch-4bytes.wav": IDNotWAV,
		"test-8000Hz-be-3ch-5S-24bit.wav": IDNotWAV, "test-44100Hz-le-1ch-4bytes-early-eof-no-data.wav": IDNoData,
		"test-8000Hz-le-1ch-1byte-ulaw.wav": IDEncoding, "test-8000Hz-le-3ch-5S-36bit.wav": IDDepth,
		"test-8000Hz-le-3ch-5S-45bit.wav": IDDepth, "test-8000Hz-le-3ch-5S-53bit.wav": IDDepth,
		"test-8000Hz-le-3ch-5S-64bit.wav": IDDepth, "test-44100Hz-le-1ch-4bytes-incomplete-chunk.wav": IDNoFormat,
	}
	// What is said of others that are read.
	mended := map[string]finding.ID{
		"test-44100Hz-le-1ch-4bytes-early-eof.wav":     IDDataCut,
		"test-8000Hz-le-3ch-5S-24bit-inconsistent.wav": IDAlign,
	}
	read := 0
	for _, file := range strings.Fields(string(command(t, nil, "dpkg", "-L", "python3-scipy", "alsa-utils"))) {
		if !strings.HasSuffix(file, ".wav") {
			continue
		}
		b, err := os.ReadFile(file)
		if err != nil {
			t.Fatal(err)
		}
		name := filepath.Base(file)
		rec, found, err := Open(bytes.NewReader(b), int64(len(b)))
		if id := refused[name]; id != "" || err != nil {
			if err == nil || !has(found, id) {
				t.Errorf("%s: %v, want %q", name, found, id)
			}
			continue
		}
		if id := mended[name]; id != "" && !has(found, id) || id == "" && found.Worst() > finding.Note {
			t.Errorf("%s: %v, want %q", name, found, id)
		}
		read++
		second(t, name, file, all(t, rec))
	}
	if read < 15 {
		t.Errorf("only %d files were there to be read", read)
	}
}
