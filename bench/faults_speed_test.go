package bench_test

import (
	"context"
	"os"
	"runtime"
	"testing"

	"bandwright/bench"
	"bandwright/job"
)

func demoCase(tb testing.TB, name string) *bench.Case {
	tb.Helper()
	text, err := os.ReadFile("../demo/bass-head/" + name)
	if err != nil {
		tb.Fatal(err)
	}
	c, found := bench.Open(context.Background(), name, text, os.DirFS("../demo/bass-head"))
	if c == nil {
		tb.Fatal(found)
	}
	return c
}

func symptoms(tb testing.TB, texts ...string) []job.Reading {
	tb.Helper()
	var list []job.Reading
	for _, text := range texts {
		r, err := job.ParseReading(text)
		if err != nil {
			tb.Fatal(err)
		}
		list = append(list, r)
	}
	return list
}

// BenchmarkFaultTable is what a person waits for once: the demo's job, bare and
// wired, its table of
// what every cause would make every reading show, ranked, with the next readings.
func BenchmarkFaultTable(b *testing.B) {
	q := bench.FaultsQuestion{Workers: runtime.GOMAXPROCS(0), Readings: symptoms(b, "volts out 23.9 V"), Suggest: 3}
	for _, name := range []string{"job.toml", "wired.toml"} {
		b.Run(name, func(b *testing.B) {
			for b.Loop() {
				if _, _, err := demoCase(b, name).Faults(context.Background(), q, nil); err != nil {
					b.Fatal(err)
				}
			}
		})
	}
}

// BenchmarkFaultRank is the same anew with another reading, the table being there.
func BenchmarkFaultRank(b *testing.B) {
	c := demoCase(b, "job.toml")
	q := bench.FaultsQuestion{Workers: runtime.GOMAXPROCS(0), Readings: symptoms(b, "volts out 23.9 V", "volts q1.collector 23.3 V", "ohms q1.base q1.emitter 40k")}
	if _, _, err := c.Faults(context.Background(), q, nil); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := c.Faults(context.Background(), q, nil); err != nil {
			b.Fatal(err)
		}
	}
}

// BenchmarkFaultNext is the choice of the next readings alone, beside the ranking.
func BenchmarkFaultNext(b *testing.B) {
	c := demoCase(b, "job.toml")
	q := bench.FaultsQuestion{Workers: runtime.GOMAXPROCS(0), Readings: symptoms(b, "volts out 23.9 V"), Suggest: 3}
	if _, _, err := c.Faults(context.Background(), q, nil); err != nil {
		b.Fatal(err)
	}
	for b.Loop() {
		if _, _, err := c.Faults(context.Background(), q, nil); err != nil {
			b.Fatal(err)
		}
	}
}
