package report

import "bandwright/finding"

// circuitWords words what is wrong with a circuit, or with a question put to
// it: rooms circuit, equaliser and bench.
var circuitWords = map[finding.ID]wording{
	"circuit.name-twice": {
		"Two parts are called {{.part}}.", "Rename one of them."},
	"circuit.nameless": {
		"{{if .part}}The {{.kind}} {{.part}} has a point{{else}}A {{.kind}}, or one of its points, is{{end}} without a name.", "Name every part and every point it joins."},
	"circuit.bad-value": {
		"The {{.property}} of {{.part}} cannot be {{.value}}.", "Check the value and its prefix."},
	"circuit.no-switch": {
		"{{with .part}}{{.}} belongs to{{else}}The setting names{{end}} the switch {{.switch}}, which is not there.", "Add the switch, or correct the name."},
	"circuit.no-position": {
		"The switch {{.switch}} has no position {{.position}}.", "Look at the positions the switch lists."},
	"circuit.no-slider": {
		"There is no slider {{.slider}}.", "Sliders have the names of their bands."},
	"circuit.travel": {
		"Slider {{.slider}} cannot stand at {{.position}}.", "Positions run from −1 (cut) over 0 (centre) to +1 (boost)."},
	"circuit.no-part": {
		"There is no part {{.part}}.", "Look at the list of parts."},
	"circuit.no-point": {
		"There is no point {{.point}}.", "Look at the list of points."},
	"circuit.lone-point": {
		"Only {{.part}} reaches point {{.point}}; no current flows there.", "Look whether the point's name is misspelt, or a part is still to come."},
	"circuit.no-source": {
		"{{.part}} is no source that a response can start from.", "Ask from a voltage or current source."},
	"circuit.no-knob": {
		"{{.part}} has no {{.value}} that could vary here.", "Give it a value above 0, or leave it out of what varies."},
	"circuit.no-edit": {
		"“{{.edit}}” is no change that can be made here.", "{{if eq .why \"leg\"}}The part has no such leg, or both ends would be one.{{else if eq .why \"order\"}}Each leg goes to one place.{{else if eq .why \"number\"}}Ohms are 0 or more, a factor is above 0.{{else}}A part of that kind cannot be so changed.{{end}}"},
	"circuit.no-path": {
		"Point {{.point}} has no path to ground.", "A part is missing there, or a point's name is misspelt."},
	"circuit.floating": {
		"Point {{.point}} floats: no direct current reaches it, so it has no volts to ask about.", "Look at the setting, or read it where a path for direct current leads to it."},
	"circuit.zero-loop": {
		"{{.part}} closes a ring of parts without resistance; nothing decides its current.", "Give one of them its resistance."},
	"circuit.coil-loop": {
		"{{.part}} closes a ring of coils without resistance; nothing decides its direct current.", "Enter the coil's DCR."},
	"circuit.no-feedback": {
		"The output of {{.part}} reaches neither of its inputs.", "An ideal op-amp needs a feedback path."},
	"circuit.forced-island": {
		"{{.part}} drives direct current into points that have no other way to ground.", "Give them a path for direct current."},
	"circuit.no-answer": {
		"At {{Hz .hz}} the circuit has no answer.", "It rings without loss there: enter the coil's DCR and the capacitor's loss."},
	"circuit.no-operating-point": {
		"No operating point is found: {{with .part}}the currents of {{.}}{{else}}currents{{end}} do not settle (rails at {{percent .ramp}}).", "Look at its legs and at its rail."},
	"circuit.singular": {
		"The circuit has no single answer at {{if .point}}point {{.point}}{{else if .part}}{{.part}}{{else}}one of its points{{end}}.", "It depends on nothing there, or is decided twice."},
	"circuit.oscillates": {
		"The circuit does not stay at its operating point{{with .poles}} ({{.}} growing motion(s)){{end}}: it oscillates or latches, and its curve is not what would be measured.", "Look at the driver: reversed transistor legs, a missing coupling cap, exchanged boost and cut bus."},
	"circuit.stability-unknown": {
		"Whether the circuit is stable could not be settled{{with .winding}} (it came out as {{.}}){{end}}.", "Look at the driver's output for oscillation before trusting the curve."},

	"circuit.no-coil": {
		"{{.part}} couples {{.coil}}, which is no coil of the circuit.", "Name two coils, such as 63.coil."},
	"circuit.coupled-twice": {
		"{{if eq .first .second}}{{.part}} couples {{.first}} with itself.{{else}}{{.part}} couples {{.first}} and {{.second}}, which are coupled already.{{end}}", "Two coils have one coupling: keep one of them."},
	"circuit.coupling-impossible": {
		"The coils {{.coils}} cannot be coupled so tightly all at once: {{.part}} does not fit the others.", "Check size and sign of each k; coils that both couple tightly to a third couple tightly to each other."},

	"circuit.silent": {
		"The gain is exactly nought{{with .hz}} at {{Hz .}}{{end}}, so it has no decibels.", "Something stops the signal altogether: look at the switches of this setting."},

	"equaliser.unknown-drawing": {
		"There is no driver drawing called {{.drawing}}.", "Use one of {{.known}}."},
	"equaliser.bad-value": {
		"{{.what}} cannot be {{.value}}.", "It must be {{.want}}."},
	"equaliser.band-twice": {
		"Two bands are called {{.band}}.", "Give each band a name of its own."},
	"equaliser.band-name": {
		"A band cannot be called “{{.band}}”.",
		`{{if eq .why "empty"}}Give it a name.{{else if eq .why "sign"}}Leave out the signs , = and : and spaces at the ends: settings are written with them.{{else if eq .why "word"}}That word is itself a setting.{{else}}The drawing has a part of that name.{{end}}`},
	"equaliser.part-twice": {
		"The part {{.part}} is given twice.", "Keep one of the two."},
	"equaliser.unknown-slider": {
		"There is no slider {{.slider}}.", "{{with .nearest}}Did you mean {{.}}?{{end}}"},
	"equaliser.unknown-switch": {
		"There is no switch {{.switch}}{{with .setting}} for “{{.}}”{{end}}.", "{{with .nearest}}Did you mean {{.}}?{{end}}"},
	"equaliser.unknown-position": {
		"The switch {{.switch}} has no position {{.position}}.", "It has {{.known}}."},
	"equaliser.band-dead": {
		"Band {{.band}} does nothing at full {{.side}}.", "Look for an open leg, coil or wiper, or a lifted common."},
	"equaliser.no-centre": {
		"Band {{.band}} has no peak within a factor of two of its leg resonance, {{Hz .leg_hz}}, at full {{.side}}.",
		"A bridged coil or a shorted capacitor keeps the response rising to one end."},
	"equaliser.two-centres": {
		"At full {{.side}} band {{.band}} has two peaks, at {{Hz .hz}} and at about {{Hz .other_hz}}; the one nearer the leg resonance is given.",
		"Look at the curve before trusting width and Q."},
	"equaliser.not-settled": {
		"The {{.side}} of band {{.band}} could not be pinned down.", "Look at the curve."},
	"equaliser.no-edge": {
		"The {{.side}} of band {{.band}} does not come back to half, {{dB .db}}, on the {{.edge}} side between 1 Hz and 200 kHz.",
		"It has no width and no Q."},
	"equaliser.centre-off": {
		"Band {{.band}} is stated at {{Hz .stated_hz}} but peaks at {{Hz .centre_hz}}, {{percent .share}} off.",
		"Its leg alone resonates at {{Hz .leg_hz}}; the rest is the neighbours' pull."},
	"equaliser.slider-turned": {
		"Slider {{.band}} works the wrong way round: it cuts at the boost end.", "Its two ends are exchanged."},
	"equaliser.boost-unlike-cut": {
		"Band {{.band}} boosts {{dB .boost_db}} but cuts {{dB .cut_db}}.",
		"Feed resistor and source together should equal the feedback resistor."},
	"equaliser.not-sampled": {
		"Band {{.band}} has no centre as it is, so none can be followed through the builds.", "See what this sheet says of the band itself."},
	"equaliser.no-leg": {
		"The leg of band {{.band}} has no coil or no capacitor, so no resonance; its peak is looked for about the stated centre.",
		"Name them {{.band}}.coil and {{.band}}.capacitor."},
	"equaliser.little-headroom": {
		`Band {{.band}}, {{if eq .at "boost"}}at full boost{{else}}flat{{end}}, at {{Hz .hz}}: the largest undistorted input is {{volt .volts}}, {{if lt .db 0.0}}{{dB .db}} against{{else}}only {{dB .db}} above{{end}} the stated level; {{.part}} clips first ({{.how}}).`,
		"Keep 6 dB: tap in at a lower level, raise the rail or the standing current."},
	"equaliser.no-level": {
		"No level is stated at the tap-in, so headroom cannot be judged.", "State the strongest signal expected there."},
	"equaliser.off-at-rest": {
		"{{.part}} is at its limit ({{.how}}) with no signal at all.", "Look at its bias."},

	"bench.part-kind": {
		"The part {{.part}} {{if .kind}}is written as a {{.kind}}, but {{with .drawn}}the drawing has a {{.}}{{else}}nothing of that name is drawn{{end}}{{else}}is not in the drawing, and its kind is not given{{end}}.",
		"Give kind and points to add a part; leave kind out to change one."},
	"bench.stopped": {
		"The work was stopped before there was an answer{{with .why}}: {{.}}{{end}}.", ""},
	"bench.bad-frequency": {
		"Nothing can be asked at {{.hz}} Hz.", "Frequencies are finite and above nought."},
	"bench.no-curves": {
		"The job names no curve to compare with.", "Add a [[curve]] with its file and its setting."},
	"bench.no-flat-curve": {
		"Unit {{.unit}} has no curve flat; its bands are taken against the predicted flat.", "Take one curve with every slider centred."},
	"bench.band-off": {
		"Band {{.band}} of unit {{.unit}} is beyond the limits{{with .centre_percent}}; centre {{signed .}} %{{end}}{{with .boost_db}}; boost {{dB .}}{{end}}{{with .cut_db}}; cut {{dB .}}{{end}} against the prediction.",
		"Read coil, capacitor and resistances of this leg one by one, and look which way round the slider is."},
	"bench.no-band-curve": {
		"Unit {{.unit}} has no curve of band {{.band}} at its ends.", "Take one with this slider up and one with it down, the others centred."},
	"bench.curve-missing": {
		"The file of the curve “{{.curve}}” is not read: it is {{if eq .why \"missing\"}}not there{{else if eq .why \"permission\"}}not yours to read{{else}}unreadable{{end}}.",
		"The path is relative to the job file."},
	"bench.curve-changed": {
		"The file of the curve “{{.curve}}” is not the one the job was written with: its check-sum is {{.file_sum}}.",
		"Put the file back, or enter the new check-sum if the change is meant."},
	"bench.curve-unsummed": {
		"The job states no check-sum for the curve “{{.curve}}”.", "Enter it: sha256 = {{.file_sum}}"},
}
