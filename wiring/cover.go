package wiring

import (
	"context"
	"math/bits"
	"slices"
)

// Covered is a choice of columns that together hold every row that any column
// holds.
type Covered struct {
	Columns []int // chosen, ascending
	// Bound is proven: no choice has fewer columns. Equal to len(Columns) when
	// the search ran to its end.
	Bound int
	Alone []int // rows that no column holds
	Nodes int   // branches looked at
}

// mostNodes ends a search that does not end by itself; the bound says what is
// then not known.
const mostNodes = 10_000

// Cover finds the fewest columns that hold every row. holds[c] lists the rows
// that column c holds, of rows in all. Among choices of one size the one found
// first is kept, columns being tried in the order of what they cover and then
// their number, so that the same question has the same answer.
//
// Rows that are implied by others and columns that are held by others are left
// out first (Garfinkel and Nemhauser 1969, as quoted by a second text); then
// branch and bound, the bound by rows no two of which share a column.
func Cover(ctx context.Context, rows int, holds [][]int) (Covered, error) {
	s := &coverer{ctx: ctx, rows: rows}
	for _, list := range holds {
		s.sets = append(s.sets, setOf(rows, list))
	}
	return s.run()
}

// set is rows or columns as bits.
type set []uint64

func emptySet(n int) set { return make(set, (n+63)/64) }

func setOf(n int, members []int) set {
	s := emptySet(n)
	for _, m := range members {
		if m < 0 || m >= n {
			panic("wiring: a row outside the table")
		}
		s.add(m)
	}
	return s
}

func (s set) add(i int)      { s[i/64] |= 1 << (i % 64) }
func (s set) drop(i int)     { s[i/64] &^= 1 << (i % 64) }
func (s set) has(i int) bool { return s[i/64]&(1<<(i%64)) != 0 }

func (s set) count() (n int) {
	for _, w := range s {
		n += bits.OnesCount64(w)
	}
	return n
}

// shared counts what two sets have in common.
func (s set) shared(t set) (n int) {
	for i, w := range s {
		n += bits.OnesCount64(w & t[i])
	}
	return n
}

// within says whether all of s is in t.
func (s set) within(t set) bool {
	for i, w := range s {
		if w&^t[i] != 0 {
			return false
		}
	}
	return true
}

func (s set) without(t set) set {
	left := slices.Clone(s)
	for i := range left {
		left[i] &^= t[i]
	}
	return left
}

func (s set) members() (list []int) {
	for i, w := range s {
		for ; w != 0; w &= w - 1 {
			list = append(list, i*64+bits.TrailingZeros64(w))
		}
	}
	return list
}

// coverer is one search.
type coverer struct {
	ctx    context.Context
	rows   int
	sets   []set // by column: its rows
	of     []set // by row: its columns
	best   []int
	nodes  int
	closed bool // the search ran to its end
}

func (s *coverer) run() (Covered, error) {
	left, alone := emptySet(s.rows), []int(nil)
	s.transpose()
	for r := range s.rows {
		if s.of[r].count() == 0 {
			alone = append(alone, r)
			continue
		}
		left.add(r)
	}
	columns := emptySet(len(s.sets))
	for c := range s.sets {
		columns.add(c)
	}
	s.best = s.greedy(left, columns)
	first := s.price(left, columns, make([]float64, s.rows), len(s.best), rootSteps).least
	s.closed = true
	s.branch(left, columns, nil, make([]float64, s.rows))
	if err := s.ctx.Err(); err != nil {
		return Covered{}, err
	}
	slices.Sort(s.best)
	answer := Covered{Columns: s.best, Bound: len(s.best), Alone: alone, Nodes: s.nodes}
	if !s.closed {
		answer.Bound = min(first, len(s.best))
	}
	return answer, nil
}

func (s *coverer) transpose() {
	s.of = make([]set, s.rows)
	for r := range s.of {
		s.of[r] = emptySet(len(s.sets))
	}
	for c, held := range s.sets {
		for _, r := range held.members() {
			s.of[r].add(c)
		}
	}
}

// greedy takes the column that holds most of what is left, again and again:
// the first answer, which the search betters.
func (s *coverer) greedy(left, columns set) (chosen []int) {
	left = slices.Clone(left)
	for left.count() > 0 {
		most, by := 0, -1
		for _, c := range columns.members() {
			if n := s.sets[c].shared(left); n > most {
				most, by = n, c
			}
		}
		chosen = append(chosen, by)
		left = left.without(s.sets[by])
	}
	return chosen
}

// branch looks for a cover of left by columns that, with those chosen, is
// smaller than the best.
func (s *coverer) branch(left, columns set, chosen []int, prices []float64) {
	s.nodes++
	if s.nodes > mostNodes || s.ctx.Err() != nil {
		s.closed = false
		return
	}
	left, columns, chosen = s.reduce(left, columns, chosen)
	if len(chosen) >= len(s.best) {
		return
	}
	if left.count() == 0 {
		s.best = slices.Clone(chosen)
		return
	}
	bid := s.price(left, columns, prices, len(s.best)-len(chosen), steps)
	if len(chosen)+bid.least >= len(s.best) {
		return
	}
	columns = bid.columns
	if !s.coverable(left, columns) {
		return
	}
	// One of the columns of the row that has the fewest must be taken.
	row := s.scarcest(left, columns)
	for _, c := range s.byCover(s.of[row], columns, left) {
		s.branch(left.without(s.sets[c]), columns, append(slices.Clip(chosen), c), bid.prices)
		columns = slices.Clone(columns)
		columns.drop(c) // in the branches that follow, it is not taken
		if !s.coverable(left, columns) {
			return
		}
	}
}

// coverable says whether every row still has a column.
func (s *coverer) coverable(left, columns set) bool {
	for _, r := range left.members() {
		if s.of[r].shared(columns) == 0 {
			return false
		}
	}
	return true
}

// reduce takes columns that must be taken and leaves out rows and columns that
// cannot matter, until nothing changes.
func (s *coverer) reduce(left, columns set, chosen []int) (set, set, []int) {
	left, columns, chosen = slices.Clone(left), slices.Clone(columns), slices.Clip(chosen)
	for changed := true; changed; {
		changed = s.dropColumns(left, columns)
		changed = s.dropRows(left, columns) || changed
		for _, r := range left.members() {
			if !left.has(r) || s.of[r].shared(columns) != 1 {
				continue
			}
			c := s.only(r, columns)
			chosen, changed = append(chosen, c), true
			left = left.without(s.sets[c])
			columns.drop(c)
		}
	}
	return left, columns, chosen
}

func (s *coverer) only(row int, columns set) int {
	for i, w := range s.of[row] {
		if w &= columns[i]; w != 0 {
			return i*64 + bits.TrailingZeros64(w)
		}
	}
	panic("wiring: a row without a column")
}

// dropColumns leaves out columns whose rows another holds too; of two that are
// alike the later goes.
func (s *coverer) dropColumns(left, columns set) (changed bool) {
	list := columns.members()
	kept := make([]set, len(list))
	for i, c := range list {
		kept[i] = intersect(s.sets[c], left)
	}
	for i, c := range list {
		if kept[i].count() == 0 {
			columns.drop(c)
			changed = true
			continue
		}
		for j, d := range list {
			if i == j || !columns.has(d) || !kept[i].within(kept[j]) {
				continue
			}
			if j < i || !kept[j].within(kept[i]) {
				columns.drop(c)
				changed = true
				break
			}
		}
	}
	return changed
}

// dropRows leaves out rows that are held whenever another is: those whose
// columns hold all of the other's.
func (s *coverer) dropRows(left, columns set) (changed bool) {
	list := left.members()
	kept := make([]set, len(list))
	for i, r := range list {
		kept[i] = intersect(s.of[r], columns)
	}
	for i, r := range list {
		for j, q := range list {
			if i == j || !left.has(q) || !kept[j].within(kept[i]) {
				continue
			}
			if j < i || !kept[i].within(kept[j]) {
				left.drop(r)
				changed = true
				break
			}
		}
	}
	return changed
}

func intersect(a, b set) set {
	both := slices.Clone(a)
	for i := range both {
		both[i] &= b[i]
	}
	return both
}

func (s *coverer) scarcest(left, columns set) (row int) {
	fewest := -1
	for _, r := range left.members() {
		if n := s.of[r].shared(columns); fewest < 0 || n < fewest {
			row, fewest = r, n
		}
	}
	return row
}

// byCover lists a row's columns, those that hold most first.
func (s *coverer) byCover(of, columns, left set) []int {
	list := intersect(of, columns).members()
	slices.SortStableFunc(list, func(a, b int) int { return s.sets[b].shared(left) - s.sets[a].shared(left) })
	return list
}
