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
}
