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
	"sweep.signal": {
		`The test signal cannot have {{.what}} {{printf "%.4g" .read}}; {{printf "%.4g" .low}} to {{printf "%.4g" .high}} is allowed.`, `Start from the standard signal: 10 Hz to 22 kHz in 10 s at −6 dBFS.`},
	"sweep.no-such-channel": {
		`The recording has no channel {{.channel}}; it has {{.channels}}.`, `Count channels from 1.`},
	"sweep.no-marks": {
		`The test signal is not in this recording of {{printf "%.1f" .seconds}} s.`, `Is it the right file, and the right channel? Both marks, short chirps before and after the sweep, must be in it.`},
	"sweep.wrong-rate": {
		`The recording is named {{Hz .rate}}, but its sound was taken at {{Hz .likely}}.`, `Set player and recorder to one rate and record again; do not convert the file.`},
	"sweep.take-cut": {
		`The recording ends at {{printf "%.2f" .seconds}} s (frame {{.frame}}), {{printf "%.1f" .missing}} s before the take does.`, `Let the recorder run until after the last chirp.`},
	"sweep.mark-lost": {
		`The chirp at {{printf "%.2f" .seconds}} s (frame {{.frame}}) has no second one where its sweep should end.`, `Was the player stopped, or were samples lost? Take it again.`},
	"sweep.take-late": {
		`The recording begins inside a take, whose second chirp is at {{printf "%.2f" .seconds}} s (frame {{.frame}}).`, `Start the recorder before the player.`},
	"sweep.not-finite": {
		`{{.count}} samples of channel {{.channel}} are no numbers, the first at {{printf "%.3f" .seconds}} s (frame {{.frame}}).`, `The file is damaged; take it again.`},
	"sweep.clipped": {
		`Channel {{.channel}} is clipped in {{.count}} places, first at {{printf "%.3f" .seconds}} s (frame {{.frame}}), at {{dB .level}} of full scale.`, `Turn the level down by 6 dB and take it again.`},
	"sweep.dropout": {
		`Channel {{.channel}} holds nothing for {{.frames}} frames from {{printf "%.3f" .seconds}} s on (frame {{.frame}}).`, `The recorder lost sound; give it a longer buffer and take it again.`},
	"sweep.jump": {
		`Channel {{.channel}} jumps at {{printf "%.3f" .seconds}} s (frame {{.frame}}){{if gt .count 1}} and in {{.count}} places in all{{end}}{{if ge .lost 0.5}}; by the marks, {{printf "%.1f" .lost}} frames are missing{{else if le .lost -0.5}}; by the marks, there are frames too many ({{printf "%.1f" .lost}} missing){{end}}.`, `Samples were lost or something struck the lead; take it again.`},
	"sweep.frames-lost": {
		`The two marks of the take at {{printf "%.2f" .seconds}} s (frame {{.frame}}) differ by {{printf "%.0f" .ppm}} parts in a million from the signal, more than two clocks can; {{printf "%.1f" .lost}} frames are missing.`, `Samples were lost; give the recorder a longer buffer and take it again.`},
	"sweep.swapped": {
		`Channel {{.reference}} should be the loopback but is uneven by {{short .db}} dB, and channel {{.channel}} is flat: the channels are swapped.`, `Name them the other way round.`},
	"sweep.too-quiet": {
		`The sweep stands only {{short .db}} dB over the silence in channel {{.channel}}.`, `Check leads and gains; is it the right channel?`},
	"sweep.loopback-rate": {
		`The loopback was stored at {{.loopback}} Hz, the recording is at {{.rate}} Hz.`, `Take a loopback at the same rate, gains and leads.`},
	"sweep.loopback-take": {
		`The stored loopback holds no take that can be read.`, `Take a new loopback with the same leads and gains.`},
	"sweep.divider": {
		`A divider with {{.what}} {{printf "%.4g" .read}} cannot be.`, `Give ohms, and farads of the input, as they are; leave out what is not there.`},
	"sweep.grids-differ": {
		`The two takes share no frequencies.`, `Take both with one test signal.`},
	"sweep.take-missing": {
		`Take {{.number}} of the signal, {{.setting}}, is not in the recording.`, `Record from the first chirp to the last.`},
	"sweep.reference-uneven": {
		`The loopback in channel {{.reference}} is uneven by {{short .db}} dB.`, `Is it a plain lead from output to input, and is nothing switched into the channel?`},
	"sweep.no-loopback": {
		`There is no loopback: the interface's own response and level are still in the curve.`, `Record a second channel or a separate take with a lead from output to input.`},
	"sweep.noise": {
		`Noise moves {{.points}} of {{.of}} points by more than 0.1 dB, most at {{Hz .hz}} ({{short .db}} dB).`, `Raise the level, lengthen the sweep, or look for the hum.`},
	"sweep.delay-fitted": {
		`Without a reference the delay is not known; {{in "second" .seconds}} were taken out so that the phase suits the gain.`, `Record the loopback as a second channel where the phase matters.`},
	"sweep.phase-unknown": {
		`The two clocks differ by {{printf "%.1f" .ppm}} parts in a million, which was left in: the phase is unknown from {{Hz .hz}} on.`, `Let the difference be corrected, or record the loopback as a second channel.`},
	"sweep.same-setting": {
		`Both takes are at one setting, {{.setting}}.`, `Is one of them named wrongly?`},
	"sweep.levels-differ": {
		`The takes were made at {{dB .first}} and {{dB .second}} of full scale.`, `Repeat one of them: coils and drivers change with level.`},
	"sweep.not-a-test-recording": {
		`This is no test recording{{if eq .reason "form"}} of a form that is known{{else if eq .reason "description"}}: what it says of itself cannot be read{{end}}.`,
		`Name the file that sweep make or sweep takes wrote; the same flags write it again.`},
	"bench.generator-unsaid": {
		`The job does not say through how many ohms its curves are taken; the tap-in's own {{ohm .source}} are not the generator's.`,
		`State tap_in.generator: what feeds the tap-in while it is measured.`},
	"bench.no-clip": {
		`No stage that is described limits the level.`, `Raise it from low, and stop well below where the curve changes.`},
	"bench.take-level-low": {
		`{{.part}} allows no more than {{short .dbu}} dBu at {{.setting}}, 6 dB under clipping, which is below the usual {{short .usual}} dBu.`,
		`Take at that level, with a longer sweep against the noise.`},
	"bench.signal-bits": {
		`“{{.read}}” is no depth of a test recording.`, `Choose 16, 24 or float.`},
	"bench.generator-asked": {
		`Nobody has said through how many ohms the amp was fed.`, `State the generator's ohms: they replace the preamp's own, and no difference takes that out.`},
	"bench.no-such-take": {
		`For {{.what}} a take {{.lacks}} is missing.`, `Record it too, with the same leads and level, or name its file beside the others.`},
	"bench.takes-differ": {
		`Two takes at {{.setting}} differ by {{short .db}} dB at {{Hz .hz}}; {{short .limit}} dB is usual.`, `Has a slider moved, or has something warmed up? Take both again.`},
	"bench.settings-count": {
		`{{.settings}} settings are named for {{.recordings}} recordings.`, `Name one for each file, in the same order, or none.`},
	"bench.settings-takes": {
		`The test recording has {{.takes}} takes with settings of their own.`, `Leave the settings out, or play one of a single sweep.`},
	"bench.curve-generator": {
		`The curve {{.curve}} was taken through {{ohm .ohms}}, but the job says {{ohm .job}}.`, `State tap_in.generator as it was, or take the curve again.`},
	"bench.curve-less": {
		`The curve {{.curve}} has {{.less}} taken off, which this circuit has not.`, `Take it off another setting, or compare the take itself.`},
	"ask.no-recording": {
		`No recording is named.`, `Name the WAV file that was recorded.`},
	"ask.no-played": {
		`The test recording that was played is not named.`, `Name it with --played: it says what to look for.`},
	"ask.less": {
		`“{{.read}}” is no difference that can be made.`, `Write "engaged less lifted" or "lifted less bypassed".`},
	"ask.lacks": {
		`{{.one}} says nothing without {{.other}}.`, `Give both.`},
	"cmd.no-recording-file": {
		`No file is named to write the test recording to.`, `Name one that ends in .wav, or ask with --json.`},
}
