package report

import (
	"bytes"
	"encoding/csv"
	"encoding/xml"
	"fmt"
	"io"
	"regexp"
	"strings"
	"testing"

	"bandwright/draw"
	"bandwright/equaliser"
	"bandwright/golden"
)

func TestSmallSheetHTML(t *testing.T) {
	// A hundredth of a millimetre in the plots: processors round differently.
	golden.CheckNumbers(t, "small-sheet.html", htmlOf(t, smallSheet(t)), golden.Tolerance{Abs: 0.011})
}

func TestBandsCSV(t *testing.T) {
	j := decoded(t, smallJob)
	a := answerFor(j)
	var b bytes.Buffer
	if err := BandsCSV(&b, &a.Bands, a.Compare); err != nil {
		t.Fatal(err)
	}
	golden.Check(t, "bands.csv", b.Bytes())
	rows, err := csv.NewReader(&b).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	if len(rows) != 1+2+2 {
		t.Errorf("%d rows, want a header and two a band", len(rows))
	}
}

// The page is one file: nothing is fetched, nothing runs, nothing refers
// outside it.
func TestHTMLNeedsNoOtherFile(t *testing.T) {
	page := string(htmlOf(t, smallSheet(t)))
	for _, bad := range []string{"<script", "src=", "http://", "https://", "@import", "url(", "javascript:", "onload"} {
		rest := strings.ReplaceAll(page, `xmlns="http://www.w3.org/2000/svg"`, "")
		if strings.Contains(rest, bad) {
			t.Errorf("the page holds %q", bad)
		}
	}
}

// The job's own words are text in the page, never markup.
func TestHTMLEscapes(t *testing.T) {
	j := decoded(t, strings.Replace(smallJob, `customer = "nobody"`, `customer = "<script>alert(1)</script> & \"co\""`, 1))
	j.Bands[0].Name = `6<3`
	page := string(htmlOf(t, New(answerFor(j), j, nil, "<b>")))
	if strings.Contains(page, "<script") || strings.Contains(page, "6<3") || strings.Contains(page, "<b>") {
		t.Error("the job's words reach the page as markup")
	}
	if !strings.Contains(page, "&lt;script&gt;alert(1)&lt;/script&gt; &amp; ") {
		t.Error("the customer's name is not on the page")
	}
}

// What a reader that cannot see the page relies on.
func TestHTMLIsAccessible(t *testing.T) {
	page := string(htmlOf(t, smallSheet(t)))
	walk(t, page)
	for what, want := range map[string]int{
		`<html lang="en">`: 1, "<h1>": 1, "<main>": 1, "<title>": 1, `role="img"`: 3,
	} {
		if n := strings.Count(page, what); n != want {
			t.Errorf("%d of %s, want %d", n, what, want)
		}
	}
	ids := map[string]bool{}
	for _, m := range regexp.MustCompile(` id="([^"]*)"`).FindAllStringSubmatch(page, -1) {
		if ids[m[1]] {
			t.Errorf("the id %q stands twice", m[1])
		}
		ids[m[1]] = true
	}
	for _, m := range regexp.MustCompile(`(?:href="#|labelledby=")([^"]*)"`).FindAllStringSubmatch(page, -1) {
		for _, id := range strings.Fields(m[1]) {
			if !ids[id] {
				t.Errorf("%q is referred to and not there", id)
			}
		}
	}
	for _, m := range regexp.MustCompile(`<th[ >][^>]*`).FindAllString(page, -1) {
		if !strings.Contains(m, "scope=") {
			t.Errorf("a table head without scope: %s", m)
		}
	}
	if plots, figures := strings.Count(page, "<figure>"), strings.Count(page, "The same in figures"); plots == 0 || plots != figures {
		t.Errorf("%d plots, %d of them in figures", plots, figures)
	}
}

// walk reads the page as XML, which it nearly is: every element is closed in
// its order, and every row of a table has as many cells as its head.
func walk(t *testing.T, page string) {
	t.Helper()
	body := page[strings.Index(page, "<body>") : strings.Index(page, "</body>")+len("</body>")]
	d := xml.NewDecoder(strings.NewReader(body))
	d.Entity = map[string]string{"nbsp": "\u00a0"}
	columns, cells := 0, 0
	for {
		token, err := d.Token()
		if err == io.EOF {
			return
		}
		if err != nil {
			t.Fatalf("the page is not well-formed: %v", err)
		}
		switch e := token.(type) {
		case xml.StartElement:
			switch e.Name.Local {
			case "table":
				columns = 0
			case "tr":
				cells = 0
			case "th", "td":
				span := 1
				for _, a := range e.Attr {
					if a.Name.Local == "colspan" {
						fmt.Sscan(a.Value, &span)
					}
				}
				cells += span
			}
		case xml.EndElement:
			if e.Name.Local != "tr" {
				continue
			}
			if columns == 0 {
				columns = cells
			}
			if cells != columns {
				t.Errorf("a row of %d cells in a table of %d columns", cells, columns)
			}
		}
	}
}

func TestPDFTextIsText(t *testing.T) {
	s := smallSheet(t)
	words := readBack(t, pdfOf(t, s))
	for _, want := range []string{
		"Two bands <for> a test & nothing else", "INVENTED EXAMPLE DATA", "NOT DONE", "63 Hz", "1k (1000 Hz)",
		"10 kΩ", "2.2 µF", "2.7 H", "±10 %", "−10.38", "Before a hand goes in", "Mains and high tension kill", "bandwright test",
		"e1352cb52cff79b9ca9174b986235665a9aa93dd9c21ca48138ca93d32694aa2", "page 1 of ", "12 points an octave",
	} {
		if !strings.Contains(strings.ReplaceAll(words, "\u00a0", " "), want) {
			t.Errorf("the PDF's text lacks %q", want)
		}
	}
	pages := strings.Count(words, "\f")
	if last := fmt.Sprintf("page %d of %d", pages, pages); !strings.Contains(words, last) {
		t.Errorf("%q is not on the last page", last)
	}
	if n := strings.Count(words, "INVENTED EXAMPLE DATA"); n < pages {
		t.Errorf("%d of %d pages say that the data are invented", n, pages)
	}
	for _, section := range s.Sections {
		if !strings.Contains(words, section.Heading) {
			t.Errorf("the section %q is not in the PDF", section.Heading)
		}
	}
}

func TestSameSheetSameBytes(t *testing.T) {
	if !bytes.Equal(pdfOf(t, smallSheet(t)), pdfOf(t, smallSheet(t))) {
		t.Error("two PDFs of one sheet differ")
	}
	if !bytes.Equal(htmlOf(t, smallSheet(t)), htmlOf(t, smallSheet(t))) {
		t.Error("two pages of one sheet differ")
	}
}

// pen listens to a page being laid out.
type pen struct {
	t    *testing.T
	page int
	end  draw.End
}

func (p *pen) Stroke(path draw.Path, with draw.Pen)  { p.end.Stroke(path, with) }
func (p *pen) Fill(path draw.Path, with draw.Colour) { p.end.Fill(path, with) }
func (p *pen) Text(at draw.Point, text string, f draw.Font) {
	width := f.Width(text)
	left := at.X
	switch f.Anchor {
	case draw.Middle:
		left -= width / 2
	case draw.Finish:
		left -= width
	}
	if left < marginSide-0.3 || left+width > pageWidth-marginSide+0.6 {
		p.t.Errorf("page %d: %q runs from %.1f to %.1f mm, the text from %.1f to %.1f", p.page, text, left, left+width, marginSide, pageWidth-marginSide)
	}
	if at.Y > pageHeight-10 || at.Y < 10 {
		p.t.Errorf("page %d: %q stands at %.1f mm", p.page, text, at.Y)
	}
	p.end.Text(at, text, f)
}

// Nothing runs out of the page's text, whatever the job's words are.
func TestNothingLeavesThePage(t *testing.T) {
	long := strings.Repeat("a rather long sentence that has to be broken somewhere, ", 12)
	word := strings.Repeat("oneverylongwordwithoutanyspace", 8)
	for name, change := range map[string]func(string) string{
		"as it is":   func(s string) string { return s },
		"long text":  func(s string) string { return strings.Replace(s, "nobody", long, 1) },
		"long word":  func(s string) string { return strings.Replace(s, "nobody", word, 1) },
		"long step":  func(s string) string { return strings.Replace(s, "Ring out cold", long+word, 1) },
		"long title": func(s string) string { return strings.Replace(s, "Two bands", long, 1) },
		"many bands and units": func(s string) string {
			for hz := 25; hz < 20000; hz += 1 + hz/4 {
				s = strings.Replace(s, "[[curve]]", fmt.Sprintf("[[band]]\nname = \"%d\"\ncentre = \"%d Hz\"\nslider = { value = \"10k\" }\n"+
					"coil = { value = \"1 H\", dcr = \"1 ohm\" }\ncapacitor = { value = \"1u\" }\n[[curve]]", hz, hz), 1)
			}
			for _, unit := range []string{"B", "C", "the one that came back twice"} {
				s += fmt.Sprintf("[[curve]]\nname = \"%s\"\nunit = \"%s\"\nrole = \"original\"\nfile = \"c.csv\"\nsetting = \"63=+1\"\n", unit, unit)
			}
			return s
		},
		"long file": func(s string) string { return strings.Replace(s, "a-63.csv", "a/"+word+"-63.csv", 1) },
	} {
		t.Run(name, func(t *testing.T) {
			j := decoded(t, change(smallJob))
			s := New(answerFor(j), j, someFindings(), "bandwright test")
			l := &layout{sheet: s, pdf: draw.NewPDF("", ""), listen: func(page int, end draw.End) draw.End {
				return &pen{t: t, page: page, end: end}
			}}
			l.run()
		})
	}
}

// A job without curves, or with next to nothing, still gives a sheet.
func TestSheetsWithLittleInThem(t *testing.T) {
	bare := smallJob[:strings.Index(smallJob, "[[curve]]")]
	j := decoded(t, bare)
	a := answerFor(j)
	words := readBack(t, pdfOf(t, New(a, j, nil, "bandwright test")))
	for _, want := range []string{"Nothing is measured yet", "Nothing was found that needs a look"} {
		if !strings.Contains(words, want) {
			t.Errorf("the sheet lacks %q", want)
		}
	}
	a.Bands.Bands[0] = equaliser.Feature{Band: "63", StatedHz: 63}
	if words := readBack(t, pdfOf(t, New(a, j, nil, ""))); !strings.Contains(words, "predicted no boost and no cut.") {
		t.Error("a dead band is not said to be one")
	}
	a.Family, a.Parts, a.Noise, a.Volts.Points, a.Bands.Scale, a.Bands.Headroom = nil, nil, nil, nil, nil, nil
	s := New(a, j, nil, "bandwright test")
	walk(t, string(htmlOf(t, s)))
	pdfOf(t, s)
}

// Blanks print as what they are, everywhere.
func TestBlanksAreNotDone(t *testing.T) {
	page := string(htmlOf(t, smallSheet(t)))
	for _, id := range []string{"agreed", "as-found", "tap-in", "fitting", "safety"} {
		from := strings.Index(page, `<section id="`+id+`"`)
		if from < 0 {
			t.Fatalf("no section %s", id)
		}
		section := page[from : from+strings.Index(page[from:], "</section>")]
		if !strings.Contains(section, notDone) {
			t.Errorf("section %s has blanks and no %s", id, notDone)
		}
	}
	if !strings.Contains(page, "Not to be played: safety readings are missing.") {
		t.Error("missing safety readings are not said")
	}
}
