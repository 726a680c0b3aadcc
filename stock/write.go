package stock

import (
	"fmt"
	"io"
	"strconv"
	"strings"

	"bandwright/quantity"
)

// Write gives the parts as CSV with commas, decimal points and the titles of
// Fields, which Read takes back to the same parts: a part with several
// readings has a row for each. Values are written in the fewest digits that
// read back to the same number. A part that Read could not have made (an id
// that is blank, too long, or twice; a value below nought) is our own misuse
// and comes back as an error before anything is written.
func Write(to io.Writer, parts []Part) error {
	var text strings.Builder
	for i, f := range Fields() {
		if i > 0 {
			text.WriteByte(',')
		}
		text.WriteString(string(f))
	}
	text.WriteByte('\n')
	seen := map[string]bool{}
	for _, p := range parts {
		if seen[p.ID] {
			return fmt.Errorf("stock: part %q twice", p.ID)
		}
		seen[p.ID] = true
		if err := p.write(&text); err != nil {
			return err
		}
	}
	if _, err := io.WriteString(to, text.String()); err != nil {
		return fmt.Errorf("stock: %w", err)
	}
	return nil
}

// write puts one part's rows: everything once, its readings row by row.
func (p Part) write(text *strings.Builder) error {
	if id := strings.TrimSpace(p.ID); id == "" || id != p.ID || len([]rune(id)) > maxID {
		return fmt.Errorf("stock: part id %q cannot be written", p.ID)
	}
	readings := p.Readings
	if len(readings) == 0 {
		readings = []Reading{{}}
	}
	for i, r := range readings {
		cells, err := p.cells(r, i == 0)
		if err != nil {
			return fmt.Errorf("stock: part %s: %w", p.ID, err)
		}
		for j, c := range cells {
			if j > 0 {
				text.WriteByte(',')
			}
			text.WriteString(quoted(c))
		}
		text.WriteByte('\n')
	}
	return nil
}

// cells gives the fields of one row in the order of Fields.
func (p Part) cells(r Reading, first bool) ([]string, error) {
	w := writer{}
	cells := []string{p.ID, string(p.Kind), w.value(p.Kind, p.Marked), "", w.value(p.Kind, r.Value),
		put(&w, quantity.Hertz(r.Hertz)), string(r.Mode), number(r.Q), number(r.D),
		put(&w, quantity.Ohms(r.DCR)), put(&w, quantity.Level(r.Level)), "", r.Meter,
		put(&w, quantity.Farads(p.SelfFarads)), put(&w, quantity.Hertz(p.SelfResonance)), "", p.Place, p.Price, p.Notes}
	if p.Tolerance != nil {
		t, err := p.Tolerance.MarshalText()
		w.keep(err)
		cells[3] = string(t)
	}
	if r.Celsius != nil {
		t, err := quantity.Celsius(*r.Celsius).MarshalText()
		w.keep(err)
		cells[11] = string(t)
	}
	if p.Count != 1 {
		cells[15] = strconv.Itoa(p.Count)
	}
	if !first {
		cells[15], cells[18] = "", ""
	}
	return cells, w.err
}

// writer keeps the first error of a row.
type writer struct{ err error }

func (w *writer) keep(err error) {
	if w.err == nil {
		w.err = err
	}
}

// value writes a value of the kind, blank for nought.
func (w *writer) value(k Kind, v float64) string {
	switch k {
	case Coil:
		return put(w, quantity.Henries(v))
	case Capacitor:
		return put(w, quantity.Farads(v))
	case Resistor:
		return put(w, quantity.Ohms(v))
	}
	w.keep(fmt.Errorf("kind %q", k))
	return ""
}

// put writes a quantity, blank for nought.
func put[Q interface {
	~float64
	MarshalText() ([]byte, error)
}](w *writer, v Q) string {
	if v == 0 {
		return ""
	}
	text, err := v.MarshalText()
	w.keep(err)
	return string(text)
}

func number(v float64) string {
	if v == 0 {
		return ""
	}
	return strconv.FormatFloat(v, 'g', -1, 64)
}

// quoted puts quotes around a field that needs them.
func quoted(text string) string {
	if !strings.ContainsAny(text, ",\"\r\n") && !strings.HasPrefix(text, "#") {
		return text
	}
	return `"` + strings.ReplaceAll(text, `"`, `""`) + `"`
}
