package report

import "bandwright/finding"

// fitWords words what is found of part values in curves, of differences, and in
// trimming.
var fitWords = map[finding.ID]wording{
	"fit.nothing": {
		"There are no {{.what}} to fit.", "Give at least one measured curve with its setting, and name the values to be found."},
	"fit.few-points": {
		"The curves have {{.points}} points to use, and {{.want}} are needed for so many unknowns.", "Take curves with more points, or leave values out that are known."},
	"fit.grids-differ": {
		"Take {{.take}} ({{.setting}}) has other frequencies than the first.", "With an unknown power stage only differences between takes tell anything: export all at the same frequencies."},
	"fit.one-take": {
		"One take alone tells nothing past an unknown power stage.", "Take at least one more at another setting and leave everything else as it is."},
	"fit.not-above-nought": {
		"{{.part}} has no {{.value}} above nought to begin with.", "Give it a likely value first."},
	"fit.no-gain": {
		"With the values it starts from the circuit has no gain at setting {{.setting}} (take {{.take}}).", "Look for a part that is missing, or for a value far out."},
	"fit.lack-of-fit": {
		"The circuit does not explain the curves: {{dB .rms}} rms is left where {{dB .noise}} of noise is stated or found, most of it near {{Hz .hz}} in take {{.take}} ({{.setting}}).", "Look at the residual plot. A slider off its setting, a part that is not as drawn or a wrong setting leaves such marks; the values stand with wider intervals."},
	"fit.not-converged": {
		"No best set of values was reached in {{.iterations}} steps.", "Take the values as a rough look only; start from nearer values."},
	"fit.at-bound": {
		"{{.part}} ended at its limit, {{in .unit .at}}.", "Widen the limit, or look whether the part is there and the setting right."},
	"fit.not-told": {
		"The curves say nothing of {{.part}} ({{.value}}).", "Take a curve with its slider at an end, or measure the part."},
	"fit.only-together": {
		"{{if eq .form `scale`}}Of {{.parts}} only the ratios are known: all ohms and henries larger and all farads smaller by one factor, up to {{percent .alone}} or more, would measure alike.{{else}}Of {{.parts}} only this is known: {{.known}} (to {{percent .share}}); by itself each is uncertain by {{percent .alone}} or more.{{end}}", "{{with .settle}}One take at {{.}} would settle it, to about {{percent $.then}}.{{else}}No further take of the kinds allowed would settle it: measure one of the parts.{{end}}"},
	"fit.leg-unseen": {
		"No take moves the slider of band {{.band}}, so nothing is known of its leg.", "Take one with that slider at an end."},
	"fit.no-figure": {
		"The {{figure .figure}} is not there {{if eq .side `from`}}on the first side{{else if eq .side `to`}}on the second side{{else}}somewhere between the two{{end}}, so its difference cannot be shared out.", "Look at the curves of both."},
	"fit.unexplained": {
		"Of the difference in {{figure .figure}} the parts explain the smaller part: what is left is {{percent .share}} of it.", "Something else differs too: a setting, a slider, a part that is not among those fitted."},

	"bench.fit-no-unit": {
		"The job has no curves of unit “{{.unit}}”.", "{{if .known}}It has some of {{.known}}.{{else}}Add [[curve]]s with the unit's name.{{end}}"},
	"bench.fit-which-unit": {
		"{{if .known}}The job has curves of several units: {{.known}}.{{else}}The job has no measured curves.{{end}}", "{{if .known}}Say whose: --unit NAME.{{else}}Add a [[curve]] for every take, with its setting.{{end}}"},
	"bench.fit-no-curve": {
		"Unit {{.unit}} has no curve “{{.curve}}”.", "Its curves are {{.known}}."},
	"bench.fit-also": {
		"“{{.read}}” is nothing that can be found beside the legs' values.", "It may be {{.known}}."},
	"bench.fit-none": {
		"The circuit has nothing to be found as “{{.read}}”.", "Leave it out, or give the part a likely value above nought first."},
	"bench.fit-level": {
		"“{{.read}}” says nothing of levels.", "It may be {{.known}}."},
	"bench.fit-leg": {
		"The leg of band {{.band}} is not a coil, a capacitor and a resistor of its own; it stays as the job has it.", "Name the parts {{.band}}.coil, {{.band}}.capacitor and {{.band}}.resistor to have them found."},
	"bench.fit-reversed": {
		"The slider of band {{.band}} stands the wrong way round: {{.curve}} goes the other way. Its settings are taken so.", "Look for boost and cut lead exchanged, or a curve under the wrong setting."},

	"bench.explain-side": {
		"“{{.side}}” is no side that can be explained.", "It may be one of {{.known}}."},
	"bench.explain-same": {
		"Both sides are {{.side}}.", "Name another with --from or --to."},

	"bench.trim-unmet": {
		"The {{.figure}} of band {{.band}} comes to {{if .unit}}{{in .unit .reached}}{{else}}{{short .reached}}{{end}}; {{if .unit}}{{in .unit .wanted}}{{else}}{{short .wanted}}{{end}} is wanted.",
		"{{if eq .against `neighbours`}}A trim of its own brings it there, but pulls its neighbours off.{{else if .against}}A trim of its own brings it there, but then its {{.against}} is off: no trim allowed does both.{{else}}No trim of its own brings it nearer than {{if .unit}}{{in .unit .nearest}}{{else}}{{short .nearest}}{{end}}: allow other values, a coil from the drawer, or a wider limit.{{end}}"},
	"ask.most": {
		"{{.read}} parts of a band cannot be changed.", "Say 1 or 2."},
}
