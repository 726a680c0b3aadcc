package leastsq

import (
	"errors"
	"math"
	"runtime"
	"strings"
	"testing"
)

func TestBadStart(t *testing.T) {
	p := decay()
	fill := p.Residuals
	p.Residuals = func(q, r []float64) {
		fill(q, r)
		r[7] = math.NaN()
	}
	var bad *BadStart
	if _, err := Solve(p, []float64{1, 1}, Options{}); !errors.As(err, &bad) || bad.Row != 7 || bad.Parameter != -1 {
		t.Errorf("residual: %v", err)
	}
	p = decay()
	slopes := p.Jacobian
	p.Jacobian = func(q []float64, j [][]float64) {
		slopes(q, j)
		j[1][9] = math.Inf(1)
	}
	if _, err := Solve(p, []float64{1, 1}, Options{}); !errors.As(err, &bad) || bad.Row != 9 || bad.Parameter != 1 {
		t.Errorf("slope: %v", err)
	}
}

func TestMisuse(t *testing.T) {
	for name, c := range map[string]struct {
		p Problem
		o Options
	}{
		"no residuals":  {Problem{Rows: 3}, Options{}},
		"short SD":      {Problem{Rows: 40, Residuals: decay().Residuals, SD: []float64{1}}, Options{}},
		"SD zero":       {Problem{Rows: 40, Residuals: decay().Residuals, SD: make([]float64, 40)}, Options{}},
		"lower":         {decay(), Options{Lower: []float64{1}}},
		"upper":         {decay(), Options{Upper: []float64{1, 2, 3}}},
		"crossed":       {decay(), Options{Lower: []float64{1, 2}, Upper: []float64{2, 1}}},
		"NaN bound":     {decay(), Options{Lower: []float64{1, math.NaN()}}},
		"priors":        {decay(), Options{Priors: make([]Prior, 1)}},
		"prior below 0": {decay(), Options{Priors: []Prior{{0, -1}, {}}}},
		"typical":       {decay(), Options{Typical: []float64{1, 0}}},
		"tolerance":     {decay(), Options{Offset: -1}},
		"limit":         {decay(), Options{Iterations: -1}},
	} {
		func() {
			defer func() {
				said := recover()
				if _, ours := said.(runtime.Error); ours || said == nil || !strings.HasPrefix(said.(string), "leastsq: ") {
					t.Errorf("%s: %v", name, said)
				}
			}()
			_, err := Solve(c.p, []float64{1, 1}, c.o)
			t.Errorf("%s: no panic, %v", name, err)
		}()
	}
}
