package job

import "bandwright/finding"

// What can be wrong with a job. Beside each: its args, a sentence and a hint
// for report, with {arg} where the arg goes. Args named key are the key's
// full name, such as "band.coil.dcr"; every text read is cut to 60 letters.
// What quantity finds in a value keeps quantity's ID and args, placed in the
// file, with the arg key added.
const (
	// IDTooBig: bytes, limit.
	// "The file is {bytes} bytes long; a job file has at most {limit}."
	// Hint: "Is it a job file at all? Curves and recordings stay in files of their own."
	IDTooBig finding.ID = "job.too-big"
	// IDNotUTF8: read (the byte in hex), encoding ("UTF-16" when that is what it looks like, else "").
	// "The text is not UTF-8 from here on (byte {read})."
	// Hint: "Save it again as UTF-8; old encodings of µ, Ω and ° are the usual cause."
	IDNotUTF8 finding.ID = "job.not-utf8"
	// IDSyntax: read (the line), detail (the TOML reader's own words), began
	// (the line of the key or header it belongs to: earlier when a bracket or
	// quote stayed open).
	// "This line is not TOML: {detail}."
	// Hint: "Texts and values with units stand in quotes: value = \"4k7\"."
	IDSyntax finding.ID = "job.syntax"
	// IDKeyTwice: key, first (the line where it stood first).
	// "{key} stands here a second time; the first is in line {first}."
	// Hint: "Keep one. A second band or part begins with [[band]] or [[part]], in two brackets."
	IDKeyTwice finding.ID = "job.key-twice"
	// IDUnknownKey: key, table ("" at the top), nearest (may be "").
	// "{key} is not a key of {table}." Hint: "Did you mean {nearest}?" or "docs/job-file.md lists them all."
	IDUnknownKey finding.ID = "job.unknown-key"
	// IDWrongType: key, read, is ("a whole number"), want ("text with a unit"), example (may be "").
	// "{key} should be {want}; {read} is {is}." Hint: "Write {key} = {example}."
	IDWrongType finding.ID = "job.wrong-type"
	// IDBadValue: key, read.
	// "{key} cannot be read from {read}." Hint: "Write it as docs/job-file.md shows."
	IDBadValue finding.ID = "job.bad-value"
	// IDNotFinite: key.
	// "{key} is not a number that can be reckoned with." Hint: "inf and nan have no place in a job."
	IDNotFinite finding.ID = "job.not-finite"
	// IDOutOfRange: key, read, low, high (numbers in base units; high may be absent: no upper limit).
	// "{key} is {read}; it lies from {low} to {high}." Hint: "Check the unit and the prefix."
	IDOutOfRange finding.ID = "job.out-of-range"
	// IDMissing: key, table, example (key = value); a band's value that is 0
	// counts as none.
	// "{table} has no {key}, or it is blank." Hint: "Add {example}."
	IDMissing finding.ID = "job.missing"
	// IDFormatMissing: known.
	// "The file does not say its format." Hint: "Its first line should be format = {known}."
	IDFormatMissing finding.ID = "job.format-missing"
	// IDFormatNewer: read, known.
	// "The file is of format {read}; this program knows formats up to {known} and left it untouched."
	// Hint: "Open it with a newer version of the program."
	IDFormatNewer finding.ID = "job.format-newer"
	// IDNoBand: none.
	// "The job has no band." Hint: "Add a [[band]] with name, centre, slider, coil and capacitor."
	IDNoBand finding.ID = "job.no-band"
	// IDNamedTwice: what ("band", "part", "curve", "batch"), name, first (line, 0 not known).
	// "Two {what}s are named {name}; the first is in line {first}." Hint: "Rename or remove one."
	IDNamedTwice finding.ID = "job.named-twice"
	// IDNameClash: what ("band", "part"), name, with (what else has the name: "band 63", "the tap-in's source").
	// "{what} {name} has a name that {with} already makes a part of."
	// Hint: "Rename it. To change a part that is already there, leave out kind and points."
	IDNameClash finding.ID = "job.name-clash"
	// IDBadName: what ("band", "part", "point", "switch position"), name, why ("space", "sign", "word").
	// "{name} cannot name a {what}." Hint, by why: "A name has no spaces." / "A name has none of the signs , = :"
	// / "This word already means a setting."
	IDBadName finding.ID = "job.bad-name"
	// IDUnknownKind: read, nearest (may be ""), known (comma-separated).
	// "There is no kind of part called {read}." Hint: "Did you mean {nearest}?" or "The kinds are {known}."
	IDUnknownKind finding.ID = "job.unknown-kind"
	// IDPoints: kind, have, want (numbers), points (their names in order, comma-separated).
	// "A {kind} has {want} points and {have} are given." Hint: "Give them in this order: {points}."
	IDPoints finding.ID = "job.points"
	// IDUnknownProperty: key, kind, nearest (may be ""), known (comma-separated, may be "").
	// "A {kind} has no property {key}." Hint: "Did you mean {nearest}?" or "It has {known}."
	IDUnknownProperty finding.ID = "job.unknown-property"
	// IDNoValue: kind.
	// "A {kind} has no value." Hint: "Its properties stand in set; docs/job-file.md lists them."
	IDNoValue finding.ID = "job.no-value"
	// IDUnknownWord: key, read, nearest (may be ""), known (comma-separated).
	// "{key} cannot be {read}." Hint: "It is one of {known}."
	IDUnknownWord finding.ID = "job.unknown-word"
	// IDUnknownName: what ("slider", "switch", "switch position"), read, nearest (may be ""), known (comma-separated).
	// "There is no {what} {read} in this job." Hint: "Did you mean {nearest}? The job has {known}."
	IDUnknownName finding.ID = "job.unknown-name"
	// IDBadSetting: read (the item that cannot be read), setting (the whole).
	// "{read} is not a setting." Hint: "Write it like flat, lift, or 63=+1,400=-0.5."
	IDBadSetting finding.ID = "job.bad-setting"
	// IDBadCheckSum: read, have (its length).
	// "This is not a SHA-256 check-sum." Hint: "It has 64 digits 0-9 and a-f; {have} are given. Leave it blank to have it filled in."
	IDBadCheckSum finding.ID = "job.bad-check-sum"
	// IDBadPath: key, read, why ("absolute", "climbs", "drive", "backslash", "control").
	// "{read} does not name a file beside the job." Hint, by why: "Name it relative to the job file." /
	// "It may not lead out of the job's folder with .." / "Leave out the drive." / "Use / between folders." / "A sign in it cannot be in a file name."
	IDBadPath finding.ID = "job.bad-path"
	// IDBadLaw: row (from 1, 0 when it concerns the whole), why ("two-numbers", "ends", "order", "share").
	// "The slider's law does not run from 0, 0 to 1, 1." Hint, by why: "Each row is [travel, share of track]." /
	// "The first row is [0, 0] and the last [1, 1]." / "Travel rises from row to row and the share never falls."
	// Of "share": "The slider's law has no share that fits its shape." Hint: "Write it like S 80 % or audio 15 %, between 0 and 100."
	IDBadLaw finding.ID = "job.bad-law"
	// IDCoilResistanceBlank, a warning: none (Place.Band tells the band).
	// "The coil of band {band} has no DCR; it is taken as 0 ohm."
	// Hint: "Measure it: a coil's resistance costs a band 0.2 to 1.6 dB of its boost."
	// (0.2–1.6 dB: common practice, no source; computed on one set of legs.)
	IDCoilResistanceBlank finding.ID = "job.coil-resistance-blank"
	// IDTwoWays: key ("band.slider"), one, other: keys of it.
	// "{key} is given in two ways: {one} and {other}."
	// Hint: "Leave one of them out."
	IDTwoWays finding.ID = "job.two-ways"
	// IDWantedTwoWays: key ("wanted.coil"), one, other: keys of it.
	// "{key} is to be chosen in two ways: {one} and {other}."
	// Hint: "Leave one of them out."
	IDWantedTwoWays finding.ID = "job.wanted-two-ways"
	// IDTooMany: shown.
	// "There are more findings than the {shown} shown." Hint: "Mend these first."
	IDTooMany finding.ID = "job.too-many"
	// IDBadAnswer: question (its key), read.
	// "The answer {read} to {question} cannot be used." Hint: the question's own Reads text.
	IDBadAnswer finding.ID = "job.bad-answer"
	// IDUnknownQuestion: question, nearest (may be "").
	// "There is no question {question}." Hint: "Did you mean {nearest}?"
	IDUnknownQuestion finding.ID = "job.unknown-question"
)
