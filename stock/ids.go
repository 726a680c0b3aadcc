package stock

import "bandwright/finding"

// Findings of this room. A value in a cell that cannot be read is a finding
// of package quantity with its place put in. Args called hertz, wanted and
// resonance are in hertz; measured, marked and value are in the unit the arg
// unit names ("henry", "farad", "ohm"); dcr is in ohms. Place.Column counts
// characters of the line.

// The file as a whole: errors, and nothing is read.
const (
	// IDTooLarge: Args: limit (int, bytes).
	// "The file is larger than {limit} bytes." Hint: "Is it the drawer's CSV?"
	IDTooLarge finding.ID = "stock.too-large"
	// IDTooManyRows: Args: limit (int).
	// "The file has more than {limit} rows." Hint: "Part it into several files."
	IDTooManyRows finding.ID = "stock.too-many-rows"
	// IDTooManyColumns: Args: limit (int).
	// "The table has more than {limit} columns." Hint: "Save only the drawer's own columns."
	IDTooManyColumns finding.ID = "stock.too-many-columns"
	// IDEmpty: no args.
	// "There is nothing in the file." Hint: "Save the sheet as CSV again."
	IDEmpty finding.ID = "stock.empty"
	// IDNotTable: Args: kind (text).
	// "This is a {kind}, not a table of text." Hint: "Save the sheet as CSV."
	IDNotTable finding.ID = "stock.not-a-table"
	// IDNoTitles: Args: read (the first row).
	// "No row of titles was found; the file begins “{read}”." Hint: "Put titles like id, kind, value, tolerance, measured, frequency above the columns, or say what each column holds."
	IDNoTitles finding.ID = "stock.no-titles"
	// IDNoValueColumn: Args: titles.
	// "No column holds a marked or a measured value; the titles are {titles}." Hint: "Title one of them value or measured, or say which it is."
	IDNoValueColumn finding.ID = "stock.no-value-column"
	// IDMappingWord: Args: what ("separator", "decimal", "kind", "holds", "mode", "unit", "number", "frequency"), read, allowed.
	// "“{read}” is not a {what} of the columns; it may be {allowed}." Hint: ""
	IDMappingWord finding.ID = "stock.mapping-word"
)

// The file as a whole: notes and warnings.
const (
	// IDMappingUnused (warning): Args: column (title or number as text), holds.
	// "The file has no column {column}, which was said to hold {holds}." Hint: "Look at the titles again."
	IDMappingUnused finding.ID = "stock.mapping-unused"
	// IDColumnTwice (warning): Args: holds, first, second (int, columns from 1).
	// "Columns {first} and {second} both seem to hold {holds}; {second} is not used." Hint: "Say which of them it is."
	IDColumnTwice finding.ID = "stock.column-twice"
	// IDColumnsIgnored (note): Args: columns (text).
	// "Not used: columns {columns}." Hint: ""
	IDColumnsIgnored finding.ID = "stock.columns-ignored"
	// IDNoIDColumn (warning): no args.
	// "No column holds the parts' ids; they are called by their row, which changes when rows do." Hint: "Write a number on every bag and put it in a column id."
	IDNoIDColumn finding.ID = "stock.no-id-column"
	// IDEncoding (note): Args: encoding ("UTF-16", "Latin-1").
	// "The text is not UTF-8; it was read as {encoding}." Hint: "Look whether µ and Ω came out right."
	IDEncoding finding.ID = "stock.encoding"
	// IDNoParts (warning): no args.
	// "There are titles but no parts." Hint: "Is it the right sheet?"
	IDNoParts finding.ID = "stock.no-parts"
)

// A row that is not taken: errors with line and column; all others stand.
const (
	// IDQuote: Args: read.
	// "A quote is opened and not closed before a separator: “{read}”." Hint: "Double a quote inside quotes, or take the stray one away."
	IDQuote finding.ID = "stock.quote"
	// IDExtraField: Args: fields, want (int), read, separator.
	// "The row has {fields} fields under {want} titles; “{read}” is too many." Hint: "With a {separator} between fields, a {separator} inside a field needs quotes around it: is a decimal comma in the row?"
	IDExtraField finding.ID = "stock.extra-field"
	// IDNoID: no args.
	// "The part has no id." Hint: "Write one on its bag and here."
	IDNoID finding.ID = "stock.no-id"
	// IDIDLong: Args: read, limit (int, characters).
	// "The id “{read}” is longer than {limit} characters." Hint: "Move the rest to the notes."
	IDIDLong finding.ID = "stock.id-too-long"
	// IDIDTwice: Args: first (int, line), what ("kind", "marked value", "tolerance", "self-capacitance", "self-resonance", "place", "price", or "reading" when one of them has none: what keeps the two from being one part).
	// "The id {part} stands on line {first} already, with another {what}." Hint: "Give one of them another id. A further reading of one part repeats kind and marked value."
	IDIDTwice finding.ID = "stock.id-twice"
	// IDNoKind: no args.
	// "Nothing says whether this is a coil, a capacitor or a resistor." Hint: "Add a column kind, or write the unit."
	IDNoKind finding.ID = "stock.no-kind"
	// IDUnknownKind: Args: read.
	// "“{read}” is no kind of part." Hint: "Write coil, capacitor or resistor, or say that the column holds something else."
	IDUnknownKind finding.ID = "stock.unknown-kind"
	// IDNoValue: no args.
	// "The part has neither a marked nor a measured value." Hint: "Measure it."
	IDNoValue finding.ID = "stock.no-value"
	// IDNotNumber: Args: field, read.
	// "“{read}” is no number for {field}." Hint: "Write plain digits."
	IDNotNumber finding.ID = "stock.not-a-number"
	// IDNotPositive: Args: field, read.
	// "{field} is “{read}”; it must be above nought." Hint: "Leave the field blank when nothing was read."
	IDNotPositive finding.ID = "stock.not-positive"
	// IDNotMode: Args: read.
	// "“{read}” is no mode of a meter." Hint: "Write series or parallel."
	IDNotMode finding.ID = "stock.not-a-mode"
	// IDNotCount: Args: read, limit (int).
	// "“{read}” is no count of parts." Hint: "A whole number up to {limit}; 0 when none is left."
	IDNotCount finding.ID = "stock.not-a-count"
	// IDQAndD: Args: q, d (float64).
	// "Q {q} and D {d} do not belong together: one is 1 over the other." Hint: "Read the meter again; keep one of them."
	IDQAndD finding.ID = "stock.q-and-d"
)

// A row that is taken with a warning.
const (
	// IDBrokeOff: Args: read.
	// "The last row has fewer fields than the others and no line end: “{read}”." Hint: "Did the file break off? Save it again."
	IDBrokeOff finding.ID = "stock.broke-off"
	// IDLeftBlank: Args: field, read.
	// "“{read}” cannot be read as {field}; it is left blank." Hint: "Write its unit: 0.5 V, 21 °C, 80 pF."
	IDLeftBlank finding.ID = "stock.left-blank"
	// IDOtherKind: Args: title, kind, read.
	// "“{read}” under {title} belongs to no {kind} and is not used." Hint: "Look whether kind and column are right."
	IDOtherKind finding.ID = "stock.other-kind"
	// IDReadingTwice: Args: first (int, line).
	// "The same reading of {part} stands on line {first} already; it counts once." Hint: "Delete one of them."
	IDReadingTwice finding.ID = "stock.reading-twice"
	// IDReadingsDiffer: Args: first (int, line), measured, other (float64), unit.
	// "Two readings of {part} taken alike differ: {other} on line {first}, {measured} here." Hint: "Measure again; the later one is used."
	IDReadingsDiffer finding.ID = "stock.readings-differ"
	// IDMeasuredCount: Args: count (int).
	// "One reading for {count} parts: it says nothing of the others, which are taken as marked." Hint: "Give each measured part its own row."
	IDMeasuredCount finding.ID = "stock.measured-count"
	// IDUnitSlip: Args: measured, marked (float64), unit, factor (float64: 1000, 1e-3, 1e6 or 1e-6).
	// "{part} is marked {marked} and read {measured}: about {factor} times as much." Hint: "µH for mH, nF for µF? Look at the prefix of both."
	IDUnitSlip finding.ID = "stock.unit-slip"
	// IDDecadeOff: Args: measured, marked (float64), unit, factor (float64: 10 or 0.1).
	// "{part} is marked {marked} and read {measured}: a decade apart." Hint: "Read the marking again, and where the point stands."
	IDDecadeOff finding.ID = "stock.decade-off"
	// IDBeyondTolerance: Args: measured, marked, deviation (fraction), tolerance (fraction, of that side; assumed 0.2 where none is written), unit.
	// "{part} lies {deviation} from its marking, over three times its tolerance {tolerance}." Hint: "Measure again; a wrong range or a damaged part?"
	IDBeyondTolerance finding.ID = "stock.beyond-tolerance"
	// IDHighQ: Args: q, limit (float64).
	// "A Q of {q} is not believable in a coil for these frequencies." Hint: "Is the number in another column's place?"
	IDHighQ finding.ID = "stock.high-q"
	// IDQOverCopper: Args: q, most, dcr, hertz (float64).
	// "Q {q} at {hertz} cannot be: {dcr} of copper allows {most} at most." Hint: "Measure both again; zero the leads for DCR."
	IDQOverCopper finding.ID = "stock.q-over-copper"
	// IDHighLoss: Args: d, limit (float64).
	// "tan δ of {d} is too much for a leg." Hint: "An electrolytic or a leaky capacitor: keep it out of new builds."
	IDHighLoss finding.ID = "stock.high-loss"
	// IDSelfMismatch: Args: resonance, from (float64, hertz: from the self-capacitance).
	// "Self-resonance {resonance} and self-capacitance, which gives {from}, do not belong together." Hint: "Keep the one that was measured; the self-capacitance is used."
	IDSelfMismatch finding.ID = "stock.self-mismatch"
	// IDBagShifted (note): Args: count (int), marked, low, high (fractions), unit.
	// "All {count} measured parts marked {marked} lie to one side, {low} to {high}." Hint: "Expect the unmeasured ones of that bag there too."
	IDBagShifted finding.ID = "stock.bag-shifted"
)

// What a reading says at a frequency: warnings of Read and of SeriesAt.
const (
	// IDNoFrequency: no args.
	// "{part} was measured at a frequency nobody wrote down." Hint: "Measure again and write the frequency: what a meter shows of a coil depends on it."
	IDNoFrequency finding.ID = "stock.no-frequency"
	// IDNoMode: Args: q, series, parallel (float64), unit.
	// "Series or parallel was not written; at Q {q} they differ: {series} or {parallel}." Hint: "Look at the meter: Ls or Lp?"
	IDNoMode finding.ID = "stock.no-mode"
	// IDNoLoss: no args.
	// "A parallel reading of {part} without Q or DCR cannot be turned into the series value the leg needs." Hint: "Write Q or D beside it, or measure in series mode."
	IDNoLoss finding.ID = "stock.no-loss"
	// IDLowQ: Args: q, limit, hertz (float64; hertz 0: not written).
	// "{part} was read at Q {q}: below {limit} meters err." Hint: "Measure at a higher frequency, or in the leg at its band."
	IDLowQ finding.ID = "stock.low-q"
	// IDNearResonance: Args: hertz, resonance, ratio (float64), at ("reading" or "band").
	// "{hertz} is near the self-resonance of {part}, {resonance}: {ratio} times is too little." Hint: "Five times or more is wanted: measure lower, or take a coil with less self-capacitance."
	IDNearResonance finding.ID = "stock.near-resonance"
	// IDAboveResonance: Args: hertz, resonance (float64), at ("reading" or "band").
	// "{hertz} lies at or above the self-resonance of {part}, {resonance}: there it is no coil." Hint: "Measure lower, or take another coil."
	IDAboveResonance finding.ID = "stock.above-resonance"
	// IDTestFrequency: Args: value, hertz, wanted (float64), unit.
	// "{part} ({value}) was read at {hertz}; coils of its size are read at {wanted}." Hint: "Measure again there."
	IDTestFrequency finding.ID = "stock.test-frequency"
	// IDNoDCR: no args.
	// "The DCR of {part} is not known." Hint: "Measure it; leads zeroed."
	IDNoDCR finding.ID = "stock.no-dcr"
	// IDNotMeasured (note): no args.
	// "{part} was not measured: its marked value counts, with its tolerance." Hint: ""
	IDNotMeasured finding.ID = "stock.not-measured"
	// IDNoTolerance: Args: tolerance (float64, fraction assumed).
	// "{part} has no tolerance written; ±{tolerance} is assumed." Hint: "Write its tolerance, or measure it."
	IDNoTolerance finding.ID = "stock.no-tolerance"
)

// IDMeterGap (warning): Args: meter (text), hertz.
// "The accuracy of {meter} at {hertz} is not known; an ordinary hand meter's is used." Hint: "Write it from the meter's leaflet."
const IDMeterGap finding.ID = "stock.meter-gap"
