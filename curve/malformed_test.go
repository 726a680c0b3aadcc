package curve

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/finding"
)

// malformed names every file in testdata/malformed, the first thing that is
// wrong with it, and where (0 is the whole file, or the whole line).
var malformed = []struct {
	file         string
	id           finding.ID
	line, column int
}{
	{"empty.csv", IDEmpty, 0, 0},
	{"blank-lines.txt", IDEmpty, 0, 0},
	{"only-comments.csv", IDNoRows, 0, 0},
	{"only-header.csv", IDNoRows, 0, 0},
	{"program-text.txt", IDNoRows, 0, 0},
	{"web-page.csv", IDNotTable, 1, 0},
	{"fragment-of-page.txt", IDNotTable, 1, 0},
	{"printed.csv", IDNotTable, 1, 0},
	{"spreadsheet.csv", IDNotTable, 1, 0},
	{"recording.txt", IDNotTable, 1, 0},
	{"answer.json.txt", IDNotTable, 1, 0},
	{"binary.dat", IDNotTable, 1, 0},
	{"one-column.txt", IDOneColumn, 2, 0},
	{"one-row-separator-changed.csv", IDMixedSeparator, 11, 0},
	{"one-row-tab.txt", IDMixedSeparator, 6, 0},
	{"decimal-changes.txt", IDMixedDecimal, 14, 1},
	{"decimal-point-in-commas.txt", IDMixedDecimal, 9, 1},
	{"units-in-rows.txt", IDNotNumber, 2, 1},
	{"letter-o.csv", IDNotNumber, 19, 1},
	{"word-for-gain.csv", IDNotNumber, 5, 6},
	{"word-for-phase.csv", IDNotNumber, 7, 12},
	{"words-in-every-row.csv", IDNotNumber, 5, 6},
	{"overflow.csv", IDNotNumber, 4, 6},
	{"log-of-a-run.txt", IDNotNumber, 1, 1},
	{"sentence-between.csv", IDTextInTable, 17, 1},
	{"second-sweep.csv", IDSecondTable, 33, 0},
	{"second-sweep-titled.txt", IDSecondTable, 36, 0},
	{"broke-off.csv", IDTruncated, 22, 0},
	{"broke-off-at-separator.csv", IDTruncated, 22, 0},
	{"broke-off-in-exponent.txt", IDTruncated, 13, 0},
	{"gain-missing.csv", IDFieldMissing, 12, 0},
	{"one-decimal-comma.csv", IDExtraField, 10, 7},
	{"thousands-in-commas.csv", IDExtraField, 19, 7},
	{"comma-decimals-in-commas.csv", IDAskSeparator, 1, 1},
	{"three-digits.txt", IDAskDecimal, 1, 1},
	{"titles-swapped.csv", IDAskColumns, 2, 0},
	{"two-channels.csv", IDAskColumns, 2, 0},
	{"counted-rows.txt", IDAskColumns, 1, 0},
	{"narrow-sweep.txt", IDAskFrequency, 1, 0},
	{"titled-khz.csv", IDAskFrequency, 2, 0},
	{"titled-hz-but-khz.csv", IDAskFrequency, 2, 0},
	{"gain-without-unit.csv", IDAskGain, 2, 0},
	{"ratio-below-zero.csv", IDAskGain, 2, 0},
	{"phase-without-unit.csv", IDAskPhase, 2, 0},
	{"negative-frequency.csv", IDFrequencyNegative, 2, 1},
	{"far-too-high.csv", IDFrequencyRange, 32, 0},
	{"gain-far-too-big.csv", IDGainRange, 8, 0},
	{"real-and-imaginary.csv", IDComplexColumns, 2, 0},
	{"no-gain.csv", IDNoColumn, 2, 0},
	{"single-point.csv", IDTooFewPoints, 0, 0},
	{"no-values.csv", IDTooFewPoints, 0, 0},
	{"long-line.csv", IDLineTooLong, 7, 0},
}

func TestMalformed(t *testing.T) {
	if len(malformed) < 40 {
		t.Fatalf("only %d malformed files", len(malformed))
	}
	var names []string
	for _, m := range malformed {
		names = append(names, m.file)
		c, _, err := Read(open(t, "malformed", m.file), As{})
		list, ok := finding.From(err)
		if !ok || len(c.Hz) > 0 {
			t.Errorf("%s: %d points, error %v", m.file, len(c.Hz), err)
			continue
		}
		first := list[0]
		if first.ID != m.id || first.Place.Line != m.line || first.Place.Column != m.column || first.Level != finding.Error {
			t.Errorf("%s: %v, want %s at line %d, column %d", m.file, first, m.id, m.line, m.column)
		}
	}
	eachFileNamed(t, "malformed", names)
}

// Every question is settled by the answer it asks for.
func TestQuestionsAnswered(t *testing.T) {
	for _, c := range []struct {
		file   string
		as     As
		points int
		id     string
		db     float64 // of the second point
	}{
		{"comma-decimals-in-commas.csv", As{Decimal: "comma", Frequency: "Hz", Gain: "dB"}, 31, "", 0},
		{"three-digits.txt", As{Decimal: "comma", Frequency: "kHz", Gain: "dB"}, 5, "", 2.345},
		{"three-digits.txt", As{Decimal: "point", Frequency: "Hz", Gain: "dB"}, 0, string(IDGainRange), 0},
		{"titles-swapped.csv", As{FrequencyColumn: 2, GainColumn: 1}, 31, "", 0},
		{"two-channels.csv", As{GainColumn: 3}, 31, "", 0},
		{"counted-rows.txt", As{FrequencyColumn: 2, GainColumn: 3}, 31, "", 0},
		{"narrow-sweep.txt", As{Frequency: "Hz"}, 33, "", 0},
		{"titled-khz.csv", As{Frequency: "Hz"}, 31, "", 0},
		{"titled-hz-but-khz.csv", As{Frequency: "kHz"}, 31, "", 0},
		{"gain-without-unit.csv", As{Gain: "ratio"}, 31, "", 0},
		{"ratio-below-zero.csv", As{Gain: "ratio"}, 0, string(IDRatioNegative), 0},
		{"phase-without-unit.csv", As{Phase: "radians"}, 31, "", 0},
		{"phase-without-unit.csv", As{Phase: "none"}, 31, "", 0},
		{"gain-without-unit.csv", As{Gain: "decibel"}, 0, string(IDAsUnknown), 0},
		{"narrow-sweep.txt", As{GainColumn: 3}, 0, string(IDAsColumn), 0},
		{"narrow-sweep.txt", As{FrequencyColumn: 2, GainColumn: 2}, 0, string(IDAsColumn), 0},
		{"narrow-sweep.txt", As{GainColumn: -1}, 0, string(IDAsColumn), 0},
	} {
		got, u, err := Read(open(t, "malformed", c.file), c.as)
		id, _, _ := strings.Cut(idsOf(err), " ") // the first of them
		if len(got.Hz) != c.points || id != c.id {
			t.Errorf("%s %+v: %d points, %q; want %d, %q", c.file, c.as, len(got.Hz), idsOf(err), c.points, c.id)
			continue
		}
		if c.db != 0 {
			within(t, c.file, got.DB[1], c.db, 1e-12)
		}
		if c.as.Frequency != "" && (u.Frequency != Choice{c.as.Frequency, ByPerson}) && u.Points > 0 {
			t.Errorf("%s: frequency understood as %v", c.file, u.Frequency)
		}
	}
}

func open(t *testing.T, folder, name string) *os.File {
	t.Helper()
	f, err := os.Open(filepath.Join("testdata", folder, name))
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(func() { f.Close() })
	return f
}

// eachFileNamed fails for a file that no line of the table speaks of.
func eachFileNamed(t *testing.T, folder string, names []string) {
	t.Helper()
	files, err := os.ReadDir(filepath.Join("testdata", folder))
	if err != nil || len(files) != len(names) {
		t.Errorf("%s: %d files, %d named (%v)", folder, len(files), len(names), err)
	}
	known := map[string]bool{}
	for _, n := range names {
		known[n] = true
	}
	for _, f := range files {
		if !known[f.Name()] {
			t.Errorf("%s/%s is in no table", folder, f.Name())
		}
	}
}
