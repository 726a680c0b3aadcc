package feed

import (
	"context"
	"math"

	"bandwright/circuit"
)

// Ripple is the alternating voltage of the rail as it arrives at the output.
type Ripple struct {
	Hertz   float64 `json:"hertz"`
	AtRail  float64 `json:"at_rail"` // volts rms
	Gain    float64 `json:"gain"`    // volts at the output per volt of the rail
	AtOut   float64 `json:"at_out"`  // volts rms
	Setting string  `json:"setting"`
}

// RippleAt carries the rail's ripple, at twice the mains frequency, through the
// whole circuit to a point.
func RippleAt(ctx context.Context, st *circuit.State, s Supply, rms float64, out string) (Ripple, error) {
	hz := 2 * s.Hertz
	if hz == 0 {
		hz = 100
	}
	response, err := st.Response(ctx, s.Rail, []string{out}, []float64{hz})
	if err != nil {
		return Ripple{}, err
	}
	g := response.Gains[0][0]
	gain := math.Hypot(real(g), imag(g))
	return Ripple{Hertz: hz, AtRail: rms, Gain: gain, AtOut: rms * gain, Setting: st.Setting().String()}, nil
}
