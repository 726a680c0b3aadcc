package stock

import (
	"os"
	"path/filepath"
	"strings"
	"testing"

	"bandwright/finding"
	"bandwright/quantity"
)

// wrong is a finding with its line and column; 0 is the whole file, or the
// whole row.
type wrong struct {
	id           finding.ID
	line, column int
}

// malformed names every file in testdata/malformed with all that is to be
// found in it. The numbers in the files are invented.
var malformed = []struct {
	file  string
	wrong []wrong
}{
	{"empty.csv", []wrong{{IDEmpty, 0, 0}}},
	{"only-spaces.csv", []wrong{{IDEmpty, 0, 0}}},
	{"spreadsheet.csv", []wrong{{IDNotTable, 0, 0}}},
	{"old-spreadsheet.csv", []wrong{{IDNotTable, 0, 0}}},
	{"printed.csv", []wrong{{IDNotTable, 0, 0}}},
	{"web-page.csv", []wrong{{IDNotTable, 0, 0}}},
	{"binary.csv", []wrong{{IDNotTable, 0, 0}}},
	{"prose.csv", []wrong{{IDNoTitles, 0, 0}}},
	{"no-titles.csv", []wrong{{IDNoTitles, 0, 0}}},
	{"no-value-column.csv", []wrong{{IDNoValueColumn, 1, 0}}},
	{"only-titles.csv", []wrong{{IDNoParts, 0, 0}}},
	{"quote-open.csv", []wrong{{IDQuote, 2, 0}}},
	{"quote-inside.csv", []wrong{{IDQuote, 3, 0}}},
	{"quote-to-the-end.csv", []wrong{{IDQuote, 3, 0}}},
	{"decimal-comma-in-commas.csv", []wrong{{IDExtraField, 2, 26}}},
	{"extra-field.csv", []wrong{{IDExtraField, 4, 27}}},
	{"id-missing.csv", []wrong{{IDNoID, 2, 0}}},
	{"id-long.csv", []wrong{{IDIDLong, 2, 1}}},
	{"id-twice.csv", []wrong{{IDIDTwice, 3, 0}}},
	{"id-twice-other-kind.csv", []wrong{{IDIDTwice, 4, 0}}},
	{"id-twice-unmeasured.csv", []wrong{{IDIDTwice, 3, 0}}},
	{"kind-unknown.csv", []wrong{{IDUnknownKind, 2, 4}}},
	{"kind-missing.csv", []wrong{{IDNoKind, 2, 0}}},
	{"no-value.csv", []wrong{{IDNoValue, 2, 0}}},
	{"value-words.csv", []wrong{{quantity.IDNotNumber, 2, 9}}},
	{"value-other-unit.csv", []wrong{{quantity.IDUnknownUnit, 2, 9}}},
	{"value-bare-farads.csv", []wrong{{quantity.IDAmbiguous, 2, 14}}},
	{"value-mega-henry.csv", []wrong{{quantity.IDAmbiguous, 2, 9}}},
	{"value-negative.csv", []wrong{{quantity.IDNegative, 2, 9}}},
	{"value-nought.csv", []wrong{{IDNotPositive, 2, 9}}},
	{"value-huge.csv", []wrong{{quantity.IDOutOfRange, 2, 9}}},
	{"thousands.csv", []wrong{{quantity.IDAmbiguous, 2, 13}}},
	{"thousands-in-decimal-commas.csv", []wrong{{quantity.IDAmbiguous, 3, 13}}},
	{"tolerance-fraction.csv", []wrong{{quantity.IDUnknownUnit, 2, 13}}},
	{"tolerance-word.csv", []wrong{{quantity.IDNotTolerance, 2, 13}}},
	{"measured-words.csv", []wrong{{quantity.IDNotNumber, 2, 18}}},
	{"measured-nought.csv", []wrong{{IDNotPositive, 2, 23}}},
	{"frequency-two.csv", []wrong{{quantity.IDUnknownUnit, 2, 24}}},
	{"frequency-nought.csv", []wrong{{IDNotPositive, 2, 24}}},
	{"mode-unknown.csv", []wrong{{IDNotMode, 2, 30}}},
	{"mode-both.csv", []wrong{{IDNotMode, 2, 30}}},
	{"q-words.csv", []wrong{{IDNotNumber, 2, 37}}},
	{"q-negative.csv", []wrong{{IDNotPositive, 2, 37}}},
	{"q-infinite.csv", []wrong{{IDNotNumber, 2, 37}}},
	{"d-negative.csv", []wrong{{IDNotPositive, 2, 36}}},
	{"q-and-d.csv", []wrong{{IDQAndD, 2, 0}}},
	{"dcr-negative.csv", []wrong{{quantity.IDNegative, 2, 41}}},
	{"count-half.csv", []wrong{{IDNotCount, 2, 19}}},
	{"count-negative.csv", []wrong{{IDNotCount, 2, 19}}},
	{"two-wrong-fields.csv", []wrong{{quantity.IDUnknownUnit, 2, 9}, {quantity.IDUnknownUnit, 2, 18}}},
	{"every-second-row.csv", []wrong{{quantity.IDNotNumber, 2, 14}, {quantity.IDNotNumber, 4, 14}, {quantity.IDNotNumber, 6, 14}, {quantity.IDNotNumber, 8, 14}}},
	{"broke-off.csv", []wrong{{IDBrokeOff, 3, 0}}},
	{"level-bare.csv", []wrong{{IDLeftBlank, 2, 27}}},
	{"temperature-word.csv", []wrong{{IDLeftBlank, 2, 27}}},
	{"dcr-of-capacitor.csv", []wrong{{IDOtherKind, 2, 28}}},
	{"reading-twice.csv", []wrong{{IDReadingTwice, 3, 0}}},
	{"readings-differ.csv", []wrong{{IDReadingsDiffer, 3, 0}}},
	{"measured-count.csv", []wrong{{IDMeasuredCount, 2, 0}}},
	{"micro-for-milli.csv", []wrong{{IDUnitSlip, 2, 0}}},
	{"decade-off.csv", []wrong{{IDDecadeOff, 2, 0}}},
	{"beyond-tolerance.csv", []wrong{{IDBeyondTolerance, 2, 0}}},
	{"q-of-a-million.csv", []wrong{{IDHighQ, 2, 0}}},
	{"q-over-copper.csv", []wrong{{IDQOverCopper, 2, 0}}},
	{"loss-of-capacitor.csv", []wrong{{IDHighLoss, 2, 0}}},
	{"no-frequency.csv", []wrong{{IDNoFrequency, 2, 0}}},
	{"no-mode.csv", []wrong{{IDNoMode, 2, 0}}},
	{"parallel-without-q.csv", []wrong{{IDNoLoss, 2, 0}}},
	{"low-q.csv", []wrong{{IDLowQ, 2, 0}}},
	{"near-resonance.csv", []wrong{{IDNearResonance, 2, 0}}},
	{"above-resonance.csv", []wrong{{IDAboveResonance, 2, 0}}},
	{"self-mismatch.csv", []wrong{{IDSelfMismatch, 2, 0}}},
	{"column-twice.csv", []wrong{{IDColumnTwice, 1, 0}, {IDColumnsIgnored, 1, 0}}},
	{"unknown-column.csv", []wrong{{IDColumnsIgnored, 1, 0}}},
	{"no-id-column.csv", []wrong{{IDNoIDColumn, 1, 0}}},
	{"latin-1.csv", []wrong{{IDEncoding, 0, 0}}},
	{"whole-bag-high.csv", []wrong{{IDBagShifted, 2, 0}}},
}

func TestMalformed(t *testing.T) {
	if len(malformed) < 40 {
		t.Fatalf("only %d malformed files", len(malformed))
	}
	named := map[string]bool{}
	for _, m := range malformed {
		named[m.file] = true
		raw, err := os.ReadFile(filepath.Join("testdata", "malformed", m.file))
		if err != nil {
			t.Fatal(err)
		}
		d, err := Read(strings.NewReader(string(raw)), Mapping{})
		list := d.Findings
		if more, ok := finding.From(err); ok {
			list = append(list, more...)
		} else {
			accounted(t, d, m.file)
		}
		var got []wrong
		for _, f := range list {
			got = append(got, wrong{f.ID, f.Place.Line, f.Place.Column})
		}
		if len(got) != len(m.wrong) {
			t.Errorf("%s: %v, want %v", m.file, list, m.wrong)
			continue
		}
		for i, w := range m.wrong {
			if got[i] != w {
				t.Errorf("%s: %v, want %v", m.file, list[i], w)
			}
		}
	}
	files, err := os.ReadDir(filepath.Join("testdata", "malformed"))
	if err != nil || len(files) != len(named) {
		t.Errorf("%d files, %d named: %v", len(files), len(named), err)
	}
}
