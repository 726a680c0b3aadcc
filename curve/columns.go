package curve

import (
	"strconv"
	"strings"

	"bandwright/finding"
)

// layout says which column holds what, counted from 0; −1 is "none".
type layout struct {
	frequency, gain, phase int
	columns                int // of the table
	titles                 []title
	// first is the line of the first row, from 1; above are the lines before.
	first int
	above []string
}

// own says whether the file is in the form that Write writes.
func (t layout) own() bool { return len(t.above) > 0 && t.above[0] == ownMark }

// findTable finds the first row of the table and so what stands above it: a
// row has the commonest number of columns and nothing but numbers in it,
// unless the table has a column of words.
func findTable(lines []string, f form, rows []sample) (layout, bool) {
	width, quality := f.shape(rows)
	var fields []field
	for _, row := range rows {
		fields = f.split(fields, row.text)
		if len(fields) == width && f.quality(fields) >= quality {
			return layout{columns: width, first: row.line, above: lines[:row.line-1]}, true
		}
	}
	return layout{}, false
}

// shape gives the commonest number of columns and whether all of them are
// numbers (2) or some are words (1); 0 when no row has two numbers.
func (f form) shape(rows []sample) (width, quality int) {
	perWidth := map[int]int{}
	best := map[int]int{}
	var fields []field
	for _, row := range rows {
		fields = f.split(fields, row.text)
		if q := f.quality(fields); q > 0 {
			perWidth[len(fields)] += q
			best[len(fields)] = max(best[len(fields)], q)
		}
	}
	for w, n := range perWidth {
		if n > perWidth[width] || n == perWidth[width] && w < width {
			width = w
		}
	}
	return width, best[width]
}

// decideColumns settles which column holds what: by the person, by titles,
// by the numbers, and by the usual order, the first that tells.
func decideColumns(t *layout, f form, rows []sample, as As, u *Understood) error {
	t.titles = titles(t.above, f, t.columns)
	t.frequency, t.gain, t.phase = -1, -1, -1
	if err := t.byPerson(as, u); err != nil {
		return err
	}
	if err := t.byTitles(as, u); err != nil {
		return err
	}
	t.byValues(f, rows, as, u)
	t.byOrder(as, u)
	t.noteIgnored(u)
	for _, c := range [...]struct {
		what string
		at   int
	}{{holdsFrequency, t.frequency}, {holdsGain, t.gain}} {
		if c.at < 0 {
			return u.fail(IDNoColumn, t.first, finding.Args{"what": c.what, "titles": strings.Join(t.titleTexts(), ", ")})
		}
	}
	return nil
}

func (t *layout) byPerson(as As, u *Understood) error {
	taken := map[int]bool{}
	for _, c := range [...]struct {
		what  string
		asked int
		to    *int
	}{{holdsFrequency, as.FrequencyColumn, &t.frequency},
		{holdsGain, as.GainColumn, &t.gain}, {holdsPhase, as.PhaseColumn, &t.phase}} {
		if c.asked == 0 {
			continue
		}
		if c.asked < 0 || c.asked > t.columns || taken[c.asked] {
			u.note(IDAsColumn, finding.Error, t.first, finding.Args{
				"what": c.what, "column": c.asked, "columns": t.columns})
		}
		taken[c.asked] = true
		*c.to = c.asked - 1
	}
	if as.Phase == "none" {
		t.phase = -1
	}
	return u.asErrors(IDAsColumn)
}

// asErrors gives the errors of one kind, nil when there are none.
func (u *Understood) asErrors(id finding.ID) error {
	for _, f := range u.Findings {
		if f.ID == id {
			return u.errors()
		}
	}
	return nil
}

func (t *layout) byTitles(as As, u *Understood) error {
	if t.frequency < 0 {
		t.frequency = t.titled(holdsFrequency, u)
	}
	if t.gain < 0 {
		t.gain = t.titled(holdsGain, u)
	}
	if t.phase < 0 && as.Phase != "none" {
		t.phase = t.titled(holdsPhase, u)
	}
	re, im := t.firstTitled(holdsReal), t.firstTitled(holdsImaginary)
	if t.gain < 0 && re >= 0 && im >= 0 {
		return u.fail(IDComplexColumns, t.first, finding.Args{
			"first": t.titles[re].text, "second": t.titles[im].text})
	}
	return nil
}

// firstTitled gives the first free column whose title says it holds this.
func (t *layout) firstTitled(holds string) int {
	for i, c := range t.titles {
		if c.holds == holds && !t.used(i) {
			return i
		}
	}
	return -1
}

func (t *layout) used(i int) bool { return i == t.frequency || i == t.gain || i == t.phase }

// titled gives the column with this title. Two of them are a question, save
// that gain given in dB and as a ratio is one gain written twice.
func (t *layout) titled(holds string, u *Understood) int {
	first := t.firstTitled(holds)
	if first < 0 {
		return -1
	}
	for i := first + 1; i < t.columns; i++ {
		if t.titles[i].holds != holds || t.used(i) {
			continue
		}
		switch a, b := t.titles[first].unit, t.titles[i].unit; {
		case holds == holdsGain && a == "dB" && b == "ratio":
		case holds == holdsGain && a == "ratio" && b == "dB":
			first = i
		default:
			t.ask(holds, first, i, u)
			return first
		}
	}
	return first
}

func (t *layout) titleTexts() []string {
	texts := make([]string, len(t.titles))
	for i, c := range t.titles {
		texts[i] = c.text
	}
	return texts
}

func (t *layout) ask(what string, a, b int, u *Understood) {
	u.note(IDAskColumns, finding.Error, t.first, finding.Args{
		"what": what, "a": strconv.Itoa(a + 1), "b": strconv.Itoa(b + 1),
		"read": short(u.example)})
}

// byValues looks whether the frequency stands where it is thought to stand.
// A frequency is never negative, and nearly always rises or falls all along.
func (t *layout) byValues(f form, rows []sample, as As, u *Understood) {
	if as.FrequencyColumn > 0 || t.columns < 2 {
		return
	}
	thought, other := max(t.frequency, 0), 1
	if thought == 1 {
		other = 0
	}
	if t.frequency < 0 && t.used(thought) {
		return // the titles name the gain in the first column; order does the rest
	}
	a, b := t.column(f, rows, thought), t.column(f, rows, other)
	likelyA, likelyB := !negative(a) && monotone(a), !negative(b) && monotone(b)
	counter := likelyA && likelyB && counts(a) && t.frequency < 0 && t.columns > 2
	switch {
	case counter, likelyB && !likelyA && t.frequency >= 0 && negative(a),
		likelyB && !likelyA && t.frequency < 0 && !negative(a) && len(a) > 3:
		t.ask(holdsFrequency, thought, other, u)
	case likelyB && negative(a) && t.frequency < 0 && t.gain < 0:
		t.frequency, t.gain = other, thought
		u.note(IDColumnsSwapped, finding.Warning, t.first, finding.Args{
			"frequency": other + 1, "gain": thought + 1})
	}
}

// column gives one column of the sample rows.
func (t *layout) column(f form, rows []sample, i int) []float64 {
	var values []float64
	var fields []field
	for _, row := range rows {
		if fields = f.split(fields, row.text); len(fields) != t.columns {
			continue
		}
		if v, k := f.value(fields[i]); k.isNumber() {
			values = append(values, v)
		}
	}
	return values
}

func negative(v []float64) bool {
	for _, x := range v {
		if x < 0 {
			return true
		}
	}
	return false
}

// counts says whether a column only numbers its rows: 1, 2, 3 … or 0, 1, 2 …
func counts(v []float64) bool {
	if len(v) < 3 || v[0] != 0 && v[0] != 1 {
		return false
	}
	for i := 1; i < len(v); i++ {
		if v[i] != v[i-1]+1 {
			return false
		}
	}
	return true
}

// byOrder fills what is still open in the usual order. A third column
// without a title is the phase only when nothing in the table has a title.
func (t *layout) byOrder(as As, u *Understood) {
	untitled := true
	for _, c := range t.titles {
		untitled = untitled && c.holds == ""
	}
	if t.frequency < 0 {
		t.frequency = t.free()
	}
	if t.gain < 0 {
		t.gain = t.free()
	}
	if t.phase < 0 && as.Phase != "none" && untitled && t.columns == 3 {
		t.phase = t.free()
		u.note(IDPhaseAssumed, finding.Note, t.first, finding.Args{"column": t.phase + 1})
	}
}

// free gives the first column that is not used and has no other meaning.
func (t *layout) free() int {
	for i, c := range t.titles {
		if !t.used(i) && c.holds == "" {
			return i
		}
	}
	return -1
}

// noteIgnored fills in the columns as understood and names those not used.
func (t *layout) noteIgnored(u *Understood) {
	var left []string
	u.Columns = nil
	for i, c := range t.titles {
		column := Column{Number: i + 1, Title: c.text, Holds: notUsed}
		switch i {
		case t.frequency:
			column.Holds = holdsFrequency
		case t.gain:
			column.Holds = holdsGain
		case t.phase:
			column.Holds = holdsPhase
		default:
			name := strconv.Itoa(i + 1)
			if c.text != "" {
				name += " (" + c.text + ")"
			}
			left = append(left, name)
		}
		u.Columns = append(u.Columns, column)
	}
	if len(left) > 0 {
		u.note(IDColumnsIgnored, finding.Note, t.first, finding.Args{"columns": strings.Join(left, ", ")})
	}
}
