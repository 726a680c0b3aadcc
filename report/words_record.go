package report

import "bandwright/finding"

// recordWords words what is found in packages.
var recordWords = map[finding.ID]wording{
	"report.not-package": {
		"This is no package of a record: {{.reason}}.", "bandwright record writes one; a job file ends with .toml."},
	"report.package-newer": {
		"The package has format {{.format}}; this program reads up to {{.newest}}. It was left untouched.", "Take the program that wrote it, or a later one."},
	"report.package-gone": {
		"{{.file}} was in the package and is not there now; {{.list}} names it.", "Take the package from where it was handed over."},
	"report.package-altered": {
		"{{.file}} is not what was packed: {{.list}} has another check-sum for it.", "Take the package from where it was handed over; what it says now is not what was handed over."},
	"report.package-added": {
		"{{.file}} was not in the package when it was made; {{.list}} does not name it.", "Nobody vouches for it."},
	"ask.package-differs": {
		"{{.count}} of the figures in {{.file}} come out otherwise; the first is {{.path}}: packed {{.packed}}, now {{.now}}.", "The package was made with {{.by}}; this is {{.with}}."},
	"ask.package-unanswered": {
		"The answer in {{.file}} could not be worked out again: {{.reason}}.", "Look at the files of the job in the package."},
	"bench.file-gone": {
		"{{.file}} is named in the job and cannot be put into the record: {{.reason}}.", "Put it beside the job file, or take its name out."},
}
