package curve

import (
	"math"
	"sort"

	"bandwright/finding"
)

// points are rows in base units, in the order of the file until sorted.
type points struct {
	hz, db, degrees []float64 // degrees nil: not known
	line            []int32
}

func (p *points) Len() int           { return len(p.hz) }
func (p *points) Less(i, j int) bool { return p.hz[i] < p.hz[j] }
func (p *points) Swap(i, j int) {
	p.hz[i], p.hz[j] = p.hz[j], p.hz[i]
	p.db[i], p.db[j] = p.db[j], p.db[i]
	p.line[i], p.line[j] = p.line[j], p.line[i]
	if p.degrees != nil {
		p.degrees[i], p.degrees[j] = p.degrees[j], p.degrees[i]
	}
}

func (p *points) add(hz, db, degrees float64, line int32, phase bool) {
	p.hz, p.db, p.line = append(p.hz, hz), append(p.db, db), append(p.line, line)
	if phase {
		p.degrees = append(p.degrees, degrees)
	}
}

// convert brings the rows to hertz, dB and degrees, leaving out ratios of
// zero and refusing what no response can be.
func convert(rows table, u *Understood) (points, error) {
	var p points
	var zeros lineList
	errs := 0
	for i, line := range rows.line {
		hz, db, degrees := u.inHz(rows.frequency[i]), u.inDB(rows.gain[i]), 0.0
		if rows.phase != nil {
			degrees = u.inDegrees(rows.phase[i])
		}
		id, args := bounds(hz, db, degrees)
		switch {
		case math.IsInf(db, -1):
			zeros.add(int(line))
			continue
		case math.IsNaN(db):
			id, args = IDRatioNegative, finding.Args{"read": rows.gain[i]}
		}
		if id != "" {
			if errs++; errs <= maxErrors {
				u.note(id, finding.Error, int(line), args)
			}
			continue
		}
		p.add(hz, db, degrees, line, rows.phase != nil)
	}
	if errs > maxErrors {
		u.note(IDMoreErrors, finding.Error, 0, finding.Args{"count": errs - maxErrors})
	}
	zeros.note(IDZeroGain, finding.Warning, u)
	return p, u.errors()
}

// tidy sorts the points and averages those at one frequency.
func (p *points) tidy(u *Understood) {
	if down := p.downs(); len(down) > 0 {
		if runs, first := p.runs(down); runs > 1 {
			u.note(IDSeveralRuns, finding.Warning, int(p.line[first]), finding.Args{"runs": runs})
		} else {
			u.note(IDUnsorted, finding.Note, int(p.line[down[0]]), nil)
		}
		sort.Stable(p)
	}
	p.merge(u)
}

// downs gives the points that lie below the one before.
func (p *points) downs() []int {
	var down []int
	for i := 1; i < len(p.hz); i++ {
		if p.hz[i] < p.hz[i-1] {
			down = append(down, i)
		}
	}
	return down
}

// runs counts how often the rows run through the frequencies: a step down by
// more than half of the whole range starts over. Rows that step down often are
// in no order at all, or in falling order, and make one run.
func (p *points) runs(down []int) (runs, first int) {
	const few, many = 20, 10
	low, high := span(p.hz)
	runs = 1
	if len(p.hz) < few || len(down) >= many {
		return runs, 0
	}
	for _, i := range down {
		if math.Log(p.hz[i-1]/p.hz[i]) > math.Log(high/low)/2 {
			if runs++; runs == 2 {
				first = i
			}
		}
	}
	return runs, first
}

// merge averages points at one frequency: gain in dB, phase as the direction
// of the mean of unit pointers, so that +179 and −179 give 180 and not 0.
func (p *points) merge(u *Understood) {
	n, doubled := 0, 0
	widest, widestHz := 0.0, 0.0
	line := int32(0)
	for i := 0; i < len(p.hz); {
		j := i + 1
		for j < len(p.hz) && p.hz[j] == p.hz[i] {
			j++
		}
		if j > i+1 {
			if doubled++; doubled == 1 {
				line, widestHz = p.line[i+1], p.hz[i]
			}
			if low, high := span(p.db[i:j]); high-low > widest {
				widest, widestHz = high-low, p.hz[i]
			}
		}
		p.hz[n], p.line[n] = p.hz[i], p.line[i]
		p.db[n] = mean(p.db[i:j])
		if p.degrees != nil {
			p.degrees[n] = meanAngle(p.degrees[i:j])
		}
		n, i = n+1, j
	}
	p.hz, p.db, p.line = p.hz[:n], p.db[:n], p.line[:n]
	if p.degrees != nil {
		p.degrees = p.degrees[:n]
	}
	if doubled > 0 {
		level := finding.Note
		if widest > 0.5 {
			level = finding.Warning
		}
		u.note(IDDoubled, level, int(line), finding.Args{
			"count": doubled, "hz": widestHz, "spread": widest})
	}
}

func mean(v []float64) float64 {
	if len(v) == 1 {
		return v[0]
	}
	sum := 0.0
	for _, x := range v {
		sum += x
	}
	return sum / float64(len(v))
}

// meanAngle stays within half a turn of the first, so that phase which was
// never wrapped stays unwrapped.
func meanAngle(degrees []float64) float64 {
	if len(degrees) == 1 {
		return degrees[0]
	}
	var x, y float64
	for _, d := range degrees {
		s, c := math.Sincos((d - degrees[0]) * math.Pi / 180)
		x, y = x+c, y+s
	}
	return degrees[0] + math.Atan2(y, x)*180/math.Pi
}
