package fault_test

import (
	"fmt"
	"strings"
	"testing"

	"bandwright/golden"
)

// TestHiddenList lists the faults of the six-band equaliser that none of a bench's
// readings shows, at any size or at some: trials do not score them.
func TestHiddenList(t *testing.T) {
	table := tabled(t, studioPlan(t, 6))
	var text strings.Builder
	fmt.Fprintf(&text, "# Of %d causes and %d readings: what no reading shows by two deviations.\n", len(table.Hypotheses), len(table.Readings))
	for _, h := range table.Hidden() {
		if h.All {
			fmt.Fprintln(&text, h.Name)
		} else {
			fmt.Fprintf(&text, "%s from %.2g to %.2g\n", h.Name, h.Low, h.High)
		}
	}
	golden.Check(t, "hidden.txt", []byte(text.String()))
}

func TestMain(m *testing.M) { golden.Main(m) }
