package quantity

import (
	"errors"
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/finding"
)

// seeds are texts of every kind to start mutations from.
var seeds = []string{
	"4k7", "R47", "470R", "47K3", "4,7k", "4,700", "1.234.567,8", "10 000 Ω", "2µ2", "0,022 µF", "100 mmfd", "50 µµF", "5 mF", "680 mH", "1H5",
	"63 Hz", "1e-6", "4E7", "1e400", "−20 dBu", "-10 dBV", "0.775 V", "±5 %", "−20/+80 %", "+80-20%", "Z", "K", "104K", "472", "01C", "4n7J",
	"yellow violet orange gold", "white violet black (none)", "E24", "35 °C", "12 dB", "NaN", "Inf", "", "3V3", "\x00", "\xff", "9e9999 F",
}

// readers are every parser of the room, as text to value.
var readers = map[string]func(string) ([]float64, error){
	"tolerance": func(s string) ([]float64, error) {
		v, err := ParseTolerance(s)
		return []float64{v.Minus, v.Plus}, err
	},
	"series": func(s string) ([]float64, error) {
		v, err := ParseSeries(s)
		return []float64{float64(v)}, err
	},
	"ohms code": func(s string) ([]float64, error) {
		v, t, err := ParseOhmsCode(s)
		return withTolerance(float64(v), t), err
	},
	"farads code": func(s string) ([]float64, error) {
		v, t, err := ParseFaradsCode(s)
		return withTolerance(float64(v), t), err
	},
	"colours": func(s string) ([]float64, error) {
		v, t, err := ParseColours(s)
		return withTolerance(float64(v), &t), err
	},
}

func withTolerance(v float64, t *Tolerance) []float64 {
	if t == nil {
		return []float64{v}
	}
	return []float64{v, t.Minus, t.Plus}
}

// holds checks what must be true of any text: a finite, allowed value or a
// finding of this room, and of a value that it writes and reads back.
func holds(t *testing.T, text string) {
	t.Helper()
	for name, read := range readers {
		values, err := read(text)
		checkError(t, name, text, err)
		for _, v := range values {
			if math.IsNaN(v) || math.IsInf(v, 0) || v < 0 || err != nil && v != 0 {
				t.Errorf("%s %q: %v with %v", name, text, v, err)
			}
		}
	}
	if tol, err := ParseTolerance(text); err == nil {
		written, err := tol.MarshalText()
		if err != nil {
			t.Errorf("tolerance %q: %v", text, err)
		} else if back, err := ParseTolerance(string(written)); err != nil || back != tol {
			t.Errorf("tolerance %q: %v came back from %q as %v, %v", text, tol, written, back, err)
		}
	}
	for _, u := range units {
		v, err := parse(text, u)
		checkError(t, u.name, text, err)
		if err != nil {
			continue
		}
		if !inRange(v, u) || v < 0 && !u.signed || math.Signbit(v) && v == 0 {
			t.Errorf("%s %q: %v", u.name, text, v)
		}
		written, err := marshal(v, u)
		if err != nil {
			t.Errorf("%s %q: %v", u.name, text, err)
			continue
		}
		if back, err := parse(string(written), u); err != nil || back != v {
			t.Errorf("%s %q: %v came back from %q as %v, %v", u.name, text, v, written, back, err)
		}
	}
}

// checkError wants nothing, or an Error of this room that can be quoted.
func checkError(t *testing.T, what, text string, err error) {
	t.Helper()
	if err == nil {
		return
	}
	var f finding.Finding
	if !errors.As(err, &f) || f.Level != finding.Error || len(f.ID) < 10 || f.ID[:9] != "quantity." {
		t.Errorf("%s %q: %v", what, text, err)
		return
	}
	for k, v := range f.Args {
		switch v := v.(type) {
		case string, int:
		case float64:
			if math.IsNaN(v) || math.IsInf(v, 0) {
				t.Errorf("%s %q: %s is %v", what, text, k, v)
			}
		default:
			t.Errorf("%s %q: %s is a %T", what, text, k, v)
		}
	}
	if f.ID == IDAmbiguous && f.Args["one"] == f.Args["other"] {
		t.Errorf("%s %q: one meaning given twice", what, text)
	}
}

func FuzzParse(f *testing.F) {
	for _, s := range seeds {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { holds(t, text) })
}

// Twenty thousand mutations of the seeds, all through every parser.
func TestMutations(t *testing.T) {
	const seed = 2200470
	t.Log("seed", seed)
	rng := rand.New(rand.NewPCG(seed, 7))
	letters := []rune("0123456789.,+-−±/% eEkKMmRrnuUµμpPGTFHzVdBCJZΩ\u2126\u202f\u00a0°\x00\ufffd")
	for range 20000 {
		text := []rune(seeds[rng.IntN(len(seeds))])
		for range 1 + rng.IntN(4) {
			text = mutate(rng, text, letters)
		}
		holds(t, string(text))
		if t.Failed() {
			return
		}
	}
}

// mutate puts in, takes out, replaces or doubles a piece of text, or joins
// another seed to it.
func mutate(rng *rand.Rand, text, letters []rune) []rune {
	at := rng.IntN(len(text) + 1)
	head, tail := text[:at:at], text[at:]
	switch rng.IntN(5) {
	case 0:
		return append(append(head, letters[rng.IntN(len(letters))]), tail...)
	case 1:
		if len(tail) > 0 {
			return append(head, tail[1:]...)
		}
	case 2:
		if len(tail) > 0 {
			return append(append(head, letters[rng.IntN(len(letters))]), tail[1:]...)
		}
	case 3:
		return append(append(head, tail...), tail...)
	case 4:
		other := []rune(seeds[rng.IntN(len(seeds))])
		return append(head, other[rng.IntN(len(other)+1):]...)
	}
	return text
}
