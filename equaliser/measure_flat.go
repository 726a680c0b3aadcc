package equaliser

import (
	"context"
	"math"

	"bandwright/circuit"
)

// The flat gain of a build is nearly that of the circuit as it is, which is
// known closely once for all builds. What a build differs by is smooth: it is
// asked for at a few nodes and joined by a cubic between each two (Hermite's)
// that takes its slope at the nodes from four neighbours. Gain and slope run on
// through the nodes without a leap, so a search may end on one.

const (
	// nodesPerNeper spaces the nodes of a build: parts within a tenth leave the
	// flat gain right to 1e-4 dB between them, where source and feed are
	// matched or nearly so.
	nodesPerNeper = 2
	// closePerNeper spaces those of the circuit as it is.
	closePerNeper = 32
	// fewestNodes give every node the neighbours that its slope needs.
	fewestNodes = 6
)

// joints is a function of ln(frequency) by its values and slopes at equal
// distances from x on.
type joints struct{ x, h float64 }

// joint gives the first of the two joints that x lies between, and how far
// between them.
func (j joints) joint(x float64, count int) (int, float64) {
	i := min(max(int((x-j.x)/j.h), 0), count-2)
	return i, (x-j.x)/j.h - float64(i)
}

// between is Hermite's cubic and its slope, a share t of the way from one joint
// to the next.
func (j joints) between(y0, s0, y1, s1, t float64) (y, s float64) {
	s0, s1 = s0*j.h, s1*j.h
	c2, c3 := 3*(y1-y0)-2*s0-s1, 2*(y0-y1)+s0+s1
	return y0 + t*(s0+t*(c2+t*c3)), (s0 + t*(2*c2+3*t*c3)) / j.h
}

// flatCurve is the flat gain of the circuit as it is, by ln(frequency).
type flatCurve struct {
	joints
	y, s  []float64
	nodes []float64 // where builds are asked, and
	at    []float64 // what it is there
}

// sampleFlat takes the flat gain of the circuit as it is from low to high.
func sampleFlat(ctx context.Context, flat *circuit.State, low, high float64) (*flatCurve, error) {
	const perNeper = 20 / math.Ln10
	if !(high > low) {
		return nil, nil
	}
	count := max(int(math.Ceil((high-low)*closePerNeper))+1, 2)
	f := &flatCurve{joints: joints{x: low, h: (high - low) / float64(count-1)}}
	hz, gain, byHz := make([]float64, count), make([]complex128, count), make([]complex128, count)
	for i := range hz {
		hz[i] = math.Exp(low + f.h*float64(i))
	}
	if err := flat.Slopes(ctx, Source, OutputPoint, hz, gain, byHz); err != nil {
		return nil, err
	}
	for i, g := range gain {
		f.y = append(f.y, decibels(g))
		f.s = append(f.s, perNeper*hz[i]*real(byHz[i]/g))
	}
	n := max(int(math.Ceil((high-low)*nodesPerNeper))+1, fewestNodes)
	for i := range n {
		x := low + (high-low)*float64(i)/float64(n-1)
		y, _ := f.gain(x)
		f.nodes, f.at = append(f.nodes, x), append(f.at, y)
	}
	return f, nil
}

func (f *flatCurve) gain(x float64) (y, s float64) {
	i, t := f.joint(x, len(f.y))
	return f.between(f.y[i], f.s[i], f.y[i+1], f.s[i+1], t)
}

// takeFlat asks every build for the flat gain at the nodes, and keeps what it
// differs by.
func (m *bandMeasure) takeFlat(b *circuit.Builds, n int) {
	for i, x := range m.of.flat.nodes {
		for k := range n {
			m.x[k] = x
		}
		m.askGain(b, 0, n)
		for k := range n {
			m.flatY[i][k] = m.y[k] - m.of.flat.at[i]
		}
	}
	for i := range m.flatS {
		m.slopeAt(i, n)
	}
}

// The slope at a node: a twelfth of the spacing times these weights of five
// nodes in a row, by which of the five it is (finite differences of fourth
// order; Fornberg 1988, Mathematics of Computation 51, 699–706).
var slopeWeights = [5][5]float64{
	{-25, 48, -36, 16, -3},
	{-3, -10, 18, -6, 1},
	{1, -8, 0, 8, -1},
	{-1, 6, -18, 10, 3},
	{3, -16, 36, -48, 25},
}

func (m *bandMeasure) slopeAt(node, n int) {
	nodes := m.of.flat.nodes
	first := min(max(node-2, 0), len(nodes)-5)
	scale := 1 / (12 * (nodes[1] - nodes[0]))
	to := &m.flatS[node]
	*to = [circuit.BuildCount]float64{}
	for i, w := range &slopeWeights[node-first] {
		w *= scale
		for k := range n {
			to[k] += w * m.flatY[first+i][k]
		}
	}
}

// flat gives a build's flat gain at x and its slope.
func (m *bandMeasure) flat(k int, x float64) (y, s float64) {
	y, s = m.of.flat.gain(x)
	nodes := joints{x: m.of.flat.nodes[0], h: m.of.flat.nodes[1] - m.of.flat.nodes[0]}
	i, t := nodes.joint(x, len(m.flatY))
	byY, byS := nodes.between(m.flatY[i][k], m.flatS[i][k], m.flatY[i+1][k], m.flatS[i+1][k], t)
	return y + byY, s + byS
}
