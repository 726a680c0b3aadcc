package quantity

import (
	"math"
	"testing"
)

func TestDisplay(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Ohms(4700).Display(3), "4.7 kΩ"}, {Farads(2.2e-6).Display(2), "2.2 µF"}, {Henries(0.68).Display(3), "680 mH"},
		{Hertz(63).Display(3), "63 Hz"}, {Hertz(1000).Display(3), "1 kHz"}, {Hertz(62.8437).Display(3), "62.8 Hz"},
		{Ohms(999.6).Display(3), "1 kΩ"}, {Ohms(999.4).Display(3), "999 Ω"}, {Ohms(999949).Display(4), "999.9 kΩ"}, {Ohms(999960).Display(4), "1 MΩ"},
		{Ohms(0).Display(3), "0 Ω"}, {Ohms(0.05).Display(3), "0.05 Ω"}, {Ohms(0.005).Display(3), "5 mΩ"}, {Ohms(2e-9).Display(3), "0.002 µΩ"},
		{Ohms(math.Inf(1)).Display(3), "∞ Ω"}, {Farads(4.7e-3).Display(3), "4700 µF"}, {Farads(1).Display(3), "1 F"}, {Farads(3.3e-13).Display(3), "0.33 pF"},
		{Volts(-50).Display(3), "−50 V"}, {Volts(0.775).Display(3), "775 mV"}, {Watts(0.25).Display(2), "0.25 W"}, {Metres(0.0005).Display(2), "0.5 mm"},
		{Metres(35e-6).Display(2), "35 µm"}, {Celsius(-5.25).Display(3), "−5.25 °C"},
		{Decibels(-13.64).Display(1), "−13.6 dB"}, {Decibels(-0.04).Display(1), "0 dB"}, {Decibels(12).Display(2), "12 dB"},
		{Decibels(math.Inf(-1)).Display(1), "−∞ dB"}, {Level(0).Display(1), "0 V"}, {LevelDBu(-20).Display(1), "−20 dBu"},
		{Ohms(1e25).Display(2), "1e25 Ω"}, {Farads(1.5e-25).Display(2), "1.5e-25 F"},
		{Ohms(0.1 + 0.2).Display(3), "0.3 Ω"}, {Ohms(12345678).Display(1), "10 MΩ"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

func TestShortest(t *testing.T) {
	tenth, fifth := Ohms(0.1), Ohms(0.2) // variables: constants would add exactly
	for _, c := range []struct{ got, want string }{
		{Ohms(4.7e3).String(), "4.7 kΩ"}, {Farads(22e-9).String(), "22 nF"}, {(tenth + fifth).String(), "0.30000000000000004 Ω"},
		{Henries(1.0 / 3).String(), "333.3333333333333 mH"}, {Volts(-1.5).String(), "-1.5 V"},
		{Level(1).String(), "1 V"}, {Level(0).String(), "0 V"}, {Level(0.1).String(), "100 mV"}, {LevelDBu(4).String(), "4 dBu"},
		{LevelDBV(-10).String(), "-10 dBV"}, {Level(0.2345).String(), "234.5 mV"},
		{Tolerance{0.05, 0.05}.String(), "5 %"}, {Tolerance{0.2, 0.8}.String(), "-20/+80 %"}, {Tolerance{0, 1}.String(), "-0/+100 %"},
		{Tolerance{0.005, 0.005}.Display(), "±0.5 %"}, {Tolerance{0.2, 0.8}.Display(), "−20/+80 %"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

func TestBench(t *testing.T) {
	for _, c := range []struct{ got, want string }{
		{Ohms(4700).Bench(3), "4k7"}, {Ohms(470).Bench(3), "470R"}, {Ohms(0.47).Bench(3), "R47"}, {Ohms(4.7).Bench(2), "4R7"}, {Ohms(47300).Bench(3), "47k3"},
		{Ohms(1e6).Bench(3), "1M"}, {Ohms(0).Bench(3), "0R"}, {Ohms(0.05).Bench(3), "R05"}, {Ohms(4699.9999).Bench(3), "4k7"},
		{Farads(2.2e-6).Bench(2), "2u2"}, {Farads(1e-7).Bench(2), "100n"}, {Farads(4.7e-13).Bench(2), "p47"}, {Farads(4.7e-3).Bench(2), "4700u"}, {Farads(1.5).Bench(2), "1F5"},
		{Henries(1.5).Bench(3), "1H5"}, {Henries(2).Bench(3), "2H"}, {Henries(0.68).Bench(3), "680mH"}, {Henries(47e-6).Bench(3), "47uH"},
	} {
		if c.got != c.want {
			t.Errorf("%q, want %q", c.got, c.want)
		}
	}
}

func TestMarshalRefusesWhatCannotBeRead(t *testing.T) {
	for _, v := range []Ohms{Ohms(math.NaN()), Ohms(math.Inf(1)), -1, 1e30, 1e-40} {
		if text, err := v.MarshalText(); err == nil {
			t.Errorf("%v written as %s", float64(v), text)
		}
	}
	if _, err := Level(-1).MarshalText(); err == nil {
		t.Error("negative level written")
	}
	for _, tol := range []Tolerance{{-0.1, 0.1}, {1, 1}, {0.1, -0.1}, {0.1, math.Inf(1)}, {math.NaN(), 0}, {0, math.NaN()}, {1e-9, 0}} {
		if text, err := tol.MarshalText(); err == nil {
			t.Errorf("%v written as %s", tol, text)
		}
	}
}

func TestMisusePanics(t *testing.T) {
	for name, f := range map[string]func(){
		"NaN":              func() { _ = Ohms(math.NaN()).String() },
		"no digits":        func() { Ohms(1).Display(0) },
		"negative code":    func() { Ohms(-1).Bench(3) },
		"NaN decibels":     func() { Decibels(math.NaN()).Display(1) },
		"digitless column": func() { NewColumn([]Ohms{1}, 0) },
		"nearest nought":   func() { Nearest(E24, 0.0) },
		"nearest NaN":      func() { Above(E24, math.NaN()) },
		"no such series":   func() { Series(7).At(0) },
		"no bands":         func() { ExactFrequency(0, 1) },
		"band of nought":   func() { BandOf(0, 3) },
	} {
		func() {
			defer func() {
				if text, ok := recover().(string); !ok || text[:10] != "quantity: " {
					t.Errorf("%s: recovered %v", name, text)
				}
			}()
			f()
		}()
	}
}

func TestColumn(t *testing.T) {
	check := func(unit, wantUnit string, cells, want []string) {
		t.Helper()
		if unit != wantUnit || len(cells) != len(want) {
			t.Fatalf("%s %q, want %s %q", unit, cells, wantUnit, want)
		}
		for i := range cells {
			if cells[i] != want[i] {
				t.Errorf("%s %q, want %s %q", unit, cells, wantUnit, want)
				return
			}
		}
	}
	unit, cells := column(3, Hertz(63), 160, 400, 1000, 2500, 6300)
	check(unit, "Hz", cells, []string{"63", "160", "400", "1000", "2500", "6300"})
	unit, cells = column(3, Ohms(470), 4700, 1e4)
	check(unit, "Ω", cells, []string{"470", "4700", "10000"})
	unit, cells = column(3, Ohms(470), 4700, 1e6)
	check(unit, "kΩ", cells, []string{"0.47", "4.70", "1000.00"})
	unit, cells = column(3, Henries(2.2), 0.68, 0.022)
	check(unit, "mH", cells, []string{"2200", "680", "22"})
	unit, cells = column(2, Farads(2.2e-6), 4.7e-9, 0)
	check(unit, "nF", cells, []string{"2200.0", "4.7", "0.0"})
	unit, cells = column(1, Decibels(-13.64), 0.04, Decibels(math.Inf(-1)), -0.04)
	check(unit, "dB", cells, []string{"−13.6", "0.0", "−∞", "0.0"})
	unit, cells = column(3, Volts(-1.5), Volts(math.Inf(1)), 24)
	check(unit, "V", cells, []string{"−1.5", "∞", "24.0"})
	unit, cells = column(2, Ohms(999.6), 1500)
	check(unit, "kΩ", cells, []string{"1.0", "1.5"})
	unit, cells = column[Ohms](3)
	check(unit, "Ω", cells, nil)
	if text := NewColumn([]Ohms{4700}, 3).Text(470); text != "0.5 kΩ" {
		t.Error(text)
	}
}

func column[Q Quantity](digits int, values ...Q) (string, []string) {
	c := NewColumn(values, digits)
	var cells []string
	for _, v := range values {
		cells = append(cells, c.Cell(v))
	}
	return c.Unit(), cells
}
