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
	"fault.contradicted": {
		"No single cause in the list explains all these readings together.", "Take the oddest of them again before anything is unsoldered; then think of two causes, or of one that is not in the list."},
}
