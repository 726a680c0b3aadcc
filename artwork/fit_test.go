package artwork

import (
	"math"
	"math/rand/v2"
	"testing"

	"bandwright/finding"
	"bandwright/trials"
)

func fitted() Tab {
	return Tab{Metal: "tinplate", Thickness: 0.4, Housing: Housing{Width: 9.2, Depth: 7}, Height: 8, Overlap: 5,
		Tongue: Tongue{Width: 2.5, Beyond: 2}, Slots: Slots{Chassis: 1.2, Width: 0.8, Length: 3}}
}

// TestRowIsShiftedToWhereItFitsBest: the shift put back into the row leaves no
// shift, and none makes the largest misfit less.
func TestRowIsShiftedToWhereItFitsBest(t *testing.T) {
	rng := rand.New(rand.NewPCG(trials.Seed(t, 20260504), 1))
	tab := fitted()
	for range trials.Count(100) {
		var row []Pair
		for i := range 2 + rng.IntN(9) {
			at := 20 + 22*float64(i)
			row = append(row, Pair{Band: string(rune('a' + i)), At: at, Placed: true, Measured: true,
				One: at - tab.Pitch()/2 + 2 + 0.4*rng.Float64(), Two: at + tab.Pitch()/2 + 2 + 0.4*rng.Float64()})
		}
		list, shift, _ := tab.Fit(row)
		most := func(shift float64) (most float64) {
			for _, p := range row {
				for i, end := range [...]float64{p.One, p.Two} {
					most = math.Max(most, math.Abs(end-(p.At+(2*float64(i)-1)*tab.Pitch()/2+shift)))
				}
			}
			return most
		}
		got := 0.0
		for _, f := range list {
			got = math.Max(got, math.Abs(f.Off))
			if math.Abs(f.Middle-f.Tongue-f.Off) > 1e-12 || f.Fits != (math.Abs(f.Off) <= f.Play) {
				t.Fatalf("%+v", f)
			}
		}
		if math.Abs(got-most(shift)) > 1e-9 || most(shift+0.01) < got || most(shift-0.01) < got {
			t.Fatalf("shift %v leaves %v, said %v; beside it %v, %v", shift, most(shift), got, most(shift-0.01), most(shift+0.01))
		}
	}
}

func TestFitNamesWhatDoesNot(t *testing.T) {
	tab := fitted()
	half := tab.Pitch() / 2
	for name, k := range map[string]struct {
		row  []Pair
		want []finding.ID
	}{
		"as wanted":         {[]Pair{{Band: "63", Measured: true, One: 40 - half, Two: 40 + half}}, nil},
		"the other way":     {[]Pair{{Band: "63", Measured: true, One: 40 + half, Two: 40 - half}}, nil},
		"too far apart":     {[]Pair{{Band: "63", Measured: true, One: 39.7 - half, Two: 40.3 + half}}, []finding.ID{IDMisfit, IDMisfit}},
		"to be cut":         {[]Pair{{Band: "63", At: 40, Placed: true}, {Band: "160", At: 60, Placed: true}}, nil},
		"too narrow a slot": {[]Pair{{Band: "63", Measured: true, One: 40 - half, Two: 40 + half, Width: 0.3}}, []finding.ID{IDTongue, ""}},
		"too short a slot":  {[]Pair{{Band: "63", Measured: true, One: 40 - half, Two: 40 + half, Length: 2}}, []finding.ID{IDTongue}},
		"too wide to twist": {[]Pair{{Band: "63", Measured: true, One: 40 - half, Two: 40 + half, Width: 2.6}}, []finding.ID{IDTongueSlips}},
		"tabs side by side": {[]Pair{{Band: "63", At: 40, Placed: true}, {Band: "160", At: 49.9, Placed: true}}, []finding.ID{IDTabsMeet, IDCutsMeet}},
		"slots close":       {[]Pair{{Band: "63", At: 40, Placed: true}, {Band: "160", At: 51, Placed: true}}, []finding.ID{IDCutsMeet}},
	} {
		_, _, found := tab.Fit(k.row)
		if k.want != nil && k.want[len(k.want)-1] == "" { // and what follows from it
			k.want = k.want[:len(k.want)-1]
			found = found[:min(len(found), len(k.want))]
		}
		if len(found) != len(k.want) {
			t.Errorf("%s: %v, want %v", name, found, k.want)
			continue
		}
		for i, f := range found {
			if f.ID != k.want[i] {
				t.Errorf("%s: %v, want %v", name, found, k.want)
			}
		}
	}
}

// A tongue that is folded has its line at the chassis's outside, and must be
// long enough to lie on it.
func TestFoldedTongue(t *testing.T) {
	tab := fitted()
	tab.Tongue.Fold, tab.Tongue.Beyond = true, 2.5
	p, found, err := tab.Unfold()
	if err != nil || len(found) > 0 || len(p.Folds) != 2 {
		t.Fatalf("%v %v", found, err)
	}
	for i, end := range [...]float64{p.Tongues[0][1], p.Tongues[1][0]} {
		if math.Abs(math.Abs(end-p.Folds[i])-2.5) > 1e-12 {
			t.Errorf("tongue %d ends at %v, folded at %v", i+1, end, p.Folds[i])
		}
	}
	m := p.Mirrored()
	if math.Abs(m.Folds[0]-(m.Tongues[0][1]-2.5)) > 1e-12 {
		t.Errorf("the other hand is folded at %v", m.Folds)
	}
	tab.Tongue.Beyond = 1.2
	if _, _, err := tab.Unfold(); err == nil {
		t.Error("a tongue too short to fold is taken")
	}
}
