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
	var found finding.List
	for _, b := range j.Bands {
		band, wrong := bandOf(b, j.Celsius)
		s.Bands, found = append(s.Bands, band), append(found, wrong...)
	}
	s, wrong := withParts(s, append(zeros(j), j.Parts...), j.Celsius)
	return s, append(found, wrong...)
}

// IDCoreQ (warning): the copper alone makes a coil's Q as low as it was read or
// lower, so that no core loss is taken from it. Place: the band. q.
const IDCoreQ finding.ID = "bench.core-q"

// coreOf gives a coil's core loss: as stated, else from the Q that the meter
// read, with the copper as it was then.
func coreOf(c job.Coil, band string) (float64, finding.List) {
	if c.CoreOhms != nil || c.MeasuredQ == nil || c.Measured.Frequency == nil {
		return float64(given(c.CoreOhms)), nil
	}
	ohms, ok := circuit.CoreOhmsOfCoil(*c.MeasuredQ, float64(*c.Measured.Frequency), best(c.Value, c.MeasuredValue), float64(given(c.DCR)))
	if !ok {
		return 0, finding.List{finding.New(IDCoreQ, finding.Warning, finding.Place{Band: band}, finding.Args{"q": *c.MeasuredQ})}
	}
	return ohms, nil
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
	return warmed(float64(given(c.DCR)), c.Measured.Celsius, work)
}

// warmed takes copper's resistance to another temperature; as it is where one
// of the two is not known, or lies where copper follows no straight line.
func warmed(ohms float64, measured, work *quantity.Celsius) float64 {
	if work == nil || measured == nil {
		return ohms
	}
	if warm, ok := circuit.CopperOhms(ohms, float64(*measured), float64(*work)); ok {
		return warm
	}
	return ohms
}

func bandOf(b job.Band, work *quantity.Celsius) (equaliser.Band, finding.List) {
	core, found := coreOf(b.Coil, b.Name)
	return equaliser.Band{
		Name: b.Name,
		Hz:   float64(b.Centre),
		Slider: circuit.Slider{
			Track:    float64(b.Slider.Value),
			Law:      sliderLaw(b.Slider),
			BoostEnd: float64(given(b.Slider.EndOhms)), CutEnd: float64(given(b.Slider.EndOhms)),
			WiperOhms: float64(given(b.Slider.WiperOhms)),
		},
		Coil: circuit.Inductor{
			Henries:    best(b.Coil.Value, b.Coil.MeasuredValue),
			DCR:        dcrOf(b.Coil, work),
			CoreOhms:   core,
			SelfFarads: float64(given(b.Coil.SelfFarads)), SelfInside: b.Coil.SelfInside,
		},
		Capacitor: circuit.Capacitor{
			Farads: best(b.Capacitor.Value, b.Capacitor.MeasuredValue),
			Loss:   given(b.Capacitor.Loss),
			ESR:    float64(given(b.Capacitor.ESR)),
		},
		Resistor: circuit.Resistor{Ohms: best(b.Resistor.Value, b.Resistor.MeasuredValue)},
	}, found
}

// sliderLaw gives a band's law, by its rows or its name.
func sliderLaw(s job.Slider) circuit.Law {
	if s.Shape == "" {
		return lawOf(s.Law)
	}
	law, _, _ := namedLaw(s.Shape) // the document checked it
	return law
}

// withParts lays the job's own parts over what drawing and bands make.
func withParts(s equaliser.Spec, written []job.Part, work *quantity.Celsius) (equaliser.Spec, finding.List) {
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
		p, wrong := placed(w, drawn, work)
		found = append(found, wrong...)
		if p != nil {
			s.Extra = append(s.Extra, p)
		}
	}
	return s, found
}
