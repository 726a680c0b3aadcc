package report

import "bandwright/finding"

// artworkWords words metal that cannot be, or does not fit.
var artworkWords = map[finding.ID]wording{
	"artwork.metal": {
		"A tab cannot be made of {{with .metal}}{{.}}{{else}}a metal that is not named{{end}}.", "Its ends are soldered: take tinplate or brass. Solder does not wet aluminium."},
	"artwork.size": {
		"The {{.what}} cannot be {{.value}} mm.", "It lies between {{short .least}} mm and {{short .most}} mm."},
	"artwork.bend-inside": {
		"The bends at the two ends of the housing's {{.side}} meet: they need {{short .needs}} mm and have {{short .has}} mm.", "Bend with a smaller inside radius."},
	"artwork.tongues-meet": {
		"The two tongues lie over each other on the flat sheet by {{short .short}} mm.", "Let them stand out of the chassis less, or cut the tab in two halves."},
	"artwork.tongue": {
		"A tongue of {{short .has}} mm {{.what}} does not go into a slot of {{short .slot}} mm.", `{{if eq .what "width"}}Make the tongue narrower.{{else}}Take thinner sheet.{{end}}`},
	"artwork.misfit": {
		"Slot {{.slot}} lies {{short .off}} mm beside the tongue, which has {{short .play}} mm of play.", "Measure the slots' pitch again; else bend the tongue out or in by that much. Do not cut the chassis anew."},
	"artwork.off-panel": {
		"{{.part}} reaches {{short .over}} mm over the panel's edge.", "Move it in, or make it smaller."},
	"artwork.cuts-meet": {
		"Between {{.part}} and {{.other}} {{if lt .between 0.0}}there is no metal at all: they overlap by {{short .between}} mm{{else}}only {{short .between}} mm of metal are left{{end}}; {{short .least}} mm are wanted.", "Move one of them, or make it smaller."},
	"artwork.height": {
		"{{.part}} needs {{short .needs}} mm behind the panel, air included, and has {{short .has}} mm to {{.other}}.", "Turn it, move it, or take a flatter part. Beside high tension the air is not to be spared."},
	"artwork.no-bit": {
		"{{if .nearest}}The nearest bit for a hole of {{short .size}} mm is {{short .nearest}} mm{{else}}There is no bit for a hole of {{short .size}} mm{{end}}.", "Drill with what there is and file or ream the rest; drill unplugged, cover what must stay clean, vacuum and inspect: no swarf may stay."},
}
