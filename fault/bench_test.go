package fault_test

import (
	"context"
	"testing"

	"bandwright/fault"
)

// BenchmarkTable is the table of the six-band equaliser; BenchmarkRank and
// BenchmarkNext are what a person waits for after each reading.
func BenchmarkTable(b *testing.B) {
	plan := studioPlan(b, 6)
	for b.Loop() {
		table := tabled(b, plan)
		b.ReportMetric(float64(len(table.Hypotheses)), "hypotheses")
	}
}

func BenchmarkRank(b *testing.B) {
	table := tabled(b, studioPlan(b, 6))
	taken := symptom(b, table, 6)
	for b.Loop() {
		explained(b, ranked(b, table, taken...))
	}
}

func BenchmarkNext(b *testing.B) {
	table := tabled(b, studioPlan(b, 6))
	r := ranked(b, table, symptom(b, table, 1)...)
	for b.Loop() {
		if _, err := r.Next(context.Background(), 5); err != nil {
			b.Fatal(err)
		}
	}
}

// symptom is what the healthy circuit shows in the last readings of a table.
func symptom(tb testing.TB, table *fault.Table, count int) []fault.Taken {
	tb.Helper()
	var taken []fault.Taken
	for i := range count {
		r := table.Readings[len(table.Readings)-1-7*i]
		taken = append(taken, fault.Taken{Reading: r.Reading, Values: table.Expected(0, len(table.Readings)-1-7*i)})
	}
	return taken
}
