package bench

import (
	"context"
	"testing"

	"bandwright/curve"
	"bandwright/equaliser"
)

// TestResidualAtEveryEnd: the engine's promise on the demo, at every corner
// of its sliders' travel and every position of its switches: backward error
// below 1e-10 as eliminated, below 1e-14 refined.
func TestResidualAtEveryEnd(t *testing.T) {
	ctx, c := context.Background(), demoCase(t)
	bands, hz := c.equaliser.Bands(), curve.Grid(10, 40e3, 6)
	raw, worst, solved, redone := 0.0, 0.0, 0, 0
	for corner := range 1 << len(bands) {
		corners := curve.Setting{}
		for i, b := range bands {
			corners = corners.WithSlider(b, float64(corner>>i&1)*2-1)
		}
		for _, s := range []curve.Setting{
			corners,
			corners.WithSwitch(equaliser.FootSwitch, "lifted"),
			corners.WithSwitch(equaliser.PanelSwitch, "out"),
		} {
			st, err := c.equaliser.Solve(ctx, s)
			if err != nil {
				t.Fatalf("%s: %v", s, err)
			}
			r, err := st.Response(ctx, equaliser.Source, []string{equaliser.OutputPoint}, hz)
			if err != nil {
				t.Fatalf("%s: %v", s, err)
			}
			if r.Residual > 1e-14 || r.Raw > 1e-10 {
				t.Errorf("%s: residual %.3g, %.3g before refinement", s, r.Residual, r.Raw)
			}
			raw, worst = max(raw, r.Raw), max(worst, r.Residual)
			solved, redone = solved+len(hz), redone+r.Redone
		}
	}
	t.Logf("%d solutions: worst residual %.3g raw, %.3g refined, %d redone", solved, raw, worst, redone)
}
