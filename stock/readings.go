package stock

import (
	"math"
	"strconv"
	"strings"

	"bandwright/finding"
	"bandwright/quantity"
)

// readings reads what a meter said: one reading of the row, and one more for
// every column whose title names its frequency.
func (b *builder) readings() {
	common := Reading{Line: b.row.line, Meter: b.words(FieldMeter)}
	b.required(FieldFrequency, &common.Hertz, func(s string) (v float64, err error) {
		err = into(&v, s, quantity.ParseHertz)
		return v, err
	})
	common.Mode = b.mode()
	b.optional(FieldLevel, func(s string) error { return into(&common.Level, s, quantity.ParseLevel) })
	b.optional(FieldTemperature, func(s string) error {
		v, err := quantity.ParseCelsius(s)
		if t := float64(v); err == nil {
			common.Celsius = &t
		}
		return err
	})
	for i, hertz := range b.slots {
		one := common
		if i > 0 {
			one.Hertz = hertz
		}
		b.slot(hertz, &one)
		if one.Value > 0 || one.Q > 0 || one.D > 0 || one.DCR > 0 {
			b.part.Readings = append(b.part.Readings, one)
		}
	}
	b.dcr(common)
}

// required reads a field of which nothing but blank or a number above nought
// can stand.
func (b *builder) required(f Field, to *float64, read func(string) (float64, error)) {
	c, column := b.cell(f)
	if c != nil {
		b.number(c, column, to, read)
	}
}

func (b *builder) number(c *cell, column Column, to *float64, read func(string) (float64, error)) {
	v, err := read(withUnit(b.marked(c.text), column.Unit))
	switch {
	case err != nil:
		b.wrong(err, c, column)
	case v <= 0:
		b.refuse(IDNotPositive, c, finding.Args{"field": string(column.Holds), "read": short(c.text)})
	default:
		*to = v
	}
}

// slot reads the measured value, Q and D of the columns for one frequency.
func (b *builder) slot(hertz float64, one *Reading) {
	for i := range min(len(b.cols), len(b.row.cells)) {
		c, column := &b.row.cells[i], b.cols[i]
		if c.text == "" || !column.slotted() || column.Hertz != hertz {
			continue
		}
		switch column.Holds {
		case FieldMeasured:
			b.measured(c, column, one)
		case FieldQ:
			b.plain(c, column, &one.Q)
		case FieldD:
			b.plain(c, column, &one.D)
		}
	}
	if one.Q > 0 && one.D > 0 && math.Abs(one.Q*one.D-1) > slack {
		b.refuse(IDQAndD, nil, finding.Args{"q": one.Q, "d": one.D})
	}
}

func (b *builder) measured(c *cell, column Column, one *Reading) {
	kind := b.part.Kind
	if column.Kind == Resistor && kind == Coil {
		if !b.Mapping.has(FieldDCR) {
			b.number(c, column, &b.copper, func(s string) (float64, error) { return Resistor.parse(s, "") })
		}
		return
	}
	if column.Kind != "" && column.Kind != kind {
		return // warned about in otherKinds
	}
	b.number(c, column, &one.Value, func(s string) (float64, error) { return kind.parse(s, "") })
	if column.Mode != "" && one.Mode == "" {
		one.Mode = column.Mode
	}
}

// dcr reads the copper's ohms of a coil into the row's first reading, or into
// one of its own where nothing else was read.
func (b *builder) dcr(common Reading) {
	if b.part.Kind != Coil {
		b.notOfKind(FieldDCR)
		return
	}
	common.DCR = b.copper
	b.required(FieldDCR, &common.DCR, func(s string) (float64, error) { return Resistor.parse(s, "") })
	switch {
	case common.DCR == 0:
	case len(b.part.Readings) == 0:
		b.part.Readings = append(b.part.Readings, common)
	default:
		b.part.Readings[0].DCR = common.DCR
	}
}

// unspaced takes out what may part thousands, and makes minus a hyphen.
var unspaced = strings.NewReplacer(" ", "", "\u00a0", "", "\u202f", "", "−", "-")

// plain reads a number without unit: Q, or D, which may be in per cent. A
// meter shows a D of 0.000 when there is too little to show; that says no more
// than a blank does.
func (b *builder) plain(c *cell, column Column, to *float64) {
	text := unspaced.Replace(b.marked(c.text))
	percent := strings.HasSuffix(text, "%") || column.Unit == "%"
	text = strings.Replace(strings.TrimSuffix(text, "%"), ",", ".", 1)
	v, err := strconv.ParseFloat(text, 64)
	args := finding.Args{"field": string(column.Holds), "read": short(c.text)}
	switch {
	case err != nil || strings.Trim(text, "0123456789.+-eE") != "":
		b.refuse(IDNotNumber, c, args)
		return
	case v == 0 && column.Holds == FieldD:
		return
	case v < 1e-9:
		b.refuse(IDNotPositive, c, args)
		return
	case v > 1e9:
		b.refuse(IDNotNumber, c, args)
		return
	}
	if percent {
		v /= 100
	}
	*to = v
}

// modeWords are how benches and meters write the mode.
var modeWords = map[string]Mode{
	"s": Series, "ser": Series, "ser.": Series, "series": Series, "serie": Series, "seriell": Series, "série": Series,
	"ls": Series, "cs": Series, "rs": Series, "reihe": Series,
	"p": Parallel, "par": Parallel, "par.": Parallel, "parallel": Parallel, "parallèle": Parallel, "lp": Parallel, "cp": Parallel, "rp": Parallel,
}

func (b *builder) mode() Mode {
	c, _ := b.cell(FieldMode)
	if c == nil {
		return ""
	}
	var found Mode
	for _, w := range strings.FieldsFunc(strings.ToLower(c.text), func(r rune) bool { return strings.ContainsRune(" ,;/()-", r) }) {
		if m := modeWords[w]; m != "" {
			if found != "" && found != m {
				found = ""
				break
			}
			found = m
		}
	}
	if found == "" {
		b.refuse(IDNotMode, c, finding.Args{"read": short(c.text)})
	}
	return found
}
