package curve

import (
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"

	"bandwright/finding"
)

// idsOf joins the ids an error carries, "" for none.
func idsOf(err error) string {
	l, _ := finding.From(err)
	ids := make([]string, len(l))
	for i, f := range l {
		ids[i] = string(f.ID)
	}
	return strings.Join(ids, " ")
}

func TestParseSetting(t *testing.T) {
	for _, c := range []struct{ text, canonical, id string }{
		{"flat", "flat", ""}, {"", "flat", ""}, {"  flat ", "flat", ""}, {"63=0", "flat", ""},
		{"63=+1,footswitch:lifted", "63=+1,footswitch:lifted", ""},
		{" footswitch : lifted , 63 = 1 ", "63=+1,footswitch:lifted", ""},
		{"63=−0.5", "63=-0.5", ""}, {"a b=-1", "a b=-1", ""}, {"400=5e-1", "400=+0.5", ""},
		{"63=+1,63=-1", "", "curve.setting-twice"}, {"s:a,s:a", "", "curve.setting-twice"},
		{"63=1.01", "", "curve.setting-position"}, {"63=-1.0001", "", "curve.setting-position"},
		{"63=nan", "", "curve.setting-position"}, {"63=0x1p-1", "", "curve.setting-position"},
		{"63=up", "", "curve.setting-position"}, {"63=1e999", "", "curve.setting-position"},
		{"lift", "", "curve.setting-form"}, {"63", "", "curve.setting-form"}, {"63=", "", "curve.setting-form"},
		{"=1", "", "curve.setting-form"}, {"63=+1,", "", "curve.setting-form"}, {",", "", "curve.setting-form"},
		{"63=+1=2", "", "curve.setting-form"}, {"a:b:c", "", "curve.setting-form"}, {"63=0,5", "", "curve.setting-form"},
		{"a\x00:b", "", "curve.setting-form"}, {"63=+1,flat", "", "curve.setting-form"},
	} {
		s, err := ParseSetting(c.text)
		if got := idsOf(err); got != c.id {
			t.Errorf("%q: %q, want %q", c.text, got, c.id)
		}
		if err == nil && s.String() != c.canonical {
			t.Errorf("%q read as %q, want %q", c.text, s, c.canonical)
		}
	}
	_, err := ParseSetting("63=+1,µ=2")
	l, _ := finding.From(err)
	if l[0].Place.Column != 7 {
		t.Errorf("column %d, want 7", l[0].Place.Column)
	}
}

func TestSettingRoundTrip(t *testing.T) {
	r := rand.New(rand.NewPCG(1, 63))
	for range 2000 {
		var s Setting
		for range r.IntN(6) {
			s = s.WithSlider(fmt.Sprint(r.IntN(9000)), r.Float64()*2-1)
		}
		for range r.IntN(3) {
			s = s.WithSwitch([]string{"footswitch", "panel", "63"}[r.IntN(3)], []string{"in", "lifted", "by pass"}[r.IntN(3)])
		}
		back, err := ParseSetting(s.String())
		if err != nil || !reflect.DeepEqual(s, back) {
			t.Fatalf("%q came back as %q: %v", s, back, err)
		}
	}
}

// settingHolds: any text gives an error with findings, or a setting that
// reads back from its own text as itself.
func settingHolds(t *testing.T, text string) {
	s, err := ParseSetting(text)
	if err != nil {
		if idsOf(err) == "" {
			t.Fatalf("%q: error without a finding: %v", text, err)
		}
		return
	}
	back, err := ParseSetting(s.String())
	if err != nil || !reflect.DeepEqual(s, back) || !s.writable() {
		t.Fatalf("%q: %q came back as %q: %v", text, s, back, err)
	}
}

func TestSettingMutations(t *testing.T) {
	r := rand.New(rand.NewPCG(20000, 1))
	for range 20000 {
		settingHolds(t, string(mutate(r, []byte("63=+1,400=-0.5,footswitch:lifted,panel:out"))))
	}
}

func FuzzParseSetting(f *testing.F) {
	for _, s := range []string{"flat", "63=+1,footswitch:lifted", "a=−1", ",,", "x:y=z"} {
		f.Add(s)
	}
	f.Fuzz(func(t *testing.T, text string) { settingHolds(t, text) })
}

// mutate changes, doubles, drops or swaps a few pieces of a text.
func mutate(r *rand.Rand, text []byte) []byte {
	out := append([]byte(nil), text...)
	const marks = ",;:=\t \n\r.+-eE0123456789\"#%*/'<\x00\xff\xc3nNaAiIfF"
	for range 1 + r.IntN(6) {
		if len(out) == 0 {
			return out
		}
		i := r.IntN(len(out))
		j := min(len(out), i+1+r.IntN(20))
		switch r.IntN(6) {
		case 0:
			out[i] = marks[r.IntN(len(marks))]
		case 1:
			out = append(out[:i], out[j:]...)
		case 2:
			out = append(out[:j:j], append(append([]byte(nil), out[i:j]...), out[j:]...)...)
		case 3:
			out = append(out[:i:i], append([]byte{marks[r.IntN(len(marks))]}, out[i:]...)...)
		case 4:
			out = out[:i]
		case 5:
			from, to := marks[r.IntN(len(marks))], marks[r.IntN(len(marks))]
			for k := range out {
				if out[k] == from {
					out[k] = to
				}
			}
		}
	}
	return out
}
