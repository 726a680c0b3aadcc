package sweep

import (
	"bytes"
	"reflect"
	"strings"
	"testing"

	"bandwright/finding"
)

// What a test recording says of itself is what it was made as, to the bit.
func TestPlayedComesBack(t *testing.T) {
	full := 12.25
	odd := guided(88200, "flat", "63=+0.35,400=-1", "footswitch:lifted", "flat")
	odd.LevelDBFS, odd.StartHz, odd.FullDBu, odd.Float, odd.Bits, odd.Channels = -13.7, 11.3, &full, true, 32, 1
	for _, s := range []Signal{Standard(44100), Standard(192000), odd} {
		var b bytes.Buffer
		if err := s.Write(&b); err != nil {
			t.Fatal(err)
		}
		rec, found := opened(t, b.Bytes())
		got, err := Played(rec)
		if err != nil || len(found) > 0 || !reflect.DeepEqual(got, s) {
			t.Errorf("%v %v: %+v, want %+v", err, found, got, s)
		}
	}
}

// A recording of anything else is said to be none of ours, and why.
func TestNotOurs(t *testing.T) {
	ours := Standard(48000).describe()
	for _, c := range []struct{ comment, reason string }{
		{"", "comment"}, {"take 3", "comment"},
		{strings.Replace(ours, "form 1", "form 2", 1), "form"},
		{ours[:len(ours)-5], "description"},
		{strings.Replace(ours, "rate_hz", "pace", 1), "description"},
	} {
		_, err := Played(&Recording{Comment: c.comment})
		list, _ := finding.From(err)
		if len(list) != 1 || list[0].ID != IDNotOurs || list[0].Args["reason"] != c.reason {
			t.Errorf("%q: %v, want %s", c.comment, err, c.reason)
		}
	}
	// A description of what cannot be is refused as a signal is.
	_, err := Played(&Recording{Comment: strings.Replace(ours, `"channels":2`, `"channels":9`, 1)})
	if list, _ := finding.From(err); !has(list, IDSignal) {
		t.Errorf("%v", err)
	}
}

// A comment is no more than one line of the file's manners: any text, a
// hostile one too, gives a signal that can be or an error.
func FuzzPlayed(f *testing.F) {
	f.Add(Standard(48000).describe())
	f.Add(guided(96000, "63=+1", "footswitch:lifted").describe())
	f.Add(describedAs + `{"rate_hz":1e9}`)
	f.Fuzz(func(t *testing.T, comment string) {
		s, err := Played(&Recording{Comment: comment})
		if err == nil && s.Check().Err() != nil {
			t.Fatalf("%q: %v", comment, s.Check())
		}
		if _, ok := finding.From(err); err != nil && !ok {
			t.Fatal(err)
		}
	})
}
