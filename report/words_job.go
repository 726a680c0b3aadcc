package report

import "bandwright/finding"

// jobWords words what is wrong with a job file.
var jobWords = map[finding.ID]wording{
	"job.too-big": {
		"The file is {{.bytes}} bytes long; a job file has at most {{.limit}}.",
		"Is it a job file at all? Curves and recordings stay in files of their own."},
	"job.not-utf8": {
		"The text is not UTF-8 {{if .encoding}}(it looks like {{.encoding}}){{else}}from here on{{end}}: {{.read}}.",
		"Save it again as UTF-8; old encodings of µ, Ω and ° are the usual cause."},
	"job.syntax": {
		"This line is not TOML: {{.detail}}.",
		"Texts, and values with their units, stand in quotes: value = \"4k7\"."},
	"job.bypass-beside-switch": {
		"The job has a [bypass] beside its wiring, which has a switch of its own or can have one.",
		"Leave [bypass] out: a [[switch]] called panel, with the positions in and out, takes its place."},
	"job.key-twice": {
		"{{.key}} stands here a second time; the first is in line {{.first}}.",
		"Keep one. A second band or part begins with [[band]] or [[part]], in two brackets."},
	"job.unknown-key": {
		"{{.key}} is not a key of {{if .table}}{{.table}}{{else}}a job{{end}}.",
		"{{with .nearest}}Did you mean {{.}}?{{else}}docs/job-file.md lists them all.{{end}}"},
	"job.wrong-type": {
		"{{.key}} should be {{.want}}; {{.read}} is {{.is}}.",
		"{{with .example}}Write {{$.key}} = {{.}}.{{end}}"},
	"job.bad-value": {
		"{{with .key}}{{.}} cannot be read{{else}}The value cannot be read{{end}} from “{{.read}}”.",
		"Write it as docs/job-file.md shows."},
	"job.not-finite": {
		"{{.key}} is not a number that can be reckoned with.", "inf and nan have no place in a job."},
	"job.out-of-range": {
		"{{.key}} is {{.read}}; it must be {{with .high}}from {{$.low}} to {{.}}{{else}}{{$.low}} or more{{end}}.",
		"Check the unit and the prefix."},
	"job.missing": {
		"{{if .table}}{{.table}}{{else}}The job{{end}} has no {{.key}}, or it is blank.", "Add {{.example}}."},
	"job.format-missing": {
		"The file does not say its format.", "Its first line should be format = {{.known}}."},
	"job.format-newer": {
		"The file is of format {{.read}}; this program knows formats up to {{.known}} and left it untouched.",
		"Open it with a newer version of the program."},
	"job.no-band": {
		"The job has no band.", "Add a [[band]] with name, centre, slider, coil and capacitor."},
	"job.named-twice": {
		"Two {{.what}}s are named {{.name}}{{with .first}}; the first is in line {{.}}{{end}}.", "Rename one, or take it out."},
	"job.name-clash": {
		"The {{.what}} {{.name}} has a name that {{.with}} already gives to a part of its own.",
		"Rename it. To change a part that is already there, leave out kind and points."},
	"job.bad-name": {
		"{{if .name}}{{.name}}{{else}}A blank{{end}} cannot name a {{.what}}.",
		`{{if eq .why "space"}}A name is not blank and has no spaces.{{else if eq .why "sign"}}A name has none of the signs , = and :{{else}}This word already means a setting.{{end}}`},
	"job.unknown-kind": {
		"There is no kind of part called {{.read}}.",
		"{{with .nearest}}Did you mean {{.}}?{{else}}The kinds are {{.known}}.{{end}}"},
	"job.points": {
		"A {{.kind}} has {{.want}} points, and {{.have}} are given.", "Give them in this order: {{.points}}."},
	"job.unknown-property": {
		"A {{.kind}} has no property {{.key}}.",
		"{{with .nearest}}Did you mean {{.}}?{{else}}{{with .known}}It has {{.}}.{{end}}{{end}}"},
	"job.no-value": {
		"A {{.kind}} has no value.", "Its properties stand in set; docs/job-file.md lists them."},
	"job.unknown-word": {
		"{{.key}} cannot be {{.read}}.", "{{with .nearest}}Did you mean {{.}}? {{end}}It is one of {{.known}}."},
	"job.unknown-name": {
		"There is no {{.what}} {{.read}} in this job.", "{{with .nearest}}Did you mean {{.}}? {{end}}The job has {{.known}}."},
	"job.bad-setting": {
		"“{{.read}}” is not a setting.", "Write it like flat, lift, or 63=+1,400=-0.5."},
	"job.bad-check-sum": {
		"This is not a SHA-256 check-sum.",
		"It has 64 digits 0-9 and a-f; {{.have}} are given. Leave it blank to have it filled in."},
	"job.bad-path": {
		"{{.read}} does not name a file beside the job.",
		`{{if eq .why "absolute"}}Name it relative to the job file.{{else if eq .why "climbs"}}It may not lead out of the job's folder with ..{{else if eq .why "drive"}}Leave out the drive.{{else if eq .why "backslash"}}Use / between folders.{{else}}A sign in it cannot be in a file name.{{end}}`},
	"job.bad-law": {
		`{{if eq .why "share"}}The slider's law has no share that fits its shape.{{else}}The slider's law does not run from 0, 0 to 1, 1{{with .row}} (row {{.}}){{end}}.{{end}}`,
		`{{if eq .why "share"}}Write it like S 80 % or audio 15 %, between 0 and 100.{{else if eq .why "two-numbers"}}Each row is [travel, share of track].{{else if eq .why "ends"}}The first row is [0, 0] and the last [1, 1].{{else}}Travel rises from row to row, and the share never falls.{{end}}`},
	"job.coil-resistance-blank": {
		"The coil of band {{.band}} has no DCR; it is taken as 0 ohm.",
		"Measure it: a coil's resistance costs a band 0.2 to 1.6 dB of its boost."},
	"job.two-ways": {
		"{{.key}} is given in two ways: {{.one}} and {{.other}}.", "Leave one of them out."},
	"job.wanted-two-ways": {
		"{{.key}} is to be chosen in two ways: {{.one}} and {{.other}}.", "Leave one of them out."},
	"job.reading-text": {
		"“{{.read}}” is not a reading.", "Write its kind, the red lead's point, the black one's unless it is ground, and what the display showed: “volts q1.collector 12.1 V”, “ohms boost 63.wiper 10k at 63=+1”, “ohms lift legs open”, “gain 400 Hz 9.5 dB at 400=+1”."},
	"job.reading-columns": {
		"The list has no column {{.missing}}.", "Its first line names its columns: kind, red, black, setting, hz, reading.{{with .have}} It has {{.}}.{{end}}"},
	"job.reading-list": {
		"This line of the list cannot be read: {{.detail}}.", "Are there quotes that stay open?"},
	"job.too-many": {
		"There are more findings than the {{.shown}} shown.", "Mend these first."},
	"job.edit-path": {
		"A job has no {{.key}} that could be changed.", "docs/job-file.md lists the keys."},
	"job.bad-answer": {
		"The answer “{{.read}}” to {{.question}} cannot be used.", "Answer as the question's own example shows."},
	"job.unknown-question": {
		"There is no question {{.question}}.", "{{with .nearest}}Did you mean {{.}}?{{end}}"},
}
