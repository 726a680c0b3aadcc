package main

import (
	"math"
	"math/cmplx"
)

// ground is the point every volt is measured from.
const ground = "0"

// network is a circuit as plain nodal admittances: a two-terminal part is one
// number between two points, whatever it is made of, and a point on a source
// is simply a point whose volts are known. No branch currents are kept and no
// plan is made; the whole matrix is filled and eliminated densely at every
// frequency, which is slow and leaves little to be wrong.
type network struct {
	points    []string
	at        map[string]int
	branches  []branch
	junctions []transistor
	nullors   []nullor
	sources   []source
}

// branch is an admittance between two points. At direct current it is
// `direct` siemens; a capacitor has none.
type branch struct {
	a, b   string
	direct float64
	y      func(w float64) complex128 // siemens at w rad/s
}

// source fixes a point's volts: `volts` at direct current and `signal` in a
// response.
type source struct {
	point  string
	volts  float64
	signal complex128
}

// nullor is the ideal amplifier: out gives whatever current makes the two
// inputs equal.
type nullor struct{ plus, minus, out string }

func newNetwork() *network { return &network{at: map[string]int{}} }

// index gives a point's row, making it when it is new; ground has none (-1).
func (n *network) index(point string) int {
	if point == ground {
		return -1
	}
	i, ok := n.at[point]
	if !ok {
		i = len(n.points)
		n.at[point] = i
		n.points = append(n.points, point)
	}
	return i
}

// add puts an admittance between two points.
func (n *network) add(a, b string, direct float64, y func(w float64) complex128) {
	n.index(a)
	n.index(b)
	n.branches = append(n.branches, branch{a, b, direct, y})
}

// resistor of some ohms, above zero: a wire is a very small one.
func (n *network) resistor(a, b string, ohms float64) {
	if ohms <= 0 {
		panic("make: a resistor needs ohms above zero")
	}
	n.add(a, b, 1/ohms, func(float64) complex128 { return complex(1/ohms, 0) })
}

// capacitor without loss.
func (n *network) capacitor(a, b string, farads float64) {
	n.add(a, b, 0, func(w float64) complex128 { return complex(0, w*farads) })
}

// drive holds a point at direct volts and at a signal.
func (n *network) drive(point string, volts float64, signal complex128) {
	n.index(point)
	n.sources = append(n.sources, source{point, volts, signal})
}

// transistor joins the network's junction list.
func (n *network) transistor(t transistor) {
	for _, p := range []string{t.collector, t.base, t.emitter} {
		n.index(p)
	}
	n.junctions = append(n.junctions, t)
}

// ideal adds an ideal amplifier.
func (n *network) ideal(plus, minus, out string) {
	for _, p := range []string{plus, minus, out} {
		n.index(p)
	}
	n.nullors = append(n.nullors, nullor{plus, minus, out})
}

// matrix is dense and square, with its right-hand side in the last column.
type matrix [][]complex128

func newMatrix(n int) matrix {
	m := make(matrix, n)
	for i := range m {
		m[i] = make([]complex128, n+1)
	}
	return m
}

// stamp adds an admittance between rows a and b; -1 is ground.
func (m matrix) stamp(a, b int, y complex128) { m.transfer(a, b, a, b, y) }

// transfer adds a current y·(v[c]-v[d]) leaving a and entering b.
func (m matrix) transfer(a, b, c, d int, y complex128) {
	for _, row := range [2]struct {
		at   int
		sign complex128
	}{{a, 1}, {b, -1}} {
		if row.at < 0 {
			continue
		}
		if c >= 0 {
			m[row.at][c] += row.sign * y
		}
		if d >= 0 {
			m[row.at][d] -= row.sign * y
		}
	}
}

// replace writes another equation over a row: sum of k·v = right.
func (m matrix) replace(row int, right complex128, terms map[int]complex128) {
	clear(m[row])
	for column, k := range terms {
		if column >= 0 {
			m[row][column] = k
		}
	}
	m[row][len(m)] = right
}

// solve eliminates with partial pivoting and gives the unknowns. A pivot of
// zero is our own mistake in drawing the circuit.
func (m matrix) solve() []complex128 {
	n := len(m)
	for k := range n {
		best := k
		for i := k + 1; i < n; i++ {
			if cmplx.Abs(m[i][k]) > cmplx.Abs(m[best][k]) {
				best = i
			}
		}
		m[k], m[best] = m[best], m[k]
		if m[k][k] == 0 {
			panic("make: singular network")
		}
		for i := k + 1; i < n; i++ {
			f := m[i][k] / m[k][k]
			if f == 0 {
				continue
			}
			for j := k; j <= n; j++ {
				m[i][j] -= f * m[k][j]
			}
		}
	}
	x := make([]complex128, n)
	for i := n - 1; i >= 0; i-- {
		sum := m[i][n]
		for j := i + 1; j < n; j++ {
			sum -= m[i][j] * x[j]
		}
		x[i] = sum / m[i][i]
	}
	return x
}

// answer is the volts of every point.
type answer struct {
	n *network
	v []complex128
}

// volts of one point.
func (a answer) volts(point string) complex128 {
	i := a.n.index(point)
	if i < 0 {
		return 0
	}
	return a.v[i]
}

// fill gives the nodal matrix at hz with every transistor at its small signal
// about bias.
func (n *network) fill(hz float64, bias []junction) matrix {
	w := 2 * math.Pi * hz
	m := newMatrix(len(n.points))
	for _, b := range n.branches {
		m.stamp(n.index(b.a), n.index(b.b), b.y(w))
	}
	for k, t := range n.junctions {
		t.stampSignal(n, m, w, bias[k])
	}
	return m
}

// hold writes the sources and ideal amplifiers over their points' equations.
func (n *network) hold(m matrix, value func(source) complex128) {
	for _, s := range n.sources {
		m.replace(n.index(s.point), value(s), map[int]complex128{n.index(s.point): 1})
	}
	for _, u := range n.nullors {
		m.replace(n.index(u.out), 0, map[int]complex128{n.index(u.plus): 1, n.index(u.minus): -1})
	}
}

// respond gives the signal volts of every point at hz.
func (n *network) respond(hz float64, bias []junction) answer {
	m := n.fill(hz, bias)
	n.hold(m, func(s source) complex128 { return s.signal })
	return answer{n, m.solve()}
}

func decibels(gain complex128) float64 { return 20 * math.Log10(cmplx.Abs(gain)) }

func degrees(gain complex128) float64 { return cmplx.Phase(gain) * 180 / math.Pi }
