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
}
