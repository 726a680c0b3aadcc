package bench

import (
	"context"
	"encoding/json"
	"strings"
	"testing"

	"bandwright/curve"
	"bandwright/reading"
)

// expected asks and checks what holds of every answer: ranges in order, the
// likely one within the worst, the covariance's diagonal made of both
// deviations, and no number JSON cannot carry.
func expected(t *testing.T, c *Case, list ...reading.Reading) *ExpectAnswer {
	t.Helper()
	a, _, err := c.Expect(context.Background(), ExpectQuestion{Readings: list})
	if err != nil {
		t.Fatal(err)
	}
	for i, r := range a.Rows {
		if (r.Shown == nil) != (r.Lack != reading.Nothing) {
			t.Fatalf("row %d: %q and %v", i, r.Lack, r.Shown)
		}
		if s := r.Shown; s != nil && !(s.Worst.Low <= s.Likely.Low && s.Likely.Low <= s.Likely.Nominal &&
			s.Likely.Nominal <= s.Likely.High && s.Likely.High <= s.Worst.High) {
			t.Errorf("row %d out of order: %+v", i, *s)
		}
	}
	for k, row := range a.Numbered {
		r := a.Rows[row]
		if want := r.PartSD*r.PartSD + r.MeterSD*r.MeterSD; !near(a.Covariance[k][k], want, 1e-9) {
			t.Errorf("row %d: variance %g, its deviations give %g", row, a.Covariance[k][k], want)
		}
	}
	text, err := json.Marshal(a)
	if err != nil || !strings.Contains(string(text), `"covariance":[[`) {
		t.Errorf("%v %.200s", err, text)
	}
	return a
}

func opensJob(t *testing.T, text string) *Case {
	t.Helper()
	c, found := Open(context.Background(), "job.toml", []byte(text), nil)
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return c
}

// Readings follow the operating point, which builds do not: a divider's
// resistor set to the end of its tolerance moves the volts to the end of the
// range that was expected, as far as they are linear in it.
func TestExpectFollowsTheOperatingPoint(t *testing.T) {
	at := func(c *Case) ExpectRow {
		return expected(t, c, reading.Reading{Kind: reading.Volts, Red: "q1.base"}).Rows[0]
	}
	row := at(opensJob(t, spreadJob))
	if row.PartSD == 0 || row.MeterSD != 0 {
		t.Fatalf("parts %g, meter %g", row.PartSD, row.MeterSD)
	}
	drawn := opensJob(t, strings.Replace(spreadJob, "name = \"R.b1\"\n", "name = \"R.b1\"\nvalue = \"47k\"\n", 1))
	ends := [2]float64{at(opensJob(t, strings.Replace(spreadJob, "name = \"R.b1\"\n", "name = \"R.b1\"\nvalue = \"49350R\"\n", 1))).Shown.Likely.Nominal,
		at(opensJob(t, strings.Replace(spreadJob, "name = \"R.b1\"\n", "name = \"R.b1\"\nvalue = \"44650R\"\n", 1))).Shown.Likely.Nominal}
	worst := at(drawn).Shown.Worst
	if ends[0] > ends[1] {
		ends[0], ends[1] = ends[1], ends[0]
	}
	// The circuit bends by the square of 5 %.
	if by := 0.05 * (worst.High - worst.Low); ends[0] < worst.Low-by || ends[0] > worst.Low+by || ends[1] < worst.High-by || ends[1] > worst.High+by {
		t.Errorf("at the ends of R.b1 %v, expected %g to %g", ends, worst.Low, worst.High)
	}
}

// A meter loads what it reads; a line input does the same to a gain. The
// joint covariance knows that two readings share parts.
func TestExpectWithInstruments(t *testing.T) {
	c, meter, in := demoCase(t), reading.HandMeter(), reading.LineInput()
	flat := c.equaliser.Flat()
	a := expected(t, c,
		reading.Reading{Kind: reading.Volts, Red: "q1.base"},
		reading.Reading{Kind: reading.Volts, Red: "q1.base", Meter: meter},
		reading.Reading{Kind: reading.Ohms, Red: "63.a", Black: "63.wiper", Meter: meter},
		reading.Reading{Kind: reading.Gain, Hz: []float64{63, 400}, Setting: curve.Setting{}.WithSlider("63", 1), Interface: in},
		reading.Reading{Kind: reading.Gain, Hz: []float64{63}, Setting: c.equaliser.Boost("63"), Less: &flat, Interface: in},
	)
	bare, loaded := a.Rows[0].Shown.Likely.Nominal, a.Rows[1].Shown.Likely.Nominal
	if !(loaded < bare && loaded > 0.99*bare) {
		t.Errorf("%g V, with a meter %g V", bare, loaded)
	}
	if ohms := a.Rows[2].Shown.Likely; !(ohms.Low < 330 && 330 < ohms.High) {
		t.Errorf("330 ohm within 1 %% are %+v", ohms)
	}
	total, less := a.Rows[3].Shown.Likely, a.Rows[5].Shown.Likely
	if !(total.High-total.Low > less.High-less.Low) || !(less.High-less.Low > 0.1) {
		t.Errorf("the level falls out of a difference: %+v, %+v", total, less)
	}
	n := len(a.Numbered) - 1
	if got := a.Covariance[n][n-2]; !(got > 0.5*a.Rows[5].PartSD*a.Rows[3].PartSD) {
		t.Errorf("covariance of one boost with itself less flat: %g", got)
	}
	if a.Readings[3].Source != "source" || a.Readings[3].Red != "return" {
		t.Errorf("blanks stayed blank: %+v", a.Readings[3])
	}
	if _, _, err := c.Expect(context.Background(), ExpectQuestion{Readings: []reading.Reading{{Kind: reading.Volts, Red: "nowhere"}}}); err == nil {
		t.Error("a reading nowhere")
	}
}
