package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/job"
	"bandwright/wiring"
)

// RunLength writes a length as wire is cut.
func RunLength(metres *float64) string {
	if metres == nil {
		return notDone
	}
	return plain(1000**metres, 4) + " mm"
}

// RunColour writes a run's colour, and the original's where that is another.
func RunColour(r bench.RunLine) string {
	if r.Original == "" {
		return orDash(r.Colour)
	}
	return orDash(r.Colour) + " (originally " + r.Original + ")"
}

// RunScreen says at which end a screen is grounded.
func RunScreen(r bench.RunLine) string {
	switch r.Screen {
	case bench.NoScreen:
		return dash
	case bench.ScreenNone:
		return "nowhere"
	case bench.ScreenBoth:
		return "BOTH ends: " + strings.Join(r.ScreenAt, ", ")
	case bench.ScreenFrom:
		return r.ScreenAt[0] + ", at " + r.From + "; cut back and sleeved at " + r.To
	}
	return r.ScreenAt[0] + ", at " + r.To + "; cut back and sleeved at " + r.From
}

// RunState says how far a run has come.
func RunState(r bench.RunLine) string {
	words := string(r.State)
	if r.State == wiring.NotYet {
		words = notDone
	}
	if r.Last && r.State == wiring.NotYet {
		words += ", last of all"
	}
	if r.Mains {
		words += ", MAINS"
	}
	return words
}

// RunsCount says how far the harness has come.
func RunsCount(a *bench.RunsAnswer) string {
	holds, soFar := 0, 0
	for _, in := range a.Intents {
		if in.Whole.Holds {
			holds++
		}
		if in.SoFar.Holds {
			soFar++
		}
	}
	all := strconv.Itoa(len(a.Intents))
	words := count(len(a.Runs), "run", "runs") + ": " + strconv.Itoa(a.Made) + " made, " + strconv.Itoa(a.NotYet) + " " + notDone
	if a.Removed > 0 {
		words += ", " + strconv.Itoa(a.Removed) + " removed again"
	}
	if len(a.Intents) == 0 {
		return words + ". The job does not say what the wiring must do ([[intent]])."
	}
	return words + ". Of " + all + " things that it must do, " + strconv.Itoa(holds) + " hold when all is made, " + strconv.Itoa(soFar) + " with what is made so far."
}

// CutLengths writes the pieces of one kind of wire.
func CutLengths(c bench.CutLine) string {
	var words []string
	for _, m := range c.Lengths {
		words = append(words, RunLength(&m))
	}
	if c.Unknown > 0 {
		words = append(words, strconv.Itoa(c.Unknown)+" of no stated length")
	}
	return strings.Join(words, ", ")
}

// LugAdvice says what is to be done about a full lug; "" where it is not.
func LugAdvice(l bench.LugLine) string {
	switch {
	case !l.Over:
		return ""
	case len(l.Spread) == 0:
		return "add a tag strip"
	}
	return "spread to " + strings.Join(l.Spread, " or ")
}

// Joins writes what a position joins.
func Joins(p bench.PositionLine) string {
	var words []string
	for _, j := range p.Joins {
		words = append(words, j[0]+" – "+j[1])
	}
	if len(words) == 0 {
		return "nothing"
	}
	return strings.Join(words, ", ")
}

// IntentWant says what must be.
func IntentWant(in bench.IntentLine) string {
	switch in.Want {
	case job.WantThrough:
		return "the signal comes through"
	case job.WantJoined:
		return "joined"
	}
	return "open"
}

// IntentHas says what there is, and whether that is as it must be.
func IntentHas(in bench.IntentLine, has bench.IntentHas) string {
	words := "yes"
	if !has.Holds {
		words = "NO"
	}
	switch {
	case has.DB != nil:
		return words + ", at least " + db1(*has.DB) + " (at " + hertz(*has.Hz) + " Hz)"
	case has.Ohms != nil:
		return words + ", " + OhmsText(*has.Ohms)
	case in.Want == job.WantThrough:
		return words + ", nothing comes through"
	}
	return words + ", no path"
}

// MainsSignText names a MAINS lug and who signed for it.
func MainsSignText(s bench.MainsSign) string {
	what := s.Name
	if s.What == "run" {
		what = "run " + s.Name + " at " + strings.Join(s.Lugs, " and ")
	}
	return what + ": " + orNotDone(s.SignedBy)
}

// ScreensToTell are those that are beyond the limit, and all together.
func ScreensToTell(a *bench.RunsAnswer) (list []bench.ScreenLoss) {
	for _, s := range a.Screens {
		if s.Over || s.Run == "" {
			list = append(list, s)
		}
	}
	return list
}

// ScreenText says what a screened run costs.
func ScreenText(s bench.ScreenLoss) string {
	what := "all screened runs together"
	if s.Run != "" {
		what = "run “" + s.Run + "”"
	}
	size, way := s.DB, " dB less at 20 kHz"
	if size < 0 {
		size, way = -size, " dB more at 20 kHz"
	}
	return what + " at " + s.Setting + ": " + plain(1e12*s.Farads, 3) + " pF, " + fixedOr(&size, 3) + way
}

// DCText says how many volts lie across a slider.
func DCText(s bench.SliderDC) string {
	return "slider " + s.Part + " at " + s.Setting + ": " + fixedOr(&s.Volts, 3) + " V across it"
}

// MovedText says what became of a part of the amplifier.
func MovedText(m bench.MovedLine) string {
	words := m.Name + ": from " + orDash(m.OldHole) + " to " + orDash(m.NewHole) + ", lead " + m.Lead
	switch {
	case m.Sleeved:
		words += ", joints sleeved"
	case m.Lead != "kept":
		words += ", sleeve " + notDone
	}
	if m.Mains {
		words += ", MAINS, signed for by " + orNotDone(m.SignedBy)
	}
	return words
}
