package equaliser

import "math"

// The finder of a band's features. It never calls the circuit: it asks for a
// block of frequencies, is told the band curve and its slope there, and asks
// again until it has what it wants. So one search can be fed by one circuit,
// and many searches by as many sampled circuits solved side by side. It holds
// all it needs in arrays: asking and taking allocate nothing, and the number of
// frequencies a search may ask for is bounded.
//
// Everything is found on x = ln(frequency), y = the band curve in dB and
// s = dy/dx, so that a peak is a sign change of s, which the engine gives
// analytically, and no tolerance hangs on a flat top.
const (
	blockSize  = 16  // frequencies asked for at once, at most
	maxSamples = 256 // frequencies of one search, at most
	lowestHz   = 1
	highestHz  = 200e3

	// deadDB: a slider that moves the response less than this does nothing.
	deadDB = 1e-3
	// rippleShare: an extremum less than this share of the tallest in the
	// search range is a ripple, not a rival.
	rippleShare = 0.1
	// settledX is how near in ln(frequency) a root must be known.
	settledX = 1e-11
)

// The four levels crossed on the way down from the peak.
const (
	halfLow = iota
	halfHigh
	topLow
	topHigh
	edgeCount
)

// search finds the extremum of one band curve and where it falls to half its
// dB and to 3 dB under the top. The zero search is not ready: begin readies it.
type search struct {
	n       int // samples held, sorted by x
	x, y, s [maxSamples]float64
	asked   int // samples asked for in all
	rounds  int // blocks asked for in all

	from, to float64 // the range an extremum may lie in
	leg      float64 // ln of the leg resonance

	stage  stage
	grid   int // blocks of the grid sampled
	closed int // blocks asked for in the stage of edges
	peakX  float64
	peakY  float64
	rivalX float64 // estimate of the nearest other extremum
	rival  bool    // there is one
	width  float64 // of the bracket the peak was in a round ago
	edge   [edgeCount]edgeState
}

type stage uint8

const (
	stageGrid  stage = iota // sample the range
	stageNear               // sample about what a like circuit had
	stagePeak               // close in on the extremum
	stageEdges              // find the crossings
	stageDone
	stageDead    // nothing there to find
	stageNone    // something, but no extremum in the range
	stageTooLong // gave up at the bound
)

type edgeState struct {
	done  bool
	found bool
	x     float64
}

// begin readies a search round a leg resonance in hertz.
func (q *search) begin(legHz float64) {
	*q = search{leg: math.Log(legHz)}
	q.from = max(q.leg-math.Ln2, math.Log(lowestHz))
	q.to = min(q.leg+math.Ln2, math.Log(highestHz))
	if q.from >= q.to {
		q.stage = stageNone
	}
}

// beginNear readies a search for a circuit that differs a little from one
// already searched: the first frequencies asked for lie about what was found
// there, and the range is sampled only if no peak is among them.
func (q *search) beginNear(legHz float64, like *search) {
	q.begin(legHz)
	if q.stage != stageGrid || like.stage != stageDone {
		return
	}
	q.edge = like.edge
	q.peakX = like.peakX
	q.stage = stageNear
}

// ask puts the frequencies wanted next into hz (blockSize long or longer) and
// says how many; 0 means that the search has ended.
func (q *search) ask(hz []float64) int {
	p := proposal{hz: hz}
	switch q.stage {
	case stageNear:
		q.proposeNear(&p)
	case stageGrid:
		q.proposeGrid(&p)
	case stagePeak:
		q.proposePeak(&p)
	case stageEdges:
		q.proposeEdges(&p)
	}
	if p.n == 0 && q.stage < stageDone {
		q.stage = stageTooLong
	}
	return p.n
}

// proposal gathers frequencies, dropping what does not fit or lies outside the
// range of audio work.
type proposal struct {
	hz []float64
	n  int
}

func (p *proposal) at(x float64) {
	if p.n < blockSize && x >= math.Log(lowestHz)-1e-9 && x <= math.Log(highestHz)+1e-9 {
		p.hz[p.n] = math.Exp(x)
		p.n++
	}
}

// take is told the band curve (dB) and its slope (dB per unit of ln f) at the
// frequencies just asked for, and moves the search on.
func (q *search) take(hz, db, slope []float64) {
	for i := range hz {
		q.insert(math.Log(hz[i]), db[i], slope[i])
	}
	q.asked += len(hz)
	q.rounds++
	switch q.stage {
	case stageNear:
		q.takeNear()
	case stageGrid:
		q.takeGrid()
	case stagePeak:
		q.takePeak()
	case stageEdges:
		q.takeEdges()
	}
	if q.stage < stageDone && q.n > maxSamples-blockSize {
		q.stage = stageTooLong
	}
}

// insert keeps the samples sorted; a frequency met again is replaced.
func (q *search) insert(x, y, s float64) {
	i := q.n
	for i > 0 && q.x[i-1] >= x {
		i--
	}
	if i == q.n || q.x[i] != x {
		copy(q.x[i+1:q.n+1], q.x[i:q.n])
		copy(q.y[i+1:q.n+1], q.y[i:q.n])
		copy(q.s[i+1:q.n+1], q.s[i:q.n])
		q.n++
	}
	q.x[i], q.y[i], q.s[i] = x, y, s
}

// gridRounds blocks sample the range: a sixteenth of an octave apart, so that a
// peak hides only beside another one less than that away.
const gridRounds = 2

func (q *search) proposeGrid(p *proposal) {
	const points = gridRounds * blockSize
	for i := q.grid * blockSize; i < (q.grid+1)*blockSize; i++ {
		p.at(q.from + (q.to-q.from)*float64(i)/(points-1))
	}
}

func (q *search) takeGrid() {
	if q.grid++; q.grid < gridRounds {
		return
	}
	switch {
	case q.choosePeak():
		q.startPeak()
	case q.tallest() < deadDB:
		q.stage = stageDead
	default:
		q.stage = stageNone
	}
}

// proposeNear asks about the peak and the edges of a circuit much like this.
func (q *search) proposeNear(p *proposal) {
	for _, d := range [...]float64{-0.1, -0.02, 0.02, 0.1} {
		p.at(q.peakX + d)
	}
	for k := range q.edge {
		if q.edge[k].found {
			p.at(q.edge[k].x - 0.03)
			p.at(q.edge[k].x + 0.03)
		}
	}
}

// takeNear goes on from the peak among the samples, or samples the range.
func (q *search) takeNear() {
	q.edge = [edgeCount]edgeState{}
	q.stage = stageGrid
	if q.choosePeak() {
		q.startPeak()
	}
}

func (q *search) startPeak() {
	q.width = math.Inf(1)
	q.stage = stagePeak
	q.takePeak()
}

// tallest gives the greatest |y| sampled.
func (q *search) tallest() float64 {
	top := 0.0
	for i := range q.n {
		top = max(top, math.Abs(q.y[i]))
	}
	return top
}
