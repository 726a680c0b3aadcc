package leastsq

import (
	"bufio"
	"embed"
	"math"
	"path"
	"slices"
	"strconv"
	"strings"
	"testing"
)

//go:embed testdata/nist
var nist embed.FS

// reference is one set of the NIST statistical reference data for nonlinear
// regression, as its file gives it.
type reference struct {
	name   string
	start  [2][]float64
	best   []float64
	sd     []float64
	sum    float64
	sigma  float64
	y      []float64
	x      [][]float64
	digits []string // y as written
}

// references reads all 27; a missing file, a file without a model or a model
// without a file fails.
func references(t *testing.T) []reference {
	t.Helper()
	entries, err := nist.ReadDir("testdata/nist")
	if err != nil {
		t.Fatal(err)
	}
	var all []reference
	known := models()
	for _, e := range entries {
		if path.Ext(e.Name()) != ".dat" {
			continue
		}
		ref := readReference(t, e.Name())
		if known[ref.name] == nil {
			t.Errorf("%s has no model", ref.name)
		}
		all = append(all, ref)
	}
	if len(all) != 27 || len(known) != 27 {
		t.Fatalf("%d files and %d models, want 27", len(all), len(known))
	}
	return all
}

// readReference reads one file: parameter lines "b1 = start start value sd",
// the sums by their names, and the numbers after the second "Data:".
func readReference(t *testing.T, file string) reference {
	t.Helper()
	text, err := nist.ReadFile("testdata/nist/" + file)
	if err != nil {
		t.Fatal(err)
	}
	ref := reference{name: strings.TrimSuffix(file, ".dat")}
	want, data := 0, 0
	lines := bufio.NewScanner(strings.NewReader(string(text)))
	for lines.Scan() {
		line := strings.TrimSpace(lines.Text())
		fields := strings.Fields(line)
		_, value, _ := strings.Cut(line, ":")
		switch {
		case strings.HasPrefix(line, "Data:"):
			data++
		case data > 1 && len(fields) > 0:
			row := numbers(t, fields)
			ref.y, ref.x, ref.digits = append(ref.y, row[0]), append(ref.x, row[1:]), append(ref.digits, fields[0])
		case len(fields) == 6 && fields[1] == "=" && strings.HasPrefix(fields[0], "b"):
			row := numbers(t, fields[2:])
			ref.start[0], ref.start[1] = append(ref.start[0], row[0]), append(ref.start[1], row[1])
			ref.best, ref.sd = append(ref.best, row[2]), append(ref.sd, row[3])
		case strings.HasPrefix(line, "Residual Sum of Squares"):
			ref.sum = numbers(t, strings.Fields(value))[0]
		case strings.HasPrefix(line, "Residual Standard Deviation"):
			ref.sigma = numbers(t, strings.Fields(value))[0]
		case strings.HasPrefix(line, "Number of Observations"):
			want = int(numbers(t, strings.Fields(value))[0])
		}
	}
	if len(ref.y) != want || want == 0 || ref.sum == 0 || ref.sigma == 0 || len(ref.best) < 2 {
		t.Fatalf("%s: read %d of %d rows, %d parameters, sum %g", file, len(ref.y), want, len(ref.best), ref.sum)
	}
	return ref
}

func numbers(t *testing.T, fields []string) []float64 {
	t.Helper()
	row := make([]float64, len(fields))
	for i, f := range fields {
		v, err := strconv.ParseFloat(f, 64)
		if err != nil {
			t.Fatal(err)
		}
		row[i] = v
	}
	return row
}

// problem makes residuals model − y and their slopes.
func (ref reference) problem() Problem {
	m := models()[ref.name]
	y := slices.Clone(ref.y)
	if ref.name == "Nelson" { // its model is of log(y)
		for i := range y {
			y[i] = math.Log(y[i])
		}
	}
	g := make([]float64, len(ref.best))
	p := Problem{Rows: len(y)}
	p.Residuals = func(b, r []float64) {
		for i := range r {
			r[i] = m(b, ref.x[i], g) - y[i]
		}
	}
	p.Jacobian = func(b []float64, j [][]float64) {
		for i := range y {
			m(b, ref.x[i], g)
			for k := range g {
				j[k][i] = g[k]
			}
		}
	}
	if ref.name == "Lanczos1" {
		p.Residuals = ref.preciseDecays()
	}
	return p
}

// agreeing is how many digits two numbers share: −log₁₀ of their relative
// difference, at most 11, the digits certified.
func agreeing(got, want float64) float64 {
	if got == want {
		return 11
	}
	return min(11, -math.Log10(math.Abs(got-want)/math.Abs(want)))
}

// score gives the fewest digits of parameters, standard deviations and sum.
func (ref reference) score(res *Result) (p, sd, sum float64) {
	p, sd = 11, 11
	for k, want := range ref.best {
		p = min(p, agreeing(res.P[k], want))
		sd = min(sd, agreeing(res.SD(k), ref.sd[k]))
	}
	return p, sd, agreeing(res.Sum, ref.sum)
}
