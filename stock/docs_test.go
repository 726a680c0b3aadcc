package stock

import (
	"encoding/json"
	"os"
	"regexp"
	"slices"
	"strings"
	"testing"
)

// page is the reference of the drawer's CSV.
func page(t *testing.T) string {
	t.Helper()
	raw, err := os.ReadFile("../docs/drawer.md")
	if err != nil {
		t.Fatal(err)
	}
	return string(raw)
}

func fenced(t *testing.T, language string) string {
	t.Helper()
	m := regexp.MustCompile("(?s)```" + language + "\n(.*?)```").FindStringSubmatch(page(t))
	if m == nil {
		t.Fatalf("the page has no %s", language)
	}
	return m[1]
}

func TestPageExample(t *testing.T) {
	d := read(t, fenced(t, "csv"), Mapping{})
	if d.Counts.Rows != 6 || d.Counts.Parts != 5 || d.Counts.Further != 1 || ids(d.Findings) != "low-q" {
		t.Errorf("%+v %v", d.Counts, d.Findings)
	}
	for _, c := range d.Mapping.Columns {
		if c.Holds == Ignored {
			t.Errorf("%q is not used", c.Title)
		}
	}
}

func TestPageMapping(t *testing.T) {
	var m Mapping
	if err := json.Unmarshal([]byte(fenced(t, "json")), &m); err != nil {
		t.Fatal(err)
	}
	d := read(t, "Serial;Last reading;Type\nC7;103,2;MKT\n", m)
	want := Part{ID: "C7", Kind: Capacitor, Count: 1, Readings: []Reading{{Value: 103.2e-9, Hertz: 1000, Mode: Parallel}}}
	sameParts(t, "by the page's mapping", d.Parts, []Part{want})
}

// Every field has its row on the page, and every title named there is known.
func TestPageColumns(t *testing.T) {
	var fields []Field
	for _, line := range strings.Split(page(t), "\n") {
		cells := strings.Split(strings.Trim(line, "| "), " | ")
		if len(cells) != 4 || !strings.HasPrefix(cells[0], "`") {
			continue
		}
		field := Field(strings.Trim(cells[0], "`"))
		fields = append(fields, field)
		for _, title := range append(strings.Split(cells[3], ", "), string(field)) {
			if m, ok := takeApart(title).means(); !ok || m.field != field {
				t.Errorf("%q means %+v, the page says %s", title, m, field)
			}
		}
	}
	want := Fields()
	slices.Sort(fields)
	slices.Sort(want)
	if !slices.Equal(fields, want) {
		t.Errorf("the page has %v", fields)
	}
}

// Titles taken apart: words, unit and frequency.
func TestTitles(t *testing.T) {
	for text, want := range map[string]Column{
		"L (mH)":          {Holds: FieldMeasured, Kind: Coil, Unit: "mH"},
		"tol %":           {Holds: FieldTolerance, Unit: "%"},
		"C [nF] @ 1 kHz":  {Holds: FieldMeasured, Kind: Capacitor, Unit: "nF", Hertz: 1000},
		"Ls 120 Hz (H)":   {Holds: FieldMeasured, Kind: Coil, Mode: Series, Unit: "H", Hertz: 120},
		"measured C":      {Holds: FieldMeasured, Kind: Capacitor},
		"L marked":        {Holds: FieldValue, Kind: Coil},
		"Temp C":          {Holds: FieldTemperature, Unit: "°C"},
		"freq, kHz":       {Holds: FieldFrequency, Unit: "kHz"},
		"DCR/ohm":         {Holds: FieldDCR, Unit: "ohm"},
		"test_freq (Hz)":  {Holds: FieldFrequency, Unit: "Hz"},
		"C in µF":         {Holds: FieldMeasured, Kind: Capacitor, Unit: "µF"},
		"Cp @ 100Hz [uF]": {Holds: FieldMeasured, Kind: Capacitor, Mode: Parallel, Unit: "µF", Hertz: 100},
		"tan δ":           {Holds: FieldD},
		"+/-":             {Holds: FieldTolerance},
		"mood":            {Holds: Ignored},
	} {
		got := Column{Title: text}.byTitle()
		got.Title, got.By = "", ""
		if got != want {
			t.Errorf("%s: %+v, want %+v", text, got, want)
		}
	}
}
