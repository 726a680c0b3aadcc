package main

import (
	"bytes"
	"fmt"
	"io"

	"bandwright/ask"
	"bandwright/finding"
	"bandwright/report"
)

// sheetVerb writes the job sheet.
type sheetVerb struct {
	jobArg
	HTML   string `name:"html" help:"Write the sheet as one HTML file (the accessible one)." placeholder:"FILE"`
	PDF    string `name:"pdf" help:"Write the sheet as PDF, A4." placeholder:"FILE"`
	Drawer string `help:"Add a pick list: which of this drawer's parts the job's ids are, and where they lie." placeholder:"CSV"`
	Map    string `help:"Read the drawer's columns as this file says." placeholder:"FILE"`
	Force  bool   `help:"Replace files that exist."`
}

// Help shows an example.
func (sheetVerb) Help() string {
	return `The answer in plain sentences, the parts, the band table, the plots, what was
agreed and found, the fitting list, cautions and check-sums.

Examples:
  bandwright sheet job.toml --html sheet.html --pdf sheet.pdf
  bandwright sheet board.toml --drawer drawer.csv --pdf board.pdf`
}

// Run answers the verb.
func (v sheetVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		for _, name := range answer.Written {
			fmt.Fprintln(d.out, "written:", name)
		}
		return nil
	})
}

func (v sheetVerb) answer(d door) (*ask.SheetAnswer, finding.List, error) {
	if v.HTML == "" && v.PDF == "" && !v.JSON {
		return nil, nil, refusal(IDNothingToWrite, nil)
	}
	mapping, err := readMapping(v.Map)
	if err != nil {
		return nil, nil, err
	}
	answer, found, err := ask.Sheet{Drawer: v.Drawer, Mapping: mapping}.Ask(d.ctx, v.from(d))
	if err != nil || found.Err() != nil {
		return nil, found, err
	}
	outputs, err := forms(report.New(answer.Sheet, answer.Job(), found, "bandwright "+version), v.HTML, v.PDF)
	if err != nil {
		return nil, found, err
	}
	inputs := []string{v.Job}
	if v.Drawer != "" {
		inputs = append(inputs, v.Drawer)
	}
	if err := d.save(outputs, v.Force, inputs...); err != nil {
		return nil, found, err
	}
	answer.Written = paths(outputs)
	return answer, found, nil
}

// forms lays a sheet out in the forms asked for; nothing is written.
func forms(sheet *report.Sheet, html, pdf string) ([]output, error) {
	var outputs []output
	for _, form := range [...]struct {
		path  string
		write func(io.Writer) error
	}{{html, sheet.HTML}, {pdf, sheet.PDF}} {
		if form.path == "" {
			continue
		}
		var text bytes.Buffer
		if err := form.write(&text); err != nil {
			return nil, err
		}
		outputs = append(outputs, output{form.path, text.Bytes()})
	}
	return outputs, nil
}

func paths(outputs []output) []string {
	list := []string{}
	for _, o := range outputs {
		list = append(list, o.path)
	}
	return list
}
