package report

import "bandwright/finding"

// faultWords words what is wrong with readings that ask for a cause.
var faultWords = map[finding.ID]wording{
	"fault.no-prediction": {
		"What the amp would read with “{{.hypothesis}}” is not known everywhere{{with $.part}}: {{.}} finds no operating point{{end}}.", "Where it is not known, that cause is neither favoured nor ruled out."},
	"fault.no-number": {
		"The reading at {{.point}} cannot take {{.value}}; {{.want}} {{if eq .want 1}}number is{{else}}numbers are{{end}} wanted.", "Enter what the display shows, or “open”."},
	"fault.impossible": {
		"No meter shows {{.value}} as {{.kind}} at {{.point}}.", "Look at the unit and its prefix."},
	"fault.not-allowed": {
		"The {{.kind}} at {{.point}} are none of the readings asked for.", "Take it at a listed pair of points and setting, or add it to the list."},
	"bench.usual-limits": {
		"The job says of {{if eq .count 1}}one part{{else}}{{.count}} parts{{end}} neither tolerance nor reading; {{if eq .count 1}}it is{{else}}they are{{end}} taken within the usual limits of their kind: {{.parts}}.", "Write their tolerances: the tighter they are, the sooner a cause stands out."},
	"bench.other-stage": {
		"{{if eq .count 1}}One reading is{{else}}{{.count}} readings are{{end}} of another stage of the work ({{.stages}}) and set aside.", "Causes are asked of the whole on its own rail: readings of the stages complete and mains, or of none."},
	"bench.nothing-read": {
		"No reading was given; what is told is what is likely before any.", "Enter one with --reading “volts out 11.8 V”, or write it into the job as [[reading]]."},
	"bench.no-unit": {
		"The job has no measured curve of a unit “{{.unit}}”.", "{{with .known}}It has {{.}}.{{else}}It has no measured curves at all.{{end}}"},
	"bench.curve-outside": {
		"The curve {{.curve}} covers none of the frequencies that causes are judged at, and is left out.", "Take one from 30 Hz to 14 kHz."},
	"bench.no-coil-to-turn": {
		"The band {{.band}} has no coil that hum could come in by.", "Name a band whose leg has one."},
	"bench.bad-mains": {
		"No mains has {{.read}}.", "It is 50 or 60 Hz."},
	"bench.hum-unread": {
		"No take was given; what is told is what is likely before any.", "Take the hum flat, and with the low slider at full boost."},
	"fault.contradicted": {
		"No single cause in the list explains all these readings together.", "Take the oddest of them again before anything is unsoldered; then think of two causes, or of one that is not in the list."},
}
