package circuit

import (
	"slices"

	"bandwright/sparse"
)

// inverse is a matrix's inverse, by rows and by columns: one way of going through
// it is quick each way. That of the direct-current equations is real.
type inverse[T sparse.Number] struct{ rows, cols []T }

// inverted finds an inverse of entries, of which value gives the number, with some
// nodes held.
func inverted[T sparse.Number](n *network, entries []entry, held []int, value func(entry) T) (inverse[T], error) {
	size := n.size
	lu := sparse.NewDense[T](size)
	for _, e := range entries {
		lu.A[e.row*size+e.col] += value(e)
	}
	for _, node := range held {
		lu.A[node*size+node]++
	}
	if err := lu.Factor(); err != nil {
		return inverse[T]{}, n.singular(err)
	}
	inv := inverse[T]{make([]T, size*size), make([]T, size*size)}
	for j := range size {
		column := inv.cols[j*size : j*size+size]
		column[j] = 1
		lu.Solve(column, column)
		for i, v := range column {
			inv.rows[i*size+j] = v
		}
	}
	return inv, nil
}

// solution is a member's equations at one frequency, in terms of its family's: the
// formula of Family. It can be turned to another member.
type solution[T sparse.Number] struct {
	n       int
	inverse inverse[T]
	change  *change
	lu      *sparse.Dense[T] // nil: nothing differs
	lus     []*sparse.Dense[T]
	d       []T // the change, by cell
	reach   []T // one row of the inverse, where rows differ
	y, w    []T
}

// turn makes room for a change.
func (s *solution[T]) turn(c *change) {
	s.change, s.lu = c, nil
	k := len(c.cols)
	if k == 0 {
		return
	}
	for len(s.lus) <= k {
		s.lus = append(s.lus, nil)
	}
	if s.lus[k] == nil {
		s.lus[k] = sparse.NewDense[T](k)
	}
	s.lu = s.lus[k]
	s.d, s.reach = slices.Grow(s.d[:0], len(c.cells))[:len(c.cells)], slices.Grow(s.reach[:0], len(c.rows))[:len(c.rows)]
	s.y, s.w = slices.Grow(s.y[:0], k)[:k], slices.Grow(s.w[:0], len(c.rows))[:len(c.rows)]
}

// at turns to the inverse of one frequency, d being the change there; false: the
// equations have no single answer.
func (s *solution[T]) at(inv inverse[T]) bool {
	s.inverse = inv
	if s.lu == nil {
		return true
	}
	k := len(s.change.cols)
	for a, col := range s.change.cols {
		row := s.lu.A[a*k : a*k+k]
		clear(row)
		row[a] = 1
		from := inv.rows[col*s.n : col*s.n+s.n]
		for r, at := range s.change.rows {
			s.reach[r] = from[at]
		}
		for i, e := range s.change.cells {
			row[e.col] += s.reach[e.row] * s.d[i]
		}
	}
	return s.lu.Factor() == nil
}

// forward turns the base's solution into the member's.
func (s *solution[T]) forward(base, x []T) {
	copy(x, base)
	if s.lu == nil {
		return
	}
	s.weigh(base)
	for r, at := range s.change.rows {
		w := s.w[r]
		for i, v := range s.inverse.cols[at*s.n : at*s.n+s.n] {
			x[i] -= v * w
		}
	}
}

// weigh finds by how much of each row's inverse a solution of the base is off.
func (s *solution[T]) weigh(base []T) {
	for a, col := range s.change.cols {
		s.y[a] = base[col]
	}
	s.lu.Solve(s.y, s.y)
	clear(s.w)
	for i, e := range s.change.cells {
		s.w[e.row] += s.d[i] * s.y[e.col]
	}
}

// off is by how much less an unknown of the member's solution is than the base's,
// once that is weighed.
func (s *solution[T]) off(unknown int) (sum T) {
	row := s.inverse.rows[unknown*s.n : unknown*s.n+s.n]
	for r, at := range s.change.rows {
		sum += row[at] * s.w[r]
	}
	return sum
}

// backward turns the base's solution of the transposed equations.
func (s *solution[T]) backward(base, z []T) {
	copy(z, base)
	if s.lu == nil {
		return
	}
	clear(s.y)
	for i, e := range s.change.cells {
		s.y[e.col] += s.d[i] * base[s.change.rows[e.row]]
	}
	s.lu.SolveTransposed(s.y, s.y)
	for a, col := range s.change.cols {
		y := s.y[a]
		for j, v := range s.inverse.rows[col*s.n : col*s.n+s.n] {
			z[j] -= v * y
		}
	}
}

// between is the base's solution for one unit into one node and out of another,
// from the inverse by columns; of the transposed equations from that by rows.
// Node −1 is ground.
func between[T sparse.Number](lines []T, n, from, to int, x []T) {
	clear(x)
	if from >= 0 {
		copy(x, lines[from*n:from*n+n])
	}
	if to >= 0 {
		for i, v := range lines[to*n : to*n+n] {
			x[i] -= v
		}
	}
}
