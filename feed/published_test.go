package feed

import (
	"context"
	"math"
	"testing"

	"bandwright/circuit"
	"bandwright/quantity"
)

// TestMainsOfTheStandard: 230 V ± 10 % is 207 to 253 V, and the 1995 limits
// +10/−6 % are 216.2 to 253 V (IEC 60038, as quoted by a second text); a rail of
// 400 V goes with it, 360 to 440 V (worked out from the definition).
func TestMainsOfTheStandard(t *testing.T) {
	for _, k := range []struct {
		s         Supply
		low, high float64
	}{
		{Supply{Volts: 230}, 207, 253},
		{Supply{Volts: 230, Low: 0.06, High: 0.1}, 216.2, 253},
		{Supply{Volts: 240, Low: 0.06, High: 0.06}, 225.6, 254.4},
		{Supply{Volts: 400}, 360, 440},
	} {
		rail := map[CaseName]float64{}
		for _, c := range k.s.Cases() {
			rail[c.Name] = c.Rail
		}
		if math.Abs(rail[MainsLow]-k.low) > 1e-9 || math.Abs(rail[MainsHigh]-k.high) > 1e-9 {
			t.Errorf("%+v: %v to %v, want %v to %v", k.s, rail[MainsLow], rail[MainsHigh], k.low, k.high)
		}
		if most := rail[ColdStart]; most != k.s.Highest() || math.Abs(most-1.3*k.high) > 1e-9 {
			t.Errorf("%+v: cold at %v", k.s, most)
		}
	}
}

// TestChargeOfAPublishedText: 15 V through 10 kΩ into 100 µF, constant 1 s
// (LIEC I ch. 16, from the work). The printed volts are held against
// V(t) = V∞·(1 − e^(−t/RC)) with the path and the end that the circuit gives;
// falling is the mirror image of it.
func TestChargeOfAPublishedText(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "ht", Minus: "0", DC: 15},
		circuit.Resistor{Name: "r", A: "ht", B: "c", Ohms: 10e3},
		circuit.Capacitor{Name: "c", A: "c", B: "0", Farads: 100e-6})
	list, err := WarmUp(context.Background(), c, Supply{Rail: "rail", Volts: 15}, circuit.Conditions{})
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	r := list[0]
	if math.Abs(r.Constant-1) > 1e-5 || math.Abs(r.Volts-15) > 1e-6 || math.Abs(r.Ninety-math.Log(10)*r.Constant) > 1e-6 {
		t.Errorf("%+v", r)
	}
	for _, k := range []struct{ seconds, volts float64 }{
		{0.5, 5.902}, {1, 9.482}, {2, 12.970}, {3, 14.253}, {4, 14.725}, {5, 14.899}, {6, 14.963}, {10, 14.999},
	} {
		v := r.Volts * (1 - math.Exp(-k.seconds/r.Constant))
		if math.Abs(v-k.volts) > 0.6e-3 {
			t.Errorf("at %v s: %v V, printed %v", k.seconds, v, k.volts)
		}
		// The same time, asked of the discharge: from 15 V to what is left.
		if s := Seconds(10e3, 100e-6, 15, 15-k.volts); math.Abs(s-k.seconds) > 0.6e-3/(15-k.volts) {
			t.Errorf("%v V left: %v s, printed %v", 15-k.volts, s, k.seconds)
		}
	}
}

// TestTheveninOfAPublishedText: 20 V into 2 kΩ, 500 Ω and 3 kΩ in series with
// 100 µF across the 500 Ω: 1.8182 V, 454.545 Ω, constant 45.4545 ms, 1.3325 V at
// 60 ms (LIEC I ch. 16, from the work).
func TestTheveninOfAPublishedText(t *testing.T) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "a", Minus: "0", DC: 20},
		circuit.Resistor{Name: "r1", A: "a", B: "b", Ohms: 2e3},
		circuit.Resistor{Name: "r2", A: "b", B: "d", Ohms: 500},
		circuit.Resistor{Name: "r3", A: "d", B: "0", Ohms: 3e3},
		circuit.Capacitor{Name: "c", A: "b", B: "d", Farads: 100e-6})
	list, err := WarmUp(context.Background(), c, Supply{Rail: "rail", Volts: 20}, circuit.Conditions{})
	if err != nil || len(list) != 1 {
		t.Fatal(list, err)
	}
	r := list[0]
	if v := r.Volts * (1 - math.Exp(-0.06/r.Constant)); math.Abs(r.Volts-1.8182) > 1e-4 ||
		math.Abs(r.Ohms-454.545) > 1e-2 || math.Abs(r.Constant-45.4545e-3) > 1e-6 || math.Abs(v-1.3325) > 1e-4 {
		t.Errorf("%+v, %v V at 60 ms", r, v)
	}
}

// railed is a board behind a dropper in two halves, a zener and a filter.
func railed(t *testing.T) (*circuit.Circuit, Supply, []Rating) {
	c := wired(t,
		circuit.VoltageSource{Name: "rail", Plus: "ht", Minus: "0", DC: 412},
		circuit.Capacitor{Name: "reservoir", A: "ht", B: "0", Farads: 47e-6},
		circuit.Resistor{Name: "dropper.1", A: "ht", B: "half", Ohms: 18e3},
		circuit.Resistor{Name: "dropper.2", A: "half", B: "z", Ohms: 18e3},
		circuit.Zener{Name: "zener", Anode: "0", Cathode: "z", Volts: 24, TestAmperes: 0.005, SlopeOhms: 20, Is: 1e-14},
		circuit.Capacitor{Name: "filter", A: "z", B: "0", Farads: 220e-6},
		circuit.Resistor{Name: "board", A: "z", B: "0", Ohms: 5600})
	return c, Supply{Rail: "rail", Volts: 412, Dropper: []string{"dropper.1", "dropper.2"}, Zener: "zener", Board: []string{"board"}},
		[]Rating{{Part: "filter", Volts: 35}, {Part: "board", Watts: 0.25}, {Part: "zener", Watts: 1.3}, {Part: "dropper.1", Watts: 5, Volts: 350}}
}

// TestZenerOpens: unplugged, no current runs, and the whole rail stands on the
// filter; plugged, the divider's share does. The filter is named first although
// the board's resistor may be further over.
func TestZenerOpens(t *testing.T) {
	c, s, ratings := railed(t)
	f, err := WhenZenerOpens(context.Background(), c, s, ratings, Limits{}, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	if math.Abs(f.Volts-s.Highest()) > 1e-3*s.Highest() {
		t.Errorf("%v V where the zener stood, want the whole %v", f.Volts, s.Highest())
	}
	if len(f.Fails) != 2 || f.Fails[0].Part != "filter" || f.Fails[0].Case != ZenerOpenUnplugged || f.Fails[1].Part != "board" {
		t.Fatalf("%+v", f.Fails)
	}
	plugged := s.Highest() * 5600 / (36e3 + 5600)
	if want := plugged * plugged / 5600; math.Abs(f.Fails[1].Carries-want) > 1e-6*want || math.Abs(f.Fails[1].Needs-want/0.6) > 1e-6*want {
		t.Errorf("the board's resistor: %+v, want %v W", f.Fails[1], want)
	}
	if !f.SecondOK || len(f.Second) != 0 {
		t.Errorf("a second zener does not cure it: %+v", f.Second)
	}
	// A second zener that is too small is no cure.
	ratings[2].Watts = 0.1
	if f, err = WhenZenerOpens(context.Background(), c, s, ratings, Limits{}, circuit.Conditions{}); err != nil || f.SecondOK {
		t.Errorf("%+v, %v", f, err)
	}
	ratings = ratings[1:]
	if f, err = WhenZenerOpens(context.Background(), c, s, ratings, Limits{}, circuit.Conditions{}); err != nil || len(f.Unrated) != 2 {
		t.Errorf("nobody rated filter and reservoir: %+v, %v", f, err)
	}
}

// TestBleedsMakeItSo: with the bleeds in place the circuit is asked again, and
// every capacitor is down in time; the next value up would be too late.
func TestBleedsMakeItSo(t *testing.T) {
	c, s, _ := railed(t)
	s.Dropper, s.Board = nil, nil // both stay in their places
	held, err := Discharge(context.Background(), c, s, 50, circuit.Conditions{})
	if err != nil || len(held) != 1 || held[0].Capacitor != "reservoir" || held[0].Where != "" {
		t.Fatal(held, err)
	}
	want := 41.6e3 * 47e-6 * math.Log(s.Highest()/50) // through the dropper, the board
	if math.Abs(held[0].Seconds-want) > 1e-6*want {
		t.Errorf("%v s, want %v", held[0].Seconds, want)
	}
	for _, seconds := range []float64{0.5, 2, 4.8} {
		list, err := Bleeds(context.Background(), c, s, held, seconds, quantity.E12, circuit.Conditions{})
		if err != nil || len(list) != 1 {
			t.Fatal(list, err)
		}
		b := list[0]
		if !(b.Seconds > 0 && b.Seconds <= seconds) || math.Abs(b.Watts-s.Highest()*s.Highest()/b.Ohms) > 1e-9*b.Watts {
			t.Errorf("asked %v s: %+v", seconds, b)
		}
		both := 1 / (1/41.6e3 + 1/(b.Ohms*1.3))
		if late := both * 47e-6 * math.Log(s.Highest()/50); late <= seconds {
			t.Errorf("asked %v s: a larger one would do, %v s", seconds, late)
		}
	}
	if list, err := Bleeds(context.Background(), c, s, held, 60, quantity.E12, circuit.Conditions{}); err != nil || list != nil {
		t.Errorf("nothing is late: %+v, %v", list, err)
	}
}

// TestNothingDischargesBehindADropperThatIsOut: dropper and board are all that
// take the reservoir's charge off. With either gone it stays, and the bleed that
// is named must do the work alone.
func TestNothingDischargesBehindADropperThatIsOut(t *testing.T) {
	c, s, _ := railed(t)
	held, err := Discharge(context.Background(), c, s, 50, circuit.Conditions{})
	if err != nil || len(held) != 1 || !held[0].Never || held[0].Where == "" {
		t.Fatalf("%+v, %v", held, err)
	}
	for _, seconds := range []float64{0.5, 2, 60} {
		list, err := Bleeds(context.Background(), c, s, held, seconds, quantity.E12, circuit.Conditions{})
		if err != nil || len(list) != 1 {
			t.Fatal(list, err)
		}
		b := list[0]
		alone := Seconds(b.Ohms, 47e-6, s.Highest(), 50)
		if math.Abs(b.Seconds-alone) > 1e-6*alone || b.Seconds > seconds || Seconds(b.Ohms*1.3, 47e-6, s.Highest(), 50) <= seconds {
			t.Errorf("asked %v s: %+v; alone it takes %v s", seconds, b, alone)
		}
	}
}

// TestDropperOfTwo: a dropper that is drawn as two is chosen as one part is.
func TestDropperOfTwo(t *testing.T) {
	c, s, _ := railed(t)
	q := DropperQuestion{Supply: s, Series: quantity.E12, ZenerLeast: 2e-3, ZenerWatts: 1.3, Sizes: DropperWatts(), EachVolts: 500}
	two, err := ChooseDropper(context.Background(), c, q, circuit.Conditions{})
	if err != nil {
		t.Fatal(err)
	}
	one, err := c.Edited(circuit.Set("dropper.2", "Ohms", 1e-3))
	if err != nil {
		t.Fatal(err)
	}
	q.Supply.Dropper = q.Supply.Dropper[:1]
	alone, err := ChooseDropper(context.Background(), one, q, circuit.Conditions{})
	if err != nil || alone.Each != two.Each || alone.InSeries != two.InSeries || alone.Watts != two.Watts || math.Abs(alone.Worst-two.Worst) > 1e-5*two.Worst {
		t.Errorf("%+v and %+v, %v", two, alone, err)
	}
	t.Logf("%+v", two)
}
