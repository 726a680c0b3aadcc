package curve

import "bandwright/finding"

// What keeps a file from being read at all. Each says its arguments, then the
// sentence and the hint proposed for paper and page.
const (
	// IDEmpty: no bytes, or nothing but blanks. Args: none.
	// "The curve file is empty." Hint: "Export it again; the copy may have failed."
	IDEmpty finding.ID = "curve.empty"
	// IDNotTable: the bytes are another kind of file. Args: kind ("web page",
	// "PDF", "spreadsheet or archive", "sound file", "JSON", "XML", "binary data").
	// "This is a {kind}, not a table of numbers." Hint: "Export the curve as text: frequency, gain in dB, phase."
	IDNotTable finding.ID = "curve.not-a-table"
	// IDTooLarge: more bytes than are read. Args: limit (bytes, int).
	// "The file is larger than {limit} bytes." Hint: "Export fewer points; 48 an octave are plenty."
	IDTooLarge finding.ID = "curve.too-large"
	// IDTooManyRows: more lines than are read. Args: limit (int).
	// "The file has more than {limit} rows." Hint: "Export fewer points; 48 an octave are plenty."
	IDTooManyRows finding.ID = "curve.too-many-rows"
	// IDLineTooLong: one line beyond the bound. Args: limit (bytes, int).
	// "This line is longer than {limit} bytes." Hint: "Is it a text file with one row a line?"
	IDLineTooLong finding.ID = "curve.line-too-long"
	// IDNoRows: comments and titles only. Args: lines (int).
	// "No row of numbers in {lines} lines." Hint: "Each row needs a frequency and a gain."
	IDNoRows finding.ID = "curve.no-rows"
	// IDOneColumn: rows hold one number each. Args: read (the first row).
	// "Only one column of numbers: “{read}”." Hint: "Export frequency and gain side by side, or name the separator."
	IDOneColumn finding.ID = "curve.one-column"
	// IDNoColumn: no column can be the frequency, or the gain. Args: what, titles.
	// "No column holds the {what}: {titles}." Hint: "Say which column to read."
	IDNoColumn finding.ID = "curve.no-such-quantity"
	// IDTooFewPoints: fewer than two points remain. Args: points (int).
	// "Only {points} usable point(s)." Hint: "A curve needs at least two frequencies."
	IDTooFewPoints finding.ID = "curve.too-few-points"
	// IDSecondTable: a header comes again and the frequencies start over. Args: read (the line).
	// "A second table begins here: “{read}”." Hint: "Keep one curve a file."
	IDSecondTable finding.ID = "curve.second-table"
	// IDComplexColumns: real and imaginary parts instead of gain. Args: first, second (titles).
	// "Columns “{first}” and “{second}” hold real and imaginary parts." Hint: "Export gain in dB and phase."
	IDComplexColumns finding.ID = "curve.real-and-imaginary"
)

// What is wrong with one row. Place carries line and column.
const (
	// IDNotNumber: text where a number belongs. Args: read, what ("frequency", "gain", "phase",
	// or "number" when no row of the file is one).
	// "“{read}” is not a {what}." Hint: "Numbers only: no units, no letters in the rows."
	IDNotNumber finding.ID = "curve.not-a-number"
	// IDFieldMissing: the row ends too soon. Args: what, fields (int), want (int).
	// "The {what} is missing: {fields} of {want} columns." Hint: "Was the row broken in two?"
	IDFieldMissing finding.ID = "curve.field-missing"
	// IDExtraField: more fields than the table has columns. Args: fields (int), want (int), read.
	// "{fields} fields in a table of {want} columns: “{read}”." Hint: "A decimal or thousands comma in a comma-separated file?"
	IDExtraField finding.ID = "curve.extra-field"
	// IDMixedDecimal: the other decimal mark. Args: read, decimal (the one in force).
	// "“{read}” in a file with decimal {decimal}." Hint: "Use one decimal mark through the whole file."
	IDMixedDecimal finding.ID = "curve.mixed-decimal"
	// IDMixedSeparator: the row is parted by another separator. Args: read, separator, other.
	// "“{read}” is parted by {other}, the file by {separator}." Hint: "Use one separator through the whole file."
	IDMixedSeparator finding.ID = "curve.mixed-separator"
	// IDTruncated: the last line breaks off. Args: read.
	// "The file breaks off at “{read}”." Hint: "The export or the copy did not finish; take it again."
	IDTruncated finding.ID = "curve.truncated"
	// IDTextInTable: a line of text between rows. Args: read.
	// "Text between the rows: “{read}”." Hint: "Mark it as a comment with #, or remove it."
	IDTextInTable finding.ID = "curve.text-in-table"
	// IDFrequencyNegative: Args: read.
	// "A frequency of {read}." Hint: "Are the columns the other way round?"
	IDFrequencyNegative finding.ID = "curve.frequency-negative"
	// IDFrequencyRange: outside MinHz–MaxHz. Args: hz, low, high (hertz).
	// "{hz} is no audio frequency (read {low} to {high})." Hint: "Hz or kHz? Is this the frequency column?"
	IDFrequencyRange finding.ID = "curve.frequency-out-of-range"
	// IDGainRange: beyond ±MaxDB. Args: db, limit (dB).
	// "A gain of {db} (limit ±{limit})." Hint: "dB or ratio? Is this the gain column?"
	IDGainRange finding.ID = "curve.gain-out-of-range"
	// IDPhaseRange: beyond ±MaxDegrees. Args: degrees, limit.
	// "A phase of {degrees}° (limit ±{limit}°)." Hint: "Is this the phase column?"
	IDPhaseRange finding.ID = "curve.phase-out-of-range"
	// IDRatioNegative: a ratio below zero. Args: read.
	// "A gain ratio of {read} has no level in dB." Hint: "Is the column in dB?"
	IDRatioNegative finding.ID = "curve.ratio-negative"
	// IDMoreErrors: the rest of a long list. Args: count (int).
	// "{count} further rows are wrong." Hint: "Mend the first ones; the others often have the same cause."
	IDMoreErrors finding.ID = "curve.more-errors"
)

// Questions: two readings are possible. They are Errors until As settles
// them. Args of all: a, b (the two words As takes; for columns their numbers),
// read (an example as written), and what each adds.
const (
	// IDAskSeparator: commas could be separator alone, or separator and
	// decimal mark both. Args also: as_a, as_b (the example under each).
	// "“{read}” could be {as_a} or {as_b}." Hint: "Say separator = comma with decimal = {a} or {b}."
	IDAskSeparator finding.ID = "curve.which-commas"
	// IDAskDecimal: 1,234 as 1.234 or 1234. Args also: as_a, as_b (float64).
	// "“{read}” could be {as_a} or {as_b}." Hint: "Say decimal = {a} or {b}."
	IDAskDecimal finding.ID = "curve.which-decimal"
	// IDAskFrequency: Hz or kHz. Args also: low, high (numbers as written).
	// "Frequencies {low} to {high} could be Hz or kHz." Hint: "Say frequency = Hz or kHz."
	IDAskFrequency finding.ID = "curve.which-frequency-unit"
	// IDAskGain: dB or ratio. Args also: low, high (numbers as written).
	// "Gains {low} to {high} could be dB or a ratio." Hint: "Say gain = dB or ratio."
	IDAskGain finding.ID = "curve.which-gain-unit"
	// IDAskPhase: degrees or radians. Args also: low, high (numbers as written).
	// "Phases {low} to {high} could be degrees or radians." Hint: "Say phase = degrees, radians or none."
	IDAskPhase finding.ID = "curve.which-phase-unit"
	// IDAskColumns: two columns could be the same thing. Args also: what.
	// "The {what} could be column {a} or column {b}." Hint: "Say which column holds the {what}."
	IDAskColumns finding.ID = "curve.which-column"
	// IDAsUnknown: As holds a word that is none of its own. Args: field, read, allowed.
	// "{field} = “{read}” is not known." Hint: "One of: {allowed}."
	IDAsUnknown finding.ID = "curve.unknown-reading"
	// IDAsColumn: As names a column the table has not, or one twice. Args: what, column, columns (int).
	// "No column {column} for the {what}; the table has {columns}." Hint: "Count columns from 1, each for one thing."
	IDAsColumn finding.ID = "curve.no-such-column"
)

// Notes and warnings of reading: the curve stands.
const (
	// IDZeroGain (warning): −∞ dB, rows left out. Args: count (int), lines (text).
	// "{count} row(s) with no gain at all (−∞ dB) left out: lines {lines}." Hint: "−∞ dB cannot be drawn; check the connection if there are many."
	IDZeroGain finding.ID = "curve.zero-gain"
	// IDNoValue (warning): NaN or blank, rows left out. Args: count (int), lines (text).
	// "{count} row(s) without a value left out: lines {lines}." Hint: "The measuring program found no value there."
	IDNoValue finding.ID = "curve.no-value"
	// IDZeroFrequency (note): 0 Hz rows left out. Args: count (int), lines (text).
	// "{count} row(s) at 0 Hz left out." Hint: "A logarithmic axis has no zero."
	IDZeroFrequency finding.ID = "curve.zero-frequency"
	// IDDoubled (note, warning above 0.5 dB): points at one frequency were
	// averaged in dB. Args: count (frequencies, int), hz (of the widest), spread (dB).
	// "{count} frequencies came more than once and were averaged; they differ by up to {spread} at {hz}." Hint: "Is this two curves in one file?"
	IDDoubled finding.ID = "curve.doubled"
	// IDUnsorted (note): rows were put in rising order. Args: none; Place is the first out of order.
	// "The rows were sorted by frequency." Hint: none needed.
	IDUnsorted finding.ID = "curve.unsorted"
	// IDSeveralRuns (warning): the frequencies start over without a new title.
	// Args: runs (int); Place is the row where they first do.
	// "The rows run through the frequencies {runs} times; all were put into one curve." Hint: "Keep one curve a file, unless these are repeats of one measurement."
	IDSeveralRuns finding.ID = "curve.several-runs"
	// IDUTF16 (note): Args: order ("little-endian", "big-endian").
	// "The file is UTF-16 ({order}) and was decoded." Hint: "Prefer UTF-8 or plain text."
	IDUTF16 finding.ID = "curve.utf-16"
	// IDNotUTF8 (note): bytes above 127 read as Latin-1. Args: none.
	// "Some letters are not UTF-8 and were read as Latin-1." Hint: "Numbers are not touched by this."
	IDNotUTF8 finding.ID = "curve.not-utf-8"
	// IDHeaderRepeated (warning): the header came again, the frequencies went on. Args: read.
	// "The header is repeated between the rows; passed over." Hint: "Was the listing printed page by page?"
	IDHeaderRepeated finding.ID = "curve.header-repeated"
	// IDTrailingText (note): text after the last row. Args: read.
	// "Text after the last row was passed over: “{read}”." Hint: none needed.
	IDTrailingText finding.ID = "curve.trailing-text"
	// IDColumnsIgnored (note): Args: columns (text).
	// "Not used: {columns}." Hint: "Say which columns to read if these were meant."
	IDColumnsIgnored finding.ID = "curve.columns-ignored"
	// IDPhaseAssumed (note): a third column without a title was taken as phase. Args: column (int).
	// "Column {column} has no title and was taken as the phase." Hint: "Say phase = none if it is something else."
	IDPhaseAssumed finding.ID = "curve.phase-assumed"
	// IDColumnsSwapped (warning): without titles, gain came before frequency. Args: frequency, gain (int).
	// "Column {frequency} was taken as the frequency and column {gain} as the gain." Hint: "Look at the first rows shown."
	IDColumnsSwapped finding.ID = "curve.columns-swapped"
	// IDThousands (note): grouping marks were removed. Args: read, value (float64).
	// "“{read}” was read as {value}: the mark groups thousands." Hint: "Say decimal = comma or point if it does not."
	IDThousands finding.ID = "curve.thousands"
)

// A curve that breaks its own rules (Validate).
const (
	// IDLengths: Args: hz, db, degrees (int, counts). "The columns differ in length: {hz}, {db}, {degrees}." Hint: "Every frequency needs its gain."
	IDLengths finding.ID = "curve.lengths-differ"
	// IDNotRising: Args: point (int, from 1), hz, before (hertz). "Point {point}: {hz} does not follow {before}." Hint: "Frequencies must rise."
	IDNotRising finding.ID = "curve.not-rising"
	// IDNotFinite: Args: point (int, from 1), what. "Point {point}: the {what} is no number." Hint: "Leave such points out."
	IDNotFinite finding.ID = "curve.not-finite"
)

// Comparing and measuring curves.
const (
	// IDOutsideRange (warning): more was asked than the curves hold; nothing is
	// extrapolated. Args: asked_low, asked_high, low, high (hertz), left_out (int, Resample only).
	// "Asked for {asked_low}–{asked_high}, but the curve covers {low}–{high}; nothing is guessed beyond." Hint: "Measure over the whole range."
	IDOutsideRange finding.ID = "curve.outside-range"
	// IDNoOverlap (error): Args: low_a, high_a, low_b, high_b (hertz).
	// "The curves have no frequency in common: {low_a}–{high_a} and {low_b}–{high_b}." Hint: "Hz or kHz in one of them?"
	IDNoOverlap finding.ID = "curve.no-overlap"
	// IDFewPoints (warning): Args: per_octave (float64), want (int).
	// "{per_octave} points an octave; {want} are asked for." Hint: "Measure again with at least {want}, better 48, points an octave."
	IDFewPoints finding.ID = "curve.few-points"
	// IDNotEnough (error): Args: points, want (int).
	// "Not enough: {points} points around the top, {want} needed." Hint: "Measure with at least 24 points an octave."
	IDNotEnough finding.ID = "curve.not-enough-points"
	// IDNoExtremum (error): Args: near, low, high (hertz), noise (dB).
	// "No boost or cut stands out between {low} and {high}." Hint: "Is the slider moved? Is the leg open?"
	IDNoExtremum finding.ID = "curve.no-extremum"
	// IDEdgeNone (note): Args: side ("low", "high"), level (dB).
	// "The curve never reaches {level} on the {side} side." Hint: "The width is none, not zero."
	IDEdgeNone finding.ID = "curve.no-edge"
	// IDUneven (warning): alignment leaves much behind. Args: rms (dB), limit (dB).
	// "After the level was matched the curves still differ by {rms} rms." Hint: "Match over a range where both should agree."
	IDUneven finding.ID = "curve.level-uneven"
)

// Settings as text.
const (
	// IDSettingForm: Args: read (the word). Place.Column counts characters.
	// "“{read}” is neither slider=position nor switch:position." Hint: "Like 63=+1,400=-0.5,footswitch:lifted, or flat."
	IDSettingForm finding.ID = "curve.setting-form"
	// IDSettingPosition: Args: read, slider.
	// "Slider {slider} at “{read}”: positions run from −1 (cut) to +1 (boost)." Hint: "0 is the centre."
	IDSettingPosition finding.ID = "curve.setting-position"
	// IDSettingTwice: Args: name.
	// "{name} is set twice." Hint: "Keep one."
	IDSettingTwice finding.ID = "curve.setting-twice"
)
