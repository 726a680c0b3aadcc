package report

import (
	"math"
	"strings"
	"testing"

	"bandwright/bench"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/job"
)

// smallJob is a job of two bands with blanks, a measured unit and markup in
// its words, to be laid out the same way every time.
const smallJob = `format = 1
title = "Two bands <for> a test & nothing else"
invented = true
amp = "20 W head (invented)"
[agreed]
customer = "nobody"
wants = "63 and 1000 Hz"
[found]
mains = "231 V"
volts = [ { where = "first anode", reading = "182 V" } ]
[tap_in]
where = "behind the tone stage"
source = "1k"
load = "470k"
level = "-6 dBu"
[driver]
drawing = "ideal"
[[band]]
name = "63"
centre = "63 Hz"
slider = { value = "10k" }
coil = { value = "2.7 H", dcr = "255 ohm" }
capacitor = { value = "2u2" }
resistor = { value = "330R" }
[[band]]
name = "1k"
centre = "1000 Hz"
slider = { value = "10k" }
coil = { value = "170 mH", dcr = "47 ohm" }
capacitor = { value = "150n" }
resistor = { value = "470R" }
[[curve]]
name = "unit A, 63 boost"
unit = "A"
role = "measured"
file = "a-63.csv"
sha256 = "e1352cb52cff79b9ca9174b986235665a9aa93dd9c21ca48138ca93d32694aa2"
setting = "63=+1"
level = "-20 dBu"
invented = true
[[fitting]]
do = "Photograph the tap-in"
done = "2026-01-14"
[[fitting]]
do = "Ring out cold"
`

func decoded(t testing.TB, text string) *job.Job {
	t.Helper()
	j, found := job.Decode("job.toml", []byte(text))
	if err := found.Err(); err != nil {
		t.Fatal(err)
	}
	return j
}

// bell is a hump of so many decibels, as a stand-in for a band curve.
func bell(name string, s curve.Setting, centre, db float64) curve.Curve {
	c := curve.Curve{Name: name, Setting: s}
	for i := 0; i <= 90; i++ {
		hz := 20 * math.Pow(10, float64(i)/30)
		x := hz/centre - centre/hz
		c.Hz = append(c.Hz, hz)
		c.DB = append(c.DB, db/(1+x*x))
	}
	return c
}

func sum(name string, s curve.Setting, curves ...curve.Curve) curve.Curve {
	c := curve.Curve{Name: name, Setting: s, Hz: curves[0].Hz, DB: make([]float64, len(curves[0].Hz))}
	for _, k := range curves {
		for i := range k.DB {
			c.DB[i] += k.DB[i]
		}
	}
	return c
}

func at(x float64) *float64 { return &x }

// answerFor makes an answer of plausible figures for a job: every number is a
// stand-in, since what is tested here is how it is laid out.
func answerFor(j *job.Job) *bench.SheetAnswer {
	a := &bench.SheetAnswer{Title: j.Title, JobFile: "job.toml", JobSHA256: strings.Repeat("0123456789abcdef", 4)}
	a.Bands.Setting, a.Bands.Stable = "flat", true
	a.Bands.Flat = bench.GainRange{LowDB: -0.31, LowHz: 20, HighDB: 0.02, HighHz: 1200}
	a.Bands.AllUp = bench.GainRange{LowDB: 2, LowHz: 20, HighDB: 15.2, HighHz: 980}
	a.Bands.AllDown = bench.GainRange{LowDB: -15.2, LowHz: 980, HighDB: -2, HighHz: 20}
	up, down := curve.Setting{}, curve.Setting{}
	var ups, downs []curve.Curve
	for i, b := range j.Bands {
		hz := float64(b.Centre)
		f := equaliser.Feature{
			Band: b.Name, StatedHz: hz, LegHz: hz * 1.02, LegQ: 1.7, Found: true, CutFound: true, CentreHz: hz * (1 + 0.01*float64(i-2)), CutHz: hz * (1 + 0.01*float64(i-2)),
			BoostDB: 10.42, CutDB: -10.38, LowHz: at(hz / 1.7), HighHz: at(hz * 1.7), WidthHz: at(hz * 1.11), Q: at(0.9), QTop: at(1.3), TotalDB: 10.1, ShareDB: 9.9,
		}
		if i == 0 {
			f.LowHz, f.WidthHz, f.Q = nil, nil, nil
		}
		a.Bands.Bands = append(a.Bands.Bands, f)
		scale := bench.BandScale{Band: b.Name, AtHz: f.CentreHz}
		for p := -20; p <= 20; p++ {
			x := float64(p) / 20
			scale.Travel = append(scale.Travel, bench.ScalePoint{Position: x, DB: f.BoostDB * x * x * x})
		}
		for _, db := range []float64{-10, -5, 0, 5, 10} {
			scale.Marks = append(scale.Marks, bench.ScalePoint{Position: math.Cbrt(db / f.BoostDB), DB: db})
		}
		a.Bands.Scale = append(a.Bands.Scale, scale)
		a.Bands.Headroom = append(a.Bands.Headroom, bench.BandHeadroom{Band: b.Name, AtHz: f.CentreHz, FlatVolts: at(4.1), UpVolts: at(1.3 - 0.2*float64(i)), FlatDB: at(17.5), UpDB: at(8.1 - 1.2*float64(i)), LimitedBy: "q2"})
		boost := bell(b.Name+" boost", curve.Setting{}.WithSlider(b.Name, 1), f.CentreHz, f.BoostDB)
		cut := bell(b.Name+" cut", curve.Setting{}.WithSlider(b.Name, -1), f.CutHz, f.CutDB)
		a.Family = append(a.Family, boost, cut)
		ups, downs = append(ups, boost), append(downs, cut)
		up, down = up.WithSlider(b.Name, 1), down.WithSlider(b.Name, -1)
		for _, part := range []bench.FittedPart{
			{Part: b.Name, Kind: "slider", Points: []string{"boost", b.Name + ".wiper", "cut"}, Marked: at(10e3), Value: at(10e3), Tolerance: "±20 %"},
			{Part: b.Name + ".resistor", Kind: "resistor", Points: []string{b.Name + ".wiper", b.Name + ".a"}, Marked: at(330), Value: at(330), Tolerance: "±1 %"},
			{Part: b.Name + ".coil", Kind: "inductor", Points: []string{b.Name + ".a", b.Name + ".b"}, Marked: at(2.7), Measured: at(2.72), Value: at(2.72), Tolerance: "±10 %", DCR: at(255), Note: "120 Hz, series, 0.5 V, 22 °C, hand LCR meter, leads zeroed, 2026-01-19; bag 1"},
			{Part: b.Name + ".capacitor", Kind: "capacitor", Points: []string{b.Name + ".b", "legs"}, Marked: at(2.2e-6), Measured: at(2.23e-6), Value: at(2.23e-6), Tolerance: "±10 %", Note: "1 kHz, film 1"},
		} {
			part.Band = b.Name
			a.Parts = append(a.Parts, part)
		}
	}
	a.Family = append(a.Family, sum("all up", up, ups...), sum("all down", down, downs...))
	for _, name := range []string{"R.b1", "R.b2", "C.base", "feed"} {
		p := bench.FittedPart{Part: name, Kind: "resistor", Points: []string{"rail", "q1.base"}, Marked: at(47e3), Value: at(47e3)}
		if name[0] == 'C' {
			p.Kind, p.Marked, p.Value = "capacitor", at(22e-6), at(22e-6)
		}
		a.Parts = append(a.Parts, p)
	}
	a.Parts = append(a.Parts, bench.FittedPart{Part: "q1", Kind: "transistor", Points: []string{"q1.collector", "q1.base", "q1.emitter"}})
	a.Ranges = rangesFor(a)
	a.Volts = bench.VoltsAnswer{Setting: "flat", Celsius: 35}
	for _, p := range []string{"boost", "cut", "in", "legs", "out", "out.coupled", "q1.base", "q1.emitter", "rail", "tap"} {
		v := at(12.34)
		if p == "legs" {
			v = nil
		}
		a.Volts.Points = append(a.Volts.Points, bench.PointVolts{Point: p, Volts: v})
	}
	a.Noise = []bench.NoiseAnswer{
		{Setting: "flat", Volts: 4.1e-6, DBu: at(-105.5), DBuA: at(-107.2), BelowDB: at(99.5), Share: []bench.NoiseShare{{Part: "feedback", Share: 0.41}, {Part: "feed", Share: 0.22}, {Part: "q1", Share: 0.11}}},
		{Setting: up.String(), Volts: 19e-6, DBu: at(-92), DBuA: at(-95), BelowDB: at(86), Share: []bench.NoiseShare{{Part: "feedback", Share: 0.61}}},
	}
	if len(j.Curves) > 0 {
		a.Compare = compareFor(j, a)
	}
	return a
}

// rangesFor makes ranges of 2 % and 0.2 dB about the stand-ins.
func rangesFor(a *bench.SheetAnswer) *bench.RangesAnswer {
	r := &bench.RangesAnswer{Builds: 2000, Seed: 1}
	about := func(x, by float64) *bench.Range { return &bench.Range{Low: x - by, High: x + by} }
	for i, b := range a.Bands.Bands {
		r.Bands = append(r.Bands, bench.BandRange{Band: b.Band, Centre: about(b.CentreHz, 0.02*b.CentreHz),
			Boost: about(b.BoostDB, 0.2), Cut: about(b.CutDB, 0.2), Q: about(*at(0.9), 0.02)})
		for _, k := range a.Family[2*i : 2*i+2] {
			shade := bench.CurveRange{Setting: k.Setting, Hz: k.Hz}
			for _, db := range k.DB {
				shade.Low, shade.High = append(shade.Low, db-0.3), append(shade.High, db+0.3)
			}
			r.Curves = append(r.Curves, shade)
		}
	}
	return r
}

func compareFor(j *job.Job, a *bench.SheetAnswer) *bench.CompareAnswer {
	c := &bench.CompareAnswer{Limits: bench.Limits{CentrePercent: 5, DB: 1}}
	units := map[string]int{}
	for _, k := range j.Curves {
		if _, known := units[k.Unit]; !known {
			units[k.Unit] = len(c.Units)
			c.Units = append(c.Units, bench.UnitCompare{Unit: k.Unit, Role: k.Role})
		}
		u := &c.Units[units[k.Unit]]
		setting, err := curve.ParseSetting(k.Setting)
		if err != nil {
			setting = curve.Setting{}.WithSwitch("footswitch", "lifted")
		}
		off := 0.0
		whole := bell(k.Name, setting, 1000, 0)
		measured := bell(k.Name, setting, 1000, 0)
		const offset = 0.12 // between the take and the prediction
		for n := range measured.DB {
			measured.DB[n] -= offset
		}
		for i, b := range a.Bands.Bands {
			if p := setting.Slider(b.Band); p != 0 {
				off = 0.01
				if k.Unit == "B" && i == 2 {
					off = -0.06
				}
				x, y := bell("", setting, b.CentreHz, b.BoostDB*p), bell("", setting, b.CentreHz*(1+off), (b.BoostDB+20*off)*p)
				for n := range x.DB {
					whole.DB[n] += x.DB[n]
					measured.DB[n] += y.DB[n]
				}
			}
		}
		diff := bell(k.Name, setting, 1000, 0)
		cc := bench.CurveCompare{Name: k.Name, Setting: k.Setting, File: k.File, SHA256: k.SHA256, Invented: k.Invented, LevelDB: offset, Measured: measured, Predicted: whole,
			Understood: curve.Understood{Separator: curve.Choice{Is: "semicolon"}, Decimal: curve.Choice{Is: "comma"}, Frequency: curve.Choice{Is: "Hz"}, Gain: curve.Choice{Is: "dB"}}}
		for n := range diff.DB {
			diff.DB[n] = measured.DB[n] + offset - whole.DB[n]
			cc.RMSDB += diff.DB[n] * diff.DB[n] / float64(len(diff.DB))
			if math.Abs(diff.DB[n]) > math.Abs(cc.MaxDB) {
				cc.MaxDB, cc.MaxHz = diff.DB[n], diff.Hz[n]
			}
		}
		if cc.MaxHz == 0 {
			cc.MaxHz = 20
		}
		cc.RMSDB = math.Sqrt(cc.RMSDB)
		cc.Difference = diff
		u.Curves = append(u.Curves, cc)
	}
	for i := range c.Units {
		u := &c.Units[i]
		for n, b := range a.Bands.Bands {
			off := 1.0
			if u.Unit == "B" && n == 2 {
				off = -6
			}
			m := bench.BandCompare{Band: b.Band, StatedHz: b.StatedHz, PredictedHz: b.CentreHz, PredictedDB: b.BoostDB, PredictedCut: b.CutDB, PredictedQ: b.Q}
			if n > 0 || len(j.Bands) > 2 {
				m.MeasuredHz, m.ErrorHz, m.CentreOff, m.StatedOff = at(b.CentreHz*(1+off/100)), at(b.CentreHz*0.004), at(off), at(off+1)
				m.MeasuredDB, m.ErrorDB, m.BoostOff = at(b.BoostDB+0.2*off), at(0.03), at(0.2*off)
				m.MeasuredCut, m.CutOff = at(b.CutDB+0.01), at(0.01)
				m.MeasuredQ, m.QOff = at(0.91), at(1.2)
				m.Off = off < -5
			}
			u.Bands = append(u.Bands, m)
		}
	}
	return c
}
