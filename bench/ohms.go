package bench

import (
	"context"
	"slices"
	"strings"

	"bandwright/finding"
	"bandwright/job"
	"bandwright/reading"
	"bandwright/wiring"
)

// What can be wrong with a question about ohms, and what its answer warns of.
const (
	// IDOhmsStage (error): no such stage. read, known.
	IDOhmsStage finding.ID = "bench.ohms-stage"
	// IDOhmsList (error): no such list. read, known.
	IDOhmsList finding.ID = "bench.ohms-list"
	// IDNotDead (warning): readings are there and nobody has signed that the
	// amplifier is discharged and proved dead: they are not judged. count (int).
	IDNotDead finding.ID = "bench.not-dead"
	// IDBadOhms (error): no meter shows this. Place: the point, the setting, the
	// line. read.
	IDBadOhms finding.ID = "bench.bad-ohms"
	// IDOhmsStop (warning): a reading that ends the work. Place: the point, the
	// setting. black; read: ohms, or "open"; open: it must be; else low, high.
	IDOhmsStop finding.ID = "bench.ohms-stop"
	// IDOhmsLook (warning): a reading that wants a look. As IDOhmsStop.
	IDOhmsLook finding.ID = "bench.ohms-look"
	// IDOhmsOther (note): readings of another stage are set aside. count (int),
	// stages (text).
	IDOhmsOther finding.ID = "bench.ohms-other"
)

// The stages of ringing out, in the order of the work.
const (
	StageLoose    = "loose"     // boards and switches on the bench: no run, no link
	StageLastOpen = "last-open" // fitted, the last joints still open
	StageComplete = "complete"
	StageAsMade   = "as-made" // what is made of it
)

// OhmsStages names them.
func OhmsStages() []string {
	return []string{StageLoose, StageLastOpen, StageComplete, StageAsMade}
}

// The lists.
const (
	ListFull  = "full"
	ListQuick = "quick"
)

// quickLines are as many as a quick list may have. Common practice, no source.
const quickLines = 12

// OhmsQuestion asks for the list by which a stage is rung out.
type OhmsQuestion struct {
	Stage    string        // see OhmsStages
	List     string        // ListFull or ListQuick
	Readings []job.Reading // beside the job's own, which they stand before
	File     string        // that they come from, for findings; "": none, or several
	NoJob    bool          // leave the job's own out
	Workers  int           // 0: one
}

// OhmsAnswer is the list. Its first line, before any, is Dead: who signed that
// the amplifier is discharged and proved dead.
type OhmsAnswer struct {
	JobHead
	Stage   string        `json:"stage"`
	List    string        `json:"list"`
	AllUp   string        `json:"all_up"` // how that setting is written
	Celsius float64       `json:"celsius"`
	Meter   reading.Meter `json:"meter"`
	Dead    DeadSign      `json:"dead"`
	Groups  []OhmsGroup   `json:"groups"` // by the black lead: clip once and walk
	Lines   int           `json:"lines"`
	Bound   int           `json:"bound"` // proven: no list that catches as much has fewer lines; 0 of a quick list
	Gap     int           `json:"gap"`   // lines less bound; 0 of a quick list
	Probes  int           `json:"probes"`
	Faults  []OhmsFault   `json:"faults"`
	Caught  int           `json:"caught"`
	Others  []OhmsRow     `json:"others"` // readings that are on no line
	Passed  int           `json:"passed"`
	Looks   int           `json:"looks"`
	Stops   int           `json:"stops"`
	NotDone int           `json:"not_done"`
}

// DeadSign says who signed, when, and how it was proved.
type DeadSign struct {
	Signed bool   `json:"signed"`
	By     string `json:"by"`
	Date   string `json:"date"`
	How    string `json:"how"`
}

// OhmsGroup is the lines with the black lead clipped to one point.
type OhmsGroup struct {
	Black string    `json:"black"`
	Rows  []OhmsRow `json:"rows"`
}

// OhmsRow is one line.
type OhmsRow struct {
	Number  int               `json:"number"` // from 1
	Red     string            `json:"red"`
	Black   string            `json:"black"`
	Setting string            `json:"setting"`
	Open    bool              `json:"open"`    // it must show no path
	Ohms    *reading.Expected `json:"ohms"`    // worst case, the meter's error in it; null: open
	Settles float64           `json:"settles"` // seconds until capacitors are charged, at most
	Through []wiring.Share    `json:"through"` // what the current passes, most first
	Catches []int             `json:"catches"` // numbers of faults
	Read    *float64          `json:"read"`    // null: not done, or open
	Shown   bool              `json:"shown"`   // something was read
	Verdict Verdict           `json:"verdict"`
	Fits    []int             `json:"fits"` // faults that would read so
	Line    int               `json:"line"` // of the reading in its file; 0: not known
	Note    string            `json:"note"` // of the reading
}

// OhmsFault is something that a hand may have done wrong.
type OhmsFault struct {
	Number int           `json:"number"` // from 1
	Slip   wiring.Slip   `json:"slip"`
	Label  string        `json:"label"`
	Prior  float64       `json:"prior"`
	Lines  []int         `json:"lines"`  // that catch it, by number
	Hidden wiring.Hidden `json:"hidden"` // why ohms cannot show it; "": they can
}

// Ohms gives the list of one stage, and judges what was read against it.
// progress is told how many of the faults were looked at.
func (c *Case) Ohms(ctx context.Context, q OhmsQuestion, progress func(done, total int)) (*OhmsAnswer, finding.List, error) {
	l, err := c.ohmsList(q)
	if err != nil {
		return nil, nil, err
	}
	taken, found, err := l.taken()
	if err != nil {
		return nil, found, err
	}
	if err := l.plan(ctx, progress); err != nil {
		return nil, nil, l.faulted(err)
	}
	if err := l.lay(ctx); err != nil {
		return nil, nil, l.faulted(err)
	}
	more, err := l.judge(ctx, taken)
	if err != nil {
		return nil, nil, l.faulted(err)
	}
	return l.answer, once(located(append(found, more...), c.job, c.name)), nil
}

// ohmsList is a list being made.
type ohmsList struct {
	c      *Case // as asked
	at     *Case // with what is there at the stage
	q      OhmsQuestion
	as     wiring.As
	faults []wiring.Fault
	ask    wiring.Question
	made   *wiring.List
	answer *OhmsAnswer
}

func (c *Case) ohmsList(q OhmsQuestion) (*ohmsList, error) {
	var wrong finding.List
	as, known := ohmsStage(q.Stage)
	if known && as != wiring.Complete && !c.job.Wired() {
		return nil, noHarness(c) // without a harness there is the finished board alone
	}
	if !known {
		wrong = append(wrong, finding.New(IDOhmsStage, finding.Error, finding.Place{},
			finding.Args{"read": q.Stage, "known": strings.Join(OhmsStages(), ", ")}))
	}
	if q.List != ListFull && q.List != ListQuick {
		wrong = append(wrong, finding.New(IDOhmsList, finding.Error, finding.Place{},
			finding.Args{"read": q.List, "known": ListFull + ", " + ListQuick}))
	}
	if err := wrong.Err(); err != nil {
		return nil, err
	}
	at, _, err := c.at(as)
	if err != nil {
		return nil, err
	}
	dead := c.job.Dead
	l := &ohmsList{c: c, at: at, q: q, as: as, answer: &OhmsAnswer{Others: []OhmsRow{},
		JobHead: c.head(), Stage: q.Stage, List: q.List, AllUp: at.equaliser.AllUp().String(), Celsius: c.kelvin() - kelvinAtZero,
		Meter: reading.HandMeter(), Dead: DeadSign{Signed: dead.Signed(), By: dead.By, Date: dead.Date, How: dead.How},
	}}
	return l, nil
}

func ohmsStage(name string) (wiring.As, bool) {
	i := slices.Index(OhmsStages(), name)
	if i < 0 {
		return 0, false
	}
	return [...]wiring.As{wiring.Loose, wiring.LastOpen, wiring.Complete, wiring.AsMade}[i], true
}

// faulted gives what the engines found its place.
func (l *ohmsList) faulted(err error) error {
	if list, ok := finding.From(err); ok {
		return located(list, l.c.job, l.c.name)
	}
	return err
}
