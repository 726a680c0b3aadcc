package page

import (
	"context"
	"slices"
	"sync"

	"bandwright/bench"
	"bandwright/finding"
	"bandwright/job"
	"bandwright/shop"
)

// mostCases are kept open: the text that stands, those an undo goes back to,
// and another tab's.
const mostCases = 8

// cases keeps the cases opened last. What it remembers changes no answer: a
// case is of one text and of curve files that have not changed since.
type cases struct {
	shop *shop.Folder
	life context.Context

	mu   sync.Mutex
	list []*entry // the latest first
}

type entry struct {
	id, version string

	mu     sync.Mutex // held while opening, so that it is done once
	open   *bench.Case
	found  finding.List
	stamps map[string]string
}

// get opens a text of a job, or gives the case it was opened to. A text that
// does not open is tried anew each time. The opening goes on when whoever
// asked is gone: the next question will want it.
func (c *cases) get(id string, text []byte) (*bench.Case, finding.List, error) {
	e := c.entry(id, shop.Version(text))
	e.mu.Lock()
	defer e.mu.Unlock()
	if e.open != nil && c.stands(e) {
		return e.open, slices.Clone(e.found), nil
	}
	name := shop.FileName(id)
	files, err := c.shop.Files(id)
	if err != nil {
		return nil, nil, err
	}
	stamps := map[string]string{}
	if decoded, _ := job.Decode(name, text); decoded != nil {
		for _, curve := range decoded.Curves {
			stamps[curve.File] = c.shop.Stamp(id, curve.File)
		}
	}
	opened, found := bench.Open(c.life, name, text, files)
	if err := c.life.Err(); err != nil {
		return nil, nil, err
	}
	e.open, e.found, e.stamps = opened, found, stamps
	return opened, slices.Clone(found), found.Err()
}

// entry finds the place of a text, and moves it to the front.
func (c *cases) entry(id, version string) *entry {
	c.mu.Lock()
	defer c.mu.Unlock()
	at := slices.IndexFunc(c.list, func(e *entry) bool { return e.id == id && e.version == version })
	e := &entry{id: id, version: version}
	if at >= 0 {
		e = c.list[at]
		c.list = slices.Delete(c.list, at, at+1)
	}
	c.list = slices.Insert(c.list, 0, e)
	if len(c.list) > mostCases {
		c.list = slices.Delete(c.list, mostCases, len(c.list))
	}
	return e
}

// stands tells whether the curve files are as they were read.
func (c *cases) stands(e *entry) bool {
	for name, stamp := range e.stamps {
		if c.shop.Stamp(e.id, name) != stamp {
			return false
		}
	}
	return true
}
