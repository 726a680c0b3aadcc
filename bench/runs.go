package bench

import (
	"context"
	"slices"

	"bandwright/circuit"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/wiring"
)

// RunsAnswer is everything that a hand needs to wire by, and to undo it.
type RunsAnswer struct {
	JobHead
	Made      int          `json:"made"` // runs
	NotYet    int          `json:"not_yet"`
	Removed   int          `json:"removed"`
	Runs      []RunLine    `json:"runs"`
	Cut       []CutLine    `json:"cut"` // wire to cut, by kind and colour
	Links     []LinkLine   `json:"links"`
	Lugs      []LugLine    `json:"lugs"`
	MostAtLug int          `json:"most_at_lug"`
	Moved     []MovedLine  `json:"moved"`
	Signs     []MainsSign  `json:"signs"` // every MAINS lug that is touched
	Held      []string     `json:"held"`  // how each board is held
	Switches  []SwitchLine `json:"switches"`
	Jacks     []JackLine   `json:"jacks"`
	Intents   []IntentLine `json:"intents"`
	Sliders   []SliderDC   `json:"sliders"`  // those with direct volts across
	Screens   []ScreenLoss `json:"screens"`  // what screened runs cost
	Bypassed  []InputOpen  `json:"bypassed"` // where the board's input is left open
}

// JobHead says which job an answer is of, for what is printed.
type JobHead struct {
	JobFile   string `json:"job_file"`
	JobSHA256 string `json:"job_sha256"`
	Title     string `json:"title"`
	Amp       string `json:"amp"`
	Invented  bool   `json:"invented"`
}

func (c *Case) head() JobHead {
	return JobHead{JobFile: c.name, JobSHA256: c.sha256, Title: c.job.Title, Amp: c.job.Amp, Invented: c.job.Invented}
}

// RunLine is one run.
type RunLine struct {
	Name     string       `json:"name"`
	From     string       `json:"from"`
	To       string       `json:"to"`
	Kind     wiring.Kind  `json:"kind"`
	Metres   *float64     `json:"metres"` // null: not stated
	Ohms     float64      `json:"ohms"`
	Colour   string       `json:"colour"`
	Original string       `json:"original"` // of what it takes the place of; "": the same, or nothing
	Screen   ScreenEnd    `json:"screen"`
	ScreenAt []string     `json:"screen_at"` // lugs
	Farads   float64      `json:"farads"`    // conductor to screen
	Mains    bool         `json:"mains"`
	Last     bool         `json:"last"`
	State    wiring.State `json:"state"`
}

// ScreenEnd says at which end a screen is grounded.
type ScreenEnd string

// Where a screen is grounded.
const (
	NoScreen   ScreenEnd = ""
	ScreenFrom ScreenEnd = "from"
	ScreenTo   ScreenEnd = "to"
	ScreenBoth ScreenEnd = "both"
	ScreenNone ScreenEnd = "none"
)

// CutLine is so much wire of one kind and colour.
type CutLine struct {
	Kind    wiring.Kind `json:"kind"`
	Colour  string      `json:"colour"`
	Pieces  int         `json:"pieces"`
	Lengths []float64   `json:"lengths"` // metres, longest first
	Metres  float64     `json:"metres"`  // in all
	Unknown int         `json:"unknown"` // pieces of no stated length
}

// LinkLine is a connection that goes, and where its ends were.
type LinkLine struct {
	Name   string       `json:"name"`
	From   string       `json:"from"`
	To     string       `json:"to"`
	Colour string       `json:"colour"`
	State  wiring.State `json:"state"` // made: it is still there
}

// LugLine is one lug and what it holds.
type LugLine struct {
	Lug    string   `json:"lug"`
	Before int      `json:"before"`
	After  int      `json:"after"`
	Over   bool     `json:"over"`
	Spread []string `json:"spread"` // lugs joined to it that have room; over and none: a tag strip
}

// MovedLine is a part of the amplifier in another hole.
type MovedLine struct {
	Name     string `json:"name"`
	OldHole  string `json:"old_hole"`
	NewHole  string `json:"new_hole"`
	Lead     string `json:"lead"` // kept, shortened, extended
	Sleeved  bool   `json:"sleeved"`
	Mains    bool   `json:"mains"`
	SignedBy string `json:"signed_by"`
}

// MainsSign is what somebody must sign for: a MAINS lug that was touched.
type MainsSign struct {
	What     string   `json:"what"` // "moved" or "run"
	Name     string   `json:"name"`
	Lugs     []string `json:"lugs"` // of a run
	SignedBy string   `json:"signed_by"`
}

// SwitchLine is a switch by position.
type SwitchLine struct {
	Name      string         `json:"name"`
	Positions []PositionLine `json:"positions"` // its rest first
	Pins      [][]string     `json:"pins"`
}

// PositionLine says what one position joins, a pair of lugs each.
type PositionLine struct {
	Position string      `json:"position"`
	Joins    [][2]string `json:"joins"`
}

// JackLine is a jack by what is plugged in.
type JackLine struct {
	Name   string         `json:"name"`
	Tip    string         `json:"tip"`
	Ring   string         `json:"ring"` // "": a jack of one circuit
	Sleeve string         `json:"sleeve"`
	Cord   string         `json:"cord"`
	Plugs  []PositionLine `json:"plugs"` // what is taken for granted first
}

// Runs lists the harness, and looks at what it does.
func (c *Case) Runs(ctx context.Context) (*RunsAnswer, finding.List, error) {
	if !c.job.Wired() {
		return nil, nil, noHarness(c)
	}
	h := harnessOf(c.job)
	a := &RunsAnswer{JobHead: c.head(), MostAtLug: h.Limit(), Held: []string{}, Links: []LinkLine{}, Moved: []MovedLine{}, Switches: []SwitchLine{}, Jacks: []JackLine{},
		Intents: []IntentLine{}, Sliders: []SliderDC{}, Screens: []ScreenLoss{}, Bypassed: []InputOpen{}}
	if w := c.job.Wiring; w != nil {
		a.Held = append(a.Held, w.Held...)
	}
	a.lay(h)
	a.Lugs = c.lugs(h)
	a.Signs = signs(c.job)
	found := h.Check()
	for _, ask := range []func(context.Context, *RunsAnswer) (finding.List, error){c.intents, c.sliderDC, c.screens, c.inputOpen} {
		more, err := ask(ctx, a)
		if err != nil {
			return nil, nil, err
		}
		found = append(found, more...)
	}
	return a, once(located(found, c.job, c.name)), nil
}

func noHarness(c *Case) error {
	return finding.New(IDNoHarness, finding.Error, finding.Place{File: c.name}, nil)
}

// lay writes out what stands in the job.
func (a *RunsAnswer) lay(h wiring.Harness) {
	for _, r := range h.Runs {
		a.Runs = append(a.Runs, runLine(r))
		switch r.State {
		case wiring.Made:
			a.Made++
		case wiring.Removed:
			a.Removed++
		default:
			a.NotYet++
		}
	}
	a.Cut = cutList(a.Runs)
	for _, l := range h.Links {
		a.Links = append(a.Links, LinkLine(l))
	}
	for _, m := range h.Moved {
		a.Moved = append(a.Moved, MovedLine(m))
	}
	for _, s := range h.Switches {
		line := SwitchLine{Name: s.Name, Pins: s.Pins}
		for _, p := range s.Positions {
			line.Positions = append(line.Positions, PositionLine{p, pairs(s.Joins(p))})
		}
		a.Switches = append(a.Switches, line)
	}
	for _, j := range h.Jacks {
		line := JackLine{Name: j.Name, Tip: j.Tip, Ring: j.Ring, Sleeve: j.Sleeve, Cord: j.Cord}
		for _, p := range j.Plugs() {
			line.Plugs = append(line.Plugs, PositionLine{string(p), pairs(j.Joins(p))})
		}
		a.Jacks = append(a.Jacks, line)
	}
}

// pairs is a list that is there even when it is empty.
func pairs(list [][2]string) [][2]string { return append([][2]string{}, list...) }

func runLine(r wiring.Run) RunLine {
	to := RunLine{Name: r.Name, From: r.From, To: r.To, Kind: r.Kind, Ohms: r.Conductor(), Colour: r.Colour,
		Farads: r.Farads(), Mains: r.Mains, Last: r.Last, State: r.State, ScreenAt: []string{}}
	if r.Metres > 0 {
		to.Metres = number(r.Metres)
	}
	if r.Original != r.Colour {
		to.Original = r.Original
	}
	if r.Kind == wiring.Screened {
		to.Screen = ScreenNone
	}
	for _, end := range [...]struct {
		lug string
		at  ScreenEnd
	}{{r.Screen.AtFrom, ScreenFrom}, {r.Screen.AtTo, ScreenTo}} {
		if end.lug == "" {
			continue
		}
		if to.Screen = end.at; len(to.ScreenAt) > 0 {
			to.Screen = ScreenBoth
		}
		to.ScreenAt = append(to.ScreenAt, end.lug)
	}
	return to
}

// cutList gathers the pieces of each kind and colour.
func cutList(runs []RunLine) []CutLine {
	list := []CutLine{}
	for _, r := range runs {
		if r.State == wiring.Removed {
			continue
		}
		i := slices.IndexFunc(list, func(l CutLine) bool { return l.Kind == r.Kind && l.Colour == r.Colour })
		if i < 0 {
			i, list = len(list), append(list, CutLine{Kind: r.Kind, Colour: r.Colour, Lengths: []float64{}})
		}
		l := &list[i]
		l.Pieces++
		if r.Metres == nil {
			l.Unknown++
			continue
		}
		l.Lengths, l.Metres = append(l.Lengths, *r.Metres), l.Metres+*r.Metres
		slices.SortFunc(l.Lengths, func(a, b float64) int { return int(b*1e6) - int(a*1e6) })
	}
	order := []wiring.Kind{wiring.Screened, wiring.Lead, wiring.Earth, wiring.Strap}
	slices.SortStableFunc(list, func(a, b CutLine) int { return slices.Index(order, a.Kind) - slices.Index(order, b.Kind) })
	return list
}

// lugs counts conductors, and says of a full lug which others joined to it by
// the harness have room.
func (c *Case) lugs(h wiring.Harness) (list []LugLine) {
	all := h.Lugs()
	for _, l := range all {
		line := LugLine{Lug: l.Name, Before: l.Before, After: l.After, Over: l.After > h.Limit(), Spread: []string{}}
		if line.Over {
			for _, other := range all {
				if other.After < h.Limit() && h.Same(l.Name, other.Name) && other.Name != l.Name {
					line.Spread = append(line.Spread, other.Name)
				}
			}
		}
		list = append(list, line)
	}
	return list
}

// signs are the MAINS lugs that are touched, each with who signed for it.
func signs(j *job.Job) []MainsSign {
	list := []MainsSign{}
	for _, m := range j.Moved {
		if m.Mains {
			list = append(list, MainsSign{What: "moved", Name: m.Name, Lugs: []string{}, SignedBy: m.SignedBy})
		}
	}
	for _, r := range j.Runs {
		if r.Mains {
			list = append(list, MainsSign{What: "run", Name: r.Name, Lugs: []string{r.From, r.To}, SignedBy: r.SignedBy})
		}
	}
	return list
}

// boardGround is the board's own 0 V.
func (c *Case) boardGround() string {
	if w := c.job.Wiring; w != nil && w.BoardGround != "" {
		return w.BoardGround
	}
	return circuit.Ground
}
