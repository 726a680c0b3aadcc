package report

import "bandwright/finding"

// quantityWords words what is wrong with a value as text.
var quantityWords = map[finding.ID]wording{
	"quantity.empty": {
		"No value is written{{with .key}} for {{.}}{{end}}.", "Write it as {{.like}}."},
	"quantity.not-a-number": {
		"{{with .key}}{{.}}: {{end}}“{{.read}}” is not {{kind .unit}}.", "Write it as {{.like}}."},
	"quantity.unknown-unit": {
		"{{with .key}}{{.}}: {{end}}{{if .suffix}}“{{.suffix}}” in “{{.read}}” is no unit or prefix of {{kind .unit}}.{{else}}“{{.read}}” has no unit; {{kind .unit}} needs one.{{end}}",
		"Write it as {{.like}}."},
	"quantity.ambiguous": {
		"{{with .key}}{{.}}: {{end}}“{{.read}}” may mean {{in .unit .one}} or {{in .unit .other}}.",
		"Write the one that is meant, for example {{.like}}."},
	"quantity.negative": {
		"{{with .key}}{{.}}: {{end}}“{{.read}}” is negative, which {{kind .unit}} cannot be here.",
		"Take the minus sign away, or look whether two fields are exchanged."},
	"quantity.out-of-range": {
		"{{with .key}}{{.}}: {{end}}“{{.read}}” is beyond anything meant on a bench: {{in .unit .low}} to {{in .unit .high}}.",
		"Check the exponent or the prefix."},
	"quantity.not-a-tolerance": {
		"{{with .key}}{{.}}: {{end}}“{{.read}}” is not a tolerance.",
		"Write ±5 %, -20/+80 %, or a letter: F 1 %, G 2 %, J 5 %, K 10 %, M 20 %, Z -20/+80 %."},
	"quantity.not-a-code": {
		"“{{.read}}” is no marking of {{kind .unit}}.",
		"Read it again in good light; a code looks like {{.like}}."},
	"quantity.small-letter": {
		"On a capacitor under 10 pF the letter {{.letter}} of “{{.read}}” means picofarads, not ±{{percent .tolerance}}.",
		"Give the value, and the tolerance in per cent."},
	"quantity.band-count": {
		"“{{.read}}” has {{.bands}} colour bands; three, four or five can be read.",
		"Leave a temperature band out, and start at the end away from gold or silver."},
	"quantity.not-a-colour": {
		"“{{.colour}}” has no meaning as band {{.band}} of “{{.read}}”.",
		"Start at the other end, or look again: red and orange, blue and violet are easily taken for each other."},
	"quantity.not-a-series": {
		"“{{.read}}” is no series of preferred values.", "The series are E3, E6, E12, E24, E48, E96 and E192."},
}

// curveWords words what reading and comparing curves finds.
var curveWords = map[finding.ID]wording{
	"curve.empty": {
		"The curve file is empty.", "Export it again; the copy may have failed."},
	"curve.not-a-table": {
		"This is {{a .kind}}, not a table of numbers.", "Export the curve as text: frequency, gain in dB, phase."},
	"curve.too-large": {
		"The file is larger than {{.limit}} bytes.", "Export fewer points; 48 an octave are plenty."},
	"curve.too-many-rows": {
		"The file has more than {{.limit}} rows.", "Export fewer points; 48 an octave are plenty."},
	"curve.line-too-long": {
		"This line is longer than {{.limit}} bytes.", "Is it a text file with one row a line?"},
	"curve.no-rows": {
		"There is no row of numbers in {{.lines}} lines.", "Each row needs a frequency and a gain."},
	"curve.one-column": {
		"There is only one column of numbers: “{{.read}}”.", "Export frequency and gain side by side, or name the separator."},
	"curve.no-such-quantity": {
		"No column holds the {{.what}}{{with .titles}}: {{.}}{{end}}.", "Say which column to read."},
	"curve.too-few-points": {
		"Only {{.points}} usable point(s) are left.", "A curve needs at least two frequencies."},
	"curve.second-table": {
		"A second table begins here: “{{.read}}”.", "Keep one curve a file."},
	"curve.real-and-imaginary": {
		"Columns “{{.first}}” and “{{.second}}” hold real and imaginary parts.", "Export the gain in dB, and the phase."},
	"curve.not-a-number": {
		"“{{.read}}” is not a {{.what}}.", "Numbers only in the rows: no units, no letters."},
	"curve.field-missing": {
		"The {{.what}} is missing: {{.fields}} of {{.want}} columns are there.", "Was the row broken in two?"},
	"curve.extra-field": {
		"{{.fields}} fields stand in a table of {{.want}} columns: “{{.read}}”.", "Is there a decimal or thousands comma in a file parted by commas?"},
	"curve.mixed-decimal": {
		"“{{.read}}” stands in a file whose decimal mark is the {{.decimal}}.", "Use one decimal mark through the whole file."},
	"curve.mixed-separator": {
		"“{{.read}}” is parted by {{.other}}, the rest of the file by {{.separator}}.", "Use one separator through the whole file."},
	"curve.truncated": {
		"The file breaks off at “{{.read}}”.", "The export or the copy did not finish; take it again."},
	"curve.text-in-table": {
		"There is text between the rows: “{{.read}}”.", "Mark it as a comment with #, or take it out."},
	"curve.frequency-negative": {
		"A frequency of {{.read}} cannot be.", "Are the columns the other way round?"},
	"curve.frequency-out-of-range": {
		"{{Hz .hz}} is no frequency of an audio curve; {{Hz .low}} to {{Hz .high}} are read.", "Hz or kHz? Is this the frequency column?"},
	"curve.gain-out-of-range": {
		"A gain of {{dB .db}} is beyond ±{{.limit}} dB.", "dB or ratio? Is this the gain column?"},
	"curve.phase-out-of-range": {
		"A phase of {{.degrees}}° is beyond ±{{.limit}}°.", "Is this the phase column?"},
	"curve.ratio-negative": {
		"A gain ratio of {{.read}} has no level in dB.", "Is the column in dB already?"},
	"curve.more-errors": {
		"{{.count}} further rows are wrong.", "Mend the first ones; the others often have the same cause."},
	"curve.which-commas": {
		"“{{.read}}” could be {{.as_a}} or {{.as_b}}.", "Say separator = comma, and decimal = {{.a}} or {{.b}}."},
	"curve.which-decimal": {
		"“{{.read}}” could be {{.as_a}} or {{.as_b}}.", "Say decimal = {{.a}} or {{.b}}."},
	"curve.which-frequency-unit": {
		"Frequencies from {{.low}} to {{.high}} could be Hz or kHz.", "Say frequency = Hz or kHz."},
	"curve.which-gain-unit": {
		"Gains from {{.low}} to {{.high}} could be dB or a ratio.", "Say gain = dB or ratio."},
	"curve.which-phase-unit": {
		"Phases from {{.low}} to {{.high}} could be degrees or radians.", "Say phase = degrees, radians or none."},
	"curve.which-column": {
		"The {{.what}} could be column {{.a}} or column {{.b}}.", "Say which column holds the {{.what}}."},
	"curve.unknown-reading": {
		"{{.field}} = “{{.read}}” is not known.", "It is one of: {{.allowed}}."},
	"curve.no-such-column": {
		"There is no column {{.column}} for the {{.what}}; the table has {{.columns}}.", "Count columns from 1, each for one thing."},
	"curve.zero-gain": {
		"{{.count}} row(s) with no gain at all (−∞ dB) were left out: lines {{.lines}}.", "If there are many, look at the connection."},
	"curve.no-value": {
		"{{.count}} row(s) without a value were left out: lines {{.lines}}.", "The measurement gave nothing there."},
	"curve.zero-frequency": {
		"{{.count}} row(s) at 0 Hz were left out.", "A logarithmic axis has no nought."},
	"curve.doubled": {
		"{{.count}} frequencies came more than once and were averaged; they differ by up to {{dB .spread}} at {{Hz .hz}}.", "Are these two curves in one file?"},
	"curve.unsorted": {
		"The rows were put in order of frequency.", ""},
	"curve.several-runs": {
		"The rows run through the frequencies {{.runs}} times; all were put into one curve.",
		"Keep one curve a file, unless these are repeats of one measurement."},
	"curve.utf-16": {
		"The file is UTF-16 ({{.order}}) and was decoded.", ""},
	"curve.not-utf-8": {
		"Some letters are not UTF-8 and were read as Latin-1; numbers are not touched by that.", ""},
	"curve.header-repeated": {
		"The header comes again between the rows and was passed over: “{{.read}}”.", "Was the listing printed page by page?"},
	"curve.trailing-text": {
		"Text after the last row was passed over: “{{.read}}”.", ""},
	"curve.columns-ignored": {
		"Not used: {{.columns}}.", "Say which columns to read if these were meant."},
	"curve.phase-assumed": {
		"Column {{.column}} has no title and was taken as the phase.", "Say phase = none if it is something else."},
	"curve.columns-swapped": {
		"Column {{.frequency}} was taken as the frequency and column {{.gain}} as the gain.", "Look at the first rows shown."},
	"curve.thousands": {
		"“{{.read}}” was read as {{.value}}: the mark groups thousands.", "If it does not, say decimal = comma or point."},
	"curve.lengths-differ": {
		"The columns differ in length: {{.hz}} frequencies, {{.db}} gains, {{.degrees}} phases.", "Every frequency needs its gain."},
	"curve.not-rising": {
		"At point {{.point}}, {{Hz .hz}} does not follow {{Hz .before}}.", "Frequencies must rise."},
	"curve.not-finite": {
		"At point {{.point}} the {{.what}} is no number.", "Leave such points out."},
	"curve.outside-range": {
		"{{Hz .asked_low}} to {{Hz .asked_high}} were asked for, but the curve covers {{Hz .low}} to {{Hz .high}}; nothing is guessed beyond.", "Measure over the whole range."},
	"curve.no-overlap": {
		"The curves have no frequency in common: {{Hz .low_a}} to {{Hz .high_a}}, and {{Hz .low_b}} to {{Hz .high_b}}.", "Hz or kHz in one of them?"},
	"curve.few-points": {
		"The curve has {{short .per_octave}} points an octave; {{.want}} are asked for.", "Measure again with at least {{.want}}, better 48, points an octave."},
	"curve.not-enough-points": {
		"Not enough: {{.points}} points lie around the top, {{.want}} are needed.", "Measure with at least 24 points an octave."},
	"curve.no-extremum": {
		"No boost or cut stands out between {{Hz .low}} and {{Hz .high}}.", "Is the slider moved? Is the leg open?"},
	"curve.no-edge": {
		"The curve never comes back to {{dB .level}} on the {{.side}} side.", "The width is then none, which is not nought."},
	"curve.level-uneven": {
		"With the level matched the curves still differ by {{short .rms}} dB rms, more than {{short .limit}} dB.", "Look at the difference curve: a band off moves the level that is matched."},
	"curve.setting-form": {
		"“{{.read}}” is neither slider=position nor switch:position.", "Write it like 63=+1,400=-0.5,footswitch:lifted, or flat."},
	"curve.setting-position": {
		"Slider {{.slider}} cannot stand at “{{.read}}”: positions run from −1 (cut) to +1 (boost).", "0 is the centre."},
	"curve.setting-twice": {
		"{{.name}} is set twice.", "Keep one."},
}
