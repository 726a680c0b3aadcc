package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/job"
	"bandwright/quantity"
)

// LiveCaution stands wherever a hand is led to high tension.
const LiveCaution = `High voltages kill. Unplug, discharge through a resistor, prove dead with a meter just
proved live, and leave the clip on before a hand goes in; never lift the safety earth.
Live readings only by a competent person: one hand, no jewellery, someone within call.
Local codes and licensed practice come first. Figures are calculated, not proof of safety.`

// StageName says what a stage of a first power-up is.
func StageName(stage string) string {
	return map[string]string{
		job.StageBench:   "First power-up: the finished board on a current-limited bench supply",
		job.StageLimiter: "First power-up: in the amplifier, on the lamp limiter",
		job.StageMains:   "First power-up: in the amplifier, on mains",
	}[stage]
}

// StageBefore says how an earlier stage stands. A signature is what somebody
// wrote, and no more.
func StageBefore(b bench.StageBefore) string {
	switch {
	case b.Skipped != "":
		return "Before: " + b.Stage + " SKIPPED: " + b.Skipped
	case b.Open:
		return "Before: " + b.Stage + " " + notDone
	}
	return "Before: " + b.Stage + " signed " + b.Signed
}

// PowerUpFrom says what the volts of a list follow from.
func PowerUpFrom(a *bench.FirstVoltsAnswer) string {
	if s := a.Supply; s != nil {
		limit := notDone + " (set one)"
		if s.Limit != nil {
			limit = ampsOf(*s.Limit)
		}
		text := "Bench supply: " + voltsOf(s.Volts) + " at " + s.Point + ", current limit " + limit + ". The board should draw " + ampsOf(s.Amperes)
		if s.Read == nil {
			return text + "; read: " + notDone + "."
		}
		return text + "; read: " + ampsOf(*s.Read) + ", " + VerdictWord(s.Verdict) + "."
	}
	r := a.Rail
	if r == nil {
		return "The circuit has no rail of its own: the volts are those of the drawing."
	}
	text := "Read first: the rail at " + r.Point + ". All volts follow from " + voltsOf(r.Volts) + " there, "
	switch r.From {
	case "read":
		return text + "as read."
	case "mains":
		return text + "scaled by the mains (" + voltsOf(*r.Mains) + " now), as nobody has read the rail."
	}
	return text + "as the job says; nobody has read it."
}

// PowerUpCount says what became of the readings.
func PowerUpCount(a *bench.FirstVoltsAnswer) string {
	return strconv.Itoa(a.Passed) + " pass, " + strconv.Itoa(a.Looks) + " look, " + strconv.Itoa(a.Stops) + " stop, " + strconv.Itoa(a.NotDone) + " " + notDone + "."
}

// PowerUpLimits says which limits are in force, and what they are of.
func PowerUpLimits(a *bench.FirstVoltsAnswer) string {
	return "Limits in force: " + shareText(a.Pass) + " pass, " + shareText(a.Look) + " look, beyond it stop. Read with a meter of " +
		quantity.Ohms(a.Meter.InputOhms).Display(3) + " on volts, whose loading is in what it should show; from and to are parts and meter at their limits."
}

func shareText(s bench.Share) string {
	if s.Below == s.Above {
		return "±" + percent(s.Above)
	}
	return "−" + percent(s.Below) + "/+" + percent(s.Above)
}

// Bounded tells whether a list has points that must rise and must not exceed.
func Bounded(a *bench.FirstVoltsAnswer) bool {
	for _, r := range a.Rows {
		if r.Most != nil {
			return true
		}
	}
	return false
}

// VerdictWord writes a verdict so that none is overlooked.
func VerdictWord(v bench.Verdict) string {
	if v == bench.Stop || v == bench.Look {
		return strings.ToUpper(string(v))
	}
	return string(v)
}
