package main

import "strings"

// setting is where sliders and switches stand.
type setting struct {
	name             string  // of the take, in file names and titles
	text             string  // as a job writes it
	band             string  // the one slider moved, "" for all of them
	at               float64 // where it was moved to
	lifted, bypassed bool
}

// position of a band's slider.
func (s setting) position(band string) float64 {
	if s.band == "" || s.band == band {
		return s.at
	}
	return 0
}

// settings are the takes of one unit, in the order they were made.
func settings() []setting {
	list := []setting{
		{name: "flat", text: "flat"},
		{name: "lifted", text: "lift", lifted: true},
		{name: "bypassed", text: "bypass", bypassed: true},
	}
	var up, down []string
	for _, l := range bands() {
		up, down = append(up, l.band+"=+1"), append(down, l.band+"=-1")
		list = append(list,
			setting{name: l.band + " boost", text: l.band + "=+1", band: l.band, at: 1},
			setting{name: l.band + " cut", text: l.band + "=-1", band: l.band, at: -1})
	}
	return append(list,
		setting{name: "all up", text: strings.Join(up, ","), at: 1},
		setting{name: "all down", text: strings.Join(down, ","), at: -1})
}
