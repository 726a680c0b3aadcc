package reading

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/known"
)

// BenchmarkPredict asks a ten-band equaliser for a curve, for the volts of
// every point and for the ohms from every point to ground, every value of every
// resistor, capacitor, coil and slider uncertain.
func BenchmarkPredict(b *testing.B) {
	k := known.TenBandHandbook()[0]
	c, err := circuit.New(k.Parts...)
	if err != nil {
		b.Fatal(err)
	}
	var parts []Uncertainty
	for _, knob := range everyKnob(c) {
		value, _ := c.Value(knob)
		parts = append(parts, Within(knob, 0.05*value))
	}
	curve := Reading{Kind: Gain, Source: k.Gains[0].Source, Red: k.Gains[0].Plus, Setting: k.Setting, Interface: LineInput()}
	for i := range 500 {
		curve.Hz = append(curve.Hz, 20*math.Pow(1000, float64(i)/499))
	}
	var volts, ohms []Reading
	for _, p := range c.Points() {
		volts = append(volts, Reading{Kind: Volts, Red: p, Setting: k.Setting, Meter: HandMeter()})
		ohms = append(ohms, Reading{Kind: Ohms, Red: p, Setting: k.Setting, Meter: HandMeter()})
	}
	for name, readings := range map[string][]Reading{"500 points": {curve}, "volts": volts, "ohms": ohms} {
		b.Run(name, func(b *testing.B) {
			b.ReportMetric(float64(len(c.Points())), "points")
			b.ReportMetric(float64(len(parts)), "uncertain")
			for b.Loop() {
				if _, err := Predict(context.Background(), c, readings, parts, Conditions{}); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}
