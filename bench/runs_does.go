package bench

import (
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/curve"
	"bandwright/equaliser"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/wiring"
)

// What the harness does that it should not.
const (
	// IDIntent (warning): the wiring does not do what it must. Place: the
	// setting, the line. from, to, want; has: "ohms" (and ohms), "signal" (and
	// db) or "nothing".
	IDIntent finding.ID = "bench.intent"
	// IDIntentPoint (error): an intent names a point that is not there. Place:
	// the point, the line.
	IDIntentPoint finding.ID = "bench.intent-point"
	// IDSliderDC (warning): direct volts lie across a slider. Place: the band,
	// the part. volts, most.
	IDSliderDC finding.ID = "bench.slider-dc"
	// IDScreenLoss (warning): the capacitance of screened runs and what drives
	// them take too much off the top. Place: the run, the setting. db, hz, most.
	IDScreenLoss finding.ID = "bench.screen-loss"
	// IDInputOpen (note): the board's input is left open. Place: the point, the
	// setting. pop (volts), crosstalk (dB).
	IDInputOpen finding.ID = "bench.input-open"
)

// The limits in force. All common practice, no source, but screenLossDB, which
// is the bench's own promise: what nobody sees in a curve.
const (
	joinedOhms   = 1.0   // at most, for two points to be called joined
	openOhms     = 1e3   // at least, to be called not joined
	throughDB    = -20.0 // at least, for the signal to be called through
	sliderVolts  = 0.05  // at most across a slider, lest it crackle
	screenLossDB = 0.1
	screenHz     = 20e3
	switchFarads = 2e-12 // across an open contact
)

// IntentLine is one thing that the wiring must do.
type IntentLine struct {
	Setting string    `json:"setting"`
	From    string    `json:"from"`
	To      string    `json:"to"`
	Want    string    `json:"want"` // joined, open, through
	Whole   IntentHas `json:"whole"`
	SoFar   IntentHas `json:"so_far"` // with what is made so far
}

// IntentHas is what there is at an intent's points.
type IntentHas struct {
	Holds bool     `json:"holds"`
	Ohms  *float64 `json:"ohms"` // null: no path, or the signal was asked for
	DB    *float64 `json:"db"`   // the least of the audio range; null: ohms were asked for, or nothing comes through
	Hz    *float64 `json:"hz"`   // where that is
}

// SliderDC is a slider with direct volts across it.
type SliderDC struct {
	Part    string  `json:"part"`
	Setting string  `json:"setting"`
	Volts   float64 `json:"volts"` // between the two that are furthest apart
	Over    bool    `json:"over"`
}

// ScreenLoss is what a screened run takes off at 20 kHz.
type ScreenLoss struct {
	Run     string  `json:"run"` // "": all together
	Setting string  `json:"setting"`
	Farads  float64 `json:"farads"`
	DB      float64 `json:"db"` // less than without it
	Over    bool    `json:"over"`
}

// InputOpen is a setting at which nothing is joined to the board's input.
type InputOpen struct {
	Setting   string   `json:"setting"`
	Pop       float64  `json:"pop_volts"`    // the largest step that meets a contact as it closes
	Crosstalk *float64 `json:"crosstalk_db"` // at the input under the signal, through the open contacts
	Hz        float64  `json:"hz"`
}

// intents looks at each intent in the finished circuit, and in what is made.
func (c *Case) intents(ctx context.Context, a *RunsAnswer) (finding.List, error) {
	if len(c.job.Intents) == 0 {
		return nil, nil
	}
	soFar, _, err := c.AsMade()
	if err != nil {
		return nil, err
	}
	var found, wrong finding.List
	for _, in := range c.job.Intents {
		at := finding.Place{File: c.name, Line: in.Line}
		for _, p := range [...]string{in.From, in.To} {
			if p != circuit.Ground && !slices.Contains(c.Points(), p) {
				at.Point = p
				wrong = append(wrong, finding.New(IDIntentPoint, finding.Error, at, nil))
			}
		}
		if len(wrong) > 0 {
			continue
		}
		line, err := c.intent(ctx, in, soFar)
		if err != nil {
			return nil, err
		}
		a.Intents = append(a.Intents, line)
		if !line.Whole.Holds {
			at.Setting = line.Setting
			args := finding.Args{"from": in.From, "to": in.To, "want": in.Want, "has": "nothing"}
			if line.Whole.Ohms != nil {
				args["has"], args["ohms"] = "ohms", *line.Whole.Ohms
			}
			if line.Whole.DB != nil {
				args["has"], args["db"] = "signal", *line.Whole.DB
			}
			found = append(found, finding.New(IDIntent, finding.Warning, at, args))
		}
	}
	return found, wrong.Err()
}

func (c *Case) intent(ctx context.Context, in job.Intent, soFar *Case) (IntentLine, error) {
	s, err := c.setting(in.Setting)
	if err != nil {
		return IntentLine{}, err
	}
	line := IntentLine{Setting: s.String(), From: in.From, To: in.To, Want: in.Want}
	if line.Whole, err = c.has(ctx, in, s); err != nil {
		return line, err
	}
	line.SoFar, err = soFar.has(ctx, in, s)
	return line, err
}

// has says what lies between an intent's points. A point that no part touches
// yet is joined to nothing.
func (c *Case) has(ctx context.Context, in job.Intent, s curve.Setting) (has IntentHas, err error) {
	there := func(p string) bool { return p == circuit.Ground || slices.Contains(c.Points(), p) }
	if !there(in.From) || !there(in.To) {
		has.Holds = in.Want == job.WantOpen
		return has, nil
	}
	if in.Want == job.WantThrough {
		db, hz, err := c.leastThrough(ctx, s, in.From, in.To)
		if db != nil {
			has.DB, has.Hz, has.Holds = db, &hz, *db >= throughDB
		}
		return has, err
	}
	r, err := c.equaliser.Circuit().Ohms(ctx, s, circuit.PowerOff{Kelvin: c.kelvin()}, in.From, in.To)
	if err != nil {
		return has, err
	}
	if !r.Open && r.Ohms < mostOhms {
		has.Ohms = &r.Ohms
	}
	switch in.Want {
	case job.WantJoined:
		has.Holds = has.Ohms != nil && *has.Ohms <= joinedOhms
	case job.WantOpen:
		has.Holds = has.Ohms == nil || *has.Ohms >= openOhms
	}
	return has, nil
}

// mostOhms is beyond what any meter of the bench tells from no path.
const mostOhms = 1e9

// leastThrough gives the least of the signal at one point over that at another,
// over the audio range, and where it is; nil: nothing comes through somewhere.
func (c *Case) leastThrough(ctx context.Context, s curve.Setting, from, to string) (least *float64, at float64, err error) {
	st, err := c.solve(ctx, s)
	if err != nil {
		return nil, 0, err
	}
	hz := curve.Grid(audioLow, audioHigh, 3)
	r, err := st.Response(ctx, equaliser.Source, []string{from, to}, hz)
	if err != nil {
		return nil, 0, err
	}
	for k := range hz {
		one, heard := circuit.Decibels(r.Gains[0][k])
		other, too := circuit.Decibels(r.Gains[1][k])
		if !heard || !too {
			return nil, hz[k], nil
		}
		if db := other - one; least == nil || db < *least {
			least, at = &db, hz[k]
		}
	}
	return least, at, nil
}

// sliderDC looks for direct volts across sliders: they crackle when moved.
func (c *Case) sliderDC(ctx context.Context, a *RunsAnswer) (found finding.List, err error) {
	st, err := c.solve(ctx, curve.Setting{})
	if err != nil {
		return nil, err
	}
	for _, p := range c.equaliser.Circuit().Parts() {
		s, is := p.(circuit.Slider)
		if !is {
			continue
		}
		low, high, known := 0.0, 0.0, false
		for _, point := range s.Terminals() {
			v, ok := st.Volts(point)
			if !ok {
				continue
			}
			if !known {
				low, high, known = v, v, true
			}
			low, high = min(low, v), max(high, v)
		}
		line := SliderDC{Part: s.Name, Setting: curve.Setting{}.String(), Volts: high - low, Over: high-low > sliderVolts}
		a.Sliders = append(a.Sliders, line)
		if line.Over {
			found = append(found, finding.New(IDSliderDC, finding.Warning, finding.Place{Part: s.Name},
				finding.Args{"volts": line.Volts, "most": sliderVolts}))
		}
	}
	return found, nil
}

// screens finds what the capacitance of each screened run takes off at 20 kHz,
// and of all together, flat and bypassed.
func (c *Case) screens(ctx context.Context, a *RunsAnswer) (found finding.List, err error) {
	settings := []curve.Setting{{}}
	if s, err := c.setting("bypass"); err == nil {
		settings = append(settings, s)
	}
	var all []string
	for _, r := range a.Runs {
		if r.Farads > 0 && r.State != wiring.Removed {
			all = append(all, r.Name)
		}
	}
	for _, s := range settings {
		for _, names := range append(singly(all), all) {
			if len(names) == 0 {
				continue
			}
			line, err := c.screenLoss(ctx, s, names)
			if err != nil {
				return nil, err
			}
			if len(names) == 1 {
				line.Run = names[0]
			} else if len(all) == 1 {
				continue
			}
			a.Screens = append(a.Screens, line)
			if line.Over {
				at := finding.Place{Setting: line.Setting}
				if line.Run != "" {
					at.Part = "run." + line.Run
				}
				found = append(found, finding.New(IDScreenLoss, finding.Warning, at,
					finding.Args{"db": line.DB, "hz": screenHz, "most": screenLossDB}))
			}
		}
	}
	return found, nil
}

func singly(names []string) (list [][]string) {
	for _, n := range names {
		list = append(list, []string{n})
	}
	return list
}

// screenLoss compares the gain with and without the capacitance of some runs.
func (c *Case) screenLoss(ctx context.Context, s curve.Setting, runs []string) (ScreenLoss, error) {
	line := ScreenLoss{Setting: s.String()}
	whole := c.equaliser.Circuit()
	var edits []circuit.Edit
	for _, r := range runs {
		for _, end := range [...]string{".capacitance", ".capacitance.far"} {
			name := "run." + r + end
			if p, ok := whole.Part(name); ok {
				line.Farads += p.(circuit.Capacitor).Farads
				edits = append(edits, circuit.Open(name))
			}
		}
	}
	bare, err := whole.Edited(edits...)
	if err != nil {
		return line, err
	}
	with, err := c.outDB(ctx, whole, s, screenHz, equaliser.OutputPoint)
	if err != nil {
		return line, err
	}
	without, err := c.outDB(ctx, bare, s, screenHz, equaliser.OutputPoint)
	if err != nil {
		return line, err
	}
	if with != nil && without != nil {
		line.DB = *without - *with
	}
	line.Over = line.DB > screenLossDB
	return line, nil
}

// outDB gives a gain from the source; nil: nothing comes through.
func (c *Case) outDB(ctx context.Context, of *circuit.Circuit, s curve.Setting, hz float64, out string) (*float64, error) {
	st, err := of.Solve(ctx, s, c.equaliser.Conditions())
	if err != nil {
		return nil, err
	}
	r, err := st.Response(ctx, equaliser.Source, []string{out}, []float64{hz})
	if err != nil {
		return nil, err
	}
	db, ok := circuit.Decibels(r.Gains[0][0])
	if !ok {
		return nil, nil
	}
	return &db, nil
}
