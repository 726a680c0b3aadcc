package job

import (
	"math/rand/v2"
	"strings"
	"testing"

	"bandwright/finding"
)

// TestParseReading: what a person types is what is read; what cannot be is refused
// and not guessed at.
func TestParseReading(t *testing.T) {
	for _, c := range []struct {
		text               string
		red, black, at, on string
		value              float64
		open               bool
	}{
		{"volts q1.collector 12.1 V", "q1.collector", "", "", "", 12.1, false},
		{"volts out 800 mV", "out", "", "", "", 0.8, false},
		{"volts out dc.mid -3.1V at lift", "out", "dc.mid", "", "lift", -3.1, false},
		{"volts 12 13 14 V", "12", "13", "", "", 14, false},
		{"ohms 63.wiper boost 4k7 at 63=+1,160=-1", "63.wiper", "boost", "", "63=+1,160=-1", 4700, false},
		{"ohms lift legs open", "lift", "legs", "", "", 0, true},
		{"ohms lift legs OL", "lift", "legs", "", "", 0, true},
		{"ohms a b 3.3 kohm", "a", "b", "", "", 3300, false},
		{"gain 400 Hz 9.5 dB at 400=+1", "", "", "400 Hz", "400=+1", 9.5, false},
		{"gain out 1k -2dB", "out", "", "1 kHz", "", -2, false},
	} {
		r, err := ParseReading(c.text)
		if err != nil {
			t.Errorf("%s: %v", c.text, err)
			continue
		}
		at := ""
		if r.At != nil {
			at = r.At.String()
		}
		value, open, err := r.Number()
		if err != nil || r.Red != c.red || r.Black != c.black || at != c.at || r.Setting != c.on || value != c.value || open != c.open {
			t.Errorf("%s: %+v, %g, open %t at %s, %v", c.text, r, value, open, at, err)
		}
	}
	for text, id := range map[string]finding.ID{
		"": IDReadingText, "volts": IDReadingText, "volts out": IDReadingText, "amperes out 3": IDReadingText,
		"volts a b c 3 V": IDReadingText, "volts out 3 kg": "quantity.not-a-number", "ohms a b -5 ohm": "quantity.negative",
		"gain out 9 dB": "quantity.not-a-number",
	} {
		_, err := ParseReading(text)
		if list, ok := finding.From(err); !ok || list[0].ID != id {
			t.Errorf("%q: %v, want %s", text, err, id)
		}
	}
}

// TestReadReadings: columns in any order, other columns passed over, blank readings
// left out, and every bad row named with its line.
func TestReadReadings(t *testing.T) {
	text := "red;black;kind;expected;setting;hz;reading;note\n" +
		"q1.base;;volts;2.1 V;;;2,05 V;\n" +
		"q1.base;0;ohms;;lift;;OL;leg lifted\n" +
		"out;;volts;;;;;not yet\n" +
		";;gain;;63=+1;63 Hz;9.5;\n"
	list, found := ReadReadings("list.csv", strings.NewReader("\ufeff"+text))
	if len(found) > 0 || len(list) != 3 || list[1].Note != "leg lifted" || list[2].At == nil || list[2].Line != 5 {
		t.Errorf("%v %+v", found, list)
	}
	if v, _, err := list[0].Number(); err != nil || v != 2.05 {
		t.Errorf("2,05 V read as %g, %v", v, err)
	}
	for text, want := range map[string]string{
		"":                                    "job.reading-columns 0",
		"a,b\n":                               "job.reading-columns 0",
		"kind,red\nvolts,out\n":               "job.reading-columns 0",
		"kind,red,value\nvolt,out,3\n":        "job.unknown-word 2",
		"kind,red,value\nvolts,out,three\n":   "quantity.not-a-number 2",
		"kind,red,value\n\nvolts,\"out,3\n":   "job.reading-list 3",
		"kind,red,hz,value\ngain,,high,3\n":   "quantity.not-a-number 2",
		"kind,red,value\nohms,out,-3 ohm\n":   "quantity.negative 2",
		"kind,red,value\nvolts,out,1e999 V\n": "quantity.out-of-range 2",
	} {
		list, found := ReadReadings("list.csv", strings.NewReader(text))
		if len(found) != 1 || string(found[0].ID)+" "+string(rune('0'+found[0].Place.Line)) != want || len(list) > 0 {
			t.Errorf("%q: %v, want %s", text, found, want)
		}
	}
}

// TestReadingMutations: no list of readings brings the reader down, and whatever it
// takes has a number.
func TestReadingMutations(t *testing.T) {
	const seed, count = 11, 20000
	t.Logf("seed %d", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	whole := []byte("kind,red,black,setting,hz,reading\nvolts,out,0,flat,,12.1 V\nohms,\"a b\",0,\"63=+1, lift\",,4k7\ngain,,,,400 Hz,9 dB\n")
	for range count {
		text := append([]byte{}, whole...)
		for range 1 + rng.IntN(4) {
			switch i := rng.IntN(len(text)); rng.IntN(3) {
			case 0:
				text[i] = byte(rng.IntN(256))
			case 1:
				text = append(text[:i], text[min(len(text), i+1+rng.IntN(5)):]...)
			default:
				text = append(text[:i:i], append([]byte{whole[rng.IntN(len(whole))]}, text[i:]...)...)
			}
			if len(text) == 0 {
				text = []byte{'k'}
			}
		}
		saneReadings(t, string(text))
	}
}

func saneReadings(t *testing.T, text string) {
	t.Helper()
	list, _ := ReadReadings("list.csv", strings.NewReader(text))
	for _, line := range strings.Split(text, "\n") {
		if r, err := ParseReading(line); err == nil {
			list = append(list, r)
		}
	}
	for _, r := range list {
		if v, _, err := r.Number(); err != nil || v-v != 0 {
			t.Errorf("%q gave %+v, %g, %v", text, r, v, err)
		}
	}
}

func FuzzReadings(f *testing.F) {
	f.Add("kind,red,value\nvolts,out,3 V\n")
	f.Add("volts q1.collector 12.1 V at 63=+1")
	f.Fuzz(saneReadings)
}
