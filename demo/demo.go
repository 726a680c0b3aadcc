// Package demo carries the demo job inside the binary: an invented six-band
// equaliser for a bass head and the invented curves of two finished units, so
// that it can be written out and run in an empty folder, with no web.
//
// The folder is described by its own README.md; the curves are made by the
// command in demo/make.
package demo

import (
	"embed"
	"io/fs"
)

//go:embed all:bass-head
var folder embed.FS

// BassHead gives the folder of the bass-head job: job.toml, the curve files
// that it names, and README.md. Embedded files carry no time of change.
func BassHead() fs.FS {
	sub, err := fs.Sub(folder, "bass-head")
	if err != nil {
		panic("demo: " + err.Error())
	}
	return sub
}
