package golden

import (
	"fmt"
	"os"
	"path/filepath"
	"slices"
	"strings"
	"testing"
)

// recorder stands in for the test that calls Check, to see it fail.
type recorder struct {
	testing.TB
	failures []string
}

func (r *recorder) Helper() {}
func (r *recorder) Errorf(f string, args ...any) {
	r.failures = append(r.failures, fmt.Sprintf(f, args...))
}
func (r *recorder) Fatalf(f string, args ...any) { r.Errorf(f, args...) }

// elsewhere moves the test into an empty folder with its own register.
func elsewhere(t *testing.T) {
	t.Helper()
	t.Chdir(t.TempDir())
	before := touched.names
	touched.names = map[string]bool{}
	t.Cleanup(func() { touched.names = before })
}

func setUpdate(t *testing.T, on bool) {
	t.Helper()
	before := *update
	*update = on
	t.Cleanup(func() { *update = before })
}

func TestCheckWritesThenCompares(t *testing.T) {
	elsewhere(t)
	setUpdate(t, false)
	missing := &recorder{TB: t}
	Check(missing, "sheet/first.txt", []byte("one\ntwo\n"))
	if len(missing.failures) != 1 || !strings.Contains(missing.failures[0], "missing") {
		t.Fatalf("a missing file gave %q", missing.failures)
	}

	setUpdate(t, true)
	Check(t, "sheet/first.txt", []byte("one\ntwo\n"))
	setUpdate(t, false)
	Check(t, "sheet/first.txt", []byte("one\ntwo\n"))
	got := filepath.Join(filepath.FromSlash(Dir), "sheet", "first.txt.got")
	if _, err := os.Stat(got); !os.IsNotExist(err) {
		t.Errorf("a match leaves %s: %v", got, err)
	}

	differs := &recorder{TB: t}
	Check(differs, "sheet/first.txt", []byte("one\n2\n"))
	if len(differs.failures) != 1 {
		t.Fatalf("a difference gave %q", differs.failures)
	}
	for _, part := range []string{"    2 - two", "    2 + 2"} {
		if !strings.Contains(differs.failures[0], part) {
			t.Errorf("no %q in the diff:\n%s", part, differs.failures[0])
		}
	}
	left, err := os.ReadFile(got)
	if err != nil || string(left) != "one\n2\n" {
		t.Errorf(".got holds %q, %v", left, err)
	}
}

func TestNumbersWithinTolerance(t *testing.T) {
	for _, c := range []struct {
		name, want, got string
		tol             Tolerance
		agrees          bool
	}{
		{"equal", "a,1.5\n", "a,1.5\n", Tolerance{}, true},
		{"other spelling", `{"db":12.0}`, `{"db":12}`, Tolerance{}, true},
		{"inside", "63,11.9990001", "63,11.9990002", Tolerance{Rel: 1e-7}, true},
		{"outside", "63,11.9990001", "63,11.9990102", Tolerance{Rel: 1e-7}, false},
		{"zero but for rounding", "0", "-3e-17", Tolerance{Rel: 1e-9, Abs: 1e-15}, true},
		{"zero needs Abs", "0", "-3e-17", Tolerance{Rel: 1e-9}, false},
		{"text differs", "63 Hz", "63 kHz", Tolerance{Rel: 1}, false},
		{"a number more", "1,2", "1,2,3", Tolerance{Rel: 1}, false},
		{"too large to hold", "1e999", "2e999", Tolerance{Rel: 10}, false},
	} {
		t.Run(c.name, func(t *testing.T) {
			trouble := compareNumbers([]byte(c.want), []byte(c.got), c.tol)
			if (trouble == "") != c.agrees {
				t.Errorf("%q against %q: %q", c.got, c.want, trouble)
			}
		})
	}
}

func TestUpdateLeavesAgreeingNumbers(t *testing.T) {
	elsewhere(t)
	setUpdate(t, true)
	CheckNumbers(t, "n.csv", []byte("1.0000000000\n"), Tolerance{Rel: 1e-9})
	CheckNumbers(t, "n.csv", []byte("1.0000000001\n"), Tolerance{Rel: 1e-9})
	kept, err := os.ReadFile(filePath("n.csv"))
	if err != nil || string(kept) != "1.0000000000\n" {
		t.Errorf("the file became %q, %v", kept, err)
	}
}

func TestOrphans(t *testing.T) {
	elsewhere(t)
	if orphans, err := findOrphans(filepath.FromSlash(Dir)); err != nil || orphans != nil {
		t.Errorf("without a folder: %v, %v", orphans, err)
	}
	setUpdate(t, true)
	Check(t, "used.txt", []byte("x"))
	write(t, filePath("deep/forgotten.txt"), []byte("x"))
	write(t, filePath("used.txt")+".got", []byte("x"))
	orphans, err := findOrphans(filepath.FromSlash(Dir))
	if want := []string{"deep/forgotten.txt"}; err != nil || !slices.Equal(orphans, want) {
		t.Fatalf("orphans %v, %v, want %v", orphans, err, want)
	}
	setUpdate(t, false)
	if code := settleOrphans(); code != 1 {
		t.Errorf("an orphan gives exit code %d", code)
	}
	setUpdate(t, true)
	if code := settleOrphans(); code != 0 {
		t.Errorf("-update gives exit code %d", code)
	}
	if orphans, _ := findOrphans(filepath.FromSlash(Dir)); len(orphans) != 0 {
		t.Errorf("-update leaves %v", orphans)
	}
}

func TestDiffFindsTheChangeAnywhere(t *testing.T) {
	for size := 1; size <= 40; size++ {
		lines := make([]string, size)
		for i := range lines {
			lines[i] = fmt.Sprintf("line %d\n", i)
		}
		want := strings.Join(lines, "")
		for at := range lines {
			changed := slices.Clone(lines)
			changed[at] = "other\n"
			text := diff([]byte(want), []byte(strings.Join(changed, "")))
			if expect := fmt.Sprintf("%5d - line %d\n%5d + other", at+1, at, at+1); text != expect {
				t.Fatalf("size %d, line %d changed: %q, want %q", size, at, text, expect)
			}
		}
	}
	if text := diff([]byte("a\x00b"), []byte("a\x00c!")); text != "3 bytes became 4; first difference at byte 2" {
		t.Errorf("binary: %q", text)
	}
	if text := diff([]byte("a"), []byte("a\r\n")); !strings.Contains(text, "⟨no line end⟩") || !strings.Contains(text, "⟨CR⟩") {
		t.Errorf("line ends: %q", text)
	}
}

func TestNamesStayInside(t *testing.T) {
	for _, name := range []string{"", "../x", "/x", "a/../../x", "x.got"} {
		func() {
			defer func() {
				if recover() == nil {
					t.Errorf("%q was taken", name)
				}
			}()
			filePath(name)
		}()
	}
}
