package report

import (
	"strings"

	"bandwright/bench"
	"bandwright/feed"
	"bandwright/quantity"
)

// What the supply does, in sentences: for a sheet, and for who reads a list.

// FeedRail says what the rail stands at, loaded, cold, and at most.
func FeedRail(r bench.FeedRail) string {
	cold := "taken to be, as nobody read it"
	if r.ColdRead {
		cold = "as read"
	}
	return "The rail at " + r.Point + ": " + voltsOf(r.Volts) + " under load; " + voltsOf(r.Cold) + " before the valves draw, " + cold +
		"; mains " + shareText(bench.Share{Below: r.Low, Above: r.High}) + ". At most: " + voltsOf(r.Cold*(1+r.High)) + "."
}

// FeedLimits says how much of its rating a part may carry, and how switches
// and plugs stand meanwhile.
func FeedLimits(a *bench.FeedAnswer) string {
	l := a.Limits
	text := "Limits in force: " + percent(l.Volts) + " of its volts, " + percent(l.Watts) + " of its watts, " + percent(l.Amperes) +
		" of its amperes, in the worst case, without a signal."
	if len(a.Settings) > 1 {
		text += " Each case is the worst of " + count(len(a.Settings), "", "ways the switches stand that draw differently") + ": " + strings.Join(a.Settings, "; ") + "."
	}
	return text
}

// FeedDropper says which dropper was chosen, and what was fitted.
func FeedDropper(a *bench.FeedAnswer) []string {
	var list []string
	if len(a.Fitted) > 0 {
		var names []string
		for _, f := range a.Fitted {
			rated := ""
			if f.Watts > 0 {
				rated = ", " + wattsOf(f.Watts)
			}
			names = append(names, f.Part+" "+ohmsOf(f.Ohms)+rated)
		}
		list = append(list, "In the job: "+listed(names)+".")
	}
	d := a.Dropper
	if d == nil {
		return list
	}
	what := "one of " + ohmsOf(d.Each)
	if d.InSeries > 1 {
		what = "two of " + ohmsOf(d.Each) + " in series, to share volts and heat"
	}
	return append(list,
		"Of preferred values: "+what+", "+wattsOf(d.Watts)+" each, flame-proof, on stand-offs.",
		"Each then carries "+wattsOf(d.Worst)+" at most ("+string(d.WorstCase)+") and stands at "+voltsOf(d.Volts)+" at most; the zener keeps "+
			ampsOf(d.ZenerLeast)+" at least and takes "+wattsOf(d.ZenerWatts)+" at most.")
}

// FeedZener says what fails when the zener opens, the first to go first, and
// what would cure it. Nil: there is no zener.
func FeedZener(z *feed.ZenerFailure) []string {
	if z == nil {
		return nil
	}
	list := []string{"With the zener open " + voltsOf(z.Volts) + " stand where it stood, at worst."}
	if len(z.Fails) == 0 {
		list = append(list, "No rated part carries more than it is rated for.")
	}
	for _, f := range z.Fails {
		list = append(list, failure(f))
	}
	if len(z.Unrated) > 0 {
		list = append(list, "Nothing is known of "+listed(z.Unrated)+": enter what volts they are made for.")
	}
	switch {
	case len(z.Fails) == 0:
	case z.SecondOK:
		list = append(list, "Cure: a second zener of the same kind across the first, by leads of its own; with it nothing fails. Or the higher ratings above.")
	default:
		list = append(list, "A second zener across the first does not cure all of it; with it:")
		for _, f := range z.Second {
			list = append(list, failure(f))
		}
	}
	return list
}

func failure(f feed.Failure) string {
	unit := map[string]func(float64) string{"volts": voltsOf, "amperes": ampsOf, "watts": wattsOf}[f.What]
	return f.Part + " fails: " + unit(f.Carries) + " on " + unit(f.Rated) + " (" + string(f.Case) + "); it would need " + unit(f.Needs) + "."
}

// FeedCharge says how long charge stays with the plug out, and what ends it.
func FeedCharge(s bench.FeedSafe) []string {
	if len(s.Held) == 0 {
		return []string{"No capacitor stands above " + voltsOf(s.Volts) + "."}
	}
	var list []string
	for _, h := range s.Held {
		what := h.Capacitor + " holds " + voltsOf(h.From) + " (" + joulesOf(h.Joules) + ") and falls to " + voltsOf(h.To)
		switch {
		case h.Never:
			what = h.Capacitor + " holds " + voltsOf(h.From) + " (" + joulesOf(h.Joules) + ") and nothing discharges it"
		case h.Seconds > s.Seconds:
			what += " only in " + secondsOf(h.Seconds) + " through " + ohmsOf(h.Ohms)
		default:
			what += " in " + secondsOf(h.Seconds) + " through " + ohmsOf(h.Ohms)
		}
		if h.Where != "" {
			what += " with the " + h.Where
		}
		list = append(list, what+"; "+secondsOf(s.Seconds)+" are allowed.")
	}
	for _, b := range s.Bleeds {
		list = append(list, "A bleed of "+ohmsOf(b.Ohms)+" across "+b.Capacitor+" makes it "+secondsOf(b.Seconds)+"; it takes "+
			wattsOf(b.Watts)+" and stands at "+voltsOf(b.Volts)+".")
	}
	return append(list, "Reckoned through resistors alone, parts as marked. It proves nothing: discharge through a resistor, and prove dead with a meter just proved live.")
}

// FeedFuse says what is known of the fuse; blank is NOT DONE.
func FeedFuse(fuse string) string {
	return "Fuse: " + orNotDone(fuse) + ". Type and rating stay as marked; a fuse that blows says that something is wrong, not that it is too small."
}

// FeedHum says how loud the rail's ripple is at the output.
func FeedHum(h bench.FeedHum) string {
	text := h.Name + ", " + stated(h.Hertz) + " Hz" + ": " + voltsOf(h.AtOut) + " of the " + voltsOf(h.AtRail) + " at the rail"
	if h.DBu != nil {
		text += ", " + db1(*h.DBu) + "u"
	}
	if h.BelowDB != nil {
		text += ", " + fixedOr(h.BelowDB, 1) + " dB under the strongest signal"
	}
	return text
}

// quick is what nobody waits for, seconds.
const quick = 1e-3

// FeedRise says how fast each capacitor fills once the rail is up; those that
// nobody waits for are left out.
func FeedRise(list []feed.Rise) []string {
	var lines []string
	for _, r := range list {
		if r.Constant >= quick {
			lines = append(lines, fills(r))
		}
	}
	return lines
}

func fills(r feed.Rise) string {
	text := r.Capacitor + " fills to " + voltsOf(r.Volts) + " through " + ohmsOf(r.Ohms)
	if r.Ninety > 0 {
		text += ", nine tenths of it in " + secondsOf(r.Ninety)
	}
	return text
}

// Below these a part without a rating is not worth a line. Common practice, no
// source.
const (
	idleVolts = 1
	idleWatts = 1e-3
)

// Idle tells a part that has no rating and carries next to nothing.
func Idle(p bench.FeedPart) bool {
	rated := p.Volts.Rated != nil || p.Watts.Rated != nil || p.Amperes.Rated != nil
	return !rated && p.Volts.Carries < idleVolts && p.Watts.Carries < idleWatts
}

// SharesOf writes what a part carries as a share of its rating.
func SharesOf(w bench.FeedWorst) string {
	if w.Share == nil {
		return ""
	}
	return percent(*w.Share)
}

func voltsOf(x float64) string   { return quantity.Volts(undusted(x)).Display(4) }
func ampsOf(x float64) string    { return quantity.Amperes(undusted(x)).Display(3) }
func wattsOf(x float64) string   { return quantity.Watts(undusted(x)).Display(3) }
func ohmsOf(x float64) string    { return quantity.Ohms(x).Display(3) }
func secondsOf(x float64) string { return quantity.Seconds(x).Display(2) }

func joulesOf(x float64) string { return plain(x, 2) + " J" }

// undusted takes what rounding leaves of nothing for nothing: below a picovolt no
// meter and no rating means anything.
func undusted(x float64) float64 {
	const dust = 1e-12
	if x < dust && x > -dust {
		return 0
	}
	return x
}

// percent writes a share.
func percent(x float64) string {
	x = undusted(x)
	return strings.TrimSuffix(plain(100*x, 3), ".0") + " %"
}
