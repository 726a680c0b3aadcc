package circuit_test

import (
	"context"
	"fmt"
	"math"
	"math/cmplx"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
)

func coupling(name, first, second string, k float64) circuit.Coupling {
	return circuit.Coupling{Name: name, First: first, Second: second, K: k}
}

// TestSeriesCoils: two coupled coils in series are L1 + L2 ± 2M, whichever way
// round the sign is made: by k, or by turning a coil end for end.
func TestSeriesCoils(t *testing.T) {
	const l1, l2, k, hz = 0.5, 0.08, 0.3, 500.0
	m := k * math.Sqrt(l1*l2)
	for _, c := range []struct {
		name   string
		second circuit.Inductor
		k      float64
		want   float64
	}{
		{"aiding", coil("L2", "b", "0", l2, 7), k, l1 + l2 + 2*m},
		{"opposing", coil("L2", "b", "0", l2, 7), -k, l1 + l2 - 2*m},
		{"turned round", coil("L2", "0", "b", l2, 7), k, l1 + l2 - 2*m},
		{"turned round twice", coil("L2", "0", "b", l2, 7), -k, l1 + l2 + 2*m},
		{"uncoupled", coil("L2", "b", "0", l2, 7), 0, l1 + l2},
	} {
		st := built(t, curve.Setting{}, circuit.Conditions{}, coil("L1", "a", "b", l1, 20), c.second, coupling("M", "L1", "L2", c.k),
			circuit.CurrentSource{Name: "I", From: "0", To: "a"})
		z := responded(t, st, "I", "a", hz)[0]
		near(t, c.name+" inductance", imag(z)/(2*math.Pi*hz), c.want, 1e-12)
		near(t, c.name+" resistance", real(z), 27, 1e-9)
	}
}

// TestTransformer: with a load R on the second coil the first one's impedance
// is jωL1 + ω²M²/(R + jωL2) (worked out from the definition), and towards k = 1
// with much inductance it is the ideal transformer: volts by the turns, load
// by their square.
func TestTransformer(t *testing.T) {
	for _, k := range []float64{0.01, 0.5, -0.9, 0.999, 0.999999} {
		for _, turns := range []float64{0.1, 1, 4} {
			const l1, load = 2.0, 600.0
			l2 := l1 * turns * turns
			m := k * math.Sqrt(l1*l2)
			st := built(t, curve.Setting{}, circuit.Conditions{}, coil("L1", "a", "0", l1, 0), coil("L2", "b", "0", l2, 0), coupling("M", "L1", "L2", k),
				resistor("load", "b", "0", load), circuit.CurrentSource{Name: "I", From: "0", To: "a"})
			for _, hz := range []float64{20, 1000, 20e3} {
				omega := omegaOf(hz)
				want := complex(0, omega*l1) + complex(omega*omega*m*m, 0)/complex(load, omega*l2)
				got := responded(t, st, "I", "a", hz)[0]
				where := fmt.Sprintf("k %g, 1:%g at %g Hz", k, turns, hz)
				if cmplx.Abs(got-want) > 1e-9*cmplx.Abs(want) {
					t.Errorf("%s: %v, want %v", where, got, want)
				}
			}
		}
	}
	const turns, load = 5.0, 600.0
	st := built(t, curve.Setting{}, circuit.Conditions{}, source("a", 0), coil("L1", "a", "0", 1000, 1e-3), coil("L2", "b", "0", 1000*turns*turns, 1e-3),
		coupling("M", "L1", "L2", 1-1e-11), resistor("load", "b", "0", load))
	h := responded(t, st, "source", "b", 1000)[0]
	if cmplx.Abs(h-turns) > 1e-4*turns {
		t.Errorf("nearly ideal: %v, want %g", h, turns)
	}
}

// TestCoupledLosses: core loss lies across the inductance with all that is
// induced in it, and takes what it would from a voltage there: the open second
// coil of a lossy first one is unchanged but for the first one's current.
func TestCoupledLosses(t *testing.T) {
	const l1, l2, k, dcr, core, cs, hz = 1.2, 0.3, 0.4, 85.0, 47e3, 2e-9, 900.0
	omega := omegaOf(hz)
	m := k * math.Sqrt(l1*l2)
	for _, inside := range []bool{false, true} {
		first := circuit.Inductor{Name: "L1", A: "a", B: "0", Henries: l1, DCR: dcr, CoreOhms: core, SelfFarads: cs, SelfInside: inside}
		st := built(t, curve.Setting{}, circuit.Conditions{}, source("a", 0), first, coil("L2", "b", "0", l2, 33), coupling("M", "L1", "L2", k),
			resistor("probe", "b", "0", 1e15))
		y := 1/complex(0, omega*l1) + complex(1/core, 0)
		if inside {
			y += complex(0, omega*cs)
		}
		z := complex(dcr, 0) + 1/y
		inner := 1 / y / z // volts across the inductance; outside, Cs lies across the source
		want := inner * complex(m/l1, 0)
		got := responded(t, st, "source", "b", hz)[0]
		if cmplx.Abs(got-want) > 1e-9*cmplx.Abs(want) {
			t.Errorf("self-capacitance inside %t: %v, want %v", inside, got, want)
		}
	}
}

// TestCouplingFindings: what is no coil, coupled twice, or too tightly.
func TestCouplingFindings(t *testing.T) {
	coils := join(coil("A", "a", "0", 1, 1), coil("B", "b", "0", 2, 1), coil("C", "c", "0", 3, 1), resistor("R", "a", "0", 1))
	at := func(part string) finding.Place { return finding.Place{Part: part} }
	for _, c := range []struct {
		name  string
		parts []circuit.Part
		id    finding.ID
		place finding.Place
		args  finding.Args
	}{
		{"not there", join(coupling("M", "A", "D", 0.1)), circuit.IDNoCoil, at("M"), finding.Args{"coil": "D"}},
		{"a resistor", join(coupling("M", "R", "B", 0.1)), circuit.IDNoCoil, at("M"), finding.Args{"coil": "R"}},
		{"itself", join(coupling("M", "A", "A", 0.1)), circuit.IDCoupledTwice, at("M"), finding.Args{"first": "A", "second": "A"}},
		{"twice", join(coupling("M", "A", "B", 0.1), coupling("N", "B", "A", 0.2)), circuit.IDCoupledTwice, at("N"), finding.Args{"first": "B"}},
		{"wholly", join(coupling("M", "A", "B", 1)), circuit.IDBadValue, at("M"), finding.Args{"property": "K"}},
		{"three too tightly", join(coupling("M", "A", "B", 0.9), coupling("N", "B", "C", 0.9)),
			circuit.IDCouplingImpossible, at("C"), finding.Args{"coils": "A, B, C"}},
		{"wrong sign", join(coupling("M", "A", "B", 0.9), coupling("N", "B", "C", 0.9), coupling("O", "A", "C", -0.9)),
			circuit.IDCouplingImpossible, at("C"), finding.Args{"coils": "A, B, C"}},
	} {
		_, err := circuit.New(join(coils, c.parts)...)
		if c.name == "wholly" { // no value of k is 1, and no matrix definite with it
			list, _ := finding.From(err)
			if len(list) != 2 || list[0].ID != c.id || list[1].ID != circuit.IDCouplingImpossible {
				t.Errorf("%s: %v", c.name, err)
			}
			continue
		}
		wants(t, c.name, err, c.id, c.place, c.args)
	}
	// With all three pairs alike the same tightness is sound.
	c, err := circuit.New(join(coils, coupling("M", "A", "B", 0.9), coupling("N", "B", "C", 0.9), coupling("O", "A", "C", 0.9))...)
	if err != nil {
		t.Fatal(err)
	}
	if _, err := c.Replace(resistor("B", "b", "0", 1)); err == nil || !strings.Contains(err.Error(), string(circuit.IDNoCoil)) {
		t.Errorf("a coil was replaced under its couplings: %v", err)
	}
}

// TestSylvester: a random matrix of couplings is refused exactly when its
// determinant, or that of a leading block, is not above 0 (Sylvester's
// criterion, by cofactors).
func TestSylvester(t *testing.T) {
	refused := 0
	for trial := range 400 {
		k := [6]float64{}
		for i := range k {
			k[i] = math.Sin(float64(trial*7+i*13)*1.7) * 0.98
		}
		m := [4][4]float64{{1, k[0], k[1], k[2]}, {k[0], 1, k[3], k[4]}, {k[1], k[3], 1, k[5]}, {k[2], k[4], k[5], 1}}
		parts := join(coil("A", "a", "0", 1, 1), coil("B", "b", "0", 0.02, 1), coil("C", "c", "0", 3, 1), coil("D", "d", "0", 9, 1),
			coupling("1", "A", "B", k[0]), coupling("2", "C", "A", k[1]), coupling("3", "A", "D", k[2]),
			coupling("4", "B", "C", k[3]), coupling("5", "D", "B", k[4]), coupling("6", "C", "D", k[5]))
		definite := true
		for n := 2; n <= 4; n++ {
			definite = definite && determinant(m, n) > 0
		}
		if _, err := circuit.New(parts...); (err == nil) != definite {
			t.Errorf("trial %d, k %v: %v, definite %t", trial, k, err, definite)
		}
		if !definite {
			refused++
		}
	}
	if refused < 50 || refused > 350 {
		t.Errorf("%d of 400 refused: the trial tells nothing", refused)
	}
}

// determinant of the leading n rows and columns, by cofactors of the first row.
func determinant(m [4][4]float64, n int) float64 {
	if n == 1 {
		return m[0][0]
	}
	var sum float64
	for j := range n {
		var rest [4][4]float64
		for r := 1; r < n; r++ {
			c := 0
			for col := range n {
				if col != j {
					rest[r-1][c] = m[r][col]
					c++
				}
			}
		}
		sum += math.Pow(-1, float64(j)) * m[0][j] * determinant(rest, n-1)
	}
	return sum
}

// TestIsolatedSecond: a second coil without a path to ground is named.
func TestIsolatedSecond(t *testing.T) {
	c, err := circuit.New(source("a", 0), coil("L1", "a", "0", 1, 1), coil("L2", "b", "c", 1, 1), resistor("load", "b", "c", 600), coupling("M", "L1", "L2", 0.9))
	if err != nil {
		t.Fatal(err)
	}
	_, err = c.Solve(context.Background(), curve.Setting{}, circuit.Conditions{})
	wants(t, "isolated", err, circuit.IDNoPath, finding.Place{Point: "b", Setting: curve.Setting{}.String()}, nil)
}
