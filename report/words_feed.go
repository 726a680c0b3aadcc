package report

import "bandwright/finding"

// feedWords words what the supply does to a part that it should not.
var feedWords = map[finding.ID]wording{
	"feed.over": {
		`{{.part}} carries {{printf "%.4g" .carries}} {{.what}} ({{.case}}), {{printf "%.0f" .share}} % of its {{printf "%.4g" .rated}}; the limit is {{printf "%.0f" .limit}} %.`, `Take a part with a higher rating, or two that share it.`},
	"feed.starved": {
		`{{.part}} keeps {{in "ampere" .keeps}} at worst ({{.case}}{{if .setting}}, {{.setting}}{{end}}) and needs {{in "ampere" .needs}}: below that it lets go, and the rail sags and hums.`, `Take a smaller dropper, or feed less from it: a relay that draws less, a dimmer lamp.`},
	"feed.unrated": {
		`{{.part}} stands at {{volt .volts}} in the worst case and has no rating.`, `Enter the volts and watts it is made for.`},
	"feed.case-unsolved": {
		`There is no answer for the case “{{.case}}”: {{.why}}`, `Look at the parts that this case takes out; its loads are not known.`},
	"feed.no-dropper": {
		`No preferred value does for {{.part}}: {{if eq .why "current"}}the zener lets go at low mains whatever the value{{else}}every value that feeds the zener enough runs a part too hot{{end}}.`, `{{if eq .why "current"}}Take a zener for less voltage, or lighten the load.{{else}}Take larger parts, or share the heat between more of them.{{end}}`},
	"bench.no-feed": {
		"The job says nothing of the supply that the board hangs on.", "Add a [feed] with the rail, the dropper and the zener; docs/job-file.md shows one."},
	"bench.feed-part": {
		"{{.read}}, named as {{.key}} of the feed, is not {{.want}} of this circuit.", "“bandwright sheet” lists every part; add a [[part]] for one that is missing."},
	"bench.no-ripple": {
		"Hum is not reckoned: nobody has read the ripple on the rail where the feed is taken off.", "Read it with a meter for alternating volts behind a blocking capacitor rated for the cold rail, and enter it as ripple."},
	"bench.dropper-fitted": {
		"The dropper in the job is {{ohm .fitted}} in all; {{ohm .chosen}} would keep every limit with the least heat.", "Either is right where no limit is passed; see the table of loads."},
	"bench.bad-stage": {
		"There is no stage “{{.read}}” of a first power-up.", "It is one of {{.known}}."},
	"bench.bad-volts": {
		`No {{if eq .what "current"}}bench supply shows {{.read}} A{{else if eq .what "mains"}}wall gives {{.read}} V{{else if eq .what "rail"}}rail stands at {{.read}} V{{else}}reading here is {{.read}} V{{end}}.`, "Look at the sign, the unit and the decimal point, and enter what the meter showed."},
	"bench.no-reason": {
		"“{{.stage}}” cannot be skipped before “{{.of}}” like this.", "Only an earlier stage can be, and with a reason: --skip 'bench: the supply is out on loan'."},
	"bench.rail-unread": {
		`The rail at {{.point}} has not been read: {{if eq .from "mains"}}its volts are scaled by the mains, which is second best{{else}}its volts are the job's{{end}}.`, "Read the rail first, at {{.point}}, where the feed is taken off, and give it as --rail."},
	"bench.stage-open": {
		"“{{.stage}}” is opened; neither signed nor skipped before it: {{.open}}. NOT DONE.", "Do it first; or give the reason with --skip, which prints as SKIPPED."},
	"bench.volts-stop": {
		`STOP: {{.point}} shows {{volt .read}}; {{if eq .why "exceeds"}}on the limiter it must never exceed {{volt .high}}{{else if eq .why "does-not-rise"}}on the limiter it must rise to {{volt .low}} at least{{else}}{{volt .low}} to {{volt .high}} were expected{{end}}.`, "Switch off, pull the plug, discharge and prove dead before anything is touched; then look for the cause."},
	"bench.volts-look": {
		"{{.point}} shows {{volt .read}}, expected {{volt .expected}}{{if .percent}} ({{signed .percent}} %){{end}}.", "Read it again; if it stays, find out why before going on."},
	"bench.band-dead": {
		"Band {{.band}} rises by {{short .read}} dB over flat, and {{short .predicted}} dB are predicted.", "Look at its wiper, its leg and the lift contact."},
	"bench.bench-point": {
		"The board has no point {{with .read}}“{{.}}” {{end}}that a bench supply could feed.", "Name it as bench_at in [volts], and what unplugs the board as board in [feed]. {{with .known}}The board has {{.}}.{{else}}Nothing is left of the board when the feed is taken off.{{end}}"},
	"bench.current-stop": {
		`STOP: the board draws {{in "ampere" .read}}; {{in "ampere" .expected}} are expected.`, "Switch the bench supply off and look for a short, a part turned round, or an open joint."},
}
