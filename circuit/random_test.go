package circuit_test

import (
	"context"
	"errors"
	"math"
	"math/cmplx"
	"math/rand/v2"
	"testing"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/known"
	"bandwright/trials"
)

// seed is the start of every random trial here; a failure prints the trial.
const seed = 20260112

// drawn is a random circuit, solved. Trials whose operating point does not
// exist fail the test: the generator promises one.
func drawn(t *testing.T, s known.Sample) *circuit.State {
	t.Helper()
	c, err := circuit.New(s.Parts...)
	if err != nil {
		t.Fatal(err)
	}
	st, err := c.Solve(context.Background(), s.Setting, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	return st
}

// kinds draws one circuit of each kind for a trial.
func kinds(from, trial uint64) map[string]known.Sample {
	rng := func(kind uint64) *rand.Rand { return rand.New(rand.NewPCG(from+kind, trial)) }
	points := 3 + int(trial%18)
	return map[string]known.Sample{
		"passive": known.RandomPassive(rng(1), points),
		"linear":  known.RandomLinear(rng(2), points, 1+int(trial%3)),
		"active":  known.RandomActive(rng(3), points, 1+int(trial%3)),
		"coupled": known.RandomCoupled(rng(4), points),
		"valves":  known.RandomValves(rng(5), points, 1+int(trial%3)),
	}
}

// passive draws a passive circuit, every third with coupled coils.
func passive(from, trial uint64, points int) known.Sample {
	rng := rand.New(rand.NewPCG(from, trial))
	if trial%3 == 2 {
		return known.RandomCoupled(rng, points)
	}
	return known.RandomPassive(rng, points)
}

var audio = []float64{1, 20, 63, 400, 1000, 6300, 20e3, 200e3}

// TestResidual is the engine's promise: the componentwise backward error is
// below 1e-10 as eliminated and below 1e-14 after one refinement, whatever the
// circuit and the frequency. Of very many circuits one in some thousands may be
// a little rougher as eliminated.
func TestResidual(t *testing.T) {
	t.Parallel()
	from := trials.Seed(t, seed)
	raw, worst, redone, solved, rough, circuits := 0.0, 0.0, 0, 0, 0, 0
	for trial := range uint64(trials.Count(700)) { // of each kind
		for kind, s := range kinds(from, trial) {
			r, err := drawn(t, s).Response(context.Background(), s.Source, s.Outs, audio)
			if err != nil {
				t.Fatalf("trial %d %s: %v", trial, kind, err)
			}
			circuits++
			if !(r.Raw <= 1e-10) {
				rough++
				t.Logf("trial %d %s: %.3g before refinement", trial, kind, r.Raw)
			}
			if !(r.Residual <= 1e-14) || !(r.Raw <= 1e-8) {
				t.Errorf("trial %d %s: residual %.3g, %.3g before refinement", trial, kind, r.Residual, r.Raw)
			}
			raw, worst, redone, solved = max(raw, r.Raw), max(worst, r.Residual), redone+r.Redone, solved+len(audio)
		}
	}
	if rough > circuits/3000 {
		t.Errorf("%d of %d circuits are above 1e-10 before refinement", rough, circuits)
	}
	t.Logf("%d solutions: worst residual %.3g raw, %.3g refined, %d redone with full pivoting", solved, raw, worst, redone)
}

// TestNyquist: a network of resistance at one temperature makes exactly the
// noise 4kT·Re Z at every pair of terminals (Nyquist 1928). It holds every
// thermal source of every part to the impedance that the same equations give.
func TestNyquist(t *testing.T) {
	t.Parallel()
	const boltzmann = 1.380649e-23
	const kelvin = 300.0
	for trial := range uint64(200) {
		s := passive(seed, trial, 3+int(trial%15))
		at := s.Outs[0]
		probe := circuit.CurrentSource{Name: "probe", From: circuit.Ground, To: at}
		c, err := circuit.New(append(s.Parts, probe)...)
		if err != nil {
			t.Fatal(err)
		}
		st, err := c.Solve(context.Background(), s.Setting, circuit.Conditions{Kelvin: kelvin})
		if err != nil {
			t.Fatal(err)
		}
		z, err := st.Response(context.Background(), "probe", []string{at}, audio)
		if err != nil {
			t.Fatal(err)
		}
		noise, err := st.Noise(context.Background(), at, audio)
		if err != nil {
			t.Fatal(err)
		}
		for k, hz := range audio {
			want := 4 * boltzmann * kelvin * real(z.Gains[0][k])
			scale := 4 * boltzmann * kelvin * cmplx.Abs(z.Gains[0][k])
			if math.Abs(noise.Total[k]-want) > 1e-9*want+1e-11*scale {
				t.Errorf("trial %d at %g Hz: noise %.9g, 4kT·Re Z %.9g", trial, hz, noise.Total[k], want)
			}
		}
	}
}

// TestReciprocity: in a network of two-terminal parts, a current in at one
// point and a voltage out at another may change places.
func TestReciprocity(t *testing.T) {
	t.Parallel()
	for trial := range uint64(200) {
		s := passive(seed+7, trial, 4+int(trial%15))
		if len(s.Outs) < 2 {
			continue
		}
		a, b := s.Outs[0], s.Outs[1]
		parts := append(s.Parts,
			circuit.CurrentSource{Name: "into a", From: circuit.Ground, To: a},
			circuit.CurrentSource{Name: "into b", From: circuit.Ground, To: b})
		st := drawn(t, known.Sample{Parts: parts, Setting: s.Setting})
		ab, err := st.Response(context.Background(), "into a", []string{b}, audio)
		if err != nil {
			t.Fatal(err)
		}
		ba, err := st.Response(context.Background(), "into b", []string{a}, audio)
		if err != nil {
			t.Fatal(err)
		}
		for k := range audio {
			x, y := ab.Gains[0][k], ba.Gains[0][k]
			if cmplx.Abs(x-y) > 1e-9*(cmplx.Abs(x)+1e-12) {
				t.Errorf("trial %d at %g Hz: %v and %v", trial, audio[k], x, y)
			}
		}
	}
}

// TestPaths: the fast gain and the slope agree with the refined response,
// and the slope with a central difference in frequency.
func TestPaths(t *testing.T) {
	t.Parallel()
	ctx := context.Background()
	for trial := range uint64(60) {
		for kind, s := range kinds(seed, trial) {
			st, out := drawn(t, s), s.Outs[0]
			gain := make([]complex128, len(audio))
			slope, again := make([]complex128, len(audio)), make([]complex128, len(audio))
			full, err := st.Response(ctx, s.Source, []string{out}, audio)
			err = errors.Join(err, st.Gain(ctx, s.Source, out, audio, gain),
				st.Slopes(ctx, s.Source, out, audio, again, slope))
			if err != nil {
				t.Fatal(err)
			}
			for k, hz := range audio {
				want := full.Gains[0][k]
				if cmplx.Abs(gain[k]-want)+cmplx.Abs(again[k]-want) > 1e-6*cmplx.Abs(want)+1e-13 {
					t.Errorf("trial %d %s at %g Hz: response %v, gain %v, with slope %v", trial, kind, hz, want, gain[k], again[k])
				}
				const step = 1e-5
				near, err := st.Response(ctx, s.Source, []string{out}, []float64{hz * (1 - step), hz * (1 + step)})
				if err != nil {
					t.Fatal(err)
				}
				difference := (near.Gains[0][1] - near.Gains[0][0]) / complex(2*step*hz, 0)
				tolerance := 1e-4*cmplx.Abs(slope[k]) + 1e-9*cmplx.Abs(want)/hz + 1e-14
				if cmplx.Abs(difference-slope[k]) > tolerance {
					t.Errorf("trial %d %s at %g Hz: slope %v, by difference %v", trial, kind, hz, slope[k], difference)
				}
			}
		}
	}
}

// TestBadQuestions: what a question names must be there; each mistake is a
// finding with its place.
func TestBadQuestions(t *testing.T) {
	s := known.RandomPassive(rand.New(rand.NewPCG(seed, 1)), 5)
	st := drawn(t, s)
	for _, c := range []struct {
		source, out string
		want        finding.ID
	}{
		{"nobody", s.Outs[0], circuit.IDNoPart},
		{s.Parts[len(s.Parts)-1].PartName(), "nowhere", circuit.IDNoPoint},
		{firstResistor(s.Parts), s.Outs[0], circuit.IDNoSource},
	} {
		_, err := st.Sensitivity(c.source, c.out, 1000)
		list, ok := finding.From(err)
		if !ok || list[0].ID != c.want {
			t.Errorf("%s to %s: %v, want %s", c.source, c.out, err, c.want)
		}
	}
}

func firstResistor(parts []circuit.Part) string {
	for _, p := range parts {
		if _, ok := p.(circuit.Resistor); ok {
			return p.PartName()
		}
	}
	panic("no resistor")
}
