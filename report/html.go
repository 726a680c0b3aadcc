package report

import (
	"bytes"
	_ "embed"
	"html/template"
	"io"
	"strings"

	"bandwright/draw"
)

//go:embed sheet.html.tmpl
var sheetTemplate string

// HTML writes the sheet as one file that needs no other: styles and plots
// stand in it, and no script. It is the accessible form: headings, tables
// with their heads named, and every plot also in figures.
func (s *Sheet) HTML(w io.Writer) error {
	t, err := template.New("sheet").Funcs(template.FuncMap{"svg": inline, "pair": classes}).Parse(sheetTemplate)
	if err != nil {
		panic("report: " + err.Error())
	}
	var b bytes.Buffer
	if err := t.Execute(&b, s); err != nil {
		panic("report: " + err.Error())
	}
	_, err = w.Write(b.Bytes())
	return err
}

// inline gives a drawing's SVG, which escapes every text in it itself.
func inline(d *draw.Drawing) (template.HTML, error) {
	var b strings.Builder
	err := d.SVG(&b)
	return template.HTML(b.String()), err
}

// classes are the style classes of a cell in its column.
func classes(column Column, cell Cell) string {
	var names []string
	if column.Number {
		names = append(names, "number")
	}
	if column.Keep {
		names = append(names, "keep")
	}
	if column.Mono {
		names = append(names, "mono")
	}
	if cell.Tone != Plain {
		names = append(names, string(cell.Tone))
	}
	return strings.Join(names, " ")
}
