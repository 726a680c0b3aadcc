package report

import "bandwright/finding"

// sweepWords words what is found in recordings and in the curves read from them.
var sweepWords = map[finding.ID]wording{
	"sweep.empty": {
		`The recording is empty.`, `Save it again; the copy may have failed.`},
	"sweep.not-a-wav": {
		`This is no WAV recording but {{a .kind}}.`, `Save the recording as WAV, 24 bits, without compression.`},
	"sweep.no-format": {
		`The recording does not say how its samples are kept (chunks: {{or .chunks "none"}}).`, `Save it again, or copy it again from where it was made.`},
	"sweep.format-short": {
		`The description of the samples breaks off after {{.bytes}} bytes (byte {{.byte}}).`, `Save the recording again.`},
	"sweep.encoding": {
		`The samples are kept as {{.encoding}} (byte {{.byte}}), which loses too much or cannot be read.`, `Save as WAV with PCM of 16 or 24 bits, or 32-bit float.`},
	"sweep.depth": {
		`{{.bits}}-bit {{if .float}}float{{else}}PCM{{end}} is not read (byte {{.byte}}).`, `Save as PCM of 16 or 24 bits, or 32-bit float.`},
	"sweep.channels": {
		`The recording claims {{.channels}} channels (byte {{.byte}}); 1 to 32 can be read.`, `Save one or two channels.`},
	"sweep.rate": {
		`A sampling rate of {{.rate}} Hz (byte {{.byte}}) is none of sound.`, `The head is damaged; save the recording again.`},
	"sweep.no-data": {
		`There is no sound in the file (chunks: {{or .chunks "none"}}).`, `The recording may have been broken off before it was saved.`},
	"sweep.no-samples": {
		`The sound ends before its first frame ({{.bytes}} bytes at byte {{.byte}}).`, `Record again.`},
	"sweep.unreadable": {
		`The recording could not be read at byte {{.byte}}: {{.why}}.`, `Copy it to this machine and try again.`},
	"sweep.data-cut": {
		`The file ends at byte {{.byte}}, {{.missing}} frames before its sound does; {{.frames}} frames, {{printf "%.2f" .seconds}} s, are left.`, `Copy it again; what is left is read.`},
	"sweep.data-open": {
		`The length of the sound is not written (byte {{.byte}}); all to the end was taken, {{.frames}} frames.`, ``},
	"sweep.frame-cut": {
		`The sound ends inside a frame at byte {{.byte}}; {{.bytes}} bytes were left out.`, `Was the recording broken off?`},
	"sweep.chunk-cut": {
		`The chunk “{{.chunk}}” at byte {{.byte}} reaches {{.bytes}} bytes beyond the file.`, `Copy the file again if sound is missing.`},
	"sweep.padding": {
		`The padding after the chunk “{{.chunk}}” is wrong at byte {{.byte}}; the next chunk was found beside it.`, ``},
	"sweep.garbled": {
		`{{.bytes}} bytes at byte {{.byte}} are no part of a WAV file and were passed over.`, `Copy the file again.`},
	"sweep.trailing": {
		`{{.bytes}} bytes after the last chunk, at byte {{.byte}}, were passed over.`, ``},
	"sweep.frame-length": {
		`The head says {{.read}} bytes a frame (byte {{.byte}}), but its channels and bits make {{.taken}}; {{.taken}} were taken.`, `Listen to it: if it is only noise, the head is wrong in another place.`},
	"sweep.byte-rate": {
		`The head says {{.read}} bytes a second (byte {{.byte}}); {{.right}} is right.`, ``},
	"sweep.valid-bits": {
		`The head says {{.valid}} valid bits of {{.bits}} (byte {{.byte}}); all {{.bits}} were taken.`, ``},
	"sweep.extension-short": {
		`The extensible format lacks its extension (byte {{.byte}}); the samples were taken as PCM.`, `Listen to it: if it is only noise, the samples are float.`},
	"sweep.second-chunk": {
		`A second chunk “{{.chunk}}” at byte {{.byte}} was passed over.`, `Are two recordings joined in one file?`},
	"sweep.no-long-lengths": {
		`The long lengths are missing (byte {{.byte}}); all to the end of the file was taken.`, ``},
	"sweep.format": {
		`A recording with {{if eq .what "rate"}}a rate of {{.read}} Hz{{else}}{{.read}} {{.what}}{{end}} is not written.`, `Choose 16 or 24 bits, or 32-bit float, at 44.1 to 192 kHz.`},
}
