package report

import "bandwright/finding"

// feedWords words what the supply does to a part that it should not.
var feedWords = map[finding.ID]wording{
	"feed.over": {
		`{{.part}} carries {{printf "%.4g" .carries}} {{.what}} ({{.case}}), {{printf "%.0f" .share}} % of its {{printf "%.4g" .rated}}; the limit is {{printf "%.0f" .limit}} %.`, `Take a part with a higher rating, or two that share it.`},
	"feed.unrated": {
		`{{.part}} stands at {{volt .volts}} in the worst case and has no rating.`, `Enter the volts and watts it is made for.`},
	"feed.case-unsolved": {
		`There is no answer for the case “{{.case}}”: {{.why}}`, `Look at the parts that this case takes out; its loads are not known.`},
	"feed.no-dropper": {
		`No preferred value does for {{.part}}: {{if eq .why "current"}}the zener lets go at low mains whatever the value{{else}}every value that feeds the zener enough runs a part too hot{{end}}.`, `{{if eq .why "current"}}Take a zener for less voltage, or lighten the load.{{else}}Take larger parts, or share the heat between more of them.{{end}}`},
}
