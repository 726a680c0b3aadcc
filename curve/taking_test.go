package curve

import (
	"bytes"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"bandwright/trials"
)

// How a curve was taken comes back from its file as it was written, whatever
// part of it is known.
func TestTakingComesBack(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260350), 1))
	maybe := func() *float64 {
		if rng.IntN(2) == 0 {
			return nil
		}
		x := 100 * rng.NormFloat64()
		return &x
	}
	source := func() *Source {
		if rng.IntN(2) == 0 {
			return nil
		}
		return &Source{[]string{"take 1.wav", "a\"b.wav", "x\n20,1", "Größe.wav"}[rng.IntN(4)], strings.Repeat("0f", 32)}
	}
	for range trials.Count(300) {
		want := &Taking{LevelDBFS: maybe(), LevelDBu: maybe(), GeneratorOhms: maybe(), Loopback: source(), Played: source(),
			Less: []string{"", "flat", "footswitch:lifted"}[rng.IntN(3)]}
		if want.Loopback == nil {
			want.LoopbackChannel = rng.IntN(3)
		}
		var text bytes.Buffer
		c := Curve{Name: "take", Hz: []float64{20, 40, 80}, DB: []float64{-1, 0, 2}, Origin: Origin{File: "r.wav", SHA256: "ab", Taken: want}}
		if err := Write(&text, c); err != nil {
			t.Fatal(err)
		}
		back, _, err := Read(bytes.NewReader(text.Bytes()), As{})
		if err != nil {
			t.Fatalf("%v\n%s", err, text.String())
		}
		if *want == (Taking{}) {
			want = nil
		}
		if !reflect.DeepEqual(back.Origin.Taken, want) {
			t.Fatalf("%+v, want %+v\n%s", back.Origin.Taken, want, text.String())
		}
	}
}

// Only a file of our own form says how it was taken, and only in whole lines.
func TestTakingOfOthers(t *testing.T) {
	table := "frequency (Hz),gain (dB)\n20,1\n40,2\n80,3\n"
	for _, head := range []string{"# level: -6 dBFS\n", ownMark + "\n# level: loud\n# generator: 1e999 ohm\n# loopback: somewhere\n# played: \"x\"\n# less: a=b\n"} {
		c, _, err := Read(strings.NewReader(head+table), As{})
		if err != nil || c.Origin.Taken != nil {
			t.Errorf("%q: %v, %+v", head, err, c.Origin.Taken)
		}
	}
}
