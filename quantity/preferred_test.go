package quantity

import (
	"errors"
	"math"
	"math/rand/v2"
	"strconv"
	"strings"
	"testing"

	"bandwright/finding"
)

// IEC 60063, as quoted by a second text and three independent lists.
const (
	listE3   = "1.0 2.2 4.7"
	listE6   = "1.0 1.5 2.2 3.3 4.7 6.8"
	listE12  = "1.0 1.2 1.5 1.8 2.2 2.7 3.3 3.9 4.7 5.6 6.8 8.2"
	listE24  = "1.0 1.1 1.2 1.3 1.5 1.6 1.8 2.0 2.2 2.4 2.7 3.0 3.3 3.6 3.9 4.3 4.7 5.1 5.6 6.2 6.8 7.5 8.2 9.1"
	listE192 = `1.00 1.01 1.02 1.04 1.05 1.06 1.07 1.09 1.10 1.11 1.13 1.14 1.15 1.17 1.18 1.20 1.21 1.23 1.24 1.26 1.27 1.29 1.30 1.32
		1.33 1.35 1.37 1.38 1.40 1.42 1.43 1.45 1.47 1.49 1.50 1.52 1.54 1.56 1.58 1.60 1.62 1.64 1.65 1.67 1.69 1.72 1.74 1.76
		1.78 1.80 1.82 1.84 1.87 1.89 1.91 1.93 1.96 1.98 2.00 2.03 2.05 2.08 2.10 2.13 2.15 2.18 2.21 2.23 2.26 2.29 2.32 2.34
		2.37 2.40 2.43 2.46 2.49 2.52 2.55 2.58 2.61 2.64 2.67 2.71 2.74 2.77 2.80 2.84 2.87 2.91 2.94 2.98 3.01 3.05 3.09 3.12
		3.16 3.20 3.24 3.28 3.32 3.36 3.40 3.44 3.48 3.52 3.57 3.61 3.65 3.70 3.74 3.79 3.83 3.88 3.92 3.97 4.02 4.07 4.12 4.17
		4.22 4.27 4.32 4.37 4.42 4.48 4.53 4.59 4.64 4.70 4.75 4.81 4.87 4.93 4.99 5.05 5.11 5.17 5.23 5.30 5.36 5.42 5.49 5.56
		5.62 5.69 5.76 5.83 5.90 5.97 6.04 6.12 6.19 6.26 6.34 6.42 6.49 6.57 6.65 6.73 6.81 6.90 6.98 7.06 7.15 7.23 7.32 7.41
		7.50 7.59 7.68 7.77 7.87 7.96 8.06 8.16 8.25 8.35 8.45 8.56 8.66 8.76 8.87 8.98 9.09 9.20 9.31 9.42 9.53 9.65 9.76 9.88`
)

// every gives each nth value of a list.
func every(n int, list string) []string {
	var picked []string
	for i, v := range strings.Fields(list) {
		if i%n == 0 {
			picked = append(picked, v)
		}
	}
	return picked
}

func TestSeriesAgainstTheStandard(t *testing.T) {
	for s, list := range map[Series][]string{
		E3: every(1, listE3), E6: every(1, listE6), E12: every(1, listE12), E24: every(1, listE24),
		E48: every(4, listE192), E96: every(2, listE192), E192: every(1, listE192),
	} {
		if len(list) != int(s) {
			t.Fatalf("%v: the list has %d values", s, len(list))
		}
		for k, text := range list {
			for decade := -15; decade <= 12; decade++ {
				exact, err := strconv.ParseFloat(text+"e"+strconv.Itoa(decade), 64)
				if err != nil {
					t.Fatal(err)
				}
				if got := s.At(k + decade*int(s)); got != exact {
					t.Errorf("%v value %d, decade %d: %v, want %v", s, k, decade, got, exact)
				}
				if !Contains(s, exact) || Nearest(s, exact) != exact || Below(s, exact) != exact || Above(s, exact) != exact {
					t.Errorf("%v does not find its own %v", s, exact)
				}
			}
		}
	}
}

// The rule round(10^(k/n)) gives all but the irregular values: eight of E24
// and 9.20 of E192, where the rule says 9.19 (as quoted by a second text).
func TestIrregularValues(t *testing.T) {
	rule := func(k, n, decimals int) float64 {
		scale := math.Pow10(decimals)
		return math.Round(scale*math.Pow(10, float64(k)/float64(n))) / scale
	}
	odd := map[float64]float64{2.7: 2.6, 3.0: 2.9, 3.3: 3.2, 3.6: 3.5, 3.9: 3.8, 4.3: 4.2, 4.7: 4.6, 8.2: 8.3}
	found := 0
	for k := range 24 {
		v, r := E24.At(k), rule(k, 24, 1)
		if v != r {
			found++
			if odd[v] != r {
				t.Errorf("E24 %v where the rule gives %v", v, r)
			}
		}
	}
	if found != len(odd) {
		t.Errorf("%d irregular values of E24, want %d", found, len(odd))
	}
	for k := range 192 {
		v, r := E192.At(k), rule(k, 192, 2)
		if (k == 185) != (v != r) || k == 185 && (v != 9.2 || r != 9.19) {
			t.Errorf("E192 value %d: %v, rule %v", k, v, r)
		}
	}
	for s, has := range map[Series]bool{E192: true, E96: false, E48: false} {
		if Contains(s, 9.2) != has || Contains(s, 9.19) {
			t.Errorf("%v and 9.20", s)
		}
	}
}

// As quoted by a second text; the ratio rule beside it is worked out.
func TestNearestExamples(t *testing.T) {
	if v := NearestDifference(E24, Ohms(3140)); v != 3000 {
		t.Error("3140 in E24:", v)
	}
	if v := NearestDifference(E96, Ohms(3140)); v != 3160 {
		t.Error("3140 in E96:", v)
	}
	v := NearestDifference(E24, Ohms(1050))
	if e := float64(v)/1050 - 1; v != 1000 || math.Abs(100*e+4.7619) > 5e-5 {
		t.Error("1050 in E24:", v, e)
	}
	// √(1000 × 1100) = 1048.8, so by ratio 1050 is nearer to 1100.
	if v := Nearest(E24, Ohms(1050)); v != 1100 {
		t.Error("1050 by ratio:", v)
	}
	if v := Nearest(E24, Ohms(1048)); v != 1000 {
		t.Error("1048 by ratio:", v)
	}
	// 1 k from two E24 values without 1 k itself.
	if !Contains(E24, 180.0) || !Contains(E24, 820.0) || !Contains(E24, 1.1e3) || !Contains(E24, 11e3) || 1.1e3*11e3/(1.1e3+11e3) != 1e3 {
		t.Error("pairs that make 1 k")
	}
	for _, v := range []float64{5.2, 97} { // colour code exercises outside the series
		if Contains(E24, v) {
			t.Error(v, "is in E24")
		}
	}
}

// Computed values carry dust in their last places; the answers do not.
func TestDust(t *testing.T) {
	const dusty = 4699.9999999999
	if Below(E12, dusty) != 4700 || Above(E12, dusty) != 4700 || Nearest(E12, dusty) != 4700 || !Contains(E12, dusty) {
		t.Error("dust below")
	}
	if Above(E12, 4700.0000000001) != 4700 || Below(E12, 4700.0000000001) != 4700 {
		t.Error("dust above")
	}
	if Below(E12, 4699.9) != 3900 || Above(E12, 4700.1) != 5600 || Contains(E12, 4700.1) {
		t.Error("a real difference taken for dust")
	}
	for _, v := range []float64{0, -4700, math.Inf(1), math.NaN(), 1e300, 1e-300} {
		if Contains(E24, v) {
			t.Error(v, "is preferred")
		}
	}
}

// Nearest, Below and Above against a search through the whole list.
func TestNearestAgainstSearch(t *testing.T) {
	const seed = 63160
	t.Log("seed", seed)
	rng := rand.New(rand.NewPCG(seed, 1))
	for range 20000 {
		s := [...]Series{E3, E6, E12, E24, E48, E96, E192}[rng.IntN(7)]
		v := math.Pow(10, 16*rng.Float64()-10)
		below, above, ratio, difference := 0.0, math.Inf(1), 0.0, math.Inf(1)
		decade := int(math.Floor(math.Log10(v)))
		for k := (decade - 1) * int(s); k <= (decade+2)*int(s); k++ {
			w := s.At(k)
			if w <= v {
				below = max(below, w)
			} else {
				above = min(above, w)
			}
			if math.Abs(math.Log(w/v)) < math.Abs(math.Log(ratio/v)) {
				ratio = w
			}
			if math.Abs(w-v) < math.Abs(difference-v) {
				difference = w
			}
		}
		if Below(s, v) != below || Above(s, v) != above || Nearest(s, v) != ratio || NearestDifference(s, v) != difference {
			t.Fatalf("%v at %v: %v %v %v %v, want %v %v %v %v", s, v,
				Below(s, v), Above(s, v), Nearest(s, v), NearestDifference(s, v), below, above, ratio, difference)
		}
	}
}

func TestWithin(t *testing.T) {
	for _, c := range []struct {
		s         Series
		low, high Ohms
		want      []Ohms
	}{
		{E12, 800, 1500, []Ohms{820, 1000, 1200, 1500}}, {E3, 1, 100, []Ohms{1, 2.2, 4.7, 10, 22, 47, 100}},
		{E6, 1.1, 1.4, nil}, {E6, 10, 1, nil}, {E12, 4700, 4700, []Ohms{4700}},
	} {
		got := Within(c.s, c.low, c.high)
		if len(got) != len(c.want) {
			t.Errorf("%v %v to %v: %v", c.s, c.low, c.high, got)
			continue
		}
		for i := range got {
			if got[i] != c.want[i] {
				t.Errorf("%v %v to %v: %v", c.s, c.low, c.high, got)
			}
		}
	}
}

// IEC 60063's usual tolerances, as quoted by a second text.
func TestSeriesTolerance(t *testing.T) {
	for s, want := range map[Series]string{E6: "20 %", E12: "10 %", E24: "5 %", E48: "2 %", E96: "1 %", E192: "0.5 %"} {
		if tol, ok := s.Tolerance(); !ok || tol.String() != want {
			t.Errorf("%v: %v", s, tol)
		}
	}
	if _, ok := E3.Tolerance(); ok {
		t.Error("E3 has a tolerance")
	}
}

func TestSeriesTexts(t *testing.T) {
	for _, s := range []Series{E3, E6, E12, E24, E48, E96, E192} {
		text, err := s.MarshalText()
		var back Series
		if err != nil || back.UnmarshalText([]byte(" "+strings.ToLower(string(text)))) != nil || back != s {
			t.Errorf("%v came back as %v", s, back)
		}
	}
	for text, id := range map[string]finding.ID{"": IDEmpty, "E25": IDNotSeries, "24": IDNotSeries, "E 24": IDNotSeries} {
		_, err := ParseSeries(text)
		var f finding.Finding
		if !errors.As(err, &f) || f.ID != id {
			t.Errorf("%q: %v", text, err)
		}
	}
}
