package fault_test

import (
	"fmt"
	"strings"
	"testing"

	"bandwright/fault"
	"bandwright/golden"
)

// TestHiddenList lists the faults of the six-band equaliser that none of a bench's
// readings shows, at any size or at some: trials do not score them.
func TestHiddenList(t *testing.T) {
	golden.Check(t, "hidden.txt", hiddenText(tabled(t, studioPlan(t, 6))))
}

// TestHiddenInCurves lists what no curve shows of the equaliser of two bands in its
// harness: trials by curves do not score it.
func TestHiddenInCurves(t *testing.T) {
	golden.Check(t, "hidden-curves.txt", hiddenText(tabled(t, curvesAlone(curvePlan(t, curveBands)))))
}

func hiddenText(table *fault.Table) []byte {
	var text strings.Builder
	fmt.Fprintf(&text, "# Of %d causes and %d readings: what no reading shows by two deviations.\n", len(table.Hypotheses), len(table.Readings))
	for _, h := range table.Hidden() {
		if h.All {
			fmt.Fprintln(&text, h.Name)
		} else {
			fmt.Fprintf(&text, "%s from %.2g to %.2g\n", h.Name, h.Low, h.High)
		}
	}
	return []byte(text.String())
}

func TestMain(m *testing.M) { golden.Main(m) }
