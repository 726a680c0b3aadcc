package main

import (
	"bytes"
	"fmt"
	"io/fs"
	"path/filepath"
	"strings"

	"bandwright/bench"
	"bandwright/curve"
	"bandwright/demo"
	"bandwright/finding"
	"bandwright/report"
)

// demoVerb writes the demo that travels inside the program and runs the main
// job on it.
type demoVerb struct {
	form
	Out   string `help:"The folder to write to." default:"out" placeholder:"FOLDER"`
	Force bool   `help:"Replace files that exist."`
}

// Help shows an example.
func (demoVerb) Help() string {
	return `The demo is an invented six-band equaliser for a rehearsal studio's bass head,
with invented curves of two finished units. It is written to FOLDER/bass-head;
the job sheet is made from those files, as FOLDER/sheet.html and
FOLDER/sheet.pdf, and the predicted curves go to FOLDER/curves.

Example:
  bandwright demo --out out`
}

// demoAnswer is what the verb says.
type demoAnswer struct {
	Invented bool               `json:"invented"`
	Written  []string           `json:"written"`
	Sheet    *bench.SheetAnswer `json:"sheet"`
}

// Run answers the verb.
func (v demoVerb) Run(d door) error {
	answer, found, err := v.answer(d)
	return v.give(d, answer, found, err, func() error {
		fmt.Fprintf(d.out, "The demo, invented from end to end: %d files in %s\n", len(answer.Written), v.Out)
		for _, name := range answer.Written {
			if base := filepath.Base(name); base == "job.toml" || strings.HasPrefix(base, "sheet.") {
				fmt.Fprintln(d.out, "  "+name)
			}
		}
		return nil
	})
}

func (v demoVerb) answer(d door) (demoAnswer, finding.List, error) {
	folder := filepath.Join(v.Out, "bass-head")
	inputs, err := copies(demo.BassHead(), folder)
	if err != nil {
		return demoAnswer{}, nil, err
	}
	if err := d.save(inputs, v.Force); err != nil {
		return demoAnswer{}, nil, err
	}
	// From here on the demo is a job like any other, read from its files.
	c, found, err := (jobArg{Job: filepath.Join(folder, "job.toml")}).open(d)
	if err != nil {
		return demoAnswer{}, found, err
	}
	answer, more, err := c.Sheet(d.ctx)
	if found = report.Once(append(found, more...)); err != nil || found.Err() != nil {
		return demoAnswer{}, found, err
	}
	outputs, err := forms(report.New(answer, c.Job(), found, "bandwright "+version), filepath.Join(v.Out, "sheet.html"), filepath.Join(v.Out, "sheet.pdf"))
	if err != nil {
		return demoAnswer{}, found, err
	}
	curves, err := curveFiles(answer.Family, filepath.Join(v.Out, "curves"))
	if err != nil {
		return demoAnswer{}, found, err
	}
	outputs = append(outputs, curves...)
	if err := d.save(outputs, v.Force, paths(inputs)...); err != nil {
		return demoAnswer{}, found, err
	}
	return demoAnswer{Invented: true, Written: paths(append(inputs, outputs...)), Sheet: answer}, found, nil
}

// copies lists the files of a folder as outputs under another.
func copies(from fs.FS, folder string) ([]output, error) {
	var outputs []output
	err := fs.WalkDir(from, ".", func(name string, entry fs.DirEntry, err error) error {
		if err != nil || entry.IsDir() {
			return err
		}
		data, err := fs.ReadFile(from, name)
		outputs = append(outputs, output{filepath.Join(folder, filepath.FromSlash(name)), data})
		return err
	})
	return outputs, err
}

// curveFiles writes one file a predicted curve, named by the curve.
func curveFiles(curves []curve.Curve, folder string) ([]output, error) {
	var outputs []output
	for _, c := range curves {
		var text bytes.Buffer
		if err := curve.Write(&text, c); err != nil {
			return nil, err
		}
		outputs = append(outputs, output{filepath.Join(folder, fileName(c.Name)+".csv"), text.Bytes()})
	}
	return outputs, nil
}

// fileName keeps letters, digits, points and signs of a curve's name.
func fileName(name string) string {
	return strings.Map(func(r rune) rune {
		switch {
		case r >= 'a' && r <= 'z', r >= 'A' && r <= 'Z', r >= '0' && r <= '9', r == '.', r == '+', r == '-':
			return r
		}
		return '-'
	}, name)
}
