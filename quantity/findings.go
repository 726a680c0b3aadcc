package quantity

import (
	"strings"
	"unicode/utf8"

	"bandwright/finding"
)

// Every finding of this room is an Error with at least these arguments:
//
//	read  string  the text as it came, cut to 60 characters
//	unit  string  "ohm", "farad", "henry", "hertz", "volt", "ampere", "watt",
//	              "second", "metre", "celsius", "decibel", "level",
//	              "tolerance" or "series": what was expected
//	like  string  a text of that kind that would be read
//
// Places are empty: whoever knows file and line puts them in. Beside each ID
// stand the further arguments and a proposed sentence and hint.
const (
	// IDEmpty: nothing is written where a value is needed.
	//	"No value is written."  Hint: "Write it as {like}."
	IDEmpty finding.ID = "quantity.empty"

	// IDNotNumber: there is no number to be read in the text.
	//	"“{read}” is not a value in {unit}."  Hint: "Write it as {like}."
	IDNotNumber finding.ID = "quantity.not-a-number"

	// IDUnknownUnit: the number was read, what follows it was not.
	//	suffix string: what follows the number; empty when a unit is missing.
	//	"“{suffix}” in “{read}” is no unit or prefix of {unit}."
	//	Hint: "Write it as {like}."
	IDUnknownUnit finding.ID = "quantity.unknown-unit"

	// IDAmbiguous: two readings are possible and differ.
	//	one, other float64: both, in base units (a tolerance as a fraction,
	//	a level in volts).
	//	"“{read}” may mean {one} or {other}."
	//	Hint: "Write the one that is meant, for example {like}."
	IDAmbiguous finding.ID = "quantity.ambiguous"

	// IDNegative: a quantity that cannot be negative has a minus sign.
	//	"“{read}” is negative; {unit} cannot be here."
	//	Hint: "Take the minus sign away, or look whether the fields are swapped."
	IDNegative finding.ID = "quantity.negative"

	// IDOutOfRange: a well-written value no bench will meet.
	//	low, high float64: the bounds of the magnitude, in base units.
	//	"“{read}” is outside what can be meant: {low} to {high}."
	//	Hint: "Check the exponent or the prefix."
	IDOutOfRange finding.ID = "quantity.out-of-range"

	// IDNotTolerance: the text is no tolerance.
	//	"“{read}” is not a tolerance."
	//	Hint: "Write ±5 %, -20/+80 %, or a letter: F 1 %, G 2 %, J 5 %, K 10 %, M 20 %, Z -20/+80 %."
	IDNotTolerance finding.ID = "quantity.not-a-tolerance"

	// IDNotCode: the text is no marking of this kind of part.
	//	"“{read}” is not a marking code of {unit}."
	//	Hint: "Read it again in good light; a code looks like {like}. A value as text has no code letter or count of zeros."
	IDNotCode finding.ID = "quantity.not-a-code"

	// IDSmallLetter: below 10 pF the letters B C D F G on a capacitor mean
	// picofarads, not per cent (from memory), so the marking does not settle
	// the tolerance.
	//	letter string; value float64 (farads); tolerance float64 (the
	//	fraction the letter would mean on a larger part).
	//	"On a capacitor under 10 pF the letter {letter} of “{read}” means picofarads, not ±{tolerance}."
	//	Hint: "Give the value and, in per cent, the tolerance."
	IDSmallLetter finding.ID = "quantity.small-letter"

	// IDBandCount: a resistor's bands are three to five.
	//	bands int.
	//	"“{read}” has {bands} bands; three, four or five can be read."
	//	Hint: "Leave a temperature band away; start at the end away from the gold or silver one."
	IDBandCount finding.ID = "quantity.band-count"

	// IDNotColour: a band's colour is unknown or has no meaning there.
	//	colour string; band int, from 1.
	//	"“{colour}” has no meaning as band {band} of “{read}”."
	//	Hint: "Start at the other end, or check the colour: red and orange, blue and violet are easily taken for each other."
	IDNotColour finding.ID = "quantity.not-a-colour"

	// IDNotSeries: the text names no series of preferred values.
	//	"“{read}” is no series of preferred values."
	//	Hint: "E3, E6, E12, E24, E48, E96 or E192."
	IDNotSeries finding.ID = "quantity.not-a-series"
)

// refuse makes the room's finding; facts go in pairs of name and value.
func refuse(id finding.ID, read string, u *unit, facts ...any) error {
	args := finding.Args{"read": cut(read), "unit": u.name, "like": u.like}
	for i := 0; i+1 < len(facts); i += 2 {
		args[facts[i].(string)] = facts[i+1]
	}
	return finding.New(id, finding.Error, finding.Place{}, args)
}

// cut makes text safe to quote: valid UTF-8 of at most 60 characters.
func cut(text string) string {
	if len(text) > 1000 {
		text = text[:1000]
	}
	text = strings.ToValidUTF8(text, "\uFFFD")
	if utf8.RuneCountInString(text) <= 60 {
		return text
	}
	return string([]rune(text)[:60]) + "…"
}
