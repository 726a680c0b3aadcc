package sweep

import (
	"math"
	"math/rand/v2"
	"runtime"
	"testing"

	"bandwright/trials"
)

// hours is a recording that is nowhere: its head, noise that repeats, and a
// piece of sound here and there.
type hours struct {
	head   []byte
	noise  []byte
	pieces map[int64][]byte // by their first byte
	bytes  int64            // that were read
}

func (h *hours) ReadAt(b []byte, at int64) (int, error) {
	for i := 0; i < len(b); {
		i += copy(b[i:], h.noise[(at+int64(i))%int64(len(h.noise)):])
	}
	over := func(piece []byte, from int64) {
		if from < at+int64(len(b)) && from+int64(len(piece)) > at {
			copy(b[max(0, from-at):], piece[max(0, at-from):])
		}
	}
	over(h.head, 0)
	for from, piece := range h.pieces {
		over(piece, from)
	}
	h.bytes += int64(len(b))
	return len(b), nil
}

// Two hours with three takes in them are read with the memory that the takes
// need: all that is ever asked for, given back or not, is what the same takes
// need in a recording of two minutes.
func TestHoursOfRecording(t *testing.T) {
	short, brief := readHours(t, 120, []int64{7, 45, 80})
	long, hours := readHours(t, 2*3600, []int64{11*60 + 17, 58 * 60, 2*3600 - 40})
	t.Logf("2 h, %.2f GB: %.0f MB of memory; 2 min, %.2f GB: %.0f MB", float64(hours)/1e9, long, float64(brief)/1e9, short)
	if hours < 2e9 || long > 1.05*short+1 {
		t.Errorf("2 h need %.1f MB, 2 min need %.1f MB", long, short)
	}
}

// readHours reads a recording of so many seconds with takes at some of them, and
// gives all memory that this asked for, MB, and the bytes that were read.
func readHours(t *testing.T, seconds int64, places []int64) (megabytes float64, bytes int64) {
	const rate = 48000
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260370), 1))
	s := guided(rate, "flat", "63=+1", "400=-1")
	f := Format{Rate: rate, Channels: 2, Bits: 24, Valid: 24}
	h := &hours{head: head(f, seconds*rate, nil), pieces: map[int64][]byte{}}
	hiss := random(rng, 2, 1<<16)
	for _, x := range hiss {
		for i := range x {
			x[i] *= 1e-5
		}
	}
	h.noise = samplesOf(f, hiss)
	x := played(t, s)
	boosts := []map[float64]float64{nil, {63: 12}, {400: -12}}
	for i, take := range s.takes() {
		from, to := int((take.mark-0.4)*rate), int(take.end*rate)
		y := sixBands(rate, boosts[i]).play(x)
		h.pieces[int64(len(h.head))+places[i]*rate*f.frame()] = samplesOf(f, [][]float64{y[from:to], x[from:to]})
	}
	before := asked()
	rec, found, err := Open(h, int64(len(h.head))+seconds*rate*f.frame())
	if err != nil || len(found) > 0 {
		t.Fatalf("%v %v", err, found)
	}
	results, found, err := Read(rec, How{Signal: s, Channel: 1, Reference: 2})
	megabytes = float64(asked()-before) / (1 << 20)
	if err != nil || len(results) != 3 || len(found) > 0 {
		t.Fatalf("%d results, %v, %v", len(results), err, found)
	}
	for i, r := range results {
		a := sixBands(rate, boosts[i])
		db, degrees, _, _ := off(r, 30, 18000, func(hz float64) complex128 { return a.gain(hz, rate) })
		if math.Abs(r.Seconds-float64(places[i])-1.9) > 0.1 || db > 0.02 || degrees > 0.5 {
			t.Errorf("take %d at %.2f s, gain off by %.4f dB, phase by %.3f°", r.Number, r.Seconds, db, degrees)
		}
	}
	return megabytes, h.bytes
}

// asked gives the bytes of memory asked for so far, whether given back or not.
func asked() uint64 {
	var now runtime.MemStats
	runtime.ReadMemStats(&now)
	return now.TotalAlloc
}

// samplesOf are frames as they stand in a file.
func samplesOf(f Format, block [][]float64) []byte {
	b := make([]byte, int64(len(block[0]))*f.frame())
	for c, x := range block {
		f.encode(b[c*f.Bits/8:], x, int(f.frame()))
	}
	return b
}
