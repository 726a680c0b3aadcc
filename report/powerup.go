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

const stageSigned = "signed"

// StageState says how an earlier stage stands, and by whom or why.
func StageState(b bench.StageBefore) (state, why string) {
	switch {
	case b.Skipped != "":
		return "SKIPPED", b.Skipped
	case b.Open:
		return notDone, ""
	}
	return stageSigned, b.Signed
}

// StageBefore says the same in one line.
func StageBefore(b bench.StageBefore) string {
	state, why := StageState(b)
	if why != "" {
		why = ": " + why
	}
	return "Before: " + b.Stage + " " + state + why
}

// ExpectedHeads name the columns of ExpectedVolts.
func ExpectedHeads(a *bench.FirstVoltsAnswer) []string {
	var heads []string
	if !UnderLamp(a) {
		heads = []string{"should show", "from", "to"}
	}
	if Bounded(a) {
		heads = append(heads, "must rise to", "must not exceed")
	}
	return heads
}

// UnderLamp tells a list on the limiter whose rail nobody has read: what a point
// then shows is not known, only its bounds are.
func UnderLamp(a *bench.FirstVoltsAnswer) bool {
	return a.Stage == job.StageLimiter && a.Rail != nil && a.Rail.From != "read"
}

// ExpectedVolts writes what a point should show, from and to; on a list with
// bounds also what it must rise to and must not exceed.
func ExpectedVolts(a *bench.FirstVoltsAnswer, r bench.StageVolts) []string {
	var cells []string
	switch {
	case UnderLamp(a):
	case r.Shown != nil:
		w := r.Shown.Worst
		if least := a.Pass.Below * bench.LeastJudged; w.Nominal < bench.LeastJudged && w.Nominal > -bench.LeastJudged {
			w.Low, w.High = min(w.Low, w.Nominal-least), max(w.High, w.Nominal+least) // as it is judged
		}
		cells = []string{meterVolts(w.Nominal), meterVolts(w.Low), meterVolts(w.High)}
	default:
		cells = []string{"no reading", "", ""}
	}
	if Bounded(a) {
		cells = append(cells, boundText(r.Rises), boundText(r.Most))
	}
	return cells
}

func boundText(x *float64) string {
	if x == nil {
		return ""
	}
	return meterVolts(*x)
}

// meterVolts writes volts as a hand meter shows them: a millivolt is the finest
// that is looked for.
func meterVolts(x float64) string {
	switch text := fixedOr(&x, 3); {
	case text == "0.000":
		return "0 V"
	case x < 1 && x > -1:
		return text + " V"
	}
	return voltsOf(x)
}

// VoltsRead writes what the meter showed; blank: it was not read.
func VoltsRead(r bench.StageVolts) string {
	switch {
	case r.Open:
		return job.ReadOpen
	case r.Read != nil:
		return voltsOf(*r.Read)
	}
	return ""
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
	switch {
	case UnderLamp(a):
		return "The lamp takes a share of the rail that nobody knows beforehand: each point must rise, and must not exceed what the cold rail, mains high, would give it. Read the rail at " + r.Point + " under the lamp, and each point's volts follow from it."
	case r.From == "read":
		return text + "as read."
	case r.From == "mains":
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
	if UnderLamp(a) {
		return "Limits in force: what each point must rise to and must not exceed, parts and meter at their limits. Read with a meter of " +
			quantity.Ohms(a.Meter.InputOhms).Display(3) + " on volts, whose loading is in them. The shares that pass, want a look or stop are those of the mains list, for a rail that has been read."
	}
	return "Limits in force: " + shareText(a.Pass) + " pass, " + shareText(a.Look) + " look, beyond it stop. Read with a meter of " +
		quantity.Ohms(a.Meter.InputOhms).Display(3) + " on volts, whose loading is in what it should show; from and to are parts and meter at their limits, and what lies between passes. Where less than " +
		voltsOf(bench.LeastJudged) + " should show, the limits are shares of that."
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
