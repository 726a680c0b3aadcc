package stock

import (
	"errors"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"bandwright/finding"
	"bandwright/quantity"
)

const (
	maxID    = 60 // characters
	maxCount = 1_000_000
	// slack is how far Q and 1/D may lie apart when both are given: meters
	// round D to three decimals (common practice, no source).
	slack = 0.2
)

// builder makes one part of one row and gathers what is wrong with it.
type builder struct {
	*reader
	row  row
	part Part
	list finding.List
	bad  bool
	// copper is what a coil's row has in a column of ohms, with no DCR column
	// beside it.
	copper float64
}

func (b *builder) place(c *cell) finding.Place {
	p := finding.Place{Line: b.row.line}
	if c != nil {
		p = b.row.place(b.text, c.at)
	}
	p.Part = b.part.ID
	return p
}

// refuse makes the row a bad one.
func (b *builder) refuse(id finding.ID, c *cell, args finding.Args) {
	b.bad = true
	b.list = append(b.list, finding.New(id, finding.Error, b.place(c), args))
}

func (b *builder) warn(id finding.ID, c *cell, args finding.Args) {
	b.list = append(b.list, finding.New(id, finding.Warning, b.place(c), args))
}

// shape looks at the row as a whole.
func (b *builder) shape() {
	cells, want := b.row.cells, len(b.cols)
	line := short(b.text[b.row.at:b.row.end])
	if b.row.broken {
		b.refuse(IDQuote, nil, finding.Args{"read": line})
		return
	}
	for i := want; i < len(cells); i++ {
		if cells[i].text != "" {
			b.refuse(IDExtraField, &cells[i], finding.Args{"fields": len(cells), "want": want,
				"read": short(cells[i].text), "separator": b.Mapping.Separator})
			return
		}
	}
	if len(cells) < want && !b.row.ended {
		b.warn(IDBrokeOff, nil, finding.Args{"read": line})
	}
}

// cell gives the first filled cell of a field and its column.
func (b *builder) cell(f Field) (*cell, Column) {
	for i := range min(len(b.cols), len(b.row.cells)) {
		if b.cols[i].Holds == f && b.row.cells[i].text != "" {
			return &b.row.cells[i], b.cols[i]
		}
	}
	return nil, Column{}
}

func (b *builder) words(f Field) string {
	if c, _ := b.cell(f); c != nil {
		return c.text
	}
	return ""
}

func (b *builder) build() {
	b.part = Part{Line: b.row.line, Count: 1}
	b.id()
	b.kind()
	if b.part.Kind == "" {
		return
	}
	b.value()
	b.count()
	b.part.Place, b.part.Price, b.part.Notes = b.words(FieldPlace), b.words(FieldPrice), b.words(FieldNotes)
	if b.part.Kind == Coil {
		b.optional(FieldSelfFarads, func(s string) error { return into(&b.part.SelfFarads, s, quantity.ParseFarads) })
		b.optional(FieldSelfResonance, func(s string) error { return into(&b.part.SelfResonance, s, quantity.ParseHertz) })
	} else {
		b.notOfKind(FieldSelfFarads, FieldSelfResonance)
	}
	b.readings()
	b.otherKinds()
	if !b.bad && b.part.Marked == 0 && !slices.ContainsFunc(b.part.Readings, func(r Reading) bool { return r.Value > 0 }) {
		b.refuse(IDNoValue, nil, nil)
	}
}

func (b *builder) id() {
	c, _ := b.cell(FieldID)
	switch {
	case c == nil && b.Mapping.has(FieldID):
		b.refuse(IDNoID, nil, nil)
	case c == nil:
		b.part.ID = "row " + strconv.Itoa(b.row.line)
	case utf8.RuneCountInString(c.text) > maxID:
		b.refuse(IDIDLong, c, finding.Args{"read": short(c.text), "limit": maxID})
	default:
		b.part.ID = c.text
	}
}

// kindWords are how benches name the kinds, looked for as words of the cell.
var kindWords = map[string]Kind{
	"coil": Coil, "coils": Coil, "inductor": Coil, "inductors": Coil, "choke": Coil, "l": Coil, "ind": Coil, "inductance": Coil,
	"spule": Coil, "drossel": Coil, "bobine": Coil, "self": Coil, "inductance variable": Coil,
	"capacitor": Capacitor, "capacitors": Capacitor, "cap": Capacitor, "caps": Capacitor, "c": Capacitor, "condenser": Capacitor,
	"kondensator": Capacitor, "condensateur": Capacitor, "kondi": Capacitor, "elko": Capacitor, "electrolytic": Capacitor,
	"resistor": Resistor, "resistors": Resistor, "r": Resistor, "res": Resistor, "widerstand": Resistor, "résistance": Resistor, "resistance": Resistor,
}

// kind finds out what the row is: by its word, by the column a value stands
// in, by the unit of a value, by the mapping.
func (b *builder) kind() {
	if c, _ := b.cell(FieldKind); c != nil {
		for _, w := range strings.FieldsFunc(strings.ToLower(c.text), func(r rune) bool { return strings.ContainsRune(" ,;/()-.", r) }) {
			if k, known := kindWords[w]; known {
				b.part.Kind = k
				return
			}
		}
		b.refuse(IDUnknownKind, c, finding.Args{"read": short(c.text)})
		return
	}
	if b.part.Kind = b.byColumn(); b.part.Kind != "" {
		return
	}
	for _, f := range [...]Field{FieldValue, FieldMeasured} {
		if c, column := b.cell(f); c != nil {
			if k := byUnit(b.marked(c.text), column.Unit); k != "" {
				b.part.Kind = k
				return
			}
		}
	}
	if b.part.Kind = b.Mapping.Kind; b.part.Kind == "" {
		b.refuse(IDNoKind, nil, nil)
	}
}

// byColumn gives the kind of the L, C or R columns that are filled, "" when
// they differ; but ohms beside henries are the coil's copper.
func (b *builder) byColumn() (kind Kind) {
	for i := range min(len(b.cols), len(b.row.cells)) {
		k := b.cols[i].Kind
		if k == "" || b.row.cells[i].text == "" || k == kind {
			continue
		}
		switch {
		case kind == "", kind == Resistor && k == Coil:
			kind = k
		case kind == Coil && k == Resistor:
		default:
			return ""
		}
	}
	return kind
}

// byUnit gives the kind whose unit alone reads the text, "" when more than
// one does.
func byUnit(text, unit string) (kind Kind) {
	value, _ := splitTolerance(text)
	for _, k := range [...]Kind{Coil, Capacitor, Resistor} {
		if _, err := k.parse(value, unit); err != nil {
			continue
		}
		if kind != "" {
			return ""
		}
		kind = k
	}
	return kind
}

// parse reads a value of the kind; unit stands for the unit of a bare number.
func (k Kind) parse(text, unit string) (v float64, err error) {
	text = withUnit(text, unit)
	switch k {
	case Coil:
		err = into(&v, text, quantity.ParseHenries)
	case Capacitor:
		err = into(&v, text, quantity.ParseFarads)
	default:
		err = into(&v, text, quantity.ParseOhms)
	}
	return v, err
}

// into reads a quantity into a plain number.
func into[Q ~float64](v *float64, text string, parse func(string) (Q, error)) error {
	x, err := parse(text)
	if err == nil {
		*v = float64(x)
	}
	return err
}

// withUnit puts the unit of the column behind a bare number.
func withUnit(text, unit string) string {
	if unit == "" || strings.Trim(text, "0123456789.,+-−eE \u00a0\u202f") != "" {
		return text
	}
	return text + " " + unit
}

// splitTolerance takes "100n ±5 %" apart; tolerance is "" without a per cent.
func splitTolerance(text string) (value, tolerance string) {
	percent := strings.LastIndexByte(text, '%')
	if percent < 0 {
		return text, ""
	}
	start := percent
	for start > 0 && strings.ContainsRune("0123456789., /+-", rune(text[start-1])) {
		start--
	}
	if at := strings.Index(text, "±"); at >= 0 && at < percent {
		start = at
	} else if at := strings.IndexAny(text[start:percent], "+-"); at >= 0 {
		start += at // the value may end in a bare number: 4700 -20/+80 %
	} else if at := strings.LastIndexByte(strings.TrimRight(text[start:percent], " "), ' '); at >= 0 {
		start += at
	}
	return strings.TrimSpace(text[:start]), strings.TrimSpace(text[start:])
}

// value reads the marked value and its tolerance, which may stand in one
// cell, or be a code with a tolerance letter, or colours.
func (b *builder) value() {
	c, column := b.valueCell()
	var err error
	if c != nil {
		value, tolerance := splitTolerance(c.text)
		if b.part.Marked, err = b.part.Kind.parse(b.marked(value), column.Unit); err != nil {
			b.part.Marked, b.part.Tolerance = b.part.Kind.code(value)
			if b.part.Tolerance == nil {
				b.wrong(err, c, column)
			}
		} else if tolerance != "" {
			var t quantity.Tolerance
			if t, err = quantity.ParseTolerance(tolerance); err != nil {
				b.wrong(err, c, column)
			}
			b.part.Tolerance = &t
		}
		if b.part.Marked == 0 && !b.bad {
			b.refuse(IDNotPositive, c, finding.Args{"field": string(FieldValue), "read": short(c.text)})
		}
	}
	if c, column := b.cell(FieldTolerance); c != nil {
		t, err := quantity.ParseTolerance(perCent(b.marked(c.text), column.Unit))
		if err != nil {
			b.wrong(err, c, column)
			return
		}
		b.part.Tolerance = &t
	}
}

// valueCell gives the marked value that belongs to the row's kind.
func (b *builder) valueCell() (*cell, Column) {
	for i := range min(len(b.cols), len(b.row.cells)) {
		column := b.cols[i]
		if column.Holds == FieldValue && b.row.cells[i].text != "" && (column.Kind == "" || column.Kind == b.part.Kind) {
			return &b.row.cells[i], column
		}
	}
	return nil, Column{}
}

// perCent reads a bare number from 1 up as per cent: as a fraction it would be
// no tolerance. 0.05 may be either and is left for quantity to refuse.
func perCent(text, unit string) string {
	if unit == "%" {
		return withUnit(text, unit)
	}
	if v, err := strconv.ParseFloat(strings.Replace(strings.TrimLeft(text, "±"), ",", ".", 1), 64); err == nil && v >= 1 {
		return text + " %"
	}
	return text
}

// code reads what is printed on a part, where the printing settles the
// tolerance too: 104K, 472J, 4K7J, yellow violet red gold.
func (k Kind) code(text string) (float64, *quantity.Tolerance) {
	switch k {
	case Capacitor:
		if v, t, err := quantity.ParseFaradsCode(text); err == nil && t != nil {
			return float64(v), t
		}
	case Resistor:
		if v, t, err := quantity.ParseOhmsCode(text); err == nil && t != nil {
			return float64(v), t
		}
		if v, t, err := quantity.ParseColours(text); err == nil {
			return float64(v), &t
		}
	}
	return 0, nil
}

// wrong makes quantity's finding one of the row, with its place and title.
func (b *builder) wrong(err error, c *cell, column Column) {
	var f finding.Finding
	if !errors.As(err, &f) {
		panic("stock: " + err.Error())
	}
	b.refuse(f.ID, c, f.Args)
	if column.Title != "" {
		f.Args["key"] = column.Title
	}
}

func (b *builder) count() {
	c, _ := b.cell(FieldCount)
	if c == nil {
		return
	}
	n, err := strconv.Atoi(strings.TrimSuffix(strings.TrimSuffix(c.text, ".0"), ",0"))
	if err != nil || n < 0 || n > maxCount {
		b.refuse(IDNotCount, c, finding.Args{"read": short(c.text), "limit": maxCount})
		return
	}
	b.part.Count = n
}

// optional reads a field that a part can do without: what cannot be read is
// left blank with a warning.
func (b *builder) optional(f Field, read func(string) error) {
	c, column := b.cell(f)
	if c == nil {
		return
	}
	if err := read(withUnit(b.marked(c.text), column.Unit)); err != nil {
		b.warn(IDLeftBlank, c, finding.Args{"field": string(f), "read": short(c.text)})
	}
}

// notOfKind warns of filled fields that this kind of part has not.
func (b *builder) notOfKind(fields ...Field) {
	for _, f := range fields {
		if c, column := b.cell(f); c != nil {
			b.other(c, column)
		}
	}
}

func (b *builder) other(c *cell, column Column) {
	title := column.Title
	if title == "" {
		title = string(column.Holds)
	}
	b.warn(IDOtherKind, c, finding.Args{"title": title, "kind": string(b.part.Kind), "read": short(c.text)})
}

// otherKinds warns of values in the columns of another kind.
func (b *builder) otherKinds() {
	for i := range min(len(b.cols), len(b.row.cells)) {
		c, column := &b.row.cells[i], b.cols[i]
		if c.text == "" || column.Kind == "" || column.Kind == b.part.Kind {
			continue
		}
		if copper := b.part.Kind == Coil && column.Kind == Resistor && column.Holds == FieldMeasured && !b.Mapping.has(FieldDCR); !copper {
			b.other(c, column)
		}
	}
}
