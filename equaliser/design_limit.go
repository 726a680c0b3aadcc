package equaliser

import (
	"context"
	"math"

	"bandwright/circuit"
	"bandwright/finding"
)

// ceiling is what a band would do with neither resistor nor copper.
func (d *design) ceiling(ctx context.Context, band, figure int) (float64, error) {
	e, err := d.bare(band)
	if err != nil {
		return 0, err
	}
	f, _, err := e.Feature(ctx, nil, d.bands[band].Band, e.Flat())
	return figuresOf(f)[figure], err
}

// bare is the circuit with neither resistor nor copper in a band's leg.
func (d *design) bare(band int) (*Equaliser, error) {
	bare := d.clone()
	bare.bands[band].leg.ohms, bare.bands[band].leg.dcr = 0, 0
	return bare.equaliser(0)
}

// mostTimes is how many times larger sliders, or feed and feedback, are tried.
const mostTimes = 64

// limit says what keeps a band's ceiling down: sliders of too few ohms, across
// which the two buses leak into one another behind what the slider's end leaves,
// or else feed and feedback, which the end stands against. What would be enough
// goes into args; doubling finds it.
func (d *design) limit(ctx context.Context, band, figure int, args finding.Args) finding.ID {
	e, err := d.bare(band)
	if err != nil {
		return IDDesignCeiling
	}
	slider, ok := e.part(d.bands[band].Band).(circuit.Slider)
	if times := e.enough(ctx, d.bands[band], figure, (*Equaliser).widerSliders); ok && times > 0 {
		args["track"], args["enough"] = slider.Track, times*slider.Track
		return IDDesignSlider
	}
	args["feedback"] = e.spec.Feedback
	if times := e.enough(ctx, d.bands[band], figure, (*Equaliser).largerBuses); times > 0 {
		args["enough"] = times * e.spec.Feedback
	}
	return IDDesignCeiling
}

// enough is how many times larger some parts must be for a figure to be
// reached; 0 when even mostTimes is not enough, or cannot be.
func (e *Equaliser) enough(ctx context.Context, b designBand, figure int, larger func(*Equaliser, float64) []circuit.Part) float64 {
	for times := 2.0; times <= mostTimes; times *= 2 {
		c, err := e.circuit.Replace(larger(e, times)...)
		if err != nil {
			return 0
		}
		changed := e.With(c)
		f, _, err := changed.Feature(ctx, nil, b.Band, changed.Flat())
		if err != nil {
			return 0 // the driver no longer works like that
		}
		if math.Abs(figuresOf(f)[figure]) >= math.Abs(b.wanted[figure]) {
			return times
		}
	}
	return 0
}

// widerSliders are all bands' sliders with so many times their track.
func (e *Equaliser) widerSliders(times float64) []circuit.Part {
	var parts []circuit.Part
	for _, name := range e.Bands() {
		if s, ok := e.part(name).(circuit.Slider); ok {
			s.Track *= times
			parts = append(parts, s)
		}
	}
	return parts
}

// largerBuses are feedback, and feed with the source before it, so many times
// as large.
func (e *Equaliser) largerBuses(times float64) []circuit.Part {
	feedback, ok := e.part("feedback").(circuit.Resistor)
	feed, ok2 := e.part("feed").(circuit.Resistor)
	if !ok || !ok2 {
		return nil
	}
	feed.Ohms += (times - 1) * feedback.Ohms
	feedback.Ohms *= times
	return []circuit.Part{feedback, feed}
}
