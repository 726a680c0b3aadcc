package bench

import (
	"context"
	"testing"
)

// BenchmarkRingOut is what a person waits for once: the full list of the demo's
// finished harness, chosen and proven, on two processors.
func BenchmarkRingOut(b *testing.B) {
	text := wiredText(b)
	for b.Loop() {
		a, found, err := wiredCase(b, text).Ohms(context.Background(), OhmsQuestion{Stage: StageComplete, List: ListFull, Workers: 2}, nil)
		if err != nil {
			b.Fatal(found, err)
		}
		b.ReportMetric(float64(a.Lines), "lines")
		b.ReportMetric(float64(len(a.Faults)), "faults")
	}
}
