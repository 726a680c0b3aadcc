package report

import "bandwright/finding"

// readingWords words what is wrong with a reading, its instrument, or what is
// said to be uncertain.
var readingWords = map[finding.ID]wording{
	"reading.no-lead": {
		"A reading of {{.kind}} names no point for its red lead.", "Name the point it is taken at."},
	"reading.same-point": {
		"Both leads of a reading of {{.kind}} stand on {{.point}}.", "Move one of them."},
	"reading.no-frequency": {
		"The curve at {{.point}} is asked at {{with .hz}}{{.}} Hz, which is no frequency{{else}}no frequency at all{{end}}.", "Frequencies are finite and above nought."},
	"reading.bad-instrument": {
		"{{with .instrument}}The {{.}}{{else}}An instrument{{end}} cannot have {{.property}} of {{.value}}.", "Look at its data sheet; nought leaves a figure out, where the meter does not need it."},
	"reading.over-range": {
		"{{with .instrument}}The {{.}}{{else}}The meter{{end}} is made for {{volt .most}}, but {{.point}} stands at {{volt .volts}}.", "Take a meter and leads rated for it, or do not measure there."},
	"reading.bad-uncertainty": {
		"The {{.value}} of {{.part}} cannot stay between {{.low}} and {{.high}} of its value with a deviation of {{.sd}}.", "The lower limit lies at or below nought, the upper at or above, and the deviation is at most half their distance."},
	"reading.knob-twice": {
		"The {{.value}} of {{.part}} is uncertain twice.", "Keep one of the two."},
	"reading.no-effect": {
		"The {{.value}} of {{.part}} is nought and said to be uncertain; its uncertainty is left out.", "Give it a value above nought."},
	"reading.dependent": {
		"The reading at {{.point}} has no freedom of its own beside the others: nothing in it is uncertain.", "State the accuracy of the meter."},
	"reading.no-number": {
		"Row {{.row}} cannot take the value {{.value}}.", "Enter what the display shows, or “open”."},
	"reading.taken-twice": {
		"Row {{.row}} has two values.", "Keep the later one."},
}
