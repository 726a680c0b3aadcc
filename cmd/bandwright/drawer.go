package main

import (
	"encoding/json"
	"fmt"
	"strconv"
	"strings"

	"bandwright/ask"
	"bandwright/bench"
	"bandwright/finding"
	"bandwright/quantity"
)

// drawerVerb reads the parts at hand.
type drawerVerb struct {
	form
	File        string `arg:"" help:"The drawer, a spreadsheet saved as CSV." placeholder:"CSV"`
	At          string `help:"Also say what each measured part is at this frequency." placeholder:"HZ"`
	Temperature string `help:"The parts' temperature there." default:"20 °C" placeholder:"CELSIUS"`
	Mapping     string `help:"Read the columns as this file says." placeholder:"FILE"`
	KeepMapping string `help:"Write what the columns were taken for to a file, for --mapping." placeholder:"FILE"`
	Force       bool   `help:"Replace that file if it exists."`
}

// IDMappingFile: a file of columns that cannot be read. path, reason.
const IDMappingFile finding.ID = "cmd.mapping-file"

// Help shows an example.
func (drawerVerb) Help() string {
	return `Reads coils, capacitors and resistors in any order of columns, shows what each
column was taken for, and names every row that cannot be used. With --at it says
what each measured part is at a band's own frequency, with the standard
uncertainty of an ordinary hand meter. The file itself is never changed.
Ends with 1 when a row cannot be used.

Example:
  bandwright drawer drawer.csv --at 400Hz`
}

// Run answers the verb. Rows that cannot be used are errors, yet the others
// stand: the answer is given all the same.
func (v drawerVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	if err == nil && v.KeepMapping != "" {
		err = v.keep(d, answer)
	}
	if err != nil {
		return v.give(d, nil, found, err, func() error { return nil })
	}
	if v.JSON {
		err = d.printJSON(answer, found)
	} else {
		err = printDrawer(d, answer)
		d.say(found)
	}
	if err == nil && found.Err() != nil {
		return errLook
	}
	return err
}

func (v drawerVerb) answer(d door) (*bench.DrawerAnswer, finding.List, error) {
	mapping, err := readMapping(v.Mapping)
	if err != nil {
		return nil, nil, err
	}
	q := ask.Drawer{File: v.File, At: v.At, Temperature: v.Temperature, Mapping: mapping}
	return q.Ask(d.ctx, ask.From{File: readNamed})
}

// readMapping reads a file of columns; "" is none, so that they are found out.
func readMapping(path string) (mapping ask.Mapping, err error) {
	if path == "" {
		return mapping, nil
	}
	text, err := readFile(path)
	if err != nil {
		return mapping, err
	}
	if err := json.Unmarshal(text, &mapping); err != nil {
		return mapping, refusal(IDMappingFile, finding.Args{"path": path, "reason": err.Error()})
	}
	return mapping, nil
}

// keep writes what the columns were taken for.
func (v drawerVerb) keep(d door, a *bench.DrawerAnswer) error {
	text, err := json.MarshalIndent(a.Mapping, "", "  ")
	if err != nil {
		return err
	}
	return d.save([]output{{v.KeepMapping, append(text, '\n')}}, v.Force, v.File)
}

func printDrawer(d door, a *bench.DrawerAnswer) error {
	n := a.Counts
	fmt.Fprintf(d.out, "%s: %d parts in %d rows; %s, %s between fields\n", a.File, n.Parts, n.Rows, a.Encoding, a.Mapping.Separator)
	fmt.Fprintf(d.out, "further readings %d, repeated %d, blank %d, comments %d, bad %d\n\n", n.Further, n.Repeated, n.Blank, n.Comments, n.Bad)
	t := names(d.out, "column", "title", "taken for")
	for _, c := range a.Mapping.Columns {
		holds := []string{string(c.Holds)}
		for _, more := range []string{string(c.Kind), c.Unit, string(c.Mode)} {
			if more != "" {
				holds = append(holds, more)
			}
		}
		if c.Hertz > 0 {
			holds = append(holds, "at "+hertz(c.Hertz))
		}
		t.row(strconv.Itoa(c.Number), c.Title, strings.Join(holds, ", "))
	}
	if err := t.flush(); err != nil {
		return err
	}
	fmt.Fprintln(d.out)
	return printParts(d, a.Parts)
}

func printParts(d door, parts []bench.DrawerPart) error {
	heads := []string{"id", "kind", "marked", "count", "place", "measured"}
	asked := false
	for _, p := range parts {
		asked = asked || p.At != nil
	}
	if asked {
		heads = append(heads, "there", "give or take", "ohms there", "Q there")
	}
	t := names(d.out, heads...)
	for _, p := range parts {
		t.row(drawerRow(p, asked)...)
	}
	return t.flush()
}

func drawerRow(p bench.DrawerPart, asked bool) []string {
	marked := none
	if p.Marked > 0 {
		marked = p.Kind.Display(p.Marked, 4)
		if p.Tolerance != nil {
			marked += " " + p.Tolerance.Display()
		}
	}
	read := "no"
	for _, r := range p.Readings {
		if r.Value > 0 {
			read = p.Kind.Display(r.Value, 4)
			if r.Hertz > 0 {
				read += " at " + hertz(r.Hertz)
			}
			break
		}
	}
	row := []string{p.ID, string(p.Kind), marked, strconv.Itoa(p.Count), p.Place, read}
	if !asked {
		return row
	}
	if p.At == nil {
		return append(row, "", "", "", "")
	}
	q := ""
	if p.At.Q > 0 {
		q = plain(p.At.Q)
	}
	return append(row, p.Kind.Display(p.At.Value, 4), "±"+fixed(100*p.At.SE/max(p.At.Value, -p.At.Value), 2)+" %",
		quantity.Ohms(p.At.Ohms).Display(3), q)
}
