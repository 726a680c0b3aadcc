package bench

import (
	"context"
	"encoding/json"
	"math"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
)

// asked solves the case's circuit anew at a setting, past the case.
func asked(t *testing.T, c *Case, text string) *circuit.State {
	t.Helper()
	s, err := c.equaliser.ParseSetting(text)
	if err != nil {
		t.Fatal(err)
	}
	st, err := c.equaliser.Circuit().Solve(context.Background(), s, circuit.Conditions{Kelvin: 308.15})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// The answers are the circuit's own, to the last bit.
func TestAnswersAreTheCircuits(t *testing.T) {
	ctx, c := context.Background(), demoCase(t)
	hz := []float64{20, 62.5, 400, 399.9, 12345, 1e6}
	for _, text := range []string{"flat", "63=+1", "400=-0.5,lift", "bypass", "6300=+1,160=-1"} {
		st := asked(t, c, text)
		predicted, _, err := c.Predict(ctx, text, hz)
		if err != nil {
			t.Fatal(err)
		}
		r, err := st.Response(ctx, "source", []string{"return"}, hz)
		if err != nil {
			t.Fatal(err)
		}
		for k, row := range predicted.Rows {
			db, _ := circuit.Decibels(r.Gains[0][k])
			if row.Hz != hz[k] || *row.DB != db || row.Degrees != circuit.Degrees(r.Gains[0][k]) {
				t.Errorf("%s at %g Hz: %+v, want %g dB", text, hz[k], row, db)
			}
		}
		if *predicted.Residual != r.Residual || *predicted.Residual > 1e-12 || len(predicted.Rows) != len(hz) {
			t.Errorf("%s: residual %g, circuit %g", text, *predicted.Residual, r.Residual)
		}
		checkVolts(t, c, st, text)
	}
}

func checkVolts(t *testing.T, c *Case, st *circuit.State, text string) {
	t.Helper()
	volts, _, err := c.Volts(context.Background(), text)
	if err != nil {
		t.Fatal(err)
	}
	if len(volts.Points) != len(st.Circuit().Points()) || volts.Celsius != 35 {
		t.Errorf("%s: %d points at %g °C", text, len(volts.Points), volts.Celsius)
	}
	floating := 0
	for _, p := range volts.Points {
		want, ok := st.Volts(p.Point)
		if ok != (p.Volts != nil) || ok && *p.Volts != want {
			t.Errorf("%s: %s is %v, want %g, %v", text, p.Point, p.Volts, want, ok)
		}
		if !ok {
			floating++
		}
	}
	if lifted := strings.Contains(text, "lift"); lifted != (floating > 0) {
		t.Errorf("%s: %d points float", text, floating)
	}
}

// Noise is the state's own; its shares add up and lie under the level.
func TestNoiseIsTheCircuits(t *testing.T) {
	ctx, c := context.Background(), demoCase(t)
	for _, text := range []string{"flat", "63=+1,400=+1", "lift"} {
		got, _, err := c.Noise(ctx, text)
		if err != nil {
			t.Fatal(err)
		}
		n, err := asked(t, c, text).Noise(ctx, "return", AudioGrid())
		if err != nil {
			t.Fatal(err)
		}
		if got.Volts != n.Band(nil) || got.Weighted != n.Band(circuit.AWeight) || got.SourceOhms != 1000 {
			t.Errorf("%s: %g V, %g weighted", text, got.Volts, got.Weighted)
		}
		// 0 dBu is 0.7746 V: 1 mW in 600 ohm (from the definition)
		dbu := 20 * math.Log10(got.Volts/math.Sqrt(0.6))
		if math.Abs(*got.DBu-dbu) > 1e-9 || math.Abs(*got.BelowDB-(-6-dbu)) > 1e-9 {
			t.Errorf("%s: %g dBu, %g dB below", text, *got.DBu, *got.BelowDB)
		}
		sum, last := 0.0, math.Inf(1)
		for _, s := range got.Share {
			if s.Share > last || s.Share < 0 {
				t.Errorf("%s: %s after %g", text, s.Part, last)
			}
			sum, last = sum+s.Share, s.Share
		}
		if math.Abs(sum-1) > 1e-9 || len(got.Density) != len(AudioGrid()) {
			t.Errorf("%s: shares add to %g", text, sum)
		}
		for k, d := range got.Density {
			if d.Hz != n.Hz[k] || d.Density != n.Density(k) {
				t.Errorf("%s: density at %g Hz", text, d.Hz)
			}
		}
	}
}

// decibels asks for the total gain over the audio range.
func decibels(t *testing.T, c *Case, setting string) []float64 {
	t.Helper()
	a, _, err := c.Predict(context.Background(), setting, AudioGrid())
	if err != nil {
		t.Fatal(err)
	}
	var list []float64
	for _, row := range a.Rows {
		list = append(list, *row.DB)
	}
	return list
}

// Flat, all up, all down, centres and boosts of the band table are what going
// through the predicted curves point by point gives.
func TestBandsByBruteForce(t *testing.T) {
	c := demoCase(t)
	a, _, err := c.Bands(context.Background(), "")
	if err != nil {
		t.Fatal(err)
	}
	flat := decibels(t, c, "flat")
	zero := make([]float64, len(flat))
	all := func(sign string) string {
		return "63=" + sign + ",160=" + sign + ",400=" + sign + ",1000=" + sign + ",2500=" + sign + ",6300=" + sign
	}
	checkRange(t, "flat", a.Flat, flat, zero)
	checkRange(t, "all up", a.AllUp, decibels(t, c, all("+1")), flat)
	checkRange(t, "all down", a.AllDown, decibels(t, c, all("-1")), flat)
	for i, f := range a.Bands {
		checkBand(t, c, f)
		s, h := a.Scale[i], a.Headroom[i]
		if s.Band != f.Band || h.Band != f.Band || s.AtHz != f.CentreHz || len(s.Travel) != 21 {
			t.Errorf("%s: scale of %s at %g Hz with %d places, headroom of %s", f.Band, s.Band, s.AtHz, len(s.Travel), h.Band)
		}
		checkScale(t, c, s)
	}
	if !a.Stable || a.Setting != "flat" || len(a.Bands) != 6 {
		t.Errorf("stable %v, %q, %d bands", a.Stable, a.Setting, len(a.Bands))
	}
}

func checkRange(t *testing.T, name string, got GainRange, total, flat []float64) {
	t.Helper()
	hz := AudioGrid()
	low, high := 0, 0
	for k := range total {
		if total[k]-flat[k] < total[low]-flat[low] {
			low = k
		}
		if total[k]-flat[k] > total[high]-flat[high] {
			high = k
		}
	}
	want := GainRange{LowDB: total[low] - flat[low], LowHz: hz[low], HighDB: total[high] - flat[high], HighHz: hz[high]}
	if math.Abs(got.LowDB-want.LowDB)+math.Abs(got.HighDB-want.HighDB) > 1e-9 || got.LowHz != want.LowHz || got.HighHz != want.HighHz {
		t.Errorf("%s: %+v, want %+v", name, got, want)
	}
}

// The switches named stay as they are in every range of the table.
func TestBandsWithASwitchThrown(t *testing.T) {
	c := demoCase(t)
	a, _, err := c.Bands(context.Background(), "bypass")
	if err != nil {
		t.Fatal(err)
	}
	flat := decibels(t, c, "bypass")
	up := decibels(t, c, c.equaliser.AllUp().String()+",bypass")
	checkRange(t, "bypassed", a.Flat, flat, make([]float64, len(flat)))
	checkRange(t, "bypassed, all up", a.AllUp, up, flat)
}

// checkBand looks at the band curve on both sides of the centre given.
func checkBand(t *testing.T, c *Case, f equaliser.Feature) {
	t.Helper()
	at := func(setting string, hz float64) float64 {
		var db [2]float64
		for i, s := range []string{setting, "flat"} {
			a, _, err := c.Predict(context.Background(), s, []float64{hz})
			if err != nil {
				t.Fatal(err)
			}
			db[i] = *a.Rows[0].DB
		}
		return db[0] - db[1]
	}
	up := f.Band + "=+1"
	top := at(up, f.CentreHz)
	if math.Abs(top-f.BoostDB) > 1e-6 || at(up, f.CentreHz*1.003) > top || at(up, f.CentreHz/1.003) > top {
		t.Errorf("%s: %g dB at %g Hz is not the top, %g", f.Band, f.BoostDB, f.CentreHz, top)
	}
	down := f.Band + "=-1"
	bottom := at(down, f.CutHz)
	if math.Abs(bottom-f.CutDB) > 1e-6 || at(down, f.CutHz*1.003) < bottom || at(down, f.CutHz/1.003) < bottom {
		t.Errorf("%s: %g dB at %g Hz is not the bottom, %g", f.Band, f.CutDB, f.CutHz, bottom)
	}
	for _, edge := range []float64{*f.LowHz, *f.HighHz} {
		if half := at(up, edge); math.Abs(half-top/2) > 1e-4 {
			t.Errorf("%s: %g dB at the edge %g Hz, half is %g", f.Band, half, edge, top/2)
		}
	}
	if math.Abs(*f.Q-f.CentreHz/(*f.HighHz-*f.LowHz)) > 1e-9**f.Q {
		t.Errorf("%s: Q %g", f.Band, *f.Q)
	}
}

// checkScale puts places of the scale back into the question.
func checkScale(t *testing.T, c *Case, s BandScale) {
	t.Helper()
	flat, _, err := c.Predict(context.Background(), "flat", []float64{s.AtHz})
	if err != nil {
		t.Fatal(err)
	}
	places := append([]ScalePoint{s.Travel[0], s.Travel[7], s.Travel[20]}, s.Marks...)
	if s.Travel[0].Position != -1 || s.Travel[20].Position != 1 || len(s.Marks) < 8 {
		t.Errorf("%s: travel from %g to %g, %d marks", s.Band, s.Travel[0].Position, s.Travel[20].Position, len(s.Marks))
	}
	for _, p := range places {
		set := curve.Setting{}.WithSlider(s.Band, p.Position).String()
		a, _, err := c.Predict(context.Background(), set, []float64{s.AtHz})
		if err != nil {
			t.Fatal(err)
		}
		if got := *a.Rows[0].DB - *flat.Rows[0].DB; math.Abs(got-p.DB) > 1e-3 {
			t.Errorf("%s: %g dB at %g, the scale says %g", s.Band, got, p.Position, p.DB)
		}
	}
}

// A circuit that would oscillate is said to, with the setting, and its curve
// is given all the same.
func TestOscillation(t *testing.T) {
	ctx := context.Background()
	c, _ := opened(t, demoText(t)+`
[[part]]
name = "C.dc"
value = "100u"
[[part]]
name = "C.emitter"
value = "22u"
`, none)
	a, found, err := c.Predict(ctx, "63=+1", nil)
	if err != nil || len(a.Rows) != len(AudioGrid()) || a.Rows[0].DB == nil {
		t.Fatalf("no curve: %v", err)
	}
	f, ok := has(found, circuit.IDOscillates)
	if !ok || f.Place.Setting != "63=+1" || f.Args["poles"] != 2 {
		t.Errorf("predict: %v", found)
	}
	bands, found, err := c.Bands(ctx, "")
	if err != nil || bands.Stable || len(bands.Bands) != 6 {
		t.Fatalf("bands: %v", err)
	}
	settings := map[string]bool{}
	for _, f := range found {
		if f.ID == circuit.IDOscillates {
			settings[f.Place.Setting] = true
		}
	}
	if len(settings) < 10 || !settings["flat"] {
		t.Errorf("oscillates at %v", settings)
	}
	if _, found, err = c.Noise(ctx, "flat"); err != nil {
		t.Error(err)
	}
	if _, ok := has(found, circuit.IDOscillates); !ok {
		t.Errorf("noise: %v", found)
	}
}

// A job with neither level, load, lift nor bypass has nulls where there is
// nothing to say, on each drawing.
func TestBareJob(t *testing.T) {
	ctx := context.Background()
	for _, drawing := range equaliser.Drawings() {
		text := "format = 1\ntitle = \"bare\"\n[driver]\ndrawing = \"" + drawing + `"
[[band]]
name = "400"
centre = "500 Hz"
slider = { value = "10k" }
coil = { value = "300 mH", dcr = "60 ohm" }
capacitor = { value = "330n" }
`
		c, _ := opened(t, text, none)
		sheet, _, err := c.Sheet(ctx)
		if err != nil {
			t.Fatal(err)
		}
		if all, err := json.Marshal(sheet); err != nil || !strings.Contains(string(all), `"compare":null`) {
			t.Errorf("%s: %v, %.300s", drawing, err, all)
		}
		n, _, err := c.Noise(ctx, "")
		if err != nil || n.BelowDB != nil || n.SourceOhms != 0 {
			t.Errorf("%s: noise %v below, %v", drawing, n.BelowDB, err)
		}
		v, _, err := c.Volts(ctx, "")
		if err != nil || math.Abs(v.Celsius-27) > 1e-9 {
			t.Errorf("%s: %g °C, %v", drawing, v.Celsius, err)
		}
		if _, _, err := c.Predict(ctx, "lift", nil); err == nil {
			t.Errorf("%s: lifted without a contact", drawing)
		}
		b, _, err := c.Bands(ctx, "")
		if err != nil || b.Headroom[0].FlatDB != nil || !b.Bands[0].Found {
			t.Errorf("%s: %+v, %v", drawing, b, err)
		}
	}
}
