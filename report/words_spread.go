package report

import (
	"strings"

	"bandwright/finding"
)

// spreadWords words what sampling many builds finds. A figure is named as its
// measure names it; figure and measure put its name and its value into words.
var spreadWords = map[finding.ID]wording{
	"spread.bad-law": {
		"The {{.value}} of {{.part}} cannot follow such a law: {{if eq .wrong `shape`}}its form is unknown{{else if eq .wrong `ends`}}its ends must lie above nought, with the nominal value between them{{else if eq .wrong `deviation`}}its standard deviation must be above nought{{else}}what a batch shares lies between none and all{{end}}.",
		"Look at its value and tolerance; the lower side of a tolerance stays under 100 %."},
	"spread.count": {
		"{{.builds}} builds cannot be made.", "Ask for 1 to {{.most}}; a thousand give a first look, a hundred thousand steady figures."},
	"spread.no-figure": {
		"There is no figure “{{.figure}}” to set a limit on.", "The figures are: {{.known}}."},
	"spread.bad-percent": {
		"{{.percent}} is no percentile.", "Percentiles lie between 0 and 100."},
	"spread.bad-limit": {
		"The limits of the {{figure .figure}} exclude everything: {{measure .figure .low}} to {{measure .figure .high}}.", "Exchange them."},
	"spread.stopped": {
		"Stopped after {{.builds}} of {{.wanted}} builds.", "What is shown holds for those; its standard errors say how well."},
	"spread.few-builds": {
		"{{.builds}} builds are few: even their lowest and highest do not hold 95 % of all with 95 % confidence.", "Ask for {{.need}} or more; a thousand for steady percentiles."},
	"spread.no-shares": {
		"{{.builds}} builds are too few to say which parts the spread of the {{figure .figure}} comes from.", "Ask for {{.need}} or more."},
	"spread.missing": {
		"{{.missing}} of {{.builds}} builds have no {{figure .figure}}.", "Its percentiles are those of the others; within limits such builds count as failed."},
	"spread.no-corner": {
		"Some combinations of parts have no {{figure .figure}}, so its {{.end}} worst case is not known for sure.", "Go by the lowest and highest of the sampled builds."},
	"spread.beyond-corner": {
		"A sampled build has a {{figure .figure}} of {{measure .figure .sampled}}, beyond the worst combination found, {{measure .figure .corner}}.", "This figure turns round between the ends of some part's tolerance; take the sampled {{.end}} end as the worse."},
	"spread.no-linear": {
		"The {{figure .figure}} has no range by sensitivities: it is lost beside the middle.", "Go by the sampled range."},
	"spread.not-linear": {
		"The range of the {{figure .figure}} by sensitivities, {{measure .figure .linear_low}} to {{measure .figure .linear_high}}, is off the sampled one, {{measure .figure .sampled_low}} to {{measure .figure .sampled_high}}, by {{percent .off}} of its width.", "Go by the sampled range: the tolerances are too wide for straight lines, or one part with a law far from normal rules it."},
	"bench.not-varied": {
		"{{if eq .count 1}}One value has{{else}}{{.count}} values have{{end}} neither tolerance nor reading and {{if eq .count 1}}stands{{else}}stand{{end}} still: {{.parts}}.", "Write its tolerance, or measure it."},
	"bench.bias-held": {
		"{{if eq .count 1}}One part is{{else}}{{.count}} parts are{{end}} held where {{if eq .count 1}}it is{{else}}they are{{end}}, though with a tolerance: {{.parts}}.", "They move the operating point, which builds do not follow; boost and cut hardly hang on them while the driver is linear."},
	"bench.triode-headroom": {
		"Headroom does not ask the {{if eq .count 1}}triode{{else}}triodes{{end}} {{.parts}}: another stage may clip first.", "Look at the volts and at the drive by hand."},
	"bench.core-q": {
		"The Q of {{short .q}} that was read of the coil of band {{.band}} is what its copper alone makes, or more; no core loss is taken from it.", "Look at its dcr and at the meter's frequency; or leave q out and state core_loss."},
	"bench.nothing-varies": {
		"Nothing varies: no part of the job has a tolerance or a reading.", "Write tolerance = \"10 %\" beside the value of the parts you have."},
}

// figureParts takes a figure's name apart: what it is of, and what it is.
func figureParts(name string) (of, what string) {
	if i := strings.LastIndexByte(name, ' '); i >= 0 {
		return name[:i], name[i+1:]
	}
	return "", name
}

// figureWords says "centre of band 63" for "63 centre_hz"; a name that is not
// one of a band's stays as it is.
func figureWords(name string) string {
	of, what := figureParts(name)
	words := map[string]string{"centre_hz": "centre", "boost_db": "boost", "cut_db": "cut", "q": "Q"}[what]
	if of == "" || words == "" {
		return name
	}
	return words + " of band " + of
}

// figureValue writes a figure's value with the unit its name ends in.
func figureValue(name string, v any) string {
	switch _, what := figureParts(name); {
	case strings.HasSuffix(what, "_hz"):
		return written(v, "hertz")
	case strings.HasSuffix(what, "_db"):
		return written(v, "decibel")
	}
	return written(v, "")
}
