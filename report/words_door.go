package report

import "bandwright/finding"

// doorWords words what the doors above this room find: the questions put,
// the command's files and flags.
var doorWords = map[finding.ID]wording{
	"ask.file-missing": {
		"There is no file {{.path}}.", "Check the name and the folder; bandwright new writes a job to begin with."},
	"cmd.file-unreadable": {
		"{{.path}} cannot be read: {{.reason}}.", "Check what it is and who may read it."},
	"cmd.file-too-large": {
		"{{.path}} is {{.bytes}} bytes long; a job file has at most {{.most}}.", "Check that it is the job and not a recording."},
	"cmd.file-exists": {
		"{{.path}} is there already, with other contents; nothing was written.", "Choose another name, or add --force to replace it."},
	"cmd.file-unwritable": {
		"{{.path}} cannot be written: {{.reason}}.", "Check the folder, the space left and who may write there."},
	"cmd.file-is-input": {
		"{{.path}} is a file this was made from; it is never replaced.", "Choose another name."},
	"cmd.drawing-form": {
		"No drawing is written to {{.path}}.", "Its name ends with one of {{.known}}: the form follows from it."},
	"cmd.nothing-to-write": {
		"It was asked for in no form.", "Name a file: --html FILE, --pdf FILE; of a record also --out FILE."},
	"ask.clash": {
		"{{.one}} and {{.other}} cannot go together.", "Leave one of them out."},
	"ask.fields": {
		"The question cannot be read: {{.reason}}.", "docs/page.md lists the fields of every question."},
	"ask.kind": {
		"“{{.read}}” is no kind of part that has preferred values.", "The kinds are resistor, capacitor, coil and slider."},
	"ask.what-if": {
		"“{{.read}}” does not say which parts to try.", "Write a kind and its tolerance, like capacitor=1%; the kinds are {{.kinds}}."},
	"cmd.mapping-file": {
		"{{.path}} does not say what the columns hold: {{.reason}}.", "Write one with --keep-mapping and change that."},
	"ask.least": {
		"“{{.read}}” cannot be made least.", "Write total, for the sum of all bands' errors, or worst, for the worst of them."},
	"ask.skip": {
		"“{{.read}}” does not say which stage is skipped, and why.", "Write the stage, a colon and the reason: 'bench: the supply is out on loan'."},
	"ask.suggest": {
		"{{.read}} readings cannot be suggested.", "Ask for none to {{.most}}."},
	"ask.no-limit": {
		"{{.flag}} cannot be {{.read}}.", "A limit says how far a figure may be off and lies above nought: 1%, 0.2dB."},
	"cmd.write-elsewhere": {
		"A copy of the job at {{.path}} would not find the curve files that stand beside it in {{.folder}}.", "Write it into the same folder."},
	"ask.no-original": {
		"No curve of the job shows a band of an original.", "Measure one and give its [[curve]] the role original, or name the wanted bands with --band."},
	"cmd.no-listen": {
		"The page cannot be served at {{.address}}: {{.reason}}.", "Name another port with --port, or leave it out to take any that is free."},
	"page.none": {
		"{{.what}} is not there.", "Go back to the list of jobs; it may have been moved or renamed."},
	"page.name": {
		"Nothing here can be called “{{.what}}”.", "A name has letters, digits, blanks, points and hyphens; a file beside a job ends with .csv, .txt, .tsv or .dat, a recording with .wav."},
	"page.too-big": {
		"What was sent is longer than the {{.most}} bytes that are taken.", "Check that it is the file that was meant; a recording is put beside the job in the step Curves, at most 1 GiB of it."},
	"page.changed": {
		"{{.what}} was changed on the disk meanwhile; nothing was overwritten.", "Take what is there now, or keep yours as a copy."},
	"page.recording-there": {
		"Another recording beside the job is called “{{.what}}”, or is just coming under that name; nothing was overwritten.", "Give this one another name."},
	"page.disk": {
		"{{.what}} could not be read or written: {{.reason}}.", "Check the folder, the space left and who may write there; what was there is as it was."},
	"page.fault": {
		"This is a mistake in the program, not in the job; no file was changed.", "Please report it with the lines printed where bandwright was started."},
	"page.elsewhere": {
		"The request came from another page, or for another address ({{.what}}), and was refused.", "Open the page by the address that bandwright serve prints."},
	"page.token": {
		"This address answers only who brings its token.", "Open it by the square code, or by the whole address that was shown with it."},
	"page.request": {
		"The request cannot be read: {{.reason}}.", "Load the page again; docs/page.md lists what is asked where."},
	"page.no-network": {
		"This machine has no address that another could reach.", "Connect it to the workshop's network and try again."},
	"page.stopped": {
		"The work was stopped before there was an answer.", "Ask again to have it done."},
}
