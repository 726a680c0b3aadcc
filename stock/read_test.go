package stock

import (
	"bytes"
	"encoding/binary"
	"encoding/json"
	"fmt"
	"math/rand/v2"
	"reflect"
	"strings"
	"testing"
	"unicode/utf16"

	"bandwright/finding"
	"bandwright/trials"
)

// read takes a file that must be readable as a whole.
func read(t *testing.T, text string, m Mapping) Drawer {
	t.Helper()
	d, err := Read(strings.NewReader(text), m)
	if err != nil {
		t.Fatalf("%v\n%s", err, text)
	}
	accounted(t, d, text)
	return d
}

// accounted holds the counts of a drawer to its parts and findings: every row
// went somewhere, and every bad one is named.
func accounted(t *testing.T, d Drawer, text string) {
	t.Helper()
	c := d.Counts
	if c.Rows != c.Parts+c.Further+c.Repeated+c.Bad+c.Blank+c.Comments || c.Parts != len(d.Parts) {
		t.Errorf("%+v with %d parts\n%s", c, len(d.Parts), text)
	}
	lines := map[int]bool{}
	for _, f := range d.Findings {
		if f.Level == finding.Error {
			lines[f.Place.Line] = true
			if f.Place.Line < 1 {
				t.Errorf("%v has no line", f)
			}
		}
	}
	// A quoted field may run on, so that two lines of one row are named.
	if len(lines) < c.Bad {
		t.Errorf("%d bad rows, %d lines named: %v\n%s", c.Bad, len(lines), d.Findings, text)
	}
}

// plainParts gives parts without the lines they came from.
func plainParts(parts []Part) []Part {
	var all []Part
	for _, p := range parts {
		p.Line = 0
		p.Readings = append([]Reading(nil), p.Readings...)
		for i := range p.Readings {
			p.Readings[i].Line = 0
		}
		all = append(all, p)
	}
	return all
}

func sameParts(t *testing.T, what string, got, want []Part) {
	t.Helper()
	a, err := json.Marshal(plainParts(got))
	b, err2 := json.Marshal(plainParts(want))
	if err != nil || err2 != nil || !bytes.Equal(a, b) {
		t.Errorf("%s: %v %v\ngot  %s\nwant %s", what, err, err2, a, b)
	}
}

// One drawer as different hands and spreadsheets write it.
const plainDrawer = `id,kind,value,tolerance,measured,frequency,mode,Q,D,DCR,level,temperature,place,price,notes,count
L1,coil,680 mH,20 %,701.3 mH,1 kHz,series,12.5,,210 ohm,0.5 V,21 °C,A3,2.40,"large, pot core",
L1,coil,680 mH,20 %,690 mH,120 Hz,series,2.4,,,,,A3,,,
L2,coil,1.5 H,10 %,1.52 H,120 Hz,parallel,4.8,,390 ohm,,,A3,,,
C1,capacitor,100 nF,5 %,103.2 nF,1 kHz,,,0.004,,,,B1,,,
C2,capacitor,2.2 µF,-20/+80 %,,,,,,,,,B2,,,12
R1,resistor,4.7 kΩ,1 %,,,,,,,,,R,,,100
`

var dressings = map[string]string{
	"semicolons, decimal commas, a byte mark, CRLF": "\ufeffid;kind;value;tolerance;measured;frequency;mode;Q;D;DCR;level;temperature;place;price;notes;count\r\n" +
		"L1;coil;680 mH;20%;701,3 mH;1 kHz;series;12,5;;210;0,5 V;21;A3;2.40;large, pot core;\r\n" +
		"L1;coil;0,68 H;20%;690 mH;120;series;2,4;;;;;A3;;;\r\n" +
		"L2;coil;1,5 H;10%;1,520 H;120 Hz;parallel;4,8;;390;;;A3;;;\r\n" +
		"C1;capacitor;100 nF;5%;103,2 nF;1k;;;0,004;;;;B1;;;\r\n" +
		"C2;capacitor;2,2 µF;-20/+80 %;;;;;;;;;B2;;;12\r\n" +
		"R1;resistor;4,7 k;1%;;;;;;;;;R;;;100\r\n",
	"tabs, another order, other words, units in titles": "Drawer of the studio, 12 January\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\n" +
		"Bag\tLabel\tType\tMarked\tTol (%)\tReading\tTest f [kHz]\tLs/Lp\tQ factor\ttan d\tRdc (Ω)\tLevel, V\tTemp C\tCost\tRemarks\tQty\n" +
		"A3\tL1\tchoke\t680m\t20\t701.3m\t1\tLs\t12.5\t\t210\t0.5\t21\t2.40\tlarge, pot core\t\n" +
		"# second reading, same coil\n" +
		"A3\tL1\tchoke\t680m\t20\t690m\t0.12\tLs\t2.4\t\t\t\t\t\t\t\n" +
		"\t\t\t\t\t\t\t\t\t\t\t\t\t\t\t\n" +
		"A3\tL2\tchoke\t1H5\t10\t1.52 H\t.12\tLp\t4.8\t\t390\t\t\t\t\t\n" +
		"B1\tC1\tfilm cap\t100n\t5\t103.2n\t1\t\t\t.4 %\t\t\t\t\t\t\n" +
		"B2\tC2\tcap\t2u2\tZ\t\t\t\t\t\t\t\t\t\t\t12\n" +
		"R\tR1\tres.\t4k7\tF\t\t\t\t\t\t\t\t\t\t\t100\n",
	"German words, sep line, a column for each kind": "sep=;\r\n" +
		"Nr;Art;Nennwert;Toleranz;L (mH);C (nF);Frequenz (Hz);Modus;Güte;Verlustfaktor;DCR (Ohm);Pegel (mV);Temperatur (°C);Fach;Preis;Bemerkung;Anzahl\r\n" +
		"L1;Spule;680 mH;M;701,3;;1000;seriell;12,5;;210;500;21;A3;2.40;\"large, pot core\";1\r\n" +
		"L1;Spule;680 mH;;690;;120;seriell;2,4;;;;;A3;;;\r\n" +
		"L2;Drossel;1,5 H;10 %;1520;;120;p;4,8;;390;;;A3;;;\r\n" +
		"C1;Kondensator;100n;5 %;;103,2;1000;;;0,004;;;;B1;;;\r\n" +
		"C2;Elko;2,2u;-20/+80%;;;;;;;;;;B2;;;12\r\n" +
		"R1;Widerstand;4k7;1 %;;;;;;;;;;R;;;100\r\n",
	"everything in quotes, old line ends": strings.ReplaceAll(quoteAll(plainDrawer), "\n", "\r"),
}

func quoteAll(text string) string {
	var out strings.Builder
	scan := newScanner(text, ',')
	for r, ok := scan.next(nil); ok; r, ok = scan.next(nil) {
		for i, c := range r.cells {
			if i > 0 {
				out.WriteByte(',')
			}
			out.WriteString(`"` + c.text + `"`)
		}
		out.WriteByte('\n')
	}
	return out.String()
}

func TestDressings(t *testing.T) {
	want := read(t, plainDrawer, Mapping{})
	if len(want.Parts) != 5 || want.Counts.Further != 1 || want.Counts.Bad != 0 {
		t.Fatalf("%+v %v", want.Counts, want.Findings)
	}
	l1 := want.Parts[0]
	if r := l1.Readings[0]; r.Value != 0.7013 || r.Hertz != 1000 || r.Mode != Series || r.Q != 12.5 || r.DCR != 210 ||
		r.Level != 0.5 || *r.Celsius != 21 || l1.Price != "2.40" || l1.Notes != "large, pot core" || len(l1.Readings) != 2 {
		t.Errorf("%+v", l1)
	}
	if c2 := want.Parts[3]; c2.Count != 12 || c2.Tolerance.Plus != 0.8 || c2.Measured() {
		t.Errorf("%+v", c2)
	}
	for name, text := range dressings {
		got := read(t, text, Mapping{})
		sameParts(t, name, got.Parts, want.Parts)
	}
	for _, order := range []binary.AppendByteOrder{binary.LittleEndian, binary.BigEndian} {
		var wide []byte
		for _, u := range utf16.Encode([]rune("\ufeff" + plainDrawer)) {
			wide = order.AppendUint16(wide, u)
		}
		got := read(t, string(wide), Mapping{})
		sameParts(t, "UTF-16", got.Parts, want.Parts)
	}
}

// The mapping of a result reads the file again to the same parts, through
// JSON, and also when the columns come in another order.
func TestMappingComesBack(t *testing.T) {
	for name, text := range dressings {
		first := read(t, text, Mapping{})
		raw, err := json.Marshal(first.Mapping)
		if err != nil {
			t.Fatal(err)
		}
		var kept Mapping
		if err := json.Unmarshal(raw, &kept); err != nil {
			t.Fatal(err)
		}
		again := read(t, text, kept)
		sameParts(t, name, again.Parts, first.Parts)
		if !reflect.DeepEqual(again.Mapping, first.Mapping) {
			t.Errorf("%s: mapping\n%+v became\n%+v", name, first.Mapping, again.Mapping)
		}
	}
	kept := read(t, "serial,what,wert\nX1,coil,2 H\n", Mapping{Columns: []Column{{Title: "Serial", Holds: FieldID}}}).Mapping
	got := read(t, "wert,Serial,what\n2 H,X1,coil\n", kept)
	if p := got.Parts[0]; p.ID != "X1" || p.Marked != 2 || got.Mapping.Columns[1].By != ByPerson {
		t.Errorf("%+v %+v", p, got.Mapping)
	}
}

// What a person says goes before titles, and serves files without titles.
func TestMappingByHand(t *testing.T) {
	d := read(t, "C1;0,1\nC2;0,22\nC3;x\n", Mapping{NoTitles: true, Kind: Capacitor, Separator: "semicolon", Columns: []Column{
		{Number: 1, Holds: FieldID}, {Number: 2, Holds: FieldValue, Unit: "uF"}}})
	if len(d.Parts) != 2 || d.Parts[1].Marked != 0.22e-6 || d.Counts.Bad != 1 || d.Counts.Rows != 3 {
		t.Errorf("%+v", d)
	}
	d = read(t, "id,kind,type,value\nC1,film,capacitor,100n\n", Mapping{Columns: []Column{
		{Title: "Kind", Holds: Ignored}, {Title: "type", Holds: FieldKind}}})
	if len(d.Parts) != 1 || d.Parts[0].Kind != Capacitor {
		t.Errorf("%+v", d)
	}
	d = read(t, "id,kind,value\nR1,resistor,\"1,234\"\n", Mapping{Decimal: "point", Columns: []Column{{Title: "gone", Holds: FieldQ}}})
	if d.Parts[0].Marked != 1234 || d.Findings[0].ID != IDMappingUnused {
		t.Errorf("%+v", d)
	}
	d = read(t, "id,kind,value\nR1,resistor,\"1,234\"\n", Mapping{Decimal: "comma"})
	if d.Parts[0].Marked != 1.234 {
		t.Errorf("%+v", d)
	}
	for what, m := range map[string]Mapping{
		"separator": {Separator: "pipe"}, "decimal": {Decimal: "dot"}, "kind": {Kind: "valve"},
		"holds": {Columns: []Column{{Number: 1, Holds: "mood"}}}, "mode": {Columns: []Column{{Number: 1, Holds: Ignored, Mode: "auto"}}},
		"number":    {Columns: []Column{{Holds: FieldID}}},
		"frequency": {Columns: []Column{{Number: 1, Holds: FieldQ, Hertz: -1}}}, "unit": {Columns: []Column{{Number: 1, Holds: FieldQ, Unit: "9"}}},
	} {
		_, err := Read(strings.NewReader(plainDrawer), m)
		list, ok := finding.From(err)
		if !ok || list[0].ID != IDMappingWord || list[0].Args["what"] != what {
			t.Errorf("%s: %v", what, err)
		}
	}
}

// Markings as they are printed, tolerance and all; kinds found by unit.
func TestMarkings(t *testing.T) {
	for cells, want := range map[string]Part{
		"coil,680 mH ±10 %": {Kind: Coil, Marked: 0.68}, "capacitor,100n 5%": {Kind: Capacitor, Marked: 100e-9},
		"capacitor,104K": {Kind: Capacitor, Marked: 100e-9}, "resistor,4K7J": {Kind: Resistor, Marked: 4700},
		"resistor,yellow violet red gold": {Kind: Resistor, Marked: 4700}, "capacitor,10u -20/+80 %": {Kind: Capacitor, Marked: 10e-6},
	} {
		p := read(t, "id,kind,value\nX1,"+cells+"\n", Mapping{}).Parts[0]
		if p.Kind != want.Kind || p.Marked != want.Marked || p.Tolerance == nil {
			t.Errorf("%s: %+v", cells, p)
		}
	}
	for value, kind := range map[string]Kind{"680 mH": Coil, "2.2 uF": Capacitor, "4k7": Resistor, "470R": Resistor, "1 H": Coil, "33 pF": Capacitor} {
		if p := read(t, "id,value\nX1,"+value+"\n", Mapping{}).Parts[0]; p.Kind != kind {
			t.Errorf("%s: %+v", value, p)
		}
	}
}

// Several columns of one quantity at different frequencies are several
// readings; a Q beside them belongs to the one before it.
func TestReadingsSideBySide(t *testing.T) {
	d := read(t, "id;L 120 Hz (H);Q 120 Hz;Ls @ 1 kHz (H);Q;R\nL1;1,1;2,5;1,2;14;390\n", Mapping{})
	want := []Reading{{Value: 1.1, Hertz: 120, Q: 2.5, DCR: 390}, {Value: 1.2, Hertz: 1000, Mode: Series, Q: 14}}
	got := plainParts(d.Parts)[0]
	if got.Kind != Coil || !reflect.DeepEqual(got.Readings, want) {
		t.Errorf("%+v\n%v", got, d.Findings)
	}
}

// What is written is read back to the same parts, bit for bit.
func TestRoundTrip(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260301), 1))
	for range trials.Count(20) {
		parts, _ := drawer(rng, 40, 150, 20, HandMeter())
		warm := 35.5
		parts[0].Readings = []Reading{{Value: 1.5, Hertz: 120, Mode: Series, D: 0.25, Celsius: &warm, Level: 0.3, Meter: "bench, blue"},
			{Value: 1.6, Hertz: 1000}, {DCR: 210}}
		parts[1].Notes, parts[1].Price, parts[1].ID = "two\nlines, \"quoted\"", "1,50", "# 7"
		parts[2].Count, parts[2].Marked, parts[2].Readings = 0, 3.3, nil
		var text bytes.Buffer
		if err := Write(&text, parts); err != nil {
			t.Fatal(err)
		}
		back := read(t, text.String(), Mapping{})
		if back.Counts.Bad > 0 || back.Counts.Further != 2 {
			t.Fatalf("%+v %v", back.Counts, back.Findings)
		}
		sameParts(t, "written and read", back.Parts, parts)
	}
	for _, wrong := range [][]Part{{{ID: "", Kind: Coil}}, {{ID: "a", Kind: "valve", Marked: 1}}, {{ID: "a", Kind: Coil, Marked: -1}},
		{{ID: "a", Kind: Coil, Marked: 1}, {ID: "a", Kind: Coil, Marked: 1}}} {
		if Write(&bytes.Buffer{}, wrong) == nil {
			t.Errorf("%+v was written", wrong)
		}
	}
}

// The bounds hold, and a row of a million fields is one bad row.
func TestBounds(t *testing.T) {
	for want, text := range map[finding.ID]string{
		IDTooLarge:       strings.Repeat("a,b\n", MaxBytes/4+1),
		IDTooManyRows:    "id,value\n" + strings.Repeat("\n", MaxRows+1),
		IDTooManyColumns: "id,value" + strings.Repeat(",x", MaxColumns) + "\n",
	} {
		_, err := Read(strings.NewReader(text), Mapping{})
		if list, ok := finding.From(err); !ok || list[0].ID != want {
			t.Errorf("%s: %v", want, err)
		}
	}
	d := read(t, "id,value\nC1,100 nF"+strings.Repeat(",", 1_000_000)+"x\nC2,100 nF"+strings.Repeat(",", 1_000_000)+"\n", Mapping{})
	if d.Counts.Bad != 1 || d.Counts.Parts != 1 || ids(d.Findings) != "extra-field" {
		t.Errorf("%+v %v", d.Counts, d.Findings)
	}
}

// Ten thousand rows, some of them bad at known lines: each is named, and no
// other.
func TestTenThousandRows(t *testing.T) {
	text, bad := tenThousand()
	d := read(t, text, Mapping{})
	named := map[int]bool{}
	for _, f := range d.Findings {
		if f.Level == finding.Error {
			named[f.Place.Line] = true
		}
	}
	if d.Counts.Rows != 10_000 || d.Counts.Bad != len(bad) || !reflect.DeepEqual(named, bad) {
		t.Errorf("%+v, %d bad rows wanted", d.Counts, len(bad))
	}
}

func BenchmarkTenThousandRows(b *testing.B) {
	text, _ := tenThousand()
	for b.Loop() {
		if d, err := Read(strings.NewReader(text), Mapping{}); err != nil || len(d.Parts) < 9000 {
			b.Fatal(err)
		}
	}
}

func tenThousand() (text string, bad map[int]bool) {
	var out strings.Builder
	out.WriteString("id;kind;value;tol;measured;freq;mode;Q;D;DCR;place\n")
	bad = map[int]bool{}
	for i := range 10_000 {
		switch {
		case i%37 == 5:
			bad[i+2] = true
			fmt.Fprintf(&out, "X%d;capacitor;about 100n;5 %%;;;;;;;B\n", i)
		case i%101 == 7:
			bad[i+2] = true
			fmt.Fprintf(&out, "X%d;coil;\"1 H;10 %%;;;;;;;B\n", i)
		case i%3 == 0:
			fmt.Fprintf(&out, "X%d;coil;1,5 H;20 %%;%d,%d mH;1 kHz;series;%d;;390;A%d\n", i, 1400+i%200, i%10, 5+i%10, i%20)
		default:
			fmt.Fprintf(&out, "X%d;capacitor;100 nF;5 %%;%d,%d nF;1 kHz;parallel;;0,004;;B%d\n", i, 97+i%6, i%10, i%20)
		}
	}
	return out.String(), bad
}

// ids gives the findings' IDs without the room.
func ids(list finding.List) string {
	var all []string
	for _, f := range list {
		all = append(all, strings.TrimPrefix(string(f.ID), "stock."))
	}
	return strings.Join(all, " ")
}
