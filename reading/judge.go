package reading

import (
	"math"

	"bandwright/finding"
	"bandwright/leastsq"
)

// Findings of entered values.
const (
	// IDDependent: a reading says nothing that those before it do not say, for
	// neither parts nor instrument leave it any freedom of its own. Place: the
	// point, the setting. Hint: state the instrument's accuracy.
	IDDependent finding.ID = "reading.dependent"
	// IDNoNumber: an entered value that is no number, or that is for no row of
	// the table. Place: the point, the setting, where there is a row. row:
	// from 1. value: as text.
	IDNoNumber finding.ID = "reading.no-number"
	// IDTakenTwice: two values are entered for one row. Place: the point, the
	// setting. row: from 1.
	IDTakenTwice finding.ID = "reading.taken-twice"
)

// Taken is a value as read.
type Taken struct {
	Row   int     // of the prediction
	Value float64 // without meaning when Open
	Open  bool    // the display said "open", or nothing
}

// Verdict holds entered values against what was expected.
type Verdict struct {
	Rows     []int     // rows judged, in the order entered
	Residual []float64 // value less nominal
	Z        []float64 // residual over the reading's own deviation
	Whitened []float64 // residuals made independent and of variance 1
	// ChiSquare is the sum of the squares of Whitened: if parts and instruments
	// are as stated, about Freedom, give or take √(2·Freedom).
	ChiSquare float64
	Freedom   int
	// Chance is that of a ChiSquare this large or larger; 1 with no Freedom.
	Chance float64
	// Against lists rows where a number was read and none expected, or none
	// was read and a number expected. They are in none of the above.
	Against []int
}

// Judge holds values against the prediction. Rows may be left out.
func (p *Prediction) Judge(taken []Taken) (*Verdict, error) {
	if err := p.checkTaken(taken).Err(); err != nil {
		return nil, err
	}
	v := &Verdict{Chance: 1}
	for _, t := range taken {
		row := p.Rows[t.Row]
		if t.Open != (row.Lack != Nothing) {
			v.Against = append(v.Against, t.Row)
		} else if !t.Open {
			v.Rows = append(v.Rows, t.Row)
			v.Residual = append(v.Residual, t.Value-row.Worst.Nominal)
		}
	}
	if len(v.Rows) == 0 {
		return v, nil
	}
	covariance := p.covariance(v.Rows)
	w, dependent := NewWhitener(covariance)
	if w == nil {
		return nil, finding.List{finding.New(IDDependent, finding.Error, p.place(v.Rows[dependent]), nil)}
	}
	for i, r := range v.Residual {
		v.Z = append(v.Z, r/math.Sqrt(covariance[i][i]))
	}
	v.Whitened = w.Whiten(v.Residual)
	v.ChiSquare, v.Freedom = dot(v.Whitened, v.Whitened), len(v.Rows)
	v.Chance = leastsq.ChiSquareAbove(v.ChiSquare, v.Freedom)
	return v, nil
}

func (p *Prediction) checkTaken(taken []Taken) finding.List {
	var found finding.List
	seen := map[int]bool{}
	for _, t := range taken {
		args := finding.Args{"row": t.Row + 1}
		if t.Row < 0 || t.Row >= len(p.Rows) {
			args["value"] = written(t.Value)
			found = append(found, finding.New(IDNoNumber, finding.Error, finding.Place{}, args))
			continue
		}
		if seen[t.Row] {
			found = append(found, finding.New(IDTakenTwice, finding.Error, p.place(t.Row), args))
		}
		seen[t.Row] = true
		if !t.Open && (math.IsNaN(t.Value) || math.IsInf(t.Value, 0)) {
			args["value"] = written(t.Value)
			found = append(found, finding.New(IDNoNumber, finding.Error, p.place(t.Row), args))
		}
	}
	return found
}

func (p *Prediction) place(row int) finding.Place {
	r := p.Readings[p.Rows[row].Reading]
	return finding.Place{Point: r.Red, Setting: r.Setting.String()}
}

// Whitener makes values that vary together independent: with the covariance
// V = L·Lᵀ (Cholesky, L lower triangular), L⁻¹·r has the unit covariance if r
// has V. The k-th whitened value says what the k-th adds to those before it. The
// zero Whitener has no value yet.
type Whitener struct {
	lower [][]float64
}

// NewWhitener takes a covariance apart. Where a value's variance is all
// explained by those before it, there is none, and dependent names the value.
func NewWhitener(covariance [][]float64) (w *Whitener, dependent int) {
	w = &Whitener{}
	for i, row := range covariance {
		if !w.Grow(row[:i+1]) {
			return nil, i
		}
	}
	return w, -1
}

// Grow adds a value: row holds its covariance with those before it, and its own
// variance last. False: its variance is all explained by them, and it is not added.
func (w *Whitener) Grow(row []float64) bool {
	// What is left of a variance below this share of it is rounding.
	const least = 1e-12
	i := len(w.lower)
	if i < cap(w.lower) {
		w.lower = w.lower[:i+1]
	} else {
		w.lower = append(w.lower, nil)
	}
	l := w.lower[i]
	if cap(l) <= i {
		l = make([]float64, i+1, 2*i+8)
	}
	l = l[:i+1]
	w.lower[i] = l
	for j := range i {
		l[j] = (row[j] - dot(l[:j], w.lower[j])) / w.lower[j][j]
	}
	left := row[i] - dot(l[:i], l)
	if !(left > least*row[i]) {
		w.lower = w.lower[:i]
		return false
	}
	l[i] = math.Sqrt(left)
	return true
}

// Last whitens the value added last, those before it being whitened already, and
// gives the deviation that they leave it.
func (w *Whitener) Last(residual float64, before []float64) (white, sd float64) {
	l := w.lower[len(w.lower)-1]
	n := len(l) - 1
	return (residual - dot(l[:n], before)) / l[n], l[n]
}

// Clear takes all values away, and keeps the room that they had.
func (w *Whitener) Clear() { w.lower = w.lower[:0] }

// Whiten gives L⁻¹·residual.
func (w *Whitener) Whiten(residual []float64) []float64 {
	if len(residual) != len(w.lower) {
		panic("reading: as many residuals as the covariance has rows")
	}
	white := make([]float64, len(residual))
	for i, l := range w.lower {
		white[i] = (residual[i] - dot(l[:i], white[:i])) / l[i]
	}
	return white
}

// LogDet gives the logarithm of the covariance's determinant, which a
// likelihood needs beside the squares.
func (w *Whitener) LogDet() float64 {
	sum := 0.0
	for i, l := range w.lower {
		sum += 2 * math.Log(l[i])
	}
	return sum
}

func dot(a, b []float64) float64 {
	sum := 0.0
	for i, x := range a {
		sum += x * b[i]
	}
	return sum
}
