package main

import (
	"bytes"
	"fmt"
	"io"
	"path/filepath"
	"strings"

	"bandwright/finding"
)

// IDDrawingForm (error): a drawing is not written in the form that a file's
// name ends with. path, known.
const IDDrawingForm finding.ID = "cmd.drawing-form"

// printFlags say how a template is printed; what is left out, the job says.
type printFlags struct {
	Paper     string `help:"A4 or Letter." placeholder:"PAPER"`
	BarAcross string `help:"What the check bar along the paper's long side measured on a first print." placeholder:"LENGTH"`
	BarDown   string `help:"What the other bar measured." placeholder:"LENGTH"`
}

// drawn is a drawing in the two ways it is wanted: on the pages of a paper, and
// whole, for machines.
type drawn struct {
	pages interface {
		PDF(w io.Writer, creator string) error
	}
	whole interface {
		SVG(w io.Writer) error
		DXF(w io.Writer) error
	}
}

// files writes a drawing in the form that each name ends with.
func (d drawn) files(names []string) (outputs []output, err error) {
	for _, name := range names {
		var text bytes.Buffer
		switch strings.ToLower(filepath.Ext(name)) {
		case ".pdf":
			err = d.pages.PDF(&text, "bandwright "+version)
		case ".svg":
			err = d.whole.SVG(&text)
		case ".dxf":
			err = d.whole.DXF(&text)
		default:
			err = refusal(IDDrawingForm, finding.Args{"path": name, "known": ".pdf, .svg, .dxf"})
		}
		if err != nil {
			return nil, err
		}
		outputs = append(outputs, output{name, text.Bytes()})
	}
	return outputs, nil
}

// printNames says which files were written.
func printNames(d door, names []string) error {
	for _, name := range names {
		if _, err := fmt.Fprintln(d.out, "written:", name); err != nil {
			return err
		}
	}
	return nil
}
