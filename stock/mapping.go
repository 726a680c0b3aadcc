package stock

import (
	"slices"
	"strconv"
	"strings"

	"bandwright/finding"
	"bandwright/quantity"
)

// Mapping says how a file is read. The zero Mapping means "find out". The
// Mapping of a result is complete: shown to a person, corrected where it is
// wrong, kept as JSON or TOML and given back, it reads the next file of the
// same titles in the same way, whatever the order of its columns.
type Mapping struct {
	Separator string   `json:"separator,omitempty" toml:"separator,omitempty"` // "comma", "semicolon", "tab"
	Decimal   string   `json:"decimal,omitempty" toml:"decimal,omitempty"`     // "point", "comma"; "" each value by itself
	Kind      Kind     `json:"kind,omitempty" toml:"kind,omitempty"`           // of rows that do not say
	NoTitles  bool     `json:"no_titles,omitempty" toml:"no_titles,omitempty"` // the first row is a part already
	Columns   []Column `json:"columns,omitempty" toml:"columns,omitempty"`
}

// Column is what one column was taken for. In a Mapping that is given to
// Read, a column is found by its Title, or by its Number where Title is "".
type Column struct {
	Number int     `json:"number,omitempty" toml:"number,omitempty"` // from 1
	Title  string  `json:"title,omitempty" toml:"title,omitempty"`
	Holds  Field   `json:"holds" toml:"holds"`
	By     string  `json:"by,omitempty" toml:"by,omitempty"`       // "title", "person", "" when ignored
	Kind   Kind    `json:"kind,omitempty" toml:"kind,omitempty"`   // of a value or measured column of one kind: L, C, R
	Unit   string  `json:"unit,omitempty" toml:"unit,omitempty"`   // of bare numbers
	Mode   Mode    `json:"mode,omitempty" toml:"mode,omitempty"`   // of a measured column: Ls, Cp
	Hertz  float64 `json:"hertz,omitempty" toml:"hertz,omitempty"` // of a measured, q or d column
}

// How a column came to hold what it holds.
const (
	ByTitle  = "title"
	ByPerson = "person"
)

var separators = []struct {
	word string
	sep  byte
}{{"semicolon", ';'}, {"tab", '\t'}, {"comma", ','}}

// check refuses words that a Mapping does not know.
func (m Mapping) check() error {
	var wrong finding.List
	one := func(what, read string, allowed ...string) {
		if !slices.Contains(allowed, read) {
			wrong = append(wrong, finding.New(IDMappingWord, finding.Error, finding.Place{},
				finding.Args{"what": what, "read": read, "allowed": strings.TrimPrefix(strings.Join(allowed, ", "), ", ")}))
		}
	}
	fields := make([]string, 0, 20)
	for _, f := range append(Fields(), Ignored) {
		fields = append(fields, string(f))
	}
	kinds := []string{"", string(Coil), string(Capacitor), string(Resistor)}
	one("separator", m.Separator, "", "comma", "semicolon", "tab")
	one("decimal", m.Decimal, "", "point", "comma")
	one("kind", string(m.Kind), kinds...)
	for _, c := range m.Columns {
		one("holds", string(c.Holds), fields...)
		one("kind", string(c.Kind), kinds...)
		one("mode", string(c.Mode), "", string(Series), string(Parallel))
		if c.Number < 0 || c.Number > MaxColumns || c.Number == 0 && c.Title == "" {
			one("number", strconv.Itoa(c.Number), "1 to "+strconv.Itoa(MaxColumns))
		}
		if _, err := quantity.Hertz(c.Hertz).MarshalText(); err != nil {
			one("frequency", strconv.FormatFloat(c.Hertz, 'g', -1, 64), "1000")
		}
		if len(c.Unit) > 10 || strings.ContainsAny(c.Unit, "0123456789.,") {
			one("unit", short(c.Unit), "mH", "nF", "ohm", "kHz", "%")
		}
	}
	return wrong.Err()
}

// named says whether the mapping speaks of a title.
func (m Mapping) named(text string) bool {
	return slices.ContainsFunc(m.Columns, func(c Column) bool { return c.Title != "" && tidy(c.Title) == tidy(text) })
}

// longestTitle bounds, in bytes, what is looked at as a title.
const longestTitle = 200

// withValue is what a title of a value adds to the score of a row: such a row
// goes before any other.
const withValue = 1000

// score says how much a row looks like titles: how many are known, 0 when
// there are not two.
func (m Mapping) score(cells []cell) int {
	known, value := 0, false
	for _, c := range cells {
		if c.text == "" || len(c.text) > longestTitle {
			continue
		}
		said, ok := takeApart(c.text).means()
		if !ok && !m.named(c.text) {
			continue
		}
		known++
		value = value || said.field == FieldValue || said.field == FieldMeasured || m.named(c.text)
	}
	switch {
	case known < 2:
		return 0
	case value:
		return known + withValue
	}
	return known
}

// titleRows is how many rows are looked through for the titles: exports put a
// few lines above them.
const titleRows = 40

// enough known titles leave no doubt that a row holds the titles.
const enough = 4

// findTitles finds separator and row of titles: the row with the most known
// titles, two at least. titles is the count of rows above, −1 without titles.
func (m Mapping) findTitles(text string) (separator string, above int, ok bool) {
	best, most := 0, 0
	for _, s := range separators {
		if m.Separator != "" && m.Separator != s.word {
			continue
		}
		scan := newScanner(text, s.sep)
		var cells []cell
		for i := range titleRows {
			r, more := scan.next(cells)
			if !more {
				break
			}
			cells = r.cells
			if len(cells) > most {
				most = len(cells)
				if m.NoTitles {
					separator, above, ok = s.word, -1, true
				}
			}
			if m.NoTitles {
				continue
			}
			n := m.score(cells)
			if n > best {
				best, separator, above, ok = n, s.word, i, true
			}
			if n > withValue+enough {
				break
			}
		}
	}
	return separator, above, ok
}

// settle makes the complete Mapping for the titles of a file.
func (m Mapping) settle(cells []cell, place finding.Place) (Mapping, finding.List) {
	var list finding.List
	full := Mapping{Separator: m.Separator, Decimal: m.Decimal, Kind: m.Kind, NoTitles: m.NoTitles}
	used := make([]bool, len(m.Columns))
	for i, c := range cells {
		column := Column{Number: i + 1, Title: short(c.text), Holds: Ignored}
		if m.NoTitles {
			column.Title = ""
		}
		if j := m.find(column, cells); j >= 0 && !used[j] {
			used[j] = true
			column = m.Columns[j].over(column, m.NoTitles)
		} else if !m.NoTitles {
			column = column.byTitle()
		}
		full.Columns = append(full.Columns, column)
	}
	for j, c := range m.Columns {
		if !used[j] && c.Holds != Ignored {
			name := c.Title
			if name == "" {
				name = strconv.Itoa(c.Number)
			}
			list = append(list, finding.New(IDMappingUnused, finding.Warning, place,
				finding.Args{"column": short(name), "holds": string(c.Holds)}))
		}
	}
	full.joinLoss()
	list = append(list, full.dropTwice(place)...)
	return full, list
}

// joinLoss gives a Q or D column without frequency that of the measured column
// before it, or of the first one, where every measured column has one.
func (m *Mapping) joinLoss() {
	first := 0.0
	for _, c := range m.Columns {
		switch {
		case c.Holds != FieldMeasured || c.Kind == Resistor:
		case c.Hertz == 0:
			return
		case first == 0:
			first = c.Hertz
		}
	}
	for i := range m.Columns {
		c := &m.Columns[i]
		switch {
		case c.Holds == FieldMeasured:
			if c.Hertz > 0 {
				first = c.Hertz
			}
		case c.slotted() && c.Hertz == 0:
			c.Hertz = first
		}
	}
}

// find gives the column of the mapping that speaks of this one; −1 for none.
func (m Mapping) find(column Column, cells []cell) int {
	return slices.IndexFunc(m.Columns, func(c Column) bool {
		if c.Title != "" && !m.NoTitles {
			twice := 0
			for _, other := range cells {
				if tidy(other.text) == tidy(c.Title) {
					twice++
				}
			}
			return tidy(c.Title) == tidy(column.Title) && (twice < 2 || c.Number == 0 || c.Number == column.Number)
		}
		return c.Number == column.Number
	})
}

// over lays what a person said over a column of the file.
func (c Column) over(found Column, bare bool) Column {
	said := found.byTitle()
	c.Number, c.Title = found.Number, found.Title
	if c.Holds == Ignored {
		return found
	}
	if c.By == "" || bare {
		c.By = ByPerson
	}
	if c.Holds == said.Holds { // what the title says in passing still holds
		if c.Unit == "" {
			c.Unit = said.Unit
		}
		if c.Kind == "" {
			c.Kind = said.Kind
		}
		if c.Mode == "" {
			c.Mode = said.Mode
		}
		if c.Hertz == 0 {
			c.Hertz = said.Hertz
		}
	}
	return c
}

// byTitle settles a column by its title.
func (c Column) byTitle() Column {
	t := takeApart(c.Title)
	said, ok := t.means()
	if !ok || c.Title == "" {
		c.Holds = Ignored
		return c
	}
	c.Holds, c.By, c.Kind, c.Mode, c.Unit = said.field, ByTitle, said.kind, said.mode, t.unit
	if c.slotted() {
		c.Hertz = t.hertz
	}
	return c
}

// slotted says whether a column may be there once for each test frequency.
func (c Column) slotted() bool {
	return c.Holds == FieldMeasured || c.Holds == FieldQ || c.Holds == FieldD
}

// dropTwice ignores the second of two columns that claim the same.
func (m *Mapping) dropTwice(place finding.Place) (list finding.List) {
	for i := range m.Columns {
		for j := range i {
			a, b := &m.Columns[j], &m.Columns[i]
			if b.Holds == Ignored || a.Holds != b.Holds || a.Hertz != b.Hertz || a.Kind != b.Kind {
				continue
			}
			list = append(list, finding.New(IDColumnTwice, finding.Warning, place,
				finding.Args{"holds": string(a.Holds), "first": a.Number, "second": b.Number}))
			*b = Column{Number: b.Number, Title: b.Title, Holds: Ignored}
		}
	}
	return list
}

// has says whether a column holds the field.
func (m Mapping) has(f Field) bool {
	return slices.ContainsFunc(m.Columns, func(c Column) bool { return c.Holds == f })
}

// Missing are the fields for which the file has no column.
func (m Mapping) Missing() (none []Field) {
	for _, f := range Fields() {
		if !m.has(f) {
			none = append(none, f)
		}
	}
	return none
}

// short keeps what is quoted from a file to a readable length.
func short(text string) string {
	const longest = 60
	if len(text) <= longest {
		return text
	}
	if r := []rune(text); len(r) > longest {
		return string(r[:longest]) + "…"
	}
	return text
}
