package spread_test

import (
	"context"
	"encoding/json"
	"math"
	"runtime"
	"slices"
	"testing"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/quantity"
	"bandwright/spread"
)

func ids(list finding.List) (ids []finding.ID) {
	for _, f := range list {
		ids = append(ids, f.ID)
	}
	return ids
}

func bytesOf(t *testing.T, r *spread.Result) string {
	t.Helper()
	text, err := json.Marshal(r)
	if err != nil {
		t.Fatal(err)
	}
	return string(text)
}

// The same bytes with any number of workers on one processor or two, and
// others with another seed.
func TestSameBytes(t *testing.T) {
	p := legPlan(t, 0.1, 0.05, 5000, 77)
	p.Laws[knobCoil] = p.Laws[knobCoil].InBatch("lot", 0.5)
	p.Laws[knobCapacitor] = p.Laws[knobCapacitor].InBatch("lot", 0.3)
	p.Limits = []spread.Limit{{Figure: "q", Low: 6, High: 7}}
	want := bytesOf(t, mustRun(t, p))
	processors := runtime.GOMAXPROCS(1)
	defer runtime.GOMAXPROCS(processors)
	for i, workers := range []int{1, 2, 3, 16, 2} {
		p.Workers = workers
		if i > 1 {
			runtime.GOMAXPROCS(2)
		}
		if got := bytesOf(t, mustRun(t, p)); got != want {
			t.Errorf("%d workers give other bytes", workers)
		}
	}
	p.Seed++
	if bytesOf(t, mustRun(t, p)) == want {
		t.Error("another seed gives the same bytes")
	}
}

// Stopped on the way, a run gives what it has: what a plan for as many builds
// gives.
func TestStop(t *testing.T) {
	for _, workers := range []int{1, 2} {
		ctx, stop := context.WithCancel(context.Background())
		p := legPlan(t, 0.1, 0.05, 50_000, 3)
		p.Workers = workers
		p.Progress = func(done, total int) {
			if done > 4000 {
				stop()
			}
		}
		r, found, err := spread.Run(ctx, p)
		if err != nil {
			t.Fatal(err)
		}
		if r.Builds >= p.Count || r.Builds < 2048 || r.Wanted != p.Count || !slices.Contains(ids(found), spread.IDStopped) {
			t.Errorf("%d of %d builds, findings %v", r.Builds, r.Wanted, found)
		}
		p.Count, p.Progress = r.Builds, nil
		whole := mustRun(t, p)
		whole.Wanted = r.Wanted
		if bytesOf(t, whole) != bytesOf(t, r) {
			t.Errorf("%d workers: what was made before the stop is not what a shorter plan makes", workers)
		}
	}
	ctx, stop := context.WithCancel(context.Background())
	stop()
	if r, _, err := spread.Run(ctx, legPlan(t, 0.1, 0.05, 100, 3)); r != nil || err != context.Canceled {
		t.Errorf("stopped before it began: %v, %v", r, err)
	}
}

func TestProgress(t *testing.T) {
	p := legPlan(t, 0.1, 0.05, 10_000, 3)
	p.Workers = 3
	last := 0
	p.Progress = func(done, total int) {
		if done <= last || total != p.Count {
			t.Errorf("%d of %d after %d", done, total, last)
		}
		last = done
	}
	mustRun(t, p)
	if last != p.Count {
		t.Errorf("%d of %d builds were told of", last, p.Count)
	}
}

// Members of a batch move together and each by its own law: the chance that
// both lie within one deviation is that of the bivariate normal law.
func TestBatch(t *testing.T) {
	for _, common := range []float64{0, 0.5, 0.9, 1} {
		p := legPlan(t, 0, 0, 20_000, 12)
		p.Laws[knobCoil] = spread.MeasuredAs(legHenries, 0.01*legHenries).InBatch("lot", common)
		p.Laws[knobCapacitor] = spread.MeasuredAs(legFarads, 0.01*legFarads).InBatch("lot", common)
		p.Limits = []spread.Limit{{Figure: "coil", Low: 0.99, High: 1.01}, {Figure: "capacitor", Low: 0.99, High: 1.01}}
		r := mustRun(t, p)
		want, alone := 0.0, spread.NormalShare(1)-spread.NormalShare(-1)
		middles := 4000
		for i := range middles {
			z := spread.NormalQuantile((float64(i) + 0.5) / float64(middles))
			own := math.Sqrt(max(1-common, 1e-18))
			both := spread.NormalShare((1-math.Sqrt(common)*z)/own) - spread.NormalShare((-1-math.Sqrt(common)*z)/own)
			want += both * both / float64(middles)
		}
		se := math.Sqrt(want * (1 - want) / float64(r.Builds))
		if math.Abs(r.Yield.Share-want) > 4*se {
			t.Errorf("common %g: both within one deviation in %.4f, want %.4f", common, r.Yield.Share, want)
		}
		for _, name := range []string{"coil", "capacitor"} {
			if f := figure(t, r, name); math.Abs(f.Yield.Share-alone) > 4*math.Sqrt(alone*(1-alone)/float64(r.Builds)) {
				t.Errorf("common %g: %s alone within one deviation in %.4f, want %.4f", common, name, f.Yield.Share, alone)
			}
		}
		// The resonance spreads by √(2 + 2·common)/2 of one part's deviation, Q by √(2 − 2·common)/2.
		f, q := figure(t, r, "resonance_hz"), figure(t, r, "q")
		for _, c := range []struct{ got, want float64 }{
			{f.SD / f.Mean, 0.01 * math.Sqrt(2+2*common) / 2}, {q.SD / q.Mean, 0.01 * math.Sqrt(2-2*common) / 2},
		} {
			if !near(c.got, c.want, 0.03) && math.Abs(c.got-c.want) > 1e-9 {
				t.Errorf("common %g: deviation %.5f, want %.5f", common, c.got, c.want)
			}
		}
	}
}

// Shares of the variance are those of the linear law of a resonance, and
// sum to one with the rest.
func TestShares(t *testing.T) {
	p := legPlan(t, 0.1, 0.05, 20_000, 8)
	p.Laws[knobResistor] = spread.Within(spread.Flat, legOhms, even(0.05))
	r := mustRun(t, p)
	for name, want := range map[string][3]float64{"resonance_hz": {0.8, 0.2, 0}, "q": {100.0 / 225, 25.0 / 225, 100.0 / 225}} {
		f := figure(t, r, name)
		sum := f.Rest
		for i, s := range f.Shares {
			sum += s.Of
			k := map[string]int{"coil": 0, "capacitor": 1, "resistor": 2}[s.Part]
			if math.Abs(s.Of-want[k]) > 0.02 {
				t.Errorf("%s: %s has %.3f of the variance, want %.3f", name, s.Part, s.Of, want[k])
			}
			if i > 0 && s.Of > f.Shares[i-1].Of {
				t.Errorf("%s: shares are not sorted: %v", name, f.Shares)
			}
		}
		if len(f.Shares) != 3 || math.Abs(sum-1) > 1e-12 || f.Rest > 0.01 {
			t.Errorf("%s: shares sum to %g, rest %g", name, sum, f.Rest)
		}
	}
	// Two parts that move as one divide what they do.
	p.Laws[knobCoil] = p.Laws[knobCoil].InBatch("lot", 1)
	p.Laws[knobCapacitor] = spread.Within(spread.Flat, legFarads, even(0.1)).InBatch("lot", 1)
	for _, s := range figure(t, mustRun(t, p), "resonance_hz").Shares[:2] {
		if math.Abs(s.Of-0.5) > 0.01 {
			t.Errorf("of a batch %s has %.3f", s.Part, s.Of)
		}
	}
}

// Builds without a figure are counted, fail its limits and keep out of its
// statistics; their shares are of the builds that have it.
func TestMissing(t *testing.T) {
	p := legPlan(t, 0.1, 0.05, 8000, 8)
	hz := legHz(legHenries, legFarads)
	p.Limits = []spread.Limit{{Figure: "resonance_hz", Low: 0, High: math.Inf(1)}, {Figure: "q", Low: math.Inf(-1), High: math.Inf(1)}}
	whole := mustRun(t, p)
	p.Measure = func() circuit.Measure { return &legMeasure{hide: 1.02 * hz} }
	r, found, err := spread.Run(t.Context(), p)
	if err != nil || !slices.Contains(ids(found), spread.IDMissing) {
		t.Fatal(err, found)
	}
	f := figure(t, r, "resonance_hz")
	if f.None == 0 || f.Count+f.None != r.Builds || f.Max > 1.02*hz || f.Yield.Good != f.Count || r.Yield.Good != f.Count || whole.Yield.Share != 1 {
		t.Errorf("%d have it, %d do not, yield %+v, all %+v", f.Count, f.None, f.Yield, r.Yield)
	}
	sum := f.Rest
	for _, s := range f.Shares {
		sum += s.Of
	}
	if len(f.Shares) != 2 || math.Abs(sum-1) > 1e-12 || f.Rest > 0.05 {
		t.Errorf("shares %v and rest %g", f.Shares, f.Rest)
	}
	p.Measure = func() circuit.Measure { return &legMeasure{hide: 1e-9} }
	r = mustRun(t, p)
	if f := figure(t, r, "resonance_hz"); f.Count != 0 || f.Nominal != nil || f.Percentiles != nil || r.Yield.Good != 0 {
		t.Errorf("no build has it: %+v", f)
	}
	bytesOf(t, r) // holds no NaN
}

func TestWrongPlans(t *testing.T) {
	good := spread.Within(spread.Flat, legOhms, even(0.1))
	edit := func(change func(l *spread.Law)) func(p *spread.Plan) {
		return func(p *spread.Plan) {
			l := good
			change(&l)
			p.Laws[knobResistor] = l
		}
	}
	for name, c := range map[string]struct {
		edit func(p *spread.Plan)
		want finding.ID
	}{
		"no shape":     {edit(func(l *spread.Law) { l.Shape = "round" }), spread.IDBadLaw},
		"zero":         {edit(func(l *spread.Law) { l.Low = 0 }), spread.IDBadLaw},
		"exchanged":    {edit(func(l *spread.Law) { l.Low, l.High = l.High, l.Low }), spread.IDBadLaw},
		"outside":      {edit(func(l *spread.Law) { l.Nominal = 2 * l.High }), spread.IDBadLaw},
		"not a number": {edit(func(l *spread.Law) { l.High = math.NaN() }), spread.IDBadLaw},
		"no deviation": {edit(func(l *spread.Law) { l.Shape = spread.Normal }), spread.IDBadLaw},
		"too common":   {edit(func(l *spread.Law) { l.Common = 1.5 }), spread.IDBadLaw},
		"none":         {func(p *spread.Plan) { p.Count = 0 }, spread.IDCount},
		"too many":     {func(p *spread.Plan) { p.Count = spread.MostBuilds + 1 }, spread.IDCount},
		"figure":       {func(p *spread.Plan) { p.Limits = []spread.Limit{{Figure: "width"}} }, spread.IDNoFigure},
		"limit":        {func(p *spread.Plan) { p.Limits = []spread.Limit{{Figure: "q", Low: 2, High: 1}} }, spread.IDBadLimit},
		"percent":      {func(p *spread.Plan) { p.Percents = []float64{101} }, spread.IDBadPercent},
	} {
		p := legPlan(t, 0.1, 0.1, 100, 1)
		c.edit(&p)
		r, _, err := spread.Run(t.Context(), p)
		list, ok := finding.From(err)
		if r != nil || !ok || len(list) != 1 || list[0].ID != c.want || list[0].Level != finding.Error {
			t.Errorf("%s: %v", name, err)
		}
		if c.want == spread.IDBadLaw && list[0].Place.Part != "resistor" {
			t.Errorf("%s: placed at %v", name, list[0].Place)
		}
	}
}

// Few builds are said to be few.
func TestFewBuilds(t *testing.T) {
	p := legPlan(t, 0.1, 0.1, 92, 1)
	_, found, err := spread.Run(t.Context(), p)
	if err != nil || !slices.Contains(ids(found), spread.IDFewBuilds) {
		t.Errorf("92: %v %v", err, found)
	}
	p.Count = 93
	if _, found, err = spread.Run(t.Context(), p); err != nil || len(found) > 0 {
		t.Errorf("93: %v %v", err, found)
	}
	p.Count = 20
	if _, found, err = spread.Run(t.Context(), p); err != nil || !slices.Contains(ids(found), spread.IDNoShares) {
		t.Errorf("20: %v %v", err, found)
	}
}

// The wanted percentiles are there, beside those that always are.
func TestPercents(t *testing.T) {
	p := legPlan(t, 0.1, 0.1, 500, 1)
	p.Percents = []float64{97.5, 0, 33, 100}
	f := figure(t, mustRun(t, p), "q")
	var got []float64
	for _, at := range f.Percentiles {
		got = append(got, at.Percent)
	}
	if !slices.Equal(got, []float64{0, 2.5, 33, 50, 97.5, 100}) || f.At(0).Value != f.Min || f.At(100).Value != f.Max {
		t.Errorf("%v: %+v", got, f.Percentiles)
	}
}

// What if the capacitor were held to 1 %.
func TestWhatIf(t *testing.T) {
	p := legPlan(t, 0.05, 0.1, 20_000, 4)
	before := mustRun(t, p)
	after := mustRun(t, p.With(func(k circuit.Knob, l spread.Law) spread.Law {
		if k.Value == "Farads" {
			return spread.Within(spread.Flat, l.Nominal, quantity.Tolerance{Minus: 0.01, Plus: 0.01})
		}
		return l
	}))
	changes := spread.Compare(before, after)
	if len(changes) != 4 || p.Laws[knobCapacitor].High < 1.09*legFarads {
		t.Fatalf("%v; the first plan's capacitor now ends at %g", changes, p.Laws[knobCapacitor].High)
	}
	for _, c := range changes[:2] {
		// The central 95 % of a sum of two flat laws of half widths a > b reaches
		// to a + b − √(8·a·b·0.025) where that is beyond a − b (worked out from the definition).
		half := func(a, b float64) float64 { return a + b - math.Sqrt(8*a*b*0.025) }
		for _, h := range []struct {
			got  spread.HalfWidth
			want float64
		}{{c.Before, half(0.05, 0.025)}, {c.After, half(0.025, 0.005)}} {
			f := figure(t, before, c.Figure)
			if se := h.got.SE / f.At(50).Value; se > 0.001 || math.Abs(h.got.Of-h.want) > 4*se+0.001 {
				t.Errorf("%s: half width ±%.3f %% (±%.3f), want ±%.3f %%", c.Figure, 100*h.got.Of, 100*se, 100*h.want)
			}
		}
	}
}
