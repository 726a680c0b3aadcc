package report

import (
	"fmt"
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/quantity"
)

// GuidePart is a part of a guide: a heading and its steps in order.
type GuidePart struct {
	Heading string   `json:"heading"`
	Lines   []string `json:"lines"`
}

// TakesGuide tells how to make the takes of a job: the closed-box takes first,
// then those inside. Common practice, no source.
func TakesGuide(a *bench.TakesAnswer) []GuidePart {
	return []GuidePart{closedBox(), inside(a), levels(a)}
}

func closedBox() GuidePart {
	return GuidePart{"First with the box closed", []string{
		"Nothing is opened. Interface output to the return or input jack; amp into its dummy load, never without one.",
		"Across the dummy load a divider of known ohms into the interface, which keeps the input below 1 V. Only where one side of the output is ground: a bridged or floating output takes no lead that is earthed, and so no interface.",
		"The same output signal by a second lead straight back into the second input: the loopback. Phantom power off, gains left alone from here on.",
		"Start low and watch the input's meter; raise until the noise is far enough down and nothing clips. Measure the ohms between the interface and the jack and state them, as the generator's, whenever a take is read.",
		"Take flat, lifted, bypassed and each setting below, and read them engaged less lifted: the rest of the amp falls out. The generator's ohms do not: they stand in place of what drives the jack in use.",
	}}
}

func inside(a *bench.TakesAnswer) GuidePart {
	fed := "The generator's ohms take the place of the tap-in's own " + quantity.Ohms(a.SourceOhms).Display(3) + "; state them in the job as tap_in.generator and whenever a take is read."
	if a.GeneratorOhms != nil {
		fed = fmt.Sprintf("Feed the tap-in through %s, as the job says: they take the place of its own %s.",
			quantity.Ohms(*a.GeneratorOhms).Display(3), quantity.Ohms(a.SourceOhms).Display(3))
	}
	return GuidePart{"Then, only where that does not tell enough, at the tap-in", []string{
		"Unplug, discharge through a resistor, prove dead with a meter just proved live, leave the discharge clip on while hands are in. Connect only then; live readings are for a competent person: one hand, no jewellery, someone within call.",
		"A built divider of known ohms into the interface, with a blocking capacitor rated above the cold rail and a tenth, a bleed, and clamp diodes at the input. A scope's clip or a shield is earth: never on HT.",
		fed,
		"State the divider and the input's ohms whenever a take is read, so that their loading is corrected.",
	}}
}

func levels(a *bench.TakesAnswer) GuidePart {
	dbu := func(x float64) string {
		return strings.Replace(strconv.FormatFloat(x, 'f', 1, 64), "-", "−", 1) + " dBu"
	}
	lines := []string{"Take everything at " + dbu(a.LevelDBu) + " at the tap-in."}
	if a.MostDBu != nil {
		lines = append(lines, fmt.Sprintf("Stay below %s there: 6 dB under what %s passes undistorted at %s.", dbu(*a.MostDBu), a.LimitedBy, a.MostAt))
	}
	if a.SecondDBu != nil {
		lines = append(lines, "Take flat and one boost again at "+dbu(*a.SecondDBu)+": within 0.1 dB and 1 % of frequency, level plays no part.")
	}
	return GuidePart{"How loud", append(lines, "Flat comes again at the end: within 0.05 dB, nothing has moved.")}
}
