package fit

import (
	"math"
	"slices"
	"strings"

	"bandwright/curve"
	"bandwright/finding"
)

// Tie is some values that the curves tell together and not each by itself.
type Tie struct {
	Values []int  `json:"values"` // places in Result.Values
	Known  []Pair `json:"known"`  // what is known of them
	// Scale says that all pairs are ratios of impedances: all ohms and henries
	// larger and all farads smaller by one factor would measure alike.
	Scale bool    `json:"scale,omitempty"`
	Alone float64 `json:"alone"` // least standard error of one by itself (logarithm)
	// Settle is the take that would part them best, Then the largest standard
	// error of one of them after it, at worst; nil: none of the settings would
	// halve it.
	Settle *curve.Setting `json:"settle,omitempty"`
	Then   float64        `json:"then,omitempty"`
}

// Pair is a product or quotient of two values and its standard error.
type Pair struct {
	A, B    int
	Product bool // else the quotient A/B
	LogSD   float64
}

const (
	looseShare = 0.03 // a standard error above which a value is not known by itself
	tieFactor  = 2.5  // how many times better a pair must be known than each
)

// ties finds values that are known as products and quotients only.
func (r *Result) ties() []Tie {
	n := len(r.Values)
	group := make([]int, n)
	for i := range group {
		group[i] = i
	}
	pairs := map[int][]Pair{}
	var all []Pair
	for a := range n {
		for b := range a {
			if p, ok := r.pair(b, a); ok {
				all = append(all, p)
				from, to := group[a], group[b]
				for i := range group {
					if group[i] == from {
						group[i] = to
					}
				}
			}
		}
	}
	for _, p := range all {
		pairs[group[p.A]] = append(pairs[group[p.A]], p)
	}
	var list []Tie
	for root := range n {
		if len(pairs[root]) == 0 {
			continue
		}
		t := Tie{Known: spanning(pairs[root], n), Alone: math.Inf(1)}
		for i := range n {
			if group[i] == root {
				t.Values = append(t.Values, i)
				t.Alone = min(t.Alone, r.Values[i].LogSD)
			}
		}
		t.Scale = r.scales(t)
		list = append(list, t)
	}
	return list
}

// scales tells whether a tie is of impedances that all go together: more than one
// leg's values, each pair tied as its units ask.
func (r *Result) scales(t Tie) bool {
	fewest := 4 // a leg's three are told by their pairs more plainly
	admits := func(i int) bool { return unitOf(r.Values[i].Field) == "farad" }
	return len(t.Values) >= fewest && !slices.ContainsFunc(t.Known, func(p Pair) bool {
		return p.Product != (admits(p.A) != admits(p.B))
	})
}

// pair judges one pair.
func (r *Result) pair(a, b int) (Pair, bool) {
	va, vb, c := r.Covariance[a][a], r.Covariance[b][b], r.Covariance[a][b]
	p := Pair{A: a, B: b, Product: c < 0, LogSD: math.Sqrt(max(0, va+vb-2*math.Abs(c)))}
	least := math.Sqrt(min(va, vb))
	return p, least > looseShare && p.LogSD*tieFactor < least
}

// spanning keeps the best known pairs that do not follow from others.
func spanning(pairs []Pair, n int) []Pair {
	slices.SortStableFunc(pairs, func(a, b Pair) int {
		switch {
		case a.LogSD < b.LogSD:
			return -1
		case a.LogSD > b.LogSD:
			return 1
		}
		return 0
	})
	of := make([]int, n)
	for i := range of {
		of[i] = i
	}
	var kept []Pair
	for _, p := range pairs {
		from, to := of[p.A], of[p.B]
		if from == to {
			continue
		}
		for i := range of {
			if of[i] == from {
				of[i] = to
			}
		}
		kept = append(kept, p)
	}
	return kept
}

// Named gives the names of a tie's values, and what is known of them.
func (r *Result) Named(t Tie) (parts, known []string) {
	name := func(i int) string { return r.Values[i].name() }
	for _, i := range t.Values {
		parts = append(parts, name(i))
	}
	for _, p := range t.Known {
		sign := " / "
		if p.Product {
			sign = " × "
		}
		known = append(known, name(p.A)+sign+name(p.B))
	}
	return parts, known
}

// tied words a tie as a finding.
func (r *Result) tied(t *Tie) finding.Finding {
	parts, known := r.Named(*t)
	settle := ""
	if t.Settle != nil {
		settle = t.Settle.String()
	}
	form := "pairs"
	if t.Scale {
		form = "scale"
	}
	return finding.New(IDTogether, finding.Warning, finding.Place{Part: r.Values[t.Values[0]].Part}, finding.Args{
		"form": form, "parts": strings.Join(parts, ", "), "known": strings.Join(known, ", "),
		"share": t.Known[0].LogSD, "alone": t.Alone, "settle": settle, "then": t.Then})
}

// name is a value's short name: of a part's main value the part's own.
func (v Value) name() string {
	switch v.Field {
	case "Ohms", "Henries", "Farads":
		return v.Part
	}
	return v.Part + " " + v.Field
}
