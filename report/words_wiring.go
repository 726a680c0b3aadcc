package report

import "bandwright/finding"

// wiringWords words what is unwise or impossible in a harness.
var wiringWords = map[finding.ID]wording{
	"wiring.screen-both": {
		"The screen of {{.part}} is soldered at both ends, {{.from}} and {{.to}}.", "Cut it back and sleeve it at one end: between two grounds it carries current and brings hum."},
	"wiring.screen-none": {
		"The screen of {{.part}} is soldered nowhere.", "Solder it at one end, best where the signal's own 0 V returns."},
	"wiring.ground-loop": {
		"{{.part}} closes a ring of grounds between {{.from}} and {{.to}}, which another way joins already.", "Leave one of the two ways out."},
	"wiring.lug-full": {
		"{{.after}} conductors would end at {{.point}}, {{.before}} did before; the limit is {{.most}}.", "Spread them over a tag strip, or raise the limit in the job."},
	"wiring.run-to-itself": {
		"{{.part}} begins and ends at {{.lug}}.", "Name two different lugs."},
	"wiring.run-twice": {
		"There are two of {{.part}}.", "Give each run and each link a name of its own."},
	"wiring.mains-unsigned": {
		"{{.part}} carries MAINS and was moved, and nobody has signed for its lugs.", "Unplug, prove dead; hook before solder, sleeve, tug-test, check the safety earth again; then enter who looked at it. Local codes and licensed practice come first."},
	"wiring.bare-mains": {
		"A MAINS lead of {{.part}} was made longer or shorter and its joints are not insulated.", "Sleeve every joint before anything else is done. Local codes and licensed practice come first."},
	"bench.no-harness": {
		"This job says nothing of its wiring.", "Write its [[run]]s, [[link]]s and switches; docs/job-file.md shows how."},
	"bench.intent": {
		`At {{.setting}} {{.from}} to {{.to}} should be {{.want}} and is not{{if eq .has "ohms"}}: {{ohm .ohms}} lie between them{{else if eq .has "signal"}}: the signal there is {{dB .db}}{{else}}: nothing joins them{{end}}.`, "Look at the runs and contacts between the two, and at the switches' positions in the job."},
	"bench.intent-point": {
		"What the wiring must do names {{.point}}, which no part, run or contact touches.", "Look at the spelling; the points are those of the drawing and the lugs of the runs."},
	"bench.slider-dc": {
		"{{volt .volts}} lie across the slider {{.part}}, more than {{volt .most}}: it will crackle when it is moved.", "Look for a coupling cap that is missing or leaks, on the boost bus or the cut bus."},
	"bench.screen-loss": {
		"{{if .part}}The screen's capacitance of {{.part}} takes{{else}}The screened runs together take{{end}} {{dB .db}} off at {{Hz .hz}}, more than {{dB .most}}.", "Shorten the run, use a cable of less capacitance, or drive it from fewer ohms."},
	"bench.input-open": {
		"At {{.setting}} nothing drives the board's input {{.point}} and nothing grounds it. As the switch goes back up to {{volt .pop}} meet a contact as it closes{{if .crosstalk}}; through its open contacts the signal stands there at {{dB .crosstalk}} under the tap at {{Hz .hz}}{{end}}.", "A contact that grounds the input when the board is out keeps it quiet; a bleed of some hundred kilohms at each open lug keeps the volts off the contacts."},
	"bench.ohms-stage": {
		"There is no stage “{{.read}}” of ringing out.", "Use one of {{.known}}."},
	"bench.ohms-list": {
		"There is no list “{{.read}}”.", "Use one of {{.known}}."},
	"bench.not-dead": {
		"{{.count}} {{if eq .count 1}}reading of ohms is{{else}}readings of ohms are{{end}} entered and nobody has signed that the amplifier is discharged and proved dead: none is judged.", "Unplug, discharge through a resistor, prove dead with a meter just proved live; then sign it in the job's [dead]: by, date, how. Never an ohms reading before that. Local codes and licensed practice come first."},
	"bench.bad-ohms": {
		"No meter shows {{ohm .read}} at {{.point}}.", "Look at the unit and its prefix; where the display has no number write open."},
	"bench.one-lead": {
		"Both leads are on {{.point}}.", "Name two points."},
	"bench.test-meter": {
		"No ohmmeter has {{volt .volts}} behind {{ohm .ohms}}.", "Give its volts with the leads open, up to {{volt .most}}, and the ohms behind them, above 0."},
	"bench.ohms-other": {
		"{{.count}} {{if eq .count 1}}reading of ohms is{{else}}readings of ohms are{{end}} of another stage ({{.stages}}) and set aside.", "Ask for the list of that stage to see what becomes of them."},
	"bench.ohms-look": {
		"{{.point}} to {{.black}}{{if .setting}} at {{.setting}}{{end}} reads {{ohm .read}}; expected {{if .open}}open{{else}}{{ohm .low}} to {{ohm .high}}{{end}}.", "Zero the leads, wait until it stands still, take it again at both lugs; then look at what the line names."},
	"bench.ohms-stop": {
		"{{.point}} to {{.black}}{{if .setting}} at {{.setting}}{{end}} reads {{ohm .read}}; expected {{if .open}}open{{else}}{{ohm .low}} to {{ohm .high}}{{end}}. Stop: no power until this is found.", "The list names the faults that would read so; put it right and take the line again."},
}
