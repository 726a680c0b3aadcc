package wiring

import (
	"math"
	"slices"
)

// How often prices are bettered: before the search, and at each branch, which
// begins from the prices of the one above.
const (
	rootSteps = 400
	steps     = 25
)

// bid is what prices prove.
type bid struct {
	prices  []float64 // by row, 0 or more
	least   int       // no cover has fewer columns
	columns set       // without those that no cover below the limit takes
}

// price bounds a cover from below. Give every row a price: a cover pays for
// every row at least once, and a column's cost of 1 buys its rows, so
//
//	columns ≥ Σ price − Σ over columns of max(0, Σ its rows' prices − 1)
//
// holds at any prices (Lagrangian relaxation; Held and Karp 1971, from
// memory). They are bettered by subgradient steps: up for rows that no column
// worth its cost holds, down for those held more than once. A column whose own
// cost, less its rows' prices, lifts the bound to below is in no smaller cover.
func (s *coverer) price(left, columns set, start []float64, below, steps int) bid {
	rows, list := left.members(), columns.members()
	held := make([][]int, len(list)) // by column: its rows among those left
	for i, c := range list {
		held[i] = intersect(s.sets[c], left).members()
	}
	u := startPrices(s, rows, columns, start)
	times := make([]int, s.rows)
	best, bestAt := math.Inf(-1), slices.Clone(u)
	step, stalled := 1.0, 0
	for range steps {
		value := worth(u, rows, held, times)
		if value > best+1e-9 {
			best, stalled = value, 0
			copy(bestAt, u)
		} else if stalled++; stalled > 5 {
			step, stalled = step/2, 0
			copy(u, bestAt)
			continue
		}
		if ceil(best) >= below || !ascend(u, rows, times, step*(float64(below)-value)) {
			break
		}
	}
	b := bid{prices: bestAt, least: ceil(best), columns: slices.Clone(columns)}
	for i, c := range list {
		if over := 1 - sum(bestAt, held[i]); over > 0 && ceil(best+over) >= below {
			b.columns.drop(c)
		}
	}
	return b
}

// ceil rounds a bound up to whole columns, rounding of its own left aside.
func ceil(bound float64) int { return int(math.Ceil(bound - 1e-6)) }

// startPrices shares the cost of a row's widest column out among its rows,
// where no price is given.
func startPrices(s *coverer, rows []int, columns set, given []float64) []float64 {
	u := make([]float64, s.rows)
	for _, r := range rows {
		if u[r] = given[r]; u[r] > 0 {
			continue
		}
		widest := 1
		for _, c := range intersect(s.of[r], columns).members() {
			widest = max(widest, s.sets[c].count())
		}
		u[r] = 1 / float64(widest)
	}
	return u
}

func sum(u []float64, rows []int) (sum float64) {
	for _, r := range rows {
		sum += u[r]
	}
	return sum
}

// worth gives the bound at prices u, and counts into times how often each row
// is held by the columns that are worth their cost.
func worth(u []float64, rows []int, held [][]int, times []int) (value float64) {
	clear(times)
	value = sum(u, rows)
	for _, of := range held {
		if over := sum(u, of) - 1; over > 0 {
			value -= over
			for _, r := range of {
				times[r]++
			}
		}
	}
	return value
}

// ascend moves prices along the subgradient 1 − held; false when it is nought
// and the bound cannot be bettered.
func ascend(u []float64, rows, times []int, far float64) bool {
	length := 0.0
	for _, r := range rows {
		g := float64(1 - times[r])
		length += g * g
	}
	if length == 0 {
		return false
	}
	for _, r := range rows {
		u[r] = max(0, u[r]+far/length*float64(1-times[r]))
	}
	return true
}
