package circuit_test

import (
	"context"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/known"
	"bandwright/trials"
)

func omegaOf(hz float64) float64 { return 2 * math.Pi * hz }

// linear draws passive circuits, such with op-amps and such with coupled coils,
// turn by turn.
func linear(from, trial uint64, points int) known.Sample {
	rng := rand.New(rand.NewPCG(from, trial))
	switch trial % 4 {
	case 0:
		return known.RandomPassive(rng, points)
	case 2:
		return known.RandomCoupled(rng, points)
	}
	return known.RandomLinear(rng, points, 1+int(trial%3))
}

// TestTwin: every point of random linear circuits agrees with the twin's
// machine numbers to 1e-9, of itself or of a millionth of the largest. The twin
// eliminates without refinement; where a circuit cancels so much that it errs by
// more itself, the one of many bits decides.
func TestTwin(t *testing.T) {
	t.Parallel()
	from, worst, decided := trials.Seed(t, seed+21), 0.0, 0
	hz := []float64{30, 1000, 30e3}
	for trial := range uint64(trials.Count(500)) {
		s := linear(from, trial, 3+int(trial%12))
		st := drawn(t, s)
		r, err := st.Response(context.Background(), s.Source, st.Circuit().Points(), hz)
		if err != nil {
			t.Fatal(err)
		}
		k := int(trial % 3)
		omega := omegaOf(hz[k])
		ours := map[string]complex128{}
		for i, point := range st.Circuit().Points() {
			ours[point] = r.Gains[i][k]
		}
		twin := newTwin(s.Parts, s.Setting, s.Source, exactly(0, omega), omega)
		off, point := apart(ours, twin.dense())
		if !(off <= 1e-9) {
			decided++
			volts, _ := twin.exact()
			off, point = apart(ours, volts)
		}
		if worst = max(worst, off); !(off <= 1e-9) {
			t.Errorf("trial %d at %g Hz, %s: %v, %.3g off", trial, hz[k], point, ours[point], off)
		}
	}
	t.Logf("worst difference %.3g, %d decided by many bits", worst, decided)
	if decided > 1+trials.Count(500)/500 {
		t.Errorf("machine numbers do not tell of %d circuits", decided)
	}
}

// apart gives the largest difference, of itself or of a millionth of the largest,
// and where.
func apart(ours, twin map[string]complex128) (worst float64, where string) {
	most := 0.0
	for _, v := range twin {
		most = max(most, cmplx.Abs(v))
	}
	for point, v := range ours {
		switch off := cmplx.Abs(v-twin[point]) / (cmplx.Abs(twin[point]) + 1e-6*most); {
		case math.IsNaN(off):
			return off, point
		case off > worst:
			worst, where = off, point
		}
	}
	return worst, where
}

// TestExactTwin: in many bits, circuits of up to twelve points, to 1e-12.
func TestExactTwin(t *testing.T) {
	from, worst, held := trials.Seed(t, seed+22), 0.0, 0
	for trial := range uint64(trials.Count(100)) {
		s := linear(from, trial, 3+int(trial%4))
		st := drawn(t, s)
		if len(st.Circuit().Points()) > 12 {
			continue
		}
		held++
		hz := audio[trial%uint64(len(audio))]
		omega := omegaOf(hz)
		volts, _ := newTwin(s.Parts, s.Setting, s.Source, exactly(0, omega), omega).exact()
		most := 0.0
		for _, v := range volts {
			most = max(most, cmplx.Abs(v))
		}
		for _, point := range s.Outs {
			h := responded(t, st, s.Source, point, hz)[0]
			off := cmplx.Abs(h-volts[point]) / (cmplx.Abs(volts[point]) + 1e-3*most)
			worst = max(worst, off)
			if !(off <= 1e-12) {
				t.Errorf("trial %d at %g Hz, %s: %v, twin %v, %.3g off", trial, hz, point, h, volts[point], off)
			}
		}
	}
	if held < 60 {
		t.Errorf("only %d circuits were small enough", held)
	}
	t.Logf("worst difference %.3g of %d circuits", worst, held)
}

// TestCell: the ideal cell in closed form, 1 to 31 bands, sliders anywhere
// and at their ends.
func TestCell(t *testing.T) {
	t.Parallel()
	from, worst := trials.Seed(t, seed+23), 0.0
	for trial := range uint64(trials.Count(62)) {
		rng := rand.New(rand.NewPCG(from, trial))
		ohms, legs := known.RandomCell(rng, 1+int(trial%31))
		parts, setting := known.IdealCellParts(ohms, legs)
		st := built(t, setting, circuit.Conditions{}, parts...)
		for k, h := range responded(t, st, "source", "out", audio...) {
			want := known.IdealCell(ohms, legs, audio[k])
			off := cmplx.Abs(h-want) / cmplx.Abs(want)
			worst = max(worst, off)
			if !(off <= 1e-9) {
				t.Errorf("trial %d, %d bands at %g Hz: %v, closed form %v", trial, len(legs), audio[k], h, want)
			}
		}
	}
	t.Logf("worst difference %.3g", worst)
}

// TestFlatAndInverse: centred, every cell is flat whatever its legs; turned
// round (p → −p) its gain is the inverse.
func TestFlatAndInverse(t *testing.T) {
	t.Parallel()
	from := trials.Seed(t, seed+24)
	for trial := range uint64(trials.Count(16)) {
		rng := rand.New(rand.NewPCG(from, trial))
		ohms, legs := known.RandomCell(rng, 1+int(2*trial%31))
		parts, setting := known.IdealCellParts(ohms, legs)
		var turned curve.Setting
		for name, p := range setting.Sliders {
			turned = turned.WithSlider(name, -p)
		}
		flat := responded(t, built(t, curve.Setting{}, circuit.Conditions{}, parts...), "source", "out", audio...)
		up := responded(t, built(t, setting, circuit.Conditions{}, parts...), "source", "out", audio...)
		down := responded(t, built(t, turned, circuit.Conditions{}, parts...), "source", "out", audio...)
		for k := range audio {
			if !(cmplx.Abs(flat[k]-1) <= 1e-11) {
				t.Errorf("trial %d at %g Hz: flat is %v", trial, audio[k], flat[k])
			}
			if !(cmplx.Abs(up[k]*down[k]-1) <= 1e-9) {
				t.Errorf("trial %d at %g Hz: %v and turned round %v", trial, audio[k], up[k], down[k])
			}
		}
	}
}

// flow is what a two-pole carries from a to b, by the twin's impedance; what a
// source or an output carries, by Kirchhoff's law.
type flow struct {
	a, b string
	v, i complex128
	// v and i are differences of numbers of this size, for their rounding.
	volts, amperes float64
}

// flows gives the currents of every part from the engine's volts alone. The
// sources' and outputs' currents are what is missing at their points.
func flows(t *testing.T, s known.Sample, st *circuit.State, hz float64) (list []flow, left map[string]complex128, size map[string]float64) {
	t.Helper()
	omega := omegaOf(hz)
	points := st.Circuit().Points()
	r, err := st.Response(context.Background(), s.Source, points, []float64{hz})
	if err != nil {
		t.Fatal(err)
	}
	volts := map[string]complex128{circuit.Ground: 0}
	for i, p := range points {
		volts[p] = r.Gains[i][0]
	}
	left, size = map[string]complex128{}, map[string]float64{}
	for _, p := range s.Parts {
		if _, ok := p.(circuit.Coupling); ok {
			return nil, nil, nil // a coil's current does not follow from its own volts
		}
		poles := elements(p, s.Setting, exactly(0, omega), omega)
		if o, ok := p.(circuit.OpAmp); ok && o.InputOhms > 0 {
			poles = []element{{part: o.Name, a: o.Plus, b: o.Minus, z: exactly(o.InputOhms, 0)}}
		}
		if slider, ok := p.(circuit.Slider); ok {
			// The contact is the wiper here: no sample has wiper resistance.
			poles = []element{{a: slider.Boost, b: slider.Wiper, z: poles[0].z}, {a: slider.Wiper, b: slider.Cut, z: poles[1].z}}
		}
		for _, e := range poles {
			if e.z.isZero() {
				return nil, nil, nil // its current does not follow from volts
			}
			v := volts[e.a] - volts[e.b]
			i := v / e.z.round()
			left[e.a] += i
			left[e.b] -= i
			ends := cmplx.Abs(volts[e.a]) + cmplx.Abs(volts[e.b])
			scale := ends / cmplx.Abs(e.z.round())
			list = append(list, flow{a: e.a, b: e.b, v: v, i: i, volts: ends, amperes: scale})
			size[e.a] += scale
			size[e.b] += scale
		}
	}
	for _, p := range s.Parts {
		point := ""
		switch p := p.(type) {
		case circuit.VoltageSource:
			point = p.Plus
		case circuit.OpAmp:
			point = p.Out
		default:
			continue
		}
		list = append(list, flow{a: point, b: circuit.Ground, v: volts[point], i: -left[point],
			volts: cmplx.Abs(volts[point]), amperes: size[point]})
		left[point] = 0
	}
	return list, left, size
}

// TestKirchhoffAndTellegen puts the engine's volts back into every part: what
// flows into a point flows out of it, and volts at one frequency times the
// currents at another, summed over all parts, is zero (Tellegen 1952).
func TestKirchhoffAndTellegen(t *testing.T) {
	t.Parallel()
	from, held := trials.Seed(t, seed+25), 0
	for trial := range uint64(trials.Count(200)) {
		s := linear(from, trial, 3+int(trial%15))
		s.Setting = curve.Setting{Sliders: s.Setting.Sliders}
		s.Parts = withoutContacts(s.Parts)
		st := drawn(t, s)
		one, left, size := flows(t, s, st, audio[trial%5])
		other, _, _ := flows(t, s, st, audio[trial%5+3])
		if one == nil {
			continue
		}
		for point, i := range left {
			if point != circuit.Ground && cmplx.Abs(i) > 1e-12*size[point] {
				t.Errorf("trial %d, %s: %v A of %g are left over", trial, point, i, size[point])
			}
		}
		for _, pair := range [][2][]flow{{one, one}, {one, other}, {other, one}} {
			var sum complex128
			total, rounding := 0.0, 0.0
			for k := range pair[0] {
				x := pair[0][k].v * cmplx.Conj(pair[1][k].i)
				sum, total = sum+x, total+cmplx.Abs(x)
				rounding += 0x1p-52 * pair[0][k].volts * pair[1][k].amperes
			}
			if !(cmplx.Abs(sum) <= 1e-9*total+rounding) {
				t.Errorf("trial %d: %v VA of %g are left over", trial, sum, total)
			}
		}
		held++
	}
	if held < 50 {
		t.Errorf("only %d circuits could be held", held)
	}
}

// withoutContacts leaves out switches: a closed contact's current does not
// follow from volts.
func withoutContacts(parts []circuit.Part) []circuit.Part {
	var rest []circuit.Part
	for _, p := range parts {
		switch p.(type) {
		case circuit.Switch, circuit.Contact:
		default:
			rest = append(rest, p)
		}
	}
	return rest
}
