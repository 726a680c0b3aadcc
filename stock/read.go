package stock

import (
	"io"
	"slices"
	"strings"

	"bandwright/finding"
)

// Counts says where every row below the titles went: Rows is the sum of all
// the others but Above.
type Counts struct {
	Above    int `json:"above"` // rows above the titles, and they themselves
	Rows     int `json:"rows"`
	Parts    int `json:"parts"`
	Further  int `json:"further"`  // further readings of a part of an earlier row
	Repeated int `json:"repeated"` // readings that stand there twice, warned about
	Bad      int `json:"bad"`      // each named by at least one Error in Findings
	Blank    int `json:"blank"`
	Comments int `json:"comments"` // rows that begin with #
}

// Drawer is the parts of a file and how it was read.
type Drawer struct {
	Parts    []Part       `json:"parts"`
	Mapping  Mapping      `json:"mapping"`
	Missing  []Field      `json:"missing,omitempty"` // fields without a column
	Encoding string       `json:"encoding"`
	Counts   Counts       `json:"counts"`
	Findings finding.List `json:"findings,omitempty"`
}

// Read takes the drawer from CSV: comma, semicolon or tab, UTF-8, UTF-16 or
// Latin-1, any line end, any order of columns, decimal point or comma. The
// error is a finding.List when the file as a whole cannot be read; a bad row
// is an Error in Findings and leaves the other rows as they are.
func Read(from io.Reader, m Mapping) (Drawer, error) {
	if err := m.check(); err != nil {
		return Drawer{}, err
	}
	text, encoding, err := load(from)
	if err != nil {
		return Drawer{}, err
	}
	d := Drawer{Encoding: encoding}
	if encoding != "UTF-8" {
		d.note(IDEncoding, finding.Note, finding.Place{}, finding.Args{"encoding": encoding})
	}
	r := reader{Drawer: &d, text: text}
	if err := r.columns(m); err != nil {
		return d, err
	}
	if err := r.rows(); err != nil {
		return d, err
	}
	if len(d.Parts) == 0 && d.Counts.Bad == 0 {
		d.note(IDNoParts, finding.Warning, finding.Place{}, nil)
	}
	d.Findings = append(d.Findings, Check(d.Parts)...)
	return d, nil
}

func (d *Drawer) note(id finding.ID, level finding.Level, place finding.Place, args finding.Args) {
	d.Findings = append(d.Findings, finding.New(id, level, place, args))
}

// reader is one reading under way.
type reader struct {
	*Drawer
	text  string
	scan  *scanner
	comma bool           // decimal commas
	point bool           // decimal points
	slots []float64      // frequencies of measured, q and d columns, 0 first
	cols  []Column       // short for Mapping.Columns
	byID  map[string]int // index in Parts
}

// columns settles what each column holds.
func (r *reader) columns(m Mapping) error {
	text := r.text
	if sep, end := declared(text); sep != "" {
		if m.Separator == "" {
			m.Separator = sep
		}
		// Blanked, not cut: places count from the start of the file.
		r.text = strings.Repeat(" ", end) + text[end:]
	}
	separator, above, ok := m.findTitles(r.text)
	if !ok {
		first := strings.TrimSpace(text[:lineEnd(text)])
		return whole(IDNoTitles, finding.Args{"read": short(first)})
	}
	m.Separator = separator
	for _, s := range separators {
		if s.word == separator {
			r.scan = newScanner(r.text, s.sep)
		}
	}
	var titleRow row
	for range above + 1 {
		titleRow, _ = r.scan.next(nil)
		r.Counts.Above++
	}
	if m.NoTitles {
		titleRow, _ = newScanner(r.text, r.scan.sep).widest()
	}
	if len(titleRow.cells) > MaxColumns {
		return whole(IDTooManyColumns, finding.Args{"limit": MaxColumns})
	}
	return r.settle(m, titleRow)
}

// declared takes the "sep=;" that some spreadsheets put on the first line,
// which ends at end.
func declared(text string) (word string, end int) {
	end = lineEnd(text)
	line := strings.ToLower(strings.Trim(text[:end], `"`))
	for _, s := range separators {
		if line == "sep="+string(rune(s.sep)) {
			return s.word, end
		}
	}
	return "", 0
}

// widest gives the row with most fields among the first.
func (s *scanner) widest() (widest row, ok bool) {
	for range titleRows {
		r, more := s.next(nil)
		if !more {
			break
		}
		if !ok || len(r.cells) > len(widest.cells) {
			widest, ok = r, true
		}
	}
	return widest, ok
}

func (r *reader) settle(m Mapping, titleRow row) error {
	place := finding.Place{Line: titleRow.line}
	full, list := m.settle(titleRow.cells, place)
	r.Mapping, r.cols, r.Missing = full, full.Columns, full.Missing()
	r.Findings = append(r.Findings, list...)
	if !full.has(FieldValue) && !full.has(FieldMeasured) {
		var texts []string
		for _, c := range full.Columns {
			texts = append(texts, c.Title)
		}
		return finding.List{finding.New(IDNoValueColumn, finding.Error, place,
			finding.Args{"titles": short(strings.Join(texts, ", "))})}
	}
	var left []string
	for _, c := range full.Columns {
		if c.Holds == Ignored && c.Title != "" {
			left = append(left, c.Title)
		}
	}
	if len(left) > 0 {
		r.note(IDColumnsIgnored, finding.Note, place, finding.Args{"columns": strings.Join(left, ", ")})
	}
	if !full.has(FieldID) {
		r.note(IDNoIDColumn, finding.Warning, place, nil)
	}
	r.slots = []float64{0}
	for _, c := range full.Columns {
		if !slices.Contains(r.slots, c.Hertz) {
			r.slots = append(r.slots, c.Hertz)
		}
	}
	r.decimals()
	return nil
}

// decimals finds out which sign is the decimal mark in the columns of
// numbers, where only one reading fits all of them.
func (r *reader) decimals() {
	points, commas := 0, 0
	scan := *r.scan
	var cells []cell
	for {
		row, more := scan.next(cells)
		if !more {
			break
		}
		cells = row.cells
		for i, c := range cells {
			if i < len(r.cols) && r.cols[i].numeric() {
				p, k := marks(c.text)
				points, commas = points+p, commas+k
			}
		}
	}
	if r.Mapping.Decimal == "" && points > 0 && commas == 0 {
		r.Mapping.Decimal = "point"
	}
	if r.Mapping.Decimal == "" && commas > 0 && points == 0 {
		r.Mapping.Decimal = "comma"
	}
	r.comma, r.point = r.Mapping.Decimal == "comma", r.Mapping.Decimal == "point"
}

// numeric says whether a column holds numbers.
func (c Column) numeric() bool {
	switch c.Holds {
	case FieldValue, FieldMeasured, FieldFrequency, FieldQ, FieldD, FieldDCR, FieldTolerance, FieldLevel,
		FieldTemperature, FieldSelfFarads, FieldSelfResonance:
		return true
	}
	return false
}

// marks counts what can only be a decimal point or a decimal comma: one of
// them alone in the text, between digits, and not before a group of three that
// could be thousands.
func marks(text string) (points, commas int) {
	at := strings.IndexAny(text, ".,")
	if at < 1 || at != strings.LastIndexAny(text, ".,") || at+1 >= len(text) || !digit(text[at-1]) || !digit(text[at+1]) {
		return 0, 0
	}
	if couldGroup(text, at) {
		return 0, 0
	}
	if text[at] == '.' {
		return 1, 0
	}
	return 0, 1
}

// couldGroup says whether the mark may part thousands: one to three digits
// before it, the first not 0, and exactly three behind it.
func couldGroup(text string, at int) bool {
	before := at
	for before > 0 && digit(text[before-1]) {
		before--
	}
	after := at + 1
	for after < len(text) && digit(text[after]) {
		after++
	}
	return after-at-1 == 3 && at-before >= 1 && at-before <= 3 && text[before] != '0'
}

func digit(c byte) bool { return '0' <= c && c <= '9' }

// marked puts the decimal mark of the file into a text of one number where it
// would leave a doubt; a doubt that the file does not settle stays one.
func (r *reader) marked(text string) string {
	at := strings.IndexAny(text, ".,")
	if at < 1 || at != strings.LastIndexAny(text, ".,") || !couldGroup(text, at) {
		return text
	}
	switch {
	case r.comma && text[at] == ',':
		return text[:at] + "." + text[at+1:]
	case r.point && text[at] == ',':
		return text[:at] + text[at+1:]
	case r.comma && text[at] == '.':
		return text[:at] + "," + text[at+1:] // doubtful: three decimals or thousands
	}
	return text
}

// rows takes every row below the titles to where it belongs.
func (r *reader) rows() error {
	r.byID = map[string]int{}
	var cells []cell
	for {
		one, more := r.scan.next(cells)
		if !more {
			return nil
		}
		cells = one.cells
		if r.Counts.Rows++; r.Counts.Rows > MaxRows {
			return whole(IDTooManyRows, finding.Args{"limit": MaxRows})
		}
		switch {
		case one.blank():
			r.Counts.Blank++
		case one.comment():
			r.Counts.Comments++
		default:
			r.take(one)
		}
	}
}

// comment says whether the row begins with # as a remark and not as an id
// like "#12".
func (r row) comment() bool {
	first := r.cells[0].text
	if r.quoted || !strings.HasPrefix(first, "#") {
		return false
	}
	rest := row{cells: r.cells[1:]}
	return strings.HasPrefix(first, "# ") || first == "#" || rest.blank()
}

// take makes a part, or a further reading, of a row.
func (r *reader) take(one row) {
	b := builder{reader: r, row: one}
	b.shape()
	if !b.bad {
		b.build()
	}
	r.Findings = append(r.Findings, b.list...)
	if b.bad {
		r.Counts.Bad++
		return
	}
	at, known := r.byID[b.part.ID]
	if !known {
		r.byID[b.part.ID] = len(r.Parts)
		r.Parts = append(r.Parts, b.part)
		r.Counts.Parts++
		return
	}
	r.further(&r.Parts[at], b.part)
}

// further adds the readings of a second row of one part; a row that cannot be
// the same part is bad.
func (r *reader) further(to *Part, p Part) {
	place := finding.Place{Line: p.Line, Part: p.ID}
	if what := apart(*to, p); what != "" {
		r.Counts.Bad++
		r.note(IDIDTwice, finding.Error, place, finding.Args{"first": to.Line, "what": what})
		return
	}
	added := false
	for _, reading := range p.Readings {
		repeated := false
		for _, old := range to.Readings {
			args := finding.Args{"first": old.Line}
			switch {
			case old.same(reading):
				r.note(IDReadingTwice, finding.Warning, place, args)
				repeated = true
			case old.Value > 0 && reading.Value > 0 && old.alike(reading) && old.Value != reading.Value:
				args["measured"], args["other"], args["unit"] = reading.Value, old.Value, p.Kind.Unit()
				r.note(IDReadingsDiffer, finding.Warning, place, args)
			}
			if repeated {
				break
			}
		}
		if !repeated {
			to.Readings = append(to.Readings, reading)
			added = true
		}
	}
	to.fill(p)
	if added {
		r.Counts.Further++
	} else {
		r.Counts.Repeated++
	}
}

// apart says what keeps two rows of one id from being one part; "" nothing.
func apart(a, b Part) string {
	switch {
	case a.Kind != b.Kind:
		return "kind"
	case a.Marked > 0 && b.Marked > 0 && a.Marked != b.Marked:
		return "marked value"
	case a.Tolerance != nil && b.Tolerance != nil && *a.Tolerance != *b.Tolerance:
		return "tolerance"
	case a.SelfFarads > 0 && b.SelfFarads > 0 && a.SelfFarads != b.SelfFarads:
		return "self-capacitance"
	case a.SelfResonance > 0 && b.SelfResonance > 0 && a.SelfResonance != b.SelfResonance:
		return "self-resonance"
	case a.Place != "" && b.Place != "" && a.Place != b.Place:
		return "place"
	case a.Price != "" && b.Price != "" && a.Price != b.Price:
		return "price"
	case len(b.Readings) == 0 || len(a.Readings) == 0:
		return "reading"
	}
	return ""
}

// fill puts in what only a later row of the part says.
func (p *Part) fill(later Part) {
	if p.Marked == 0 {
		p.Marked = later.Marked
	}
	if p.Tolerance == nil {
		p.Tolerance = later.Tolerance
	}
	if p.SelfFarads == 0 {
		p.SelfFarads = later.SelfFarads
	}
	if p.SelfResonance == 0 {
		p.SelfResonance = later.SelfResonance
	}
	for _, t := range [...]struct {
		to   *string
		from string
	}{{&p.Place, later.Place}, {&p.Price, later.Price}} {
		if *t.to == "" {
			*t.to = t.from
		}
	}
	if later.Notes != "" && !strings.Contains(p.Notes, later.Notes) {
		p.Notes = strings.TrimPrefix(p.Notes+"; "+later.Notes, "; ")
	}
}
