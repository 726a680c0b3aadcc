package wiring

import (
	"context"
	"math/rand/v2"
	"slices"
	"testing"

	"bandwright/trials"
)

// TestCoverAgainstEveryChoice holds the search against all subsets of columns.
func TestCoverAgainstEveryChoice(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 20260303), 1))
	for range trials.Count(300) {
		rows, columns := 1+r.IntN(12), 1+r.IntN(11)
		holds := randomTable(r, rows, columns, 0.1+0.4*r.Float64())
		got, err := Cover(context.Background(), rows, holds)
		if err != nil {
			t.Fatal(err)
		}
		want := everyChoice(rows, holds)
		if len(got.Columns) != want || got.Bound != want {
			t.Fatalf("%v: %d columns, bound %d; every choice tried: %d", holds, len(got.Columns), got.Bound, want)
		}
		checkCover(t, rows, holds, got)
	}
}

// TestCoverIsProvenOnLists of the size and kind a harness has, where a probe
// holds what lies between its two leads: the bound is reached or lies one
// below. Tables without any order are held too, with what bound there is.
func TestCoverIsProvenOnLists(t *testing.T) {
	r := rand.New(rand.NewPCG(trials.Seed(t, 20260304), 2))
	for range trials.Count(5) {
		rows, columns := 100+r.IntN(60), 400+r.IntN(400)
		holds := betweenLeads(r, rows, columns)
		got, err := Cover(context.Background(), rows, holds)
		if err != nil {
			t.Fatal(err)
		}
		checkCover(t, rows, holds, got)
		t.Logf("%d rows, %d columns: %d chosen, bound %d, %d nodes", rows, columns, len(got.Columns), got.Bound, got.Nodes)
		if len(got.Columns) > got.Bound+1 {
			t.Errorf("%d chosen, bound %d", len(got.Columns), got.Bound)
		}
	}
	holds := randomTable(r, 80, 200, 0.08)
	got, err := Cover(context.Background(), 80, holds)
	if err != nil {
		t.Fatal(err)
	}
	checkCover(t, 80, holds, got)
	t.Logf("without order: %d chosen, bound %d, %d nodes", len(got.Columns), got.Bound, got.Nodes)
}

// betweenLeads makes probes that hold a stretch of the rows, a few of them
// missed and a few elsewhere held.
func betweenLeads(r *rand.Rand, rows, columns int) [][]int {
	holds := make([][]int, columns)
	for c := range holds {
		from, length := r.IntN(rows), 1+r.IntN(9)
		for row := range rows {
			inside := row >= from && row < from+length
			if inside && r.Float64() < 0.9 || !inside && r.Float64() < 0.003 {
				holds[c] = append(holds[c], row)
			}
		}
	}
	return holds
}

// TestCoverStops gives the context's error and nothing half done.
func TestCoverStops(t *testing.T) {
	ctx, cancel := context.WithCancel(context.Background())
	cancel()
	if _, err := Cover(ctx, 3, [][]int{{0, 1}, {1, 2}, {0, 2}}); err != context.Canceled {
		t.Errorf("a stopped search gave %v", err)
	}
}

func randomTable(r *rand.Rand, rows, columns int, share float64) [][]int {
	holds := make([][]int, columns)
	for c := range holds {
		for row := range rows {
			if r.Float64() < share {
				holds[c] = append(holds[c], row)
			}
		}
	}
	return holds
}

// checkCover: every row is held by a chosen column or by none at all.
func checkCover(t *testing.T, rows int, holds [][]int, got Covered) {
	t.Helper()
	held := make([]bool, rows)
	for _, c := range got.Columns {
		for _, r := range holds[c] {
			held[r] = true
		}
	}
	for row := range rows {
		none := !slices.ContainsFunc(holds, func(of []int) bool { return slices.Contains(of, row) })
		if none != slices.Contains(got.Alone, row) {
			t.Fatalf("row %d: held by none is %v, listed as such %v", row, none, !none)
		}
		if !none && !held[row] {
			t.Fatalf("row %d is not covered by %v", row, got.Columns)
		}
	}
}

// everyChoice is the slow twin: the fewest columns over all subsets.
func everyChoice(rows int, holds [][]int) int {
	masks := make([]int, len(holds))
	all := 0
	for c, of := range holds {
		for _, r := range of {
			masks[c] |= 1 << r
		}
		all |= masks[c]
	}
	fewest := len(holds)
	for choice := range 1 << len(holds) {
		n, union := 0, 0
		for c := range holds {
			if choice&(1<<c) != 0 {
				n++
				union |= masks[c]
			}
		}
		if union == all {
			fewest = min(fewest, n)
		}
	}
	return fewest
}
