package main

import (
	"bytes"
	"math"
	"os"
	"strings"
	"sync"
	"testing"
)

// committed is the folder as it stands in the repository.
var committed = os.DirFS("../bass-head")

// The committed files are what the generator makes, and no curve lies there
// that it does not make.
func TestCommittedFiles(t *testing.T) {
	made, err := made()
	if err != nil {
		t.Fatal(err)
	}
	for name, want := range made {
		got, err := os.ReadFile("../bass-head/" + name)
		if err != nil {
			t.Error(err)
		} else if !bytes.Equal(got, want) {
			t.Errorf("%s is not as made: go run ./demo/make", name)
		}
	}
	there, err := os.ReadDir("../bass-head")
	if err != nil {
		t.Fatal(err)
	}
	for _, f := range there {
		if made[f.Name()] == nil {
			t.Errorf("%s is nobody's: remove it", f.Name())
		}
	}
}

// made are the demo's files, made once for all tests that only look.
var made = sync.OnceValues(func() (map[string][]byte, error) { return files(committed) })

// The same program makes the same bytes every time.
func TestSameEveryTime(t *testing.T) {
	first, err := made()
	if err != nil {
		t.Fatal(err)
	}
	second, err := files(committed)
	if err != nil {
		t.Fatal(err)
	}
	if len(first) != len(second) || len(first) != 2*len(settings())+2+len(byHand) {
		t.Fatalf("%d files, then %d", len(first), len(second))
	}
	for name := range first {
		if !bytes.Equal(first[name], second[name]) {
			t.Errorf("%s differs from one time to the next", name)
		}
	}
}

// What is written by hand stays as it is; a file without the marks is refused.
func TestRenew(t *testing.T) {
	old := "a\n# " + madeFrom + " #\nold\nolder\n# " + madeTo + "\nz\n"
	got, err := renew([]byte(old), "new")
	want := "a\n# " + madeFrom + " #\nnew\n# " + madeTo + "\nz\n"
	if err != nil || string(got) != want {
		t.Errorf("%q, %v", got, err)
	}
	for _, bad := range []string{"", madeFrom, madeTo, madeTo + madeFrom, madeFrom + madeTo + madeTo} {
		if _, err := renew([]byte(bad), "x"); err == nil {
			t.Errorf("%q was taken", bad)
		}
	}
}

// Every curve says that it is invented, and holds 48 points an octave.
func TestCurveFiles(t *testing.T) {
	made, err := made()
	if err != nil {
		t.Fatal(err)
	}
	for name, text := range made {
		if !strings.HasPrefix(name, "unit-") {
			continue
		}
		lines := strings.Split(strings.TrimSpace(string(text)), "\n")
		if !strings.Contains(lines[0], "INVENTED") {
			t.Errorf("%s does not say that it is invented: %s", name, lines[0])
		}
		rows := 0
		for _, l := range lines {
			if l[0] >= '0' && l[0] <= '9' {
				rows++
			}
		}
		if want := len(frequencies()); rows != want || rows < 470 {
			t.Errorf("%s has %d rows, want %d", name, rows, want)
		}
	}
	if b := made["unit-b-flat.txt"]; bytes.Contains(b, []byte(".")) || !bytes.Contains(b, []byte("\r\n0,020000;")) {
		t.Error("unit B is not in decimal commas")
	}
	if a := made["unit-a-flat.csv"]; !bytes.Contains(a, []byte("\n20.0000,")) {
		t.Error("unit A is not in decimal points")
	}
}

// The noise is what the README says: the rest, once the curve without noise is
// taken off, has its standard deviation and no mean. With 480 points a
// standard deviation is known to 3.2 % and a mean to 4.6 % of it; four of each.
func TestNoise(t *testing.T) {
	for i, e := range exports() {
		want := []float64{0.02, 0.04}[i]
		for _, m := range e.takes {
			n := e.unit.build(m.setting)
			_, bias := n.operate()
			sum, squares := 0.0, 0.0
			for k, hz := range m.hz {
				d := m.db[k] - decibels(n.respond(hz, bias).volts("return"))
				sum += d
				squares += d * d
			}
			count := float64(len(m.hz))
			mean, deviation := sum/count, math.Sqrt(squares/count)
			if math.Abs(mean) > 0.19*want || math.Abs(deviation/want-1) > 0.13 {
				t.Errorf("unit %s %s: mean %.4f, deviation %.4f dB", m.unit, m.setting.name, mean, deviation)
			}
		}
	}
}

// Unit A is as drawn; unit B shows its three deviations and no other.
func TestUnits(t *testing.T) {
	drawn, a, b := asDrawn(), unitA(), unitB()
	for i, l := range drawn.legs {
		want, up, other := drawn.feature(l, 1), a.feature(a.legs[i], 1), b.feature(b.legs[i], 1)
		if math.Abs(want.hz/l.hz-1) > 0.01 || want.db < 9.8 || want.db > 11 {
			t.Errorf("as drawn, %s peaks at %.1f Hz with %.2f dB", l.band, want.hz, want.db)
		}
		if q := want.hz / (want.hi - want.low); q < 0.85 || q > 1.15 {
			t.Errorf("as drawn, %s has a Q of %.2f", l.band, q)
		}
		if math.Abs(up.hz/want.hz-1) > 0.01 || math.Abs(up.db-want.db) > 0.1 {
			t.Errorf("unit A, %s: %.1f Hz, %.2f dB", l.band, up.hz, up.db)
		}
		centre, boost := (other.hz/want.hz-1)*100, other.db-want.db
		expected := map[string][4]float64{ // centre %, boost dB: low and high of each
			"400": {4.5, 6.5, -0.2, 0.2}, "1000": {-1, 1, -1.3, -0.8}, "2500": {-1, 1, -20.2, -19.6},
		}
		e, ok := expected[l.band]
		if !ok {
			e = [4]float64{-1, 1, -0.15, 0.15}
		}
		if centre < e[0] || centre > e[1] || boost < e[2] || boost > e[3] {
			t.Errorf("unit B, %s: centre %+.2f %%, boost %+.2f dB", l.band, centre, boost)
		}
	}
}

func TestFigures(t *testing.T) {
	for want, x := range map[string]float64{"62.59": 62.588, "6249": 6249.4, "10140": 10143, "0.01230": 0.0123} {
		if got := figures(x, 4); got != want {
			t.Errorf("%g is written %s, want %s", x, got, want)
		}
	}
	if percent(0.9999, 1) != "0 %" || percent(1.0006, 1) != "+0.1 %" {
		t.Error("percent signs nought")
	}
}
