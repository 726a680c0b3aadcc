package report

import "bandwright/finding"

// designWords words what a design cannot reach.
var designWords = map[finding.ID]wording{
	"equaliser.wanted-band": {
		"Band {{.band}} is wanted, but the equaliser has no such band.", "Use one of {{.known}}."},
	"equaliser.wanted-value": {
		"The wanted {{.what}}{{with .band}} of band {{.}}{{end}} cannot be {{.value}}.", "It must be {{.want}}."},
	"equaliser.wanted-part": {
		"Band {{.band}} has no plain {{.part}} whose value could be found.", "Draw its leg as resistor, coil and capacitor."},
	"equaliser.design-copper": {
		"The {{.figure}} of {{in .unit .wanted}} of band {{.band}} cannot be reached: its coil's own copper, {{ohm .dcr}}, keeps it at {{in .unit .reached}} with no resistor at all.",
		"Wind the coil with thicker wire, or ask for a lower Q, which needs a smaller coil."},
	"equaliser.design-ceiling": {
		"The {{.figure}} of {{in .unit .wanted}} of band {{.band}} cannot be reached: with a feedback resistor of {{ohm .feedback}}, feed to match, and what the slider leaves at its end, {{in .unit .ceiling}} is the most, even with a coil without copper.",
		"{{with .enough}}Feed and feedback of about {{ohm .}} each would do; larger ones also hiss more.{{else}}Use a slider whose ends leave less.{{end}}"},
	"equaliser.design-slider": {
		"The {{.figure}} of {{in .unit .wanted}} of band {{.band}} cannot be reached: sliders of {{ohm .track}} are too small and give {{in .unit .ceiling}} at most, even with a coil without copper.",
		"Sliders of about {{ohm .enough}} would do, or such whose ends leave less."},
	"equaliser.design-series": {
		"The {{.figure}} of {{in .unit .wanted}} of band {{.band}} cannot be reached{{with .parts}} with {{.}} fixed{{end}}: {{.part}} would have to be {{in .need_unit .need}}, and {{.series}} has {{in .need_unit .below}} and {{in .need_unit .above}}. It comes to {{in .unit .reached}}.",
		"Allow a finer series for it, put two parts together, or leave another part free."},
	"equaliser.design-bound": {
		"The {{.figure}} of {{in .unit .wanted}} of band {{.band}} cannot be reached: {{.part}} would have to be {{.beyond}} {{in .limit_unit .limit}}.{{with .reached}} It reaches {{in $.unit .}}.{{end}}",
		"Ask for another {{.figure}}, or allow such a part if you can get one."},
	"equaliser.design-fixed": {
		"The {{.figure}} of {{in .unit .wanted}} of band {{.band}} is given up: with {{.parts}} fixed, nothing is left to reach it with. It comes to {{in .unit .reached}}.",
		"Leave one of them free, or live with it."},
	"equaliser.design-short": {
		"The {{.figure}} of {{in .unit .wanted}} of band {{.band}} is not reached: the search ends at {{in .unit .reached}}.",
		"Wanted figures may contradict each other; leave one free."},
	"equaliser.design-no-peak": {
		"The {{.figure}} of band {{.band}} cannot be led anywhere: there is no such peak, or it has no edges, with the values tried.",
		"Are its neighbours much stronger, or very near?"},
	"equaliser.design-chosen": {
		"With the allowed values the {{.figure}} of band {{.band}} comes to {{in .unit .reached}}; {{in .unit .wanted}} is wanted.",
		"Allow a finer series for its parts, or two parts together."},
	"equaliser.points-few": {
		"{{.points}} points with a boost or cut are too few for band {{.band}}; {{.want}} are needed.", "Read the curve at its top and on both slopes."},
	"equaliser.points-rough": {
		"The points of band {{.band}} lie {{short .rms}} dB rms off one boost or cut.", "Is it one band alone, beside flat? Is a point misread?"},
	"equaliser.points-no-top": {
		"The tallest point of band {{.band}} is the first or the last: its top may lie beyond.", "Read points on both sides of the top."},
	"equaliser.points-vague": {
		"The points of band {{.band}} hardly tell its {{.figure}}: to about {{percent .share}}.", "Read a few more, at the top and on both slopes."},
	"bench.wanted-text": {
		"“{{.read}}” does not say what a band is to do{{if ne .word .read}}: “{{.word}}” stops it{{end}}.", "Write it as 400: centre 400Hz boost 10dB q 1; what is left out is free."},
	"bench.wanted-no-band": {
		"There is no band “{{.band}}” in the job.", "It has {{.known}}."},
	"bench.points-text": {
		"“{{.read}}” does not read as points of a curve: “{{.pair}}” stops it.",
		"Write hertz and dB of each point, like 63: 20 0, 63 9.5, 160 -1; with decimal commas, part the points by semicolons."},
	"bench.points-twice": {
		"“{{.read}}” has two points at {{Hz .hz}}.", "Leave one of them out."},
	"bench.points-band": {
		"The points are taken for band {{.band}}, stated at {{Hz .centre}}: their tallest is at {{Hz .hz}}.",
		"Name the band before the points if another is meant."},
	"bench.wanted-keep": {
		"“{{.read}}” is no part of a leg.", "Keep some of {{.known}}."},
}
