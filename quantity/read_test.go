package quantity

import (
	"errors"
	"math"
	"strings"
	"testing"

	"bandwright/finding"
)

// numbers is a table of texts and the float64 they must give, bit for bit.
type numbers map[string]float64

func readAll(t *testing.T, u *unit, table numbers) {
	t.Helper()
	for text, want := range table {
		got, err := parse(text, u)
		if err != nil || got != want {
			t.Errorf("%s %q: %v, %v; want %v", u.name, text, got, err, want)
		}
	}
}

// IEC 60062 letter code, as quoted by a second text.
func TestLetterCodeOfTheStandard(t *testing.T) {
	readAll(t, &ohm, numbers{
		"R47": 0.47, "4R7": 4.7, "470R": 470, "4K7": 4700, "47K": 47e3, "47K3": 47300,
		"470K": 470e3, "4M7": 4.7e6, "8K2": 8200, "15M0": 15e6,
	})
	readAll(t, &farad, numbers{"4n7": 4.7e-9, "2u2": 2.2e-6})
}

// The notations of the bench: common practice, no source.
func TestOhms(t *testing.T) {
	readAll(t, &ohm, numbers{
		"4k7": 4700, "4r7": 4.7, "1M": 1e6, "104": 104, "470": 470, "0": 0, "0R": 0, "R05": 0.05, "k47": 470,
		"0.1 ohm": 0.1, "5 ohms": 5, "33 Ohm": 33, "4.7 kΩ": 4700, "4.7k\u2126": 4700, "4\u03a97": 4.7, "4k7Ω": 4700, "4k7 ohm": 4700,
		"4,7k": 4700, "4,7 kΩ": 4700, "0,470": 0.47, "4,70": 4.7, "4,7000": 4.7, "1234,567": 1234.567, ",47": 0.47, ".47": 0.47,
		"10 000": 10000, "10\u202f000 Ω": 10000, "1,234.5": 1234.5, "1.234,5": 1234.5, "1.234.567": 1234567, "1,234,567": 1234567,
		"4.700": 4.7, "1 234,567": 1234.567,
		"4.7\u00a0kΩ": 4700, "4.7\u2009k": 4700, "  4k7\t": 4700, "+4k7": 4700,
		"2.2 Meg": 2.2e6, "2.2 megohm": 2.2e6, "10 kilohm": 1e4, "1 MΩ": 1e6, "1 mΩ": 1e-3, "5 milliohms": 5e-3, "10 GΩ": 1e10,
		"100\u212a": 1e5, "1e3": 1000, "1.5E3": 1500, "1e-3": 1e-3, "2E-2": 0.02, "-0": 0,
	})
}

func TestFarads(t *testing.T) {
	readAll(t, &farad, numbers{
		"2u2": 2.2e-6, "2\u00b52": 2.2e-6, "2\u03bc2": 2.2e-6, "100n": 100e-9, "4n7": 4.7e-9, "p33": 0.33e-12, "n47": 470e-12,
		"0,022 µF": 0.022e-6, "22 nF": 22e-9, "100 pF": 100e-12, "100NF": 100e-9, "10UF": 10e-6, "47P": 47e-12, "22uf": 22e-6,
		"2u2F": 2.2e-6, "1 F": 1, "4700u": 4.7e-3, "0": 0, "1e-6": 1e-6, "0 pF": 0, "10 microfarad": 1e-5,
	})
}

// mfd, mmfd and µµF of old drawings: common practice, no source.
func TestOldDrawings(t *testing.T) {
	readAll(t, &farad, numbers{
		"0.1 mfd": 1e-7, ".022 MFD": 22e-9, "20 Mfd.": 20e-6, "100 mmfd": 1e-10, "250 MMFD": 250e-12, "50 mmF": 50e-12,
		"100 \u00b5\u00b5F": 1e-10, "100 \u03bc\u03bcF": 1e-10, "100uuF": 1e-10, "47 uufd": 47e-12, "8 ufd": 8e-6,
	})
	readAll(t, &hertz, numbers{"60 c/s": 60, "1 kc": 1000, "4.5 Mc/s": 4.5e6, "1000 cps": 1000})
	readAll(t, &henry, numbers{"10 Hy": 10})
}

func TestOtherUnits(t *testing.T) {
	readAll(t, &henry, numbers{
		"680 mH": 0.68, "1H5": 1.5, "1.5 H": 1.5, "1,5 H": 1.5, "22m": 0.022, "4m7": 4.7e-3, "100uH": 1e-4, "0": 0, "2.2 henries": 2.2,
	})
	readAll(t, &hertz, numbers{"63 Hz": 63, "1k": 1000, "6k3": 6300, "1.25 kHz": 1250, "1k25Hz": 1250, "1 MHz": 1e6, "5 mHz": 5e-3, "31,5": 31.5})
	readAll(t, &volt, numbers{"24 V": 24, "3V3": 3.3, "\u221250 V": -50, "231 VAC": 231, "12 V DC": 12, "412": 412, "0.5 mV": 5e-4, "1kV": 1000, "5 µV": 5e-6})
	readAll(t, &ampere, numbers{"20 mA": 0.02, "1A5": 1.5, "-3 µA": -3e-6, "2 amps": 2})
	readAll(t, &watt, numbers{"220 W": 220, "0W5": 0.5, "250 mW": 0.25, "1,5 kW": 1500})
	readAll(t, &second, numbers{"250 ms": 0.25, "10 s": 10, "3 µs": 3e-6})
	readAll(t, &metre, numbers{"30 mm": 0.03, "1.2 m": 1.2, "3 cm": 0.03, "35 µm": 35e-6, "0": 0, "5 MM": 5e-3})
	readAll(t, &celsius, numbers{"35 °C": 35, "-5 C": -5, "22\u2103": 22, "22º": 22, "40 deg C": 40, "35": 35})
	readAll(t, &decibel, numbers{"12 dB": 12, "\u22123 dB": -3, "\u20133.5db": -3.5, "+6 dB": 6, "-0 dB": 0})
}

func TestBothMeanings(t *testing.T) {
	for _, c := range []struct {
		u          *unit
		text       string
		one, other float64
	}{
		{&ohm, "4,700", 4.7, 4700}, {&ohm, "4,700 kΩ", 4700, 4.7e6}, {&ohm, "100,000", 100, 1e5}, {&ohm, "4,700e3", 4700, 4.7e6},
		{&ohm, "1m", 1e-3, 1e6}, {&ohm, "4m7", 4.7e-3, 4.7e6}, {&ohm, "4E7", 4.7, 4e7}, {&ohm, "1E3", 1.3, 1000},
		{&farad, "5 mF", 5e-3, 5e-6}, {&farad, "10 MF", 10e-6, 10e-3}, {&farad, "10mf", 10e-6, 10e-3}, {&farad, "2m2", 2.2e-3, 2.2e-6},
		{&farad, "100", 1e-10, 1e-4}, {&farad, "104", 104e-12, 104e-6}, {&farad, "0.1M", 1e-7, 1e-4},
		{&henry, "680 MH", 0.68, 680e-6}, {&henry, "2", 2, 2e-3},
		{&hertz, "1m", 1e-3, 1e6}, {&hertz, "1 mhz", 1e-3, 1e6},
		{&volt, "10 MV", 0.01, 1e7}, {&volt, "-1,500 V", -1.5, -1500}, {&metre, "30", 0.03, 30},
		{&level, "1", 1, float64(LevelDBu(1))}, {&level, "-10 dBv", float64(LevelDBu(-10)), float64(LevelDBV(-10))},
		{&level, "1,250 dBv", float64(LevelDBu(1.25)), float64(LevelDBV(1.25))},
		{&decibel, "1,000 dB", 1, 1000},
		{&percent, "1,000 %", 0.01, 10},
	} {
		err := readError(c.u, c.text)
		want(t, c.u.name+" "+c.text, err, IDAmbiguous, finding.Args{"read": c.text, "unit": c.u.name, "one": c.one, "other": c.other})
	}
}

// readError reads text and gives only the error.
func readError(u *unit, text string) error {
	if u == &percent {
		_, err := ParseTolerance(text)
		return err
	}
	_, err := parse(text, u)
	return err
}

// want fails unless err is the finding, an Error, and holds at least args.
func want(t *testing.T, what string, err error, id finding.ID, args finding.Args) {
	t.Helper()
	var f finding.Finding
	if !errors.As(err, &f) || f.ID != id || f.Level != finding.Error {
		t.Errorf("%s: %v; want %s", what, err, id)
		return
	}
	for k, v := range args {
		if f.Args[k] != v {
			t.Errorf("%s: %s is %v, want %v", what, k, f.Args[k], v)
		}
	}
	for k, v := range f.Args {
		if x, ok := v.(float64); ok && math.IsNaN(x) {
			t.Errorf("%s: %s is NaN", what, k)
		}
	}
	// Every refusal of a value shows a text that is read, so that the hint holds.
	if like, _ := f.Args["like"].(string); like == "" {
		t.Errorf("%s: no example", what)
	}
}

func TestRefused(t *testing.T) {
	for _, c := range []struct {
		u    *unit
		text string
		id   finding.ID
		args finding.Args
	}{
		{&ohm, "", IDEmpty, nil}, {&ohm, " \u00a0\t", IDEmpty, nil},
		{&ohm, "R", IDNotNumber, nil}, {&ohm, "k", IDNotNumber, nil}, {&ohm, "NaN", IDNotNumber, nil}, {&ohm, "Inf", IDNotNumber, nil},
		{&ohm, "-", IDNotNumber, nil}, {&ohm, "∞", IDNotNumber, nil}, {&ohm, "±5", IDNotNumber, nil}, {&ohm, "--5", IDNotNumber, nil},
		{&ohm, "4..7", IDNotNumber, nil}, {&ohm, "47.", IDNotNumber, nil}, {&ohm, "4,7,", IDNotNumber, nil}, {&ohm, "1.2.3", IDNotNumber, nil},
		{&ohm, "1,23,456", IDNotNumber, nil}, {&ohm, "1.234.56", IDNotNumber, nil}, {&ohm, "0.123 456", IDNotNumber, nil},
		{&ohm, strings.Repeat("1", 200), IDNotNumber, nil}, {&ohm, "٤٧", IDNotNumber, nil},
		{&ohm, "4k7k", IDUnknownUnit, finding.Args{"suffix": "k7k"}}, {&ohm, "4.7k5", IDUnknownUnit, finding.Args{"suffix": "k5"}},
		{&ohm, "4k 7", IDUnknownUnit, nil}, {&ohm, "1 5", IDUnknownUnit, nil}, {&ohm, "47 F", IDUnknownUnit, finding.Args{"suffix": "F"}},
		{&ohm, "0x1F", IDUnknownUnit, nil}, {&ohm, "1_000", IDUnknownUnit, nil}, {&ohm, "5\x00", IDUnknownUnit, nil}, {&ohm, "47E", IDUnknownUnit, nil},
		{&ohm, "1e", IDUnknownUnit, nil}, {&ohm, "4k7 5 %", IDUnknownUnit, nil},
		{&ohm, "-4k7", IDNegative, nil}, {&ohm, "\u22121", IDNegative, nil}, {&farad, "-1n", IDNegative, nil}, {&henry, "-1 H", IDNegative, nil},
		{&hertz, "-63 Hz", IDNegative, nil}, {&watt, "-1 W", IDNegative, nil}, {&level, "-1 V", IDNegative, nil},
		{&ohm, "1e400", IDOutOfRange, finding.Args{"high": wide}}, {&ohm, "1e-400", IDOutOfRange, nil}, {&ohm, "1e99999999999999999999", IDOutOfRange, nil},
		{&ohm, "1e-99999999999999999999", IDOutOfRange, nil}, {&ohm, "1e30", IDOutOfRange, nil},
		{&celsius, "-300 °C", IDOutOfRange, finding.Args{"low": -273.15}}, {&decibel, "1e9 dB", IDOutOfRange, nil},
		{&level, "9999 dBu", IDOutOfRange, nil}, {&level, "-9999 dBu", IDOutOfRange, nil}, {&level, "5 dBm", IDUnknownUnit, nil},
		{&level, "-5", IDUnknownUnit, finding.Args{"suffix": ""}}, {&level, "9999", IDUnknownUnit, nil}, {&level, "1e400 dBV", IDOutOfRange, nil},
		{&farad, "4R7", IDUnknownUnit, nil}, {&farad, "10 kF", IDUnknownUnit, nil}, {&henry, "5 k", IDUnknownUnit, nil},
		{&volt, "100m", IDUnknownUnit, nil}, {&second, "5 min", IDUnknownUnit, nil}, {&metre, "2 in", IDUnknownUnit, nil},
	} {
		args := finding.Args{"unit": c.u.name}
		for k, v := range c.args {
			args[k] = v
		}
		want(t, c.u.name+" "+cut(c.text), readError(c.u, c.text), c.id, args)
	}
}

// Every example that findings show must itself be read.
func TestExamplesAreRead(t *testing.T) {
	for _, u := range units {
		if _, err := parse(u.like, u); err != nil {
			t.Errorf("%s: example %q: %v", u.name, u.like, err)
		}
	}
	if _, err := ParseTolerance(percent.like); err != nil {
		t.Error(err)
	}
	if _, err := ParseSeries(series.like); err != nil {
		t.Error(err)
	}
	if _, _, err := ParseOhmsCode(ohmMark.like); err != nil {
		t.Error(err)
	}
	if _, _, err := ParseFaradsCode(faradMark.like); err != nil {
		t.Error(err)
	}
	if _, _, err := ParseColours(bandMark.like); err != nil {
		t.Error(err)
	}
}

// A finding quotes at most 60 characters, as valid UTF-8.
func TestQuotesAreCut(t *testing.T) {
	_, err := ParseOhms("x\xff" + strings.Repeat("Ω", 5000))
	var f finding.Finding
	if !errors.As(err, &f) {
		t.Fatal(err)
	}
	read := f.Args["read"].(string)
	if !strings.HasPrefix(read, "x\uFFFDΩ") || len([]rune(read)) != 61 {
		t.Errorf("quoted as %q", read)
	}
}

// An error leaves the receiver alone.
func TestUnmarshalKeepsOnError(t *testing.T) {
	v, tol, s := Ohms(7), Tolerance{0.1, 0.2}, E24
	if v.UnmarshalText([]byte("rubbish")) == nil || v != 7 {
		t.Error("ohms changed")
	}
	if tol.UnmarshalText([]byte("rubbish")) == nil || tol != (Tolerance{0.1, 0.2}) {
		t.Error("tolerance changed")
	}
	if s.UnmarshalText([]byte("E25")) == nil || s != E24 {
		t.Error("series changed")
	}
}

// Every typed number is wired to its own unit, in all of its methods.
func TestTypesAndUnits(t *testing.T) {
	var (
		r  Ohms
		c  Farads
		l  Henries
		f  Hertz
		u  Volts
		i  Amperes
		p  Watts
		s  Seconds
		m  Metres
		k  Celsius
		db Decibels
		lv Level
	)
	for _, x := range []struct {
		v interface {
			UnmarshalText([]byte) error
			MarshalText() ([]byte, error)
			String() string
			Display(int) string
			unit() *unit
		}
		text, display string
	}{
		{&r, "4.7 kΩ", "4.7 kΩ"}, {&c, "2.2 µF", "2.2 µF"}, {&l, "680 mH", "680 mH"}, {&f, "63 Hz", "63 Hz"}, {&u, "-24 V", "−24 V"},
		{&i, "20 mA", "20 mA"}, {&p, "220 W", "220 W"}, {&s, "250 ms", "250 ms"}, {&m, "30 mm", "30 mm"}, {&k, "-35 °C", "−35 °C"},
		{&db, "-12.5 dB", "−12.5 dB"}, {&lv, "-20 dBu", "−20 dBu"},
	} {
		if err := x.v.UnmarshalText([]byte(x.text)); err != nil {
			t.Error(err)
		}
		written, err := x.v.MarshalText()
		if err != nil || string(written) != x.text || x.v.String() != x.text || x.v.Display(3) != x.display {
			t.Errorf("%s came back as %q, %q, %q, %v", x.text, written, x.v.String(), x.v.Display(3), err)
		}
	}
	readsOne(t, "1 ohm", ParseOhms)
	readsOne(t, "1 F", ParseFarads)
	readsOne(t, "1 H", ParseHenries)
	readsOne(t, "1 Hz", ParseHertz)
	readsOne(t, "1 V", ParseVolts)
	readsOne(t, "1 A", ParseAmperes)
	readsOne(t, "1 W", ParseWatts)
	readsOne(t, "1 s", ParseSeconds)
	readsOne(t, "1 m", ParseMetres)
	readsOne(t, "1 °C", ParseCelsius)
	readsOne(t, "1 dB", ParseDecibels)
	readsOne(t, "1 V", ParseLevel)
}

func readsOne[Q Quantity](t *testing.T, text string, read func(string) (Q, error)) {
	t.Helper()
	if v, err := read(text); err != nil || float64(v) != 1 {
		t.Errorf("%q: %v, %v", text, float64(v), err)
	}
}

// units are all that parse knows.
var units = []*unit{&ohm, &farad, &henry, &hertz, &volt, &ampere, &watt, &second, &metre, &celsius, &decibel, &level}
