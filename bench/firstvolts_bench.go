package bench

import (
	"cmp"
	"context"
	"slices"
	"strings"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/finding"
	"bandwright/job"
)

// benchSource is the name of the bench supply in the circuit.
const benchSource = "bench supply"

// fillBench predicts the board by itself on a current-limited supply. Where the
// job has a feed, the board is unplugged from it.
func (l *stageList) fillBench(ctx context.Context) error {
	at, points, err := l.onBench()
	if err != nil {
		return err
	}
	s := l.answer.Supply
	l.answer.Rail = nil
	if err := l.rows(ctx, at, l.answer.Meter.Volts.Limit(s.Volts), points); err != nil {
		return err
	}
	st, err := at.Solve(ctx, l.setting, circuit.Conditions{Kelvin: l.c.equaliser.Spec().Kelvin})
	if err != nil {
		return err
	}
	amperes, _ := st.Current(l.fed)
	s.Amperes, s.Read = max(amperes, -amperes), l.q.Amperes
	return l.bands(ctx)
}

// onBench gives the board's circuit on its supply, and the points of the board.
func (l *stageList) onBench() (*circuit.Circuit, []string, error) {
	p := l.c.job.PowerUp
	points := slices.DeleteFunc(slices.Clone(l.c.Points()), func(p string) bool { return p == generatorPoint })
	s := &BenchSupply{Point: p.BenchAt, Volts: float64(given(p.BenchVolts)), Verdict: NotDone}
	if p.BenchAmperes != nil {
		s.Limit = number(*p.BenchAmperes)
	}
	l.answer.Supply = s
	rail := l.answer.Rail
	switch {
	case l.c.job.Feed != nil:
		return l.unplugged(s, points)
	case s.Point != "" && (rail == nil || s.Point != rail.Point):
		at, err := l.fedAt(s, points, l.c.equaliser.Circuit().Parts())
		return at, points, err
	case rail == nil:
		return nil, nil, l.noBenchPoint("", points)
	}
	s.Point, s.Volts = rail.Point, cmp.Or(s.Volts, rail.Volts)
	at, err := l.atRail(l.c.equaliser.Circuit(), s.Volts)
	return at, points, err
}

// unplugged takes the board off its feed, and feeds it by itself.
func (l *stageList) unplugged(s *BenchSupply, points []string) (*circuit.Circuit, []string, error) {
	s.Point = cmp.Or(s.Point, usualRail)
	away := l.feedSide()
	points = slices.DeleteFunc(points, func(p string) bool { return away[p] })
	edits := []circuit.Edit{circuit.Set(l.source, "DC", 0)}
	for _, part := range l.supply.Board {
		edits = append(edits, circuit.OpenLeg(part, 0))
	}
	loose, err := l.c.equaliser.Circuit().Edited(edits...)
	if err != nil {
		return nil, nil, err
	}
	at, err := l.fedAt(s, points, loose.Parts())
	return at, points, err
}

// fedAt puts the bench supply at a point of the board. A rail of the drawing's
// own that stands elsewhere is off then; one of a feed is away with it.
func (l *stageList) fedAt(s *BenchSupply, points []string, parts []circuit.Part) (*circuit.Circuit, error) {
	s.Volts = cmp.Or(s.Volts, float64(given(l.c.job.Driver.Rail)), l.c.equaliser.Spec().Rail)
	if !slices.Contains(points, s.Point) || !(s.Volts > 0) {
		return nil, l.noBenchPoint(s.Point, points)
	}
	if l.c.job.Feed == nil {
		parts = slices.DeleteFunc(slices.Clone(parts), func(p circuit.Part) bool { return p.PartName() == l.source })
	}
	l.fed = benchSource
	return circuit.New(append(slices.Clone(parts),
		circuit.Part(circuit.VoltageSource{Name: benchSource, Plus: s.Point, Minus: circuit.Ground, DC: s.Volts}))...)
}

func (l *stageList) noBenchPoint(read string, known []string) error {
	return finding.New(IDBenchPoint, finding.Error, finding.Place{File: l.c.name}, finding.Args{"read": read, "known": strings.Join(known, ", ")})
}

// feedSide finds the points that stay in the amplifier when the board comes out:
// those that hang together with the rail without what feeds the board.
func (l *stageList) feedSide() map[string]bool {
	seen := map[string]bool{l.answer.Rail.Point: true}
	parts := slices.DeleteFunc(slices.Clone(l.c.equaliser.Circuit().Parts()), func(p circuit.Part) bool {
		return slices.Contains(l.supply.Board, p.PartName())
	})
	for grown := true; grown; {
		grown = false
		for _, p := range parts {
			if !slices.ContainsFunc(p.Terminals(), func(t string) bool { return seen[t] }) {
				continue
			}
			for _, t := range p.Terminals() {
				if t != circuit.Ground && !seen[t] {
					seen[t], grown = true, true
				}
			}
		}
	}
	return seen
}

// bands predicts each band at its stated centre: flat, up, down.
func (l *stageList) bands(ctx context.Context) error {
	gain := func(s curve.Setting, hz float64) (*float64, error) {
		a, _, err := l.c.Gains(ctx, s.String(), []float64{hz})
		if err != nil {
			return nil, err
		}
		return a.Rows[0].DB, nil
	}
	for _, b := range l.c.job.Bands {
		row := StageBand{Band: b.Name, Hz: float64(b.Centre), Verdict: NotDone}
		up, down := l.c.equaliser.Boost(b.Name), l.c.equaliser.Cut(b.Name)
		row.UpAt = up.String()
		for _, k := range [...]struct {
			into **float64
			at   curve.Setting
		}{{&row.Flat, l.c.equaliser.Flat()}, {&row.Up, up}, {&row.Down, down}} {
			db, err := gain(k.at, row.Hz)
			if err != nil {
				return err
			}
			*k.into = db
		}
		for _, t := range l.taken {
			s, err := l.c.setting(t.Setting)
			if err != nil {
				return err
			}
			if t.Kind == job.ReadGain && t.At != nil && float64(*t.At) == row.Hz && s.String() == row.UpAt {
				if db, open, err := t.Number(); err == nil && !open {
					row.Read = &db
				}
			}
		}
		l.answer.Bands = append(l.answer.Bands, row)
	}
	return nil
}
