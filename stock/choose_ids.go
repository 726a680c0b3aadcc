package stock

import "bandwright/finding"

// What is wrong with the question of a board: errors.
const (
	// IDChooseUnknown: Args: id.
	// "The drawer has no part {id}." Hint: "Look at its number again, or add it to the drawer."
	IDChooseUnknown finding.ID = "stock.choose-unknown"
	// IDChooseWanted: Args: what ("centre", "boost" or "Q"), value (text).
	// "The wanted {what} of band {band} cannot be {value}." Hint: "It must be above nought."
	IDChooseWanted finding.ID = "stock.choose-wanted"
	// IDChooseBarred: Args: id.
	// "The part {id} is both fixed in band {band} and barred from it." Hint: "Free it or bar it."
	IDChooseBarred finding.ID = "stock.choose-barred"
	// IDChooseMany: Args: kind, have, most (int).
	// "Band {band} has {have} parts of kind {kind} fixed; {most} can be soldered in." Hint: "Leave some free."
	IDChooseMany finding.ID = "stock.choose-many"
	// IDChooseShort: Args: why ("coils", "capacitors", "resistors": a band may have none of them; "fit": no coil of a fitting size; "conflict": two bands need one part; "no peak": a band has no peak with any leg tried).
	// "The drawer cannot fill the board …" Hint by why.
	IDChooseShort finding.ID = "stock.choose-short"
)

// What is said of a board that was chosen.
const (
	// IDChooseUnmet (warning): Args: figure ("centre", "boost" or "Q"), wanted, reached (float64), unit ("hertz", "decibel", ""), why ("copper": the coil's own resistance with no more than a wire for resistor; "parts": nothing nearer was found in the drawer; "fixed": fixed parts leave no choice), cannot (bool: no board of this drawer brings the band within its limits, as every board solved shows or the leg model and how far it was seen to be off).
	// "The {figure} of band {band} comes to {reached}; {wanted} is wanted[, which this drawer cannot meet]." Hint by why.
	IDChooseUnmet finding.ID = "stock.choose-unmet"
	// IDChooseAside (note): Args: parts (text), count (int).
	// "{count} coils were left aside, since their DCR is not known: {parts}." Hint: "Measure it, leads zeroed."
	IDChooseAside finding.ID = "stock.choose-aside"
	// IDChooseUnsettled (warning): no args.
	// "The search for parts ended before it was settled." Hint: "There may be a better board; bar or fix some parts."
	IDChooseUnsettled finding.ID = "stock.choose-unsettled"
)
