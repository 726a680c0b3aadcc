package fault

import (
	"math"
	"slices"
)

// Class is hypotheses that no further allowed reading tells from the first of
// them: by none do the predictions lie two deviations apart, whatever their
// sizes, as the readings so far have left them.
type Class struct {
	Members     []string `json:"members"` // the likeliest first
	Probability float64  `json:"probability"`
}

const (
	// apart is how many deviations tell two predictions apart.
	apart = 2.0
	// overlap is the share of pairs of sizes that may still read alike when two
	// hypotheses count as told apart.
	overlap = 0.05
	// mostCases is how many sizes stand for a hypothesis in such comparisons.
	mostCases = 8
)

// share is a case with its probability within its hypothesis.
type share struct {
	column *column
	p      float64
}

// shares gives the likeliest cases of a hypothesis, as the readings have left
// them.
func (r *Ranking) shares(h int) []share {
	t := r.table
	var list []share
	for k := t.of[h]; k < t.of[h+1]; k++ {
		list = append(list, share{&t.columns[k], r.cases[k]})
	}
	slices.SortStableFunc(list, func(a, b share) int { return compare(b.p, a.p) })
	list = list[:min(mostCases, len(list))]
	sum := 0.0
	for _, s := range list {
		sum += s.p
	}
	for i := range list {
		if sum > 0 {
			list[i].p /= sum
		} else {
			list[i].p = 1 / float64(len(list))
		}
	}
	return list
}

// classify sorts the hypotheses in play into classes: each joins the first class
// whose likeliest member it cannot be told from.
func (r *Ranking) classify() {
	var leaders [][]share
	for _, k := range r.inPlay() {
		if k.Hypothesis < 0 {
			r.Classes = append(r.Classes, Class{Members: []string{k.Name}, Probability: k.Probability})
			leaders = append(leaders, nil)
			continue
		}
		mine := r.shares(k.Hypothesis)
		joined := false
		for i, leader := range leaders {
			if leader != nil && !r.separates(leader, mine) {
				r.Classes[i].Members = append(r.Classes[i].Members, k.Name)
				r.Classes[i].Probability += k.Probability
				joined = true
				break
			}
		}
		if !joined {
			r.Classes = append(r.Classes, Class{Members: []string{k.Name}, Probability: k.Probability})
			leaders = append(leaders, mine)
		}
	}
	slices.SortStableFunc(r.Classes, func(a, b Class) int { return compare(b.Probability, a.Probability) })
}

// separates says whether some reading not yet taken tells two hypotheses apart.
func (r *Ranking) separates(a, b []share) bool {
	for row := range r.table.rows {
		if !r.taken[r.table.rows[row].reading] && alike(a, b, row) <= overlap {
			return true
		}
	}
	return false
}

// alike is the share of pairs of cases that a row does not tell apart.
func alike(a, b []share, row int) float64 {
	sum := 0.0
	for _, x := range a {
		for _, y := range b {
			if !differ(x.column, y.column, row) {
				sum += x.p * y.p
			}
		}
	}
	return sum
}

// differ says whether a row tells two cases apart: by two of the larger
// deviation, or because one has no number there.
func differ(a, b *column, row int) bool {
	switch {
	case a.state[row] == unknown || b.state[row] == unknown:
		return false
	case a.state[row] != b.state[row]:
		return true
	case a.state[row] == lacking:
		return false
	}
	return math.Abs(a.value[row]-b.value[row]) > apart*max(a.sd(row), b.sd(row))
}

// Hidden is a fault that no allowed reading shows, at all sizes or at some.
type Hidden struct {
	Name string  `json:"name"`
	All  bool    `json:"all"`            // at any size
	Low  float64 `json:"low,omitempty"`  // else: the least and the largest size that is not shown
	High float64 `json:"high,omitempty"` //
}

// Hidden lists the faults that no allowed reading tells from the healthy circuit
// by two deviations.
func (t *Table) Hidden() []Hidden { return t.hidden }

func (t *Table) unseen() []Hidden {
	var list []Hidden
	for h := 1; h < len(t.Hypotheses); h++ {
		entry, hidden := Hidden{Name: t.Hypotheses[h].Name}, 0
		for k := t.of[h]; k < t.of[h+1]; k++ {
			c := &t.columns[k]
			if t.shows(c) {
				continue
			}
			low, high := c.size*math.Exp(-c.width/2), c.size*math.Exp(c.width/2)
			if hidden == 0 {
				entry.Low = low
			}
			entry.High = high
			hidden++
		}
		if hidden == 0 {
			continue
		}
		if entry.All = hidden == t.of[h+1]-t.of[h]; entry.All {
			entry.Low, entry.High = 0, 0
		}
		list = append(list, entry)
	}
	return list
}

func (t *Table) shows(c *column) bool {
	for row := range t.rows {
		if differ(&t.columns[0], c, row) {
			return true
		}
	}
	return false
}
