package bench

import (
	"bandwright/finding"
	"bandwright/job"
)

// judge holds what was read against the list.
func (l *stageList) judge() {
	a := l.answer
	for i := range a.Rows {
		l.judgeRow(&a.Rows[i])
	}
	for i := range a.Bands {
		l.judgeBand(&a.Bands[i])
	}
	if s := a.Supply; s != nil && s.Read != nil {
		s.Verdict = within(*s.Read/s.Amperes-1, a.Pass, a.Look)
		if s.Verdict == Stop {
			l.found = append(l.found, finding.New(IDCurrentStop, finding.Warning, finding.Place{},
				finding.Args{"read": *s.Read, "expected": s.Amperes}))
		}
	}
}

// within judges by how far something is off, as a share.
func within(off float64, pass, look Share) Verdict {
	switch {
	case off >= -pass.Below && off <= pass.Above:
		return Pass
	case off >= -look.Below && off <= look.Above:
		return Look
	}
	return Stop
}

// judgeRow: on the limiter what is exceeded or does not rise stops; where the
// rail was read there, and on mains, what is expected decides, and a reading
// that parts and meter at their limits allow passes whatever its percentage.
func (l *stageList) judgeRow(r *StageVolts) {
	switch {
	case r.Open:
		r.Verdict = Pass
		if r.Shown != nil {
			r.Verdict = Stop
		}
		return
	case r.Read == nil:
		return
	case r.Shown == nil:
		r.Verdict = Look // nothing stands there by itself, and something was read
		return
	}
	read, size := *r.Read, max(*r.Read, -*r.Read)
	if n := r.Shown.Worst.Nominal; max(n, -n) >= LeastJudged {
		off := 100 * (read/n - 1)
		r.Off = &off
	}
	if r.Most != nil && size > *r.Most {
		l.stop(r, -*r.Most, *r.Most, "exceeds")
		return
	}
	limiter := l.q.Stage == job.StageLimiter && l.answer.Rail != nil && l.answer.Rail.From != "read"
	if limiter {
		if r.Rises != nil && (*r.Rises > 0 && read < *r.Rises || *r.Rises < 0 && read > *r.Rises) {
			l.stop(r, *r.Rises, *r.Rises, "does-not-rise")
			return
		}
		r.Verdict, r.Off = Pass, nil
		return
	}
	l.expected(r, read)
}

// LeastJudged is what a point must be expected at for a percentage of it to
// say something, volts; below it limits are shares of this. Common practice, no
// source.
const LeastJudged = 0.5

func (l *stageList) expected(r *StageVolts, read float64) {
	n := r.Shown.Worst
	switch {
	case n.Holds(read):
		r.Verdict = Pass
	case r.Off == nil:
		r.Verdict = within((read-n.Nominal)/LeastJudged, l.answer.Pass, l.answer.Look)
	default:
		r.Verdict = within(*r.Off/100, l.answer.Pass, l.answer.Look)
	}
	switch r.Verdict {
	case Stop:
		l.stop(r, n.Low, n.High, "beyond")
	case Look:
		off := 0.0
		if r.Off != nil {
			off = *r.Off
		}
		l.found = append(l.found, finding.New(IDVoltsLook, finding.Warning, finding.Place{Point: r.Point},
			finding.Args{"read": read, "expected": n.Nominal, "percent": off}))
	}
}

func (l *stageList) stop(r *StageVolts, low, high float64, why string) {
	r.Verdict = Stop
	l.found = append(l.found, finding.New(IDVoltsStop, finding.Warning, finding.Place{Point: r.Point},
		finding.Args{"read": *r.Read, "low": low, "high": high, "why": why}))
}

// aliveShare is how much of its predicted boost a band must show to be called
// alive: on the bench nothing finer is looked for (common practice, no source).
const aliveShare = 0.5

func (l *stageList) judgeBand(b *StageBand) {
	if b.Read == nil || b.Flat == nil || b.Up == nil {
		return
	}
	rise, want := *b.Read-*b.Flat, *b.Up-*b.Flat
	if b.Verdict = Pass; rise < aliveShare*want {
		b.Verdict = Stop
		l.found = append(l.found, finding.New(IDBandDead, finding.Warning, finding.Place{Band: b.Band},
			finding.Args{"read": rise, "predicted": want}))
	}
}
