package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/quantity"
	"bandwright/wiring"
)

// DeadFirst stands before every list of ohms.
const DeadFirst = `Before the first reading: unplug, discharge through a resistor, prove dead with a meter just
proved live, leave the clip on, and sign for it. Never an ohms reading before that.
Local codes and licensed practice come first. Figures are calculated, not proof of safety.`

// DeadSigned says who signed, or that nobody has.
func DeadSigned(d bench.DeadSign) string {
	if !d.Signed {
		return "Discharged and proved dead: " + notDone
	}
	return "Discharged and proved dead: signed by " + d.By + ", " + d.Date + " (" + d.How + ")"
}

// OhmsStage says what a stage of ringing out is.
func OhmsStage(stage string) string {
	switch stage {
	case bench.StageLoose:
		return "loose: boards and switches on the bench, no run and no link"
	case bench.StageLastOpen:
		return "last joints open: fitted, all but the last joints made"
	case bench.StageAsMade:
		return "as made: what is made so far"
	}
	return "complete: everything made, every link removed"
}

// OhmsCount says what a list catches, and that none is shorter.
func OhmsCount(a *bench.OhmsAnswer) string {
	words := count(a.Lines, "line catches ", "lines catch ") + strconv.Itoa(a.Caught) + " of " + strconv.Itoa(len(a.Faults)) + " single faults"
	switch {
	case a.List == bench.ListQuick:
		return words + ". A quick list: the likeliest first, and not all that ohms can show."
	case a.Gap == 0:
		return words + ", all that ohms can show. Proven: no list that catches as much has fewer lines."
	}
	return words + ", all that ohms can show. Proven: no list that catches as much has fewer than " + strconv.Itoa(a.Bound) + " lines."
}

// OhmsTally says what became of the readings.
func OhmsTally(a *bench.OhmsAnswer) string {
	return strconv.Itoa(a.Passed) + " pass, " + strconv.Itoa(a.Looks) + " look, " + strconv.Itoa(a.Stops) + " stop, " + strconv.Itoa(a.NotDone) + " " + notDone + "."
}

// OhmsMeter says which meter the figures are of.
func OhmsMeter(a *bench.OhmsAnswer) string {
	m := a.Meter
	return "Figures at " + quantity.Celsius(a.Celsius).Display(3) + ", with all parts at their limits and a meter of " + plain(100*m.Ohms.Share, 3) + " % and " + plain(m.Ohms.Digits, 1) +
		" counts, leads zeroed to " + OhmsText(m.LeadOhms) + ", that opens no junction; above " + OhmsText(m.MostOhms) + " it shows open. " +
		"Limits in force: within the range pass; within a fifth or 0.5 Ω of it look; beyond it stop; 1 MΩ or more where it must be open: look, for it may still be rising."
}

// OhmsText writes ohms as a meter with a tenth of an ohm shows them.
func OhmsText(x float64) string {
	if x < 9.995 {
		return strings.Replace(strconv.FormatFloat(x, 'f', 2, 64), "-", "−", 1) + " Ω"
	}
	return quantity.Ohms(x).Display(4)
}

// OhmsRange writes what a line must show: low, nominal, high.
func OhmsRange(r bench.OhmsRow) (low, nominal, high string) {
	if r.Ohms == nil {
		return "", "open", ""
	}
	return OhmsText(r.Ohms.Low), OhmsText(r.Ohms.Nominal), OhmsText(r.Ohms.High)
}

// OhmsRead writes what was read.
func OhmsRead(r bench.OhmsRow) string {
	switch {
	case !r.Shown:
		return notDone
	case r.Read == nil:
		return "open"
	}
	return OhmsText(*r.Read)
}

// OhmsSetting writes a setting short.
func OhmsSetting(a *bench.OhmsAnswer, setting string) string {
	if setting == a.AllUp {
		return "all sliders up"
	}
	return setting
}

// settlesFrom is from where a person has to be told to wait.
const settlesFrom = 1.0

// OhmsWait says how long a reading creeps; "" where nobody notices.
func OhmsWait(seconds float64) string {
	switch {
	case seconds < settlesFrom:
		return ""
	case seconds < 100:
		return plain(seconds, 2) + " s"
	}
	return plain(seconds/60, 2) + " min"
}

// mostNamed is how many parts a line names that it goes through.
const mostNamed = 6

// Proves says what a line proves when it reads as expected.
func Proves(r bench.OhmsRow) string {
	if r.Open {
		return "nothing joins them"
	}
	return through(r.Through)
}

func through(list []wiring.Share) string {
	var names []string
	for i, s := range list {
		if i == mostNamed {
			names = append(names, "…")
			break
		}
		name := partName(s.Part)
		if s.Current > 0 && s.Current < 0.9 { // paths side by side
			name += " (" + plain(100*s.Current, 2) + " % of the current)"
		}
		names = append(names, name)
	}
	return strings.Join(names, ", ")
}

// partName writes a part of the harness as people say it.
func partName(part string) string {
	for _, kind := range []string{"run", "link"} {
		if name, ok := strings.CutPrefix(part, kind+"."); ok {
			return kind + " “" + name + "”"
		}
	}
	return part
}

// SlipText says what a fault of a list is.
func SlipText(f bench.OhmsFault) string {
	label := f.Label
	for _, kind := range []string{"run", "link"} {
		label = strings.ReplaceAll(label, kind+".", kind+" ")
	}
	return string(f.Slip) + ": " + label
}

// HiddenText says why ohms cannot show a fault.
func HiddenText(h wiring.Hidden) string {
	switch h {
	case wiring.NoChange:
		return "no ohms change: for direct current the circuit is the same"
	case wiring.InRange:
		return "ohms change by less than parts and meter let them"
	case wiring.Failing:
		return "the circuit with it has no answer"
	}
	return "not on this list"
}

// numbers writes ascending numbers short: "1, 4–9".
func numbers(list []int) string {
	var words []string
	for i := 0; i < len(list); {
		j := i
		for j+1 < len(list) && list[j+1] == list[j]+1 {
			j++
		}
		switch word := strconv.Itoa(list[i]); {
		case j == i:
			words = append(words, word)
		case j == i+1:
			words = append(words, word, strconv.Itoa(list[j]))
		default:
			words = append(words, word+"–"+strconv.Itoa(list[j]))
		}
		i = j + 1
	}
	return strings.Join(words, ", ")
}

// OhmsFits names the faults that would read as a line did; "" where none.
func OhmsFits(a *bench.OhmsAnswer, r bench.OhmsRow) string {
	var words []string
	for i, n := range r.Fits {
		if i == mostNamed {
			words = append(words, "or another of "+strconv.Itoa(len(r.Fits)))
			break
		}
		words = append(words, SlipText(a.Faults[n-1]))
	}
	return strings.Join(words, "; ")
}

// CaughtText says on which lines a fault is caught, or why on none.
func CaughtText(f bench.OhmsFault) string {
	if len(f.Lines) == 0 {
		return "– (" + HiddenText(f.Hidden) + ")"
	}
	return numbers(f.Lines)
}

// Probe says in a few lines what one probe shows.
func Probe(a *bench.ProbeAnswer) []string {
	leads := a.Red + " (red) to " + a.Black + " (black) at " + a.Setting
	lines := []string{leads + ": " + probeShown(a.Shown)}
	if a.Turned != nil {
		lines = append(lines, "leads exchanged: "+probeShown(a.Turned.Shown))
	}
	switch wait := OhmsWait(a.Settles); {
	case wait != "" && a.Open:
		lines = append(lines, "It creeps up for about "+wait+" while capacitors charge, and is open when it does so.")
	case wait != "":
		lines = append(lines, "It creeps for about "+wait+" while capacitors charge.")
	}
	if len(a.Through) > 0 {
		lines = append(lines, "Through "+through(a.Through)+".")
	}
	meter := "Meter: opens no junction."
	if a.Meter.TestVolts > 0 {
		meter = "Meter: " + quantity.Volts(a.Meter.TestVolts).Display(3) + " behind " + OhmsText(a.Meter.TestSeries) + "; it opens junctions, so that both ways round are told."
	}
	return append(lines, meter)
}

func probeShown(s *bench.Shown) string {
	if s == nil {
		return "open"
	}
	return OhmsText(s.Worst.Nominal) + " (likely " + OhmsText(s.Likely.Low) + " to " + OhmsText(s.Likely.High) + ", worst " + OhmsText(max(s.Worst.Low, 0)) + " to " + OhmsText(s.Worst.High) + ")"
}
