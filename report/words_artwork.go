package report

import "bandwright/finding"

// artworkWords words metal that cannot be, or does not fit.
var artworkWords = map[finding.ID]wording{
	"artwork.metal": {
		"A tab cannot be made of {{with .metal}}{{.}}{{else}}a metal that is not named{{end}}{{if .known}}: no solder wets it{{end}}.", "Its two ends are soldered to each other: take tinplate, soft brass or half-hard brass."},
	"artwork.size": {
		"The {{.what}} cannot be {{.value}} mm.", "It lies between {{short .least}} mm and {{short .most}} mm."},
	"artwork.bend-inside": {
		"The bends at the two ends of the housing's {{.side}} meet: they need {{short .needs}} mm and have {{short .has}} mm.", "Bend with a smaller inside radius."},
	"artwork.tongues-meet": {
		"The two tongues lie over each other on the flat sheet by {{short .short}} mm.", "Let them stand out of the chassis less, or cut the tab in two halves."},
	"artwork.tongue": {
		"A tongue of {{short .has}} mm {{.what}} does not go into a slot of {{short .slot}} mm.", `{{if eq .what "width"}}Make the tongue narrower.{{else}}Take thinner sheet.{{end}}`},
	"artwork.tongue-slips": {
		"A tongue {{short .has}} mm wide turns in a slot {{short .slot}} mm wide and holds nothing when it is twisted.", "Fold it instead, make it wider, or cut a narrower slot."},
	"artwork.tabs-meet": {
		"The tab of {{.band}} {{if lt .between 0.0}}lies {{short .between}} mm into{{else}}touches{{end}} that of {{.other}}.", "Set the sliders farther apart, or solder the two in one band."},
	"artwork.lever": {
		"The lever stands {{short .out}} mm out of a panel of {{short .thickness}} mm, and its knob takes {{short .knob}} mm.", "Take a slider with a longer lever or a knob that takes less, or thin the panel behind the slider."},
	"artwork.word-off": {
		"“{{.text}}” reaches {{short .over}} mm over the panel's edge.", "Shorten it, or move what it stands below."},
	"artwork.word-over": {
		"“{{.text}}” lies over {{.other}}.", "Move one of them, or shorten it."},
	"artwork.misfit": {
		"Slot {{.slot}}{{with .band}} of band {{.}}{{end}} lies {{short .off}} mm beside the tongue, which has {{short .play}} mm of play.", "Measure the slots' pitch again; else bend the tongue out or in by that much. Do not cut the chassis anew."},
	"artwork.off-panel": {
		"{{.part}} reaches {{short .over}} mm over the panel's edge.", "Move it in, or make it smaller."},
	"artwork.cuts-meet": {
		"Between {{.part}} and {{.other}} {{if lt .between 0.0}}there is no metal at all: they overlap by {{short .between}} mm{{else}}only {{short .between}} mm of metal are left{{end}}; {{short .least}} mm are wanted.", "Move one of them, or make it smaller."},
	"artwork.height": {
		"{{.part}} needs {{short .needs}} mm behind the panel, air included, and has {{short .has}} mm to {{.other}}; {{.highest}} takes most of it, {{short .height}} mm.", "Turn it, move it, or take a flatter part. Beside high tension the air is not to be spared."},
	"artwork.no-bit": {
		"{{if .nearest}}The nearest bit for a hole of {{short .size}} mm is {{short .nearest}} mm{{else}}There is no bit for a hole of {{short .size}} mm{{end}}.", "Drill with what there is and file or ream the rest; drill unplugged, cover what must stay clean, vacuum and inspect: no swarf may stay."},
}
