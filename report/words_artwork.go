package report

import (
	"strconv"
	"strings"

	"bandwright/finding"
)

// hundredths writes a length in millimetres without noughts at its end.
func hundredths(x float64) string {
	text := strconv.FormatFloat(x, 'f', 2, 64)
	return strings.Replace(strings.TrimSuffix(strings.TrimRight(text, "0"), "."), "-", "−", 1)
}

// overlap writes how far one thing lies into another, given the room between.
func overlap(between float64) string { return hundredths(-between) }

// artworkWords words metal that cannot be, or does not fit.
var artworkWords = map[finding.ID]wording{
	"artwork.metal": {
		"A tab cannot be made of {{with .metal}}{{.}}{{else}}a metal that is not named{{end}}{{if .known}}: no solder wets it{{end}}.", "Its two ends are soldered to each other: take tinplate, soft brass or half-hard brass."},
	"artwork.size": {
		"The {{.what}} cannot be {{.value}} mm.", "It lies between {{mm .least}} mm and {{mm .most}} mm."},
	"artwork.bend-inside": {
		"The bends at the two ends of the housing's {{.side}} meet: they need {{mm .needs}} mm and have {{mm .has}} mm.", "Bend with a smaller inside radius."},
	"artwork.tongues-meet": {
		"The two tongues lie over each other on the flat sheet by {{mm .short}} mm.", "Let them stand out of the chassis less, or cut the tab in two halves."},
	"artwork.tongue": {
		"A tongue of {{mm .has}} mm {{.what}} does not go into a slot of {{mm .slot}} mm.", `{{if eq .what "width"}}Make the tongue narrower.{{else}}Take thinner sheet.{{end}}`},
	"artwork.tongue-slips": {
		"A tongue {{mm .has}} mm wide turns in a slot {{mm .slot}} mm wide and holds nothing when it is twisted.", "Fold it instead, make it wider, or cut a narrower slot."},
	"artwork.tabs-meet": {
		"The tab of {{.band}} {{if lt .between 0.0}}lies {{into .between}} mm into{{else}}touches{{end}} that of {{.other}}.", "Set the sliders farther apart, or solder the two in one band."},
	"artwork.lever": {
		"The lever stands {{mm .out}} mm out of a panel of {{mm .thickness}} mm, and its knob takes {{mm .knob}} mm.", "Take a slider with a longer lever or a knob that takes less, or thin the panel behind the slider."},
	"artwork.word-off": {
		"“{{.text}}” reaches {{mm .over}} mm over the panel's edge.", "Shorten it, or move what it stands below."},
	"artwork.word-over": {
		"“{{.text}}” lies over {{.other}}.", "Move one of them, or shorten it."},
	"artwork.misfit": {
		"Slot {{.slot}}{{with .band}} of band {{.}}{{end}} lies {{mm .off}} mm beside the tongue, which has {{mm .play}} mm of play.", "Measure the slot again. A tab that fits alone takes its slider with it, if the board lets it; else bend the tongue out or in by that much. Do not cut the chassis anew."},
	"bench.no-tab": {
		"The job says nothing of a tab.", "Add a [tab] with the slider's housing by caliper; docs/job-file.md shows one."},
	"bench.no-panel": {
		"The job says nothing of a panel.", "Add a [panel] with its size and where the sliders stand; docs/job-file.md shows one."},
	"bench.paper": {
		"There is no paper “{{.read}}”.", "It is one of {{.known}}."},
	"bench.check-bar": {
		"No check bar of 100 mm measures {{mm .read}} mm {{.which}}.", "Measure it again, from end stroke to end stroke; it lies between 90 mm and 110 mm. Beyond that the printer fits to the page: print at 100 %."},
	"bench.tab-count": {
		"{{.read}} tabs are not drawn; at most {{.most}} are, and none below nought.", "Print a page of them more than once."},
	"bench.no-travel": {
		"Nobody has told how far the slider of {{.band}} travels.", "Write travel = “30 mm” in its slider, or in [[panel.slider]]."},
	"bench.no-centre": {
		"The slider of {{.band}} has no scale: the band has no centre in this circuit.", "“bandwright bands” shows every band; look at its leg."},
	"bench.not-measured": {
		"No curve{{with .unit}} of unit {{.}}{{end}} shows the centre of {{.band}}; its stated frequency is lettered.", "Take a curve with this slider up and one with all centred, and list them as [[curve]]."},
	"bench.no-new-hole": {
		"{{.part}} is moved, and the panel has no new hole for it.", "Add a [[panel.hole]] with moved = “{{.part}}”."},
	"artwork.off-panel": {
		"{{.part}} reaches {{mm .over}} mm over the panel's edge.", "Move it in, or make it smaller."},
	"artwork.cuts-meet": {
		"Between {{.part}} and {{.other}} {{if lt .between 0.0}}there is no metal at all: they overlap by {{into .between}} mm{{else}}only {{mm .between}} mm of metal are left{{end}}; {{mm .least}} mm are wanted.", "Move one of them, or make it smaller."},
	"artwork.height": {
		"{{.part}} needs {{mm .needs}} mm behind the panel, air included, and has {{mm .has}} mm to {{.other}}; {{.highest}} takes most of it, {{mm .height}} mm.", "Turn it, move it, or take a flatter part. Beside high tension the air is not to be spared."},
	"artwork.no-bit": {
		"{{if .nearest}}The nearest bit for a hole of {{mm .size}} mm is {{mm .nearest}} mm{{else}}There is no bit for a hole of {{mm .size}} mm{{end}}.", "Drill with what there is and file or ream the rest; drill unplugged, cover what must stay clean, vacuum and inspect: no swarf may stay."},
}
