package draw_test

import (
	"strings"
	"testing"

	"bandwright/draw"
)

func labels(ticks []draw.Tick) string {
	var words []string
	for _, t := range ticks {
		if t.Major != (t.Label != "") {
			words = append(words, "label and major disagree!")
		}
		if t.Major {
			words = append(words, t.Label)
		}
	}
	return strings.Join(words, " ")
}

func TestFrequencyTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		want      string
		count     int
	}{
		// 20…90 is 8, two decades of 9, then 10k and 20k.
		{20, 20e3, "20 50 100 200 500 1k 2k 5k 10k 20k", 8 + 2*9 + 2},
		{1, 200e3, "1 2 5 10 20 50 100 200 500 1k 2k 5k 10k 20k 50k 100k 200k", 5*9 + 2},
		{300, 900, "500", 7},
		{0.5, 2, "0.5 1 2", 5 + 2},
		{110, 190, "", 0},
	} {
		got := draw.FrequencyTicks(c.low, c.high)
		if labels(got) != c.want || len(got) != c.count {
			t.Errorf("%g to %g Hz: %d ticks, labels %q; want %d, %q", c.low, c.high, len(got), labels(got), c.count, c.want)
		}
		for i, tick := range got {
			if tick.Value < c.low || tick.Value > c.high || i > 0 && tick.Value <= got[i-1].Value {
				t.Errorf("%g to %g Hz: tick %d at %g is out of range or order", c.low, c.high, i, tick.Value)
			}
		}
	}
}

func TestDecibelTicks(t *testing.T) {
	for _, c := range []struct {
		low, high float64
		most      int
		want      string
		minor     float64 // step of the fine ticks
	}{
		{-15, 15, 7, "−15 −10 −5 0 +5 +10 +15", 1},
		{-12.1, 11, 9, "−15 −10 −5 0 +5 +10 +15", 1},
		{-0.3, 0.3, 7, "−0.3 −0.2 −0.1 0.0 +0.1 +0.2 +0.3", 0.02},
		{-2.7, 0.4, 6, "−3 −2 −1 0 +1", 0.2},
		{0, 40, 5, "0 +10 +20 +30 +40", 2},
		{-7, 7, 9, "−8 −6 −4 −2 0 +2 +4 +6 +8", 0.5},
		{-80, -3, 6, "−80 −60 −40 −20 0", 5},
		{1, 1.04, 5, "+1.00 +1.01 +1.02 +1.03 +1.04", 0.002},
	} {
		got := draw.DecibelTicks(c.low, c.high, c.most)
		if labels(got) != c.want {
			t.Errorf("%g to %g dB, %d labels: %q, want %q", c.low, c.high, c.most, labels(got), c.want)
		}
		if first, last := got[0].Value, got[len(got)-1].Value; first > c.low || last < c.high {
			t.Errorf("%g to %g dB: the axis ends at %g and %g", c.low, c.high, first, last)
		}
		for i := 1; i < len(got); i++ {
			if step := got[i].Value - got[i-1].Value; step < 0.999*c.minor || step > 1.001*c.minor {
				t.Errorf("%g to %g dB: step %g, want %g", c.low, c.high, step, c.minor)
			}
		}
	}
}

func TestDecibelTicksAlwaysFit(t *testing.T) {
	for i := range 2000 {
		low := float64(i%97)*0.731 - 40
		high := low + 0.01*float64(1+i)
		for most := 3; most < 12; most++ {
			got := draw.DecibelTicks(low, high, most)
			if n := len(strings.Fields(labels(got))); n > most {
				t.Fatalf("%g to %g dB: %d labels, asked for %d", low, high, n, most)
			}
			if got[0].Value > low+1e-6 || got[len(got)-1].Value < high-1e-6 {
				t.Fatalf("%g to %g dB with %d labels: ends at %g, %g", low, high, most, got[0].Value, got[len(got)-1].Value)
			}
		}
	}
}

func TestSigned(t *testing.T) {
	for _, c := range []struct {
		x      float64
		places int
		want   string
	}{
		{3, 1, "+3.0"}, {-3.04, 1, "−3.0"}, {0.04, 1, "0.0"}, {-0.04, 1, "0.0"}, {0, 0, "0"}, {-10, 0, "−10"}, {10, 0, "+10"},
	} {
		if got := draw.Signed(c.x, c.places); got != c.want {
			t.Errorf("%g to %d places: %q, want %q", c.x, c.places, got, c.want)
		}
	}
}

func TestBadAxesPanic(t *testing.T) {
	for name, make := range map[string]func(){
		"from zero":  func() { draw.FrequencyTicks(0, 1000) },
		"falling":    func() { draw.FrequencyTicks(100, 10) },
		"flat level": func() { draw.DecibelTicks(3, 3, 5) },
		"two labels": func() { draw.DecibelTicks(0, 3, 2) },
	} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%s: no panic", name)
				}
			}()
			make()
		}()
	}
}
