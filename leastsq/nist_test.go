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

// Every set is reached from both its starts, and from the second without its
// slopes. (MGH10, MGH17, Eckerle4 and BoxBOD defeat many solvers from the
// first.) What each reaches is in the log: go test -run ReferenceSets -v.
func TestReferenceSets(t *testing.T) {
	for _, ref := range references(t) {
		for s, start := range ref.start {
			ref.try(t, "start "+strconv.Itoa(s+1), ref.problem(), start, 8)
		}
		differences := ref.problem()
		differences.Jacobian = nil
		ref.try(t, "start 2, differences", differences, ref.start[1], 6)
	}
}

// try fits and compares: so many digits of the parameters, six of their
// standard deviations and of the sum.
func (ref reference) try(t *testing.T, way string, p Problem, from []float64, need float64) {
	t.Helper()
	res, err := Solve(p, from, Options{})
	if err != nil {
		t.Errorf("%s %s: %v", ref.name, way, err)
		return
	}
	digits, sd, sum := ref.score(res)
	t.Logf("%-9s %-20s digits %4.1f, sd %4.1f, sum %4.1f; %3d steps, %4d evaluations, %s, offset %.0e",
		ref.name, way, digits, sd, sum, res.Iterations, res.Evaluations, res.Reason, res.Offset)
	if !res.Reason.Converged() || !(digits >= need && sd >= 6 && sum >= 6) {
		t.Errorf("%s %s: digits %.1f, sd %.1f, sum %.1f, %s", ref.name, way, digits, sd, sum, res.Reason)
	}
	if res.Freedom != p.Rows-len(from) || agreeing(res.Sigma, ref.sigma) < 6 {
		t.Errorf("%s: sigma %g with %d degrees of freedom, certified %g", ref.name, res.Sigma, res.Freedom, ref.sigma)
	}
}

// The files and the models belong together: the certified parameters give
// the certified sum, as near as eleven digits of them can.
func TestCertifiedValues(t *testing.T) {
	for _, ref := range references(t) {
		p := ref.problem()
		r := make([]float64, p.Rows)
		p.Residuals(ref.best, r)
		sum := dot(r, r)
		right := agreeing(sum, ref.sum) >= 9
		if ref.name == "Lanczos1" { // eleven digits of parameters are too few for its sum
			right = sum < 1e-20
		}
		if !right {
			t.Errorf("%s: sum %.11g, certified %.11g", ref.name, sum, ref.sum)
		}
	}
}

// The slopes written down agree with differences of the residuals.
func TestModelSlopes(t *testing.T) {
	for _, ref := range references(t) {
		for _, b := range [][]float64{ref.start[0], ref.start[1], ref.best} {
			f := newFit(ref.problem(), b, Options{}.withDefaults())
			f.residuals(f.x, f.r)
			f.differences(f.x, f.r)
			exact := make([][]float64, f.n)
			for k := range exact {
				exact[k] = make([]float64, f.rows)
			}
			f.Jacobian(b, exact)
			for k := range exact {
				axpy(-1, exact[k], f.full[k])
				// The differences' own rounding: residuals over the stride.
				rounding := 1e-15 * norm(ref.y) / f.stride(b[k], k)
				if d := norm(f.full[k]); !(d <= 1e-6*norm(exact[k])+rounding) {
					t.Errorf("%s: slope %d at %v is off by %.1e of %.1e", ref.name, k+1, b, d, norm(exact[k]))
				}
			}
		}
	}
}
