package report

import "bandwright/bench"

// HarnessSection is the harness as a drawing, with its runs in words.
func HarnessSection(a *bench.RunsAnswer) Section {
	data := Table{Columns: []Column{{Head: "run"}, {Head: "from"}, {Head: "to"}, {Head: "state"}}}
	for _, k := range a.Runs {
		data.add("", k.Name, k.From, k.To, RunState(k))
	}
	return Section{ID: "harness", Heading: "Wiring: the harness", Blocks: []Block{{Figure: &Figure{
		Caption: "Every run from lug to lug; what was removed is struck through", Drawing: HarnessDrawing(a, textWidth), Data: data}}}}
}

// chartLeast is what a point must show to be worth a line of the chart, volts:
// common practice, no source. The list has the others.
const chartLeast = 0.5

// ChartSection is the voltage chart of a stage, with what was read.
func ChartSection(a *bench.FirstVoltsAnswer) Section {
	live := *a
	live.Rows = nil
	for _, r := range a.Rows {
		if s := r.Shown; s != nil && (s.Likely.Nominal >= chartLeast || s.Likely.Nominal <= -chartLeast) {
			live.Rows = append(live.Rows, r)
		}
	}
	a = &live
	data := Table{Columns: []Column{{Head: "red lead"}, {Head: "should show", Number: true}, {Head: "read", Number: true}, {Head: "verdict"}}}
	for _, r := range a.Rows {
		if r.Shown != nil {
			data.add("", r.Point, voltsOr(&r.Shown.Likely.Nominal, 4), voltsOr(r.Read, 4), VerdictWord(r.Verdict))
		}
	}
	return Section{ID: "chart-" + a.Stage, Heading: "Voltage chart, " + a.Stage, Blocks: []Block{{Figure: &Figure{
		Caption: "What each point should show, and what was read", Drawing: VoltageChart(a, textWidth), Data: data}}}}
}
