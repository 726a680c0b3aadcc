package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/circuit"
	"bandwright/fault"
	"bandwright/quantity"
	"bandwright/reading"
)

// Cause says in words what a cause is: "q1: base and emitter exchanged".
func Cause(f bench.Fault) string {
	switch f.Kind {
	case fault.AsBuilt:
		return "as built: nothing is wrong"
	case fault.None:
		return "none of these"
	case fault.Value:
		return f.Edits[0].Part + ": its " + valueWord(f.Edits[0].Value) + " is out"
	case fault.DryJoint:
		return f.Edits[0].Part + ": dry joint" + atLeg(f)
	case fault.Leak:
		return f.Edits[0].Part + " leaks"
	case fault.Turns:
		return f.Edits[0].Part + ": shorted turns"
	case fault.Coupled:
		return f.Edits[0].Part + " and " + f.Edits[0].Other + ": in each other's field, " + wound(f.Edits[0].Factor)
	}
	if f.Label != "" {
		return f.Label + ": " + string(f.Kind)
	}
	var all []string
	for i, e := range f.Edits {
		g := f
		if i > 0 {
			g.Legs, g.Part = nil, ""
		}
		all = append(all, edited(e, g))
	}
	return strings.Join(all, ", and ")
}

// wound says which way round two coils lie in each other's field.
func wound(k float64) string {
	if k < 0 {
		return "against each other"
	}
	return "with each other"
}

// valueWord names a value by the name of its field.
func valueWord(value string) string {
	switch value {
	case "BetaF":
		return "current gain"
	case "Track":
		return "track"
	case "DCR":
		return "copper"
	}
	return "value"
}

// atLeg says which leg of a slider a joint is at.
func atLeg(f bench.Fault) string {
	if f.Part == "slider" {
		return " at its " + leg(f, f.Edits[0].Leg)
	}
	return ""
}

// leg names a leg as its kind's reference does, or by its number from 1.
func leg(f bench.Fault, i int) string {
	if i < len(f.Legs) {
		return f.Legs[i]
	}
	return "leg " + strconv.Itoa(i+1)
}

// edited says what one edit does.
func edited(e circuit.Edit, f bench.Fault) string {
	switch e.Kind {
	case circuit.EditOpen:
		return e.Part + " open"
	case circuit.EditSeries:
		return e.Part + ": " + leg(f, e.Leg) + " open"
	case circuit.EditShort:
		if len(f.Legs) > 2 {
			return e.Part + ": " + leg(f, e.Leg) + " shorted to " + leg(f, e.ToLeg)
		}
		return e.Part + " shorted"
	case circuit.EditBridge:
		return e.From + " bridged to " + e.To
	case circuit.EditSwap:
		return e.Part + " and " + e.Other + " in each other's place"
	case circuit.EditReverse:
		if f.Part == "slider" {
			return e.Part + ": its ends exchanged"
		}
		return e.Part + " the wrong way round"
	case circuit.EditPermute:
		return e.Part + ": " + permuted(e, f)
	case circuit.EditMove:
		return e.Part + ": an end at " + e.To
	}
	return e.String()
}

// permuted says which legs stand in whose place.
func permuted(e circuit.Edit, f bench.Fault) string {
	var out []string
	for i, to := range e.Order {
		if i != to {
			out = append(out, leg(f, i))
		}
	}
	if len(out) == 2 {
		return out[0] + " and " + out[1] + " exchanged"
	}
	for i, to := range e.Order {
		out[i] = leg(f, i) + " where " + leg(f, to) + " should be"
	}
	return strings.Join(out, ", ")
}

// CauseSize says how large a change is, "" where a cause has no size.
func CauseSize(c bench.Cause) string {
	if c.Size == nil {
		return ""
	}
	span := func(s *fault.Size, write func(float64) string) string {
		return write(s.Middle) + " (" + write(s.Low) + " to " + write(s.High) + ")"
	}
	times := func(x float64) string { return "× " + plain(x, 2) }
	switch {
	case c.Value != nil && c.Is != nil:
		unit := valueUnit(c.Edits[0].Value)
		return span(c.Value, func(x float64) string { return unit(x) }) + " for " + unit(*c.Is)
	case c.Kind == fault.Value || c.Kind == fault.Turns:
		return span(c.Size, times)
	case c.Kind == fault.Coupled:
		return "k " + span(c.Size, func(x float64) string { return plain(x, 2) })
	}
	return span(c.Size, func(x float64) string { return quantity.Ohms(x).Display(2) })
}

// valueUnit writes a value with the unit of its field.
func valueUnit(value string) func(float64) string {
	switch value {
	case "Farads":
		return func(x float64) string { return quantity.Farads(x).Display(3) }
	case "Henries":
		return func(x float64) string { return quantity.Henries(x).Display(3) }
	case "Volts":
		return func(x float64) string { return quantity.Volts(x).Display(3) }
	case "BetaF":
		return func(x float64) string { return plain(x, 2) }
	}
	return func(x float64) string { return quantity.Ohms(x).Display(3) }
}

// Leads says where a reading is taken: "63.wiper to boost".
func Leads(r bench.TakenReading) string { return r.Red + " to " + r.Black }

// Shown writes a number as an instrument of the reading's kind shows it.
func Shown(kind reading.Kind, x float64) string {
	switch kind {
	case reading.Volts:
		return quantity.Volts(x).Display(3)
	case reading.Ohms:
		return quantity.Ohms(x).Display(3)
	}
	return db1(x)
}

// ReadingValues writes what a reading showed.
func ReadingValues(r bench.TakenReading) string {
	switch {
	case r.Open:
		return "open"
	case len(r.Values) > 1:
		return strconv.Itoa(len(r.Values)) + " points, " + db1(least(r.Values)) + " to " + db1(greatest(r.Values))
	case len(r.Values) == 1 && len(r.Hz) == 1:
		return Shown(r.Kind, r.Values[0]) + " at " + hertz(r.Hz[0]) + " Hz"
	case len(r.Values) == 1:
		return Shown(r.Kind, r.Values[0])
	}
	return dash
}

func least(list []float64) float64 {
	m := list[0]
	for _, v := range list {
		m = min(m, v)
	}
	return m
}

func greatest(list []float64) float64 {
	m := list[0]
	for _, v := range list {
		m = max(m, v)
	}
	return m
}

// OutcomeRange writes what a reading may show.
func OutcomeRange(kind reading.Kind, o bench.NextOutcome) string {
	if o.Open {
		return "open"
	}
	return Shown(kind, o.Low) + " to " + Shown(kind, o.High)
}

// HiddenSizes says at which sizes no reading shows a fault.
func HiddenSizes(h bench.HiddenCause) string {
	if h.All {
		return "any size"
	}
	if h.Kind == fault.Value || h.Kind == fault.Turns {
		return "× " + plain(h.Low, 2) + " to × " + plain(h.High, 2)
	}
	if h.Kind == fault.Coupled {
		return "k " + plain(h.Low, 2) + " to " + plain(h.High, 2)
	}
	return quantity.Ohms(h.Low).Display(2) + " to " + quantity.Ohms(h.High).Display(2)
}
