package bench

import (
	"cmp"
	"slices"
	"strings"

	"bandwright/finding"
	"bandwright/job"
	"bandwright/quantity"
	"bandwright/stock"
)

// What is said of a board whose ids are looked up in a drawer.
const (
	// IDPickUnknown (warning): the job names a part that the drawer has not.
	// Place band; id.
	IDPickUnknown finding.ID = "bench.pick-unknown"
	// IDPickShort (warning): the drawer has fewer of a part than the job takes.
	// id; have, want (int).
	IDPickShort finding.ID = "bench.pick-short"
)

// PickAnswer is which parts of a drawer a job's legs take.
type PickAnswer struct {
	Drawer string       `json:"drawer"`
	Legs   []FittedLeg  `json:"legs"`
	List   []PickLine   `json:"list"` // by place; what is in no drawer comes last
	Left   []stock.Part `json:"left"` // in the drawer afterwards
}

// FittedLeg is one band's parts by their ids; "" is a part without one.
type FittedLeg struct {
	Band       string   `json:"band"`
	Coil       string   `json:"coil"`
	Capacitors []string `json:"capacitors"`
	InSeries   bool     `json:"in_series,omitempty"` // of two capacitors
	Resistor   string   `json:"resistor"`
}

// PickLine is one line of the pick list. Marked is what stands on the part, in
// ohm, farad or henry; 0: nothing does.
type PickLine struct {
	Place     string              `json:"place,omitempty"`
	ID        string              `json:"id,omitempty"` // "": from no drawer
	Kind      stock.Kind          `json:"kind"`
	Marked    float64             `json:"marked"`
	Tolerance *quantity.Tolerance `json:"tolerance"`
	Count     int                 `json:"count"`
	Bands     []string            `json:"bands"`
	Left      int                 `json:"left"` // of this part, afterwards
}

// Pick looks the ids of the job's legs up in a drawer.
func (c *Case) Pick(d *DrawerAnswer) (*PickAnswer, finding.List) {
	a, found := pickFor(c.job, d)
	return a, c.ofDrawer(found, d.File)
}

func pickFor(j *job.Job, d *DrawerAnswer) (*PickAnswer, finding.List) {
	p := picker{answer: &PickAnswer{Drawer: d.File, List: []PickLine{}, Left: []stock.Part{}}, at: map[string]int{}}
	for i, part := range d.Parts {
		p.at[part.ID] = i
		p.drawer = append(p.drawer, part.Part)
	}
	for _, b := range j.Bands {
		p.leg(b)
	}
	for _, part := range p.drawer {
		if part.Count > 0 {
			p.answer.Left = append(p.answer.Left, part)
		}
	}
	p.finish()
	return p.answer, p.found
}

// picker takes parts out of a drawer.
type picker struct {
	answer *PickAnswer
	drawer []stock.Part // what is left
	at     map[string]int
	found  finding.List
}

func (p *picker) leg(b job.Band) {
	l := FittedLeg{Band: b.Name, Coil: b.Coil.ID, Resistor: b.Resistor.ID}
	p.take(b.Name, PickLine{ID: b.Coil.ID, Kind: stock.Coil, Marked: float64(b.Coil.Value), Tolerance: b.Coil.Tolerance})
	l.Capacitors, l.InSeries = p.pair(b.Capacitor.ID)
	for _, id := range l.Capacitors {
		p.take(b.Name, PickLine{ID: id, Kind: stock.Capacitor, Marked: float64(b.Capacitor.Value), Tolerance: b.Capacitor.Tolerance})
	}
	p.take(b.Name, PickLine{ID: b.Resistor.ID, Kind: stock.Resistor, Marked: float64(b.Resistor.Value), Tolerance: b.Resistor.Tolerance})
	p.answer.Legs = append(p.answer.Legs, l)
}

// pair parts the ids of two capacitors that a job has as one; an id that the
// drawer knows whole is one.
func (p *picker) pair(id string) (ids []string, inSeries bool) {
	if _, ok := p.at[id]; ok {
		return []string{id}, false
	}
	for _, between := range [...]string{besideEachOther, behindEachOther} {
		if a, b, ok := strings.Cut(id, between); ok {
			return []string{a, b}, between == behindEachOther
		}
	}
	return []string{id}, false
}

// take puts one part of a band on the list. What the drawer has is listed as
// it is marked there.
func (p *picker) take(band string, line PickLine) {
	if i, ok := p.at[line.ID]; ok && line.ID != "" {
		part := &p.drawer[i]
		part.Count--
		line.Place, line.Marked, line.Tolerance = part.Place, part.Marked, part.Tolerance
	} else if line.ID != "" {
		p.found = append(p.found, finding.New(IDPickUnknown, finding.Warning, finding.Place{Band: band}, finding.Args{"id": line.ID}))
	}
	same := func(l PickLine) bool {
		return l.ID == line.ID && l.Kind == line.Kind && (line.ID != "" || l.Marked == line.Marked)
	}
	i := slices.IndexFunc(p.answer.List, same)
	if i < 0 {
		i = len(p.answer.List)
		p.answer.List = append(p.answer.List, line)
	}
	l := &p.answer.List[i]
	if l.Count++; !slices.Contains(l.Bands, band) {
		l.Bands = append(l.Bands, band)
	}
}

// finish sorts the list by place, counts what is left, and names what is short.
func (p *picker) finish() {
	for i := range p.answer.List {
		l := &p.answer.List[i]
		at, ok := p.at[l.ID]
		if !ok || l.ID == "" {
			continue
		}
		l.Left = max(p.drawer[at].Count, 0)
		if left := p.drawer[at].Count; left < 0 {
			p.found = append(p.found, finding.New(IDPickShort, finding.Warning, finding.Place{},
				finding.Args{"id": l.ID, "have": left + l.Count, "want": l.Count}))
		}
	}
	from := func(l PickLine) int {
		if _, ok := p.at[l.ID]; ok && l.ID != "" {
			return 0
		}
		return 1
	}
	slices.SortStableFunc(p.answer.List, func(a, b PickLine) int {
		return cmp.Or(from(a)-from(b), strings.Compare(a.Place, b.Place), p.at[a.ID]-p.at[b.ID])
	})
}
