package bench

import (
	"slices"

	"bandwright/circuit"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
)

// kelvinAtZero is 0 °C in kelvin.
const kelvinAtZero = 273.15

// specOf says the job in the equaliser's terms. Where a part was measured,
// the measured value stands, else the marked one.
func specOf(j *job.Job) (equaliser.Spec, finding.List) {
	s := equaliser.Spec{
		Drawing:    j.Driver.Drawing,
		SourceOhms: float64(j.TapIn.SourceOhms),
		LevelVolts: float64(given(j.TapIn.Level)),
		LoadOhms:   float64(given(j.TapIn.LoadOhms)),
		LoadFarads: float64(given(j.TapIn.LoadFarads)),
		Rail:       float64(given(j.Driver.Rail)),
		Feed:       float64(given(j.Driver.Feed)),
		Feedback:   float64(given(j.Driver.Feedback)),
	}
	if j.Celsius != nil {
		s.Kelvin = float64(*j.Celsius) + kelvinAtZero
	}
	if j.Lift != nil {
		s.Lift = &equaliser.Lift{OnOhms: float64(j.Lift.ContactOhms), OffOhms: float64(given(j.Lift.OpenOhms)),
			LeadFarads: float64(given(j.Lift.LeadFarads))}
	}
	if j.Bypass != nil {
		s.Bypass = &equaliser.Bypass{OnOhms: float64(j.Bypass.ContactOhms), GroundsInput: j.Bypass.GroundsInput}
	}
	for _, b := range j.Bands {
		s.Bands = append(s.Bands, bandOf(b, j.Celsius))
	}
	return withParts(s, append(zeros(j), j.Parts...))
}

// zeros writes out the two resistors that the job puts at 0 ohm in so many
// words: of the equaliser a 0 would ask for its own value.
func zeros(j *job.Job) []job.Part {
	var list []job.Part
	for _, r := range [...]struct {
		name string
		ohms *quantity.Ohms
	}{{"feed", j.Driver.Feed}, {"feedback", j.Driver.Feedback}} {
		own := slices.ContainsFunc(j.Parts, func(p job.Part) bool { return p.Name == r.name })
		if r.ohms != nil && *r.ohms == 0 && !own {
			list = append(list, job.Part{Name: r.name, Value: "0 ohm"})
		}
	}
	return list
}

// given reads a blank as 0, which the equaliser takes as "not stated".
func given[T ~float64](v *T) T {
	if v == nil {
		return 0
	}
	return *v
}

// best gives the measured value where there is one.
func best[T ~float64](marked T, measured *T) float64 {
	if measured != nil {
		return float64(*measured)
	}
	return float64(marked)
}

// dcrOf gives a coil's resistance at the job's temperature where that and the
// one it was measured at are both known; else as it was entered.
func dcrOf(c job.Coil, work *quantity.Celsius) float64 {
	ohms := float64(given(c.DCR))
	if work == nil || c.Measured.Celsius == nil {
		return ohms
	}
	if warm, ok := circuit.CopperOhms(ohms, float64(*c.Measured.Celsius), float64(*work)); ok {
		return warm
	}
	return ohms
}

func bandOf(b job.Band, work *quantity.Celsius) equaliser.Band {
	return equaliser.Band{
		Name: b.Name,
		Hz:   float64(b.Centre),
		Slider: circuit.Slider{
			Track:    float64(b.Slider.Value),
			Law:      lawOf(b.Slider.Law),
			BoostEnd: float64(given(b.Slider.EndOhms)), CutEnd: float64(given(b.Slider.EndOhms)),
			WiperOhms: float64(given(b.Slider.WiperOhms)),
		},
		Coil: circuit.Inductor{
			Henries:    best(b.Coil.Value, b.Coil.MeasuredValue),
			DCR:        dcrOf(b.Coil, work),
			CoreOhms:   float64(given(b.Coil.CoreOhms)),
			SelfFarads: float64(given(b.Coil.SelfFarads)), SelfInside: b.Coil.SelfInside,
		},
		Capacitor: circuit.Capacitor{
			Farads: best(b.Capacitor.Value, b.Capacitor.MeasuredValue),
			Loss:   given(b.Capacitor.Loss),
			ESR:    float64(given(b.Capacitor.ESR)),
		},
		Resistor: circuit.Resistor{Ohms: best(b.Resistor.Value, b.Resistor.MeasuredValue)},
	}
}

// withParts lays the job's own parts over what drawing and bands make.
func withParts(s equaliser.Spec, written []job.Part) (equaliser.Spec, finding.List) {
	if len(written) == 0 {
		return s, nil
	}
	parts, err := s.Drawn()
	if err != nil {
		found, _ := finding.From(err)
		return s, found
	}
	drawn := make(map[string]circuit.Part, len(parts))
	for _, p := range parts {
		drawn[p.PartName()] = p
	}
	var found finding.List
	for _, w := range written {
		p, wrong := placed(w, drawn)
		found = append(found, wrong...)
		if p != nil {
			s.Extra = append(s.Extra, p)
		}
	}
	return s, found
}
