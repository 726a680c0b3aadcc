package fault_test

import (
	"context"
	"math"
	"slices"
	"strings"
	"testing"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/fault"
	"bandwright/reading"
)

// twinPlan is the studio's equaliser of two bands with the faults of one band and
// of its neighbour, all of one size, and few readings: what a slow twin can ask
// reading by reading.
func twinPlan(t testing.TB) (fault.Plan, *circuit.Circuit) {
	plan := studioPlan(t, 2)
	var few []fault.Hypothesis
	for _, h := range plan.Hypotheses {
		if len(h.Cases) == 1 && h.Kind != fault.Pair {
			few = append(few, h)
		}
	}
	few = append(few, plan.Hypotheses[len(plan.Hypotheses)-3:]...)
	plan.Hypotheses = few
	hz := []float64{40, 63, 100, 160, 400, 3000}
	gain := reading.Reading{Kind: reading.Gain, Red: "return", Source: "source", Hz: hz, Setting: curve.Setting{}.WithSlider("63", 1), Interface: reading.LineInput()}
	less := gain
	less.Setting = curve.Setting{}.WithSlider("160", -1)
	less.Less = &curve.Setting{}
	plan.Readings = allowed(ohms("63.wiper", "boost"), ohms("63.wiper", "63.a"), ohms("63.b", "63.a"), ohms("cut", "0"), ohms("out", "q1.emitter"),
		volts("q1.base"), volts("out"), volts("dc.mid"), gain, less)
	whole, err := plan.Circuit.WithOhms(0.01)
	if err != nil {
		t.Fatal(err)
	}
	return plan, whole
}

// twin asks the edited circuit itself, reading by reading.
func twin(t *testing.T, plan fault.Plan, whole *circuit.Circuit, h fault.Hypothesis) *reading.Prediction {
	t.Helper()
	edited, err := whole.Edited(h.Cases[0].Edits...)
	if err != nil {
		t.Fatal(err)
	}
	var list []reading.Reading
	for _, r := range plan.Readings {
		list = append(list, r.Reading)
	}
	var parts []reading.Uncertainty
	for _, u := range plan.Parts {
		if v, err := edited.Value(u.Knob); err == nil && v > 0 {
			parts = append(parts, u)
		}
	}
	p, err := reading.Predict(context.Background(), edited, list, parts, plan.Cond)
	if err != nil {
		t.Fatalf("%s: %v", h.Name, err)
	}
	return p
}

// looseness is how loosely a fault's effect is known: 1 % of it, of ohms no more
// than that of what is left.
func looseness(kind reading.Kind, value, built float64) float64 {
	if kind == reading.Ohms {
		return 0.01 * min(math.Abs(value-built), value)
	}
	return 0.01 * (value - built)
}

// bent is what the straight line of a row's parts leaves out (docs/theory.md, 15),
// from its own derivatives and the circuit's values.
func bent(t *testing.T, whole *circuit.Circuit, p *reading.Prediction, row int) float64 {
	t.Helper()
	sum := 0.0
	for k, u := range p.Parts {
		v, err := whole.Value(u.Knob)
		if err != nil {
			t.Fatal(err)
		}
		sum += math.Pow(p.Rows[row].By[k]*u.SD*u.SD/v, 2)
	}
	return math.Sqrt(2 * sum)
}

// raised is what noise of −80 ± 4 dB raises each number by of each reading that is a
// curve, its mean; of a curve less another, by both.
func raised(t *testing.T, plan fault.Plan, whole *circuit.Circuit, h fault.Hypothesis) map[int][]float64 {
	t.Helper()
	all := map[int][]float64{}
	for i, a := range plan.Readings {
		if a.Kind != reading.Gain {
			continue
		}
		alone := []fault.Allowed{a}
		if a.Less != nil {
			alone = append(alone, a)
			alone[1].Setting = *a.Less
			alone[0].Less, alone[1].Less = nil, nil
		}
		plain := plan
		plain.Readings = alone
		all[i] = make([]float64, len(a.Hz))
		for k, row := range twin(t, plain, whole, h).Rows {
			level := row.Worst.Nominal
			sum, weight := 0.0, 0.0
			for z := -6.0; z <= 6; z += 0.05 { // the noise's own spread, summed
				w := math.Exp(-z * z / 2)
				sum += w * 10 * math.Log10(1+math.Pow(10, (-80+4*z-level)/10))
				weight += w
			}
			if k < len(a.Hz) {
				all[i][k] += sum / weight
			} else {
				all[i][k-len(a.Hz)] -= sum / weight
			}
		}
	}
	return all
}

// TestTableIsPrediction: every number of the table, and its scatter, is that of
// the edited circuit asked by itself. What is beyond −60 dB or 1e9 ohm, where the
// table has a floor of its own, is left out, and so are scatters that the faults'
// own looseness covers.
func TestTableIsPrediction(t *testing.T) {
	plan, whole := twinPlan(t)
	table := tabled(t, plan)
	if len(table.Findings) > 0 {
		t.Error(table.Findings)
	}
	built := table.Predicted(0)
	seen := 0
	for n, h := range table.Hypotheses {
		p := twin(t, plan, whole, h)
		noise, first := raised(t, plan, whole, h), map[int]int{}
		for i, got := range table.Predicted(n) {
			row := p.Rows[i]
			none := row.Lack != reading.Nothing
			if _, seen := first[row.Reading]; !seen {
				first[row.Reading] = i
			}
			if plan.Readings[row.Reading].Kind == reading.Gain {
				if none || row.Worst.Nominal < -60 || got.SD > 1.5 {
					continue
				}
			} else if got.Lacks != none {
				t.Errorf("%s, row %d: no number %t, want %t", h.Name, i, got.Lacks, none)
				continue
			}
			if none {
				continue
			}
			seen++
			want := row.Worst.Nominal
			sd := math.Hypot(math.Hypot(row.PartSD, row.MeterSD), bent(t, whole, p, i))
			if h.Cases[0].Width == 0 {
				sd = math.Hypot(sd, looseness(plan.Readings[row.Reading].Kind, got.Value, built[i].Value))
			}
			// Near the floor its own scatter covers what is not told apart; and where
			// an edit moves the operating point a curve's scatter holds it still.
			near, check := 0.05*sd, true
			if plan.Readings[row.Reading].Kind == reading.Gain {
				want += noise[row.Reading][i-first[row.Reading]]
				near, check = 0.3*got.SD, strings.Contains(h.Name, ".capacitor") || strings.Contains(h.Name, ".coil") || strings.Contains(h.Name, ".resistor")
			}
			if math.Abs(got.Value-want) > near+1e-6*math.Abs(want) {
				t.Errorf("%s, row %d: %.9g ± %.3g, want %.9g ± %.3g", h.Name, i, got.Value, got.SD, want, sd)
			}
			if check && math.Abs(got.SD-sd) > 0.05*sd+1e-3*math.Abs(want) {
				t.Errorf("%s, row %d: deviation %.4g, want %.4g (%g)", h.Name, i, got.SD, sd, want)
			}
		}
	}
	if seen < 500 {
		t.Errorf("only %d numbers", seen)
	}
}

// TestRankIsBayes: probabilities of hypotheses of one size are those of the
// table's law, from the covariance of the edited circuits, worked out here.
func TestRankIsBayes(t *testing.T) {
	plan, whole := twinPlan(t)
	table := tabled(t, plan)
	truth := slices.IndexFunc(table.Hypotheses, func(h fault.Hypothesis) bool { return h.Name == "swap 63.coil 160.coil" })
	var taken []fault.Taken
	var rows []int
	at := 0
	for i, r := range plan.Readings {
		values := table.Expected(truth, i)
		for k := range values {
			values[k] += 0.002 * float64(k%3-1) * values[k]
			if i < 8 || i == 8 {
				rows = append(rows, at)
			}
			at++
		}
		if i <= 8 {
			taken = append(taken, fault.Taken{Reading: r.Reading, Values: values})
		}
	}
	r := ranked(t, table, taken...)
	logs := worked(t, plan, whole, table, rows, flatten(taken))
	if r.Ranked[0].Name != "swap 63.coil 160.coil" {
		t.Errorf("%+v first", r.Ranked[0])
	}
	held := 0
	for _, k := range r.Ranked[1:] {
		// Where an operating point has moved the table holds curves more loosely.
		leg := strings.Contains(k.Name, ".coil") || strings.Contains(k.Name, ".capacitor") || strings.Contains(k.Name, ".resistor")
		if _, ok := logs[k.Name]; !ok || k.Probability == 0 || !leg {
			continue
		}
		held++
		got := math.Log(k.Probability / r.Ranked[0].Probability)
		want := logs[k.Name] - logs[r.Ranked[0].Name]
		if want < -60 && got < -60 { // so far behind it is not worked out
			continue
		}
		if math.Abs(got-want) > 0.06*math.Abs(want)+0.1 {
			t.Errorf("%s against the first: %.3f, want %.3f", k.Name, got, want)
		}
	}
	if held < 3 {
		t.Errorf("only %d held against the law", held)
	}
}

// worked gives the logarithms, by the law of docs/theory.md, of the hypotheses
// that have a number everywhere.
func worked(t *testing.T, plan fault.Plan, whole *circuit.Circuit, table *fault.Table, rows []int, values []float64) map[string]float64 {
	t.Helper()
	built := table.Predicted(0)
	logs := map[string]float64{}
	for n, h := range table.Hypotheses {
		p := twin(t, plan, whole, h)
		if len(p.Numbered()) != len(p.Rows) {
			continue
		}
		var v [][]float64
		var residual []float64
		for i, a := range rows {
			line := make([]float64, len(rows))
			for j, b := range rows {
				line[j] = p.Covariance()[a][b]
			}
			off := func(row int) float64 {
				return looseness(plan.Readings[p.Rows[row].Reading].Kind, p.Rows[row].Worst.Nominal, built[row].Value)
			}
			if plan.Readings[p.Rows[a].Reading].Kind == reading.Gain {
				for j, b := range rows {
					if plan.Readings[p.Rows[b].Reading].Kind == reading.Gain {
						line[j] += off(a) * off(b)
					}
				}
				line[i] += 0.01 * off(a) * off(a)
			} else {
				line[i] += off(a)*off(a) + math.Pow(1e-4*p.Rows[a].Worst.Nominal, 2)
			}
			line[i] += math.Pow(bent(t, whole, p, a), 2)
			v = append(v, line)
			residual = append(residual, values[i]-p.Rows[a].Worst.Nominal)
		}
		w, _ := reading.NewWhitener(v)
		sum := -w.LogDet() / 2
		for i, x := range w.Whiten(residual) { // Student's law of 30 degrees on curves, of 6 else
			if plan.Readings[p.Rows[rows[i]].Reading].Kind == reading.Gain {
				sum -= 15.5 * math.Log1p(x*x/30)
			} else {
				sum -= 3.5 * math.Log1p(x*x/6)
			}
		}
		logs[h.Name] = sum + math.Log(table.Prior(n))
	}
	return logs
}

func flatten(taken []fault.Taken) []float64 {
	var list []float64
	for _, k := range taken {
		list = append(list, k.Values...)
	}
	return list
}

// TestClassesAreBruteForce: classes are what asking each edited circuit each
// reading, two at a time, gives.
func TestClassesAreBruteForce(t *testing.T) {
	plan, whole := twinPlan(t)
	plan.Readings = plan.Readings[:8]
	table := tabled(t, plan)
	r := ranked(t, table, reads(plan.Readings[0].Reading, table.Expected(0, 0)...))
	predictions := map[string]*reading.Prediction{}
	for _, h := range table.Hypotheses {
		predictions[h.Name] = twin(t, plan, whole, h)
	}
	built := table.Predicted(0)
	apart := func(a, b string) bool {
		for i, x := range predictions[a].Rows {
			y := predictions[b].Rows[i]
			if i == 0 { // taken
				continue
			}
			if x.Lack != y.Lack {
				return true
			}
			sd := func(p reading.Row) float64 {
				return math.Hypot(math.Hypot(p.PartSD, p.MeterSD), math.Hypot(looseness(plan.Readings[p.Reading].Kind, p.Worst.Nominal, built[i].Value), 1e-4*p.Worst.Nominal))
			}
			if x.Lack == reading.Nothing && math.Abs(x.Worst.Nominal-y.Worst.Nominal) > 2*max(sd(x), sd(y)) {
				return true
			}
		}
		return false
	}
	var want [][]string
	for _, k := range r.Ranked {
		if k.Probability < 1e-3 {
			break
		}
		i := slices.IndexFunc(want, func(class []string) bool {
			return class[0] != "none of these" && k.Kind != fault.None && !apart(class[0], k.Name)
		})
		if i < 0 {
			want = append(want, []string{k.Name})
		} else {
			want[i] = append(want[i], k.Name)
		}
		if k.Kind == fault.None {
			continue
		}
	}
	members := 0
	for _, class := range r.Classes {
		members += len(class.Members)
	}
	for _, class := range r.Classes {
		if !slices.ContainsFunc(want, func(w []string) bool { return slices.Equal(w[:min(len(w), len(class.Members))], class.Members) }) {
			t.Errorf("class %v is not among %v", class.Members, want)
		}
	}
	if len(r.Classes) < 5 || members < 20 {
		t.Errorf("%d classes of %d members", len(r.Classes), members)
	}
}

// TestManyCurvesAsBuilt: many curves exactly as built, their level unknown, leave
// "as built" first: what is rounded off a covariance must not favour a fault.
func TestManyCurvesAsBuilt(t *testing.T) {
	plan := studioPlan(t, 2)
	plan.Readings = slices.DeleteFunc(plan.Readings, func(a fault.Allowed) bool { return a.Kind != reading.Gain })
	for i := range plan.Readings {
		plan.Readings[i].Interface = reading.Interface{Name: "curve file", LevelDB: 40, PointDB: 0.05}
	}
	table := tabled(t, plan)
	var taken []fault.Taken
	for i, r := range table.Readings {
		taken = append(taken, fault.Taken{Reading: r.Reading, Values: table.Expected(0, i)})
		if r := ranked(t, table, taken...); r.Ranked[0].Kind != fault.AsBuilt {
			t.Errorf("%d curves: %s (%.3f) first", len(taken), r.Ranked[0].Name, r.Ranked[0].Probability)
		}
	}
}
