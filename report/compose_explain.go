package report

import (
	"bandwright/bench"
	"bandwright/draw"
)

// why is each unit's difference from the prediction, or the original, in a sentence
// a band, and the shares under it.
func (c composer) why() Section {
	s := Section{ID: "why", Heading: "Why it is off"}
	if c.answer.Explain == nil {
		return s
	}
	for _, a := range c.answer.Explain.Accounts {
		list := &List{}
		for i, sentence := range Sentences(a) {
			item := Item{Tone: Lead, Text: sentence}
			if a.Bands[i].Reversed {
				item.Tone = Look
			}
			list.Items = append(list.Items, item)
		}
		s.Blocks = append(s.Blocks, text(Lead, SideWords(a)+":"), Block{List: list},
			text(Plain, "Hiss, flat, by its parts: "+hissText(a.HissFrom)+" and "+hissText(a.HissTo)+". Hum is another matter: as found "+noted(a.HumFound)+"; as left "+noted(a.HumLeft)+"."))
	}
	for _, a := range c.answer.Explain.Accounts {
		s.Blocks = append(s.Blocks, Block{Table: c.shares(a)})
	}
	s.Blocks = append(s.Blocks, text(Small, "The parts' values are found from the unit's curves; each share has its 95 % interval. Not explained is what was read off the curves beyond that: a top is read to a few tenths of a per cent."))
	return s
}

// shares is the table of an account: centres in per cent of the first side's, boosts
// in decibels.
func (c composer) shares(a bench.Account) *Table {
	t := &Table{Caption: SideWords(a) + ": shares", Columns: []Column{{Head: "figure"}, {Head: "difference", Number: true},
		{Head: "coil", Number: true}, {Head: "capacitor", Number: true}, {Head: "resistor", Number: true},
		{Head: "neighbours", Number: true}, {Head: "not explained", Number: true}}}
	for i, b := range a.Bands {
		group := bandTitle(b.Band, c.answer.Bands.Bands[i].StatedHz)
		for _, row := range [...]struct {
			name  string
			of    *bench.AccountFigure
			scale float64
		}{{"centre, %", b.Centre, 100}, {"boost, dB", b.Boost, 1}} {
			if row.of == nil {
				continue
			}
			cells := []string{row.name, draw.Signed(row.scale*row.of.Difference, 2)}
			for _, field := range [...]string{"Henries", "Farads", "Ohms"} {
				cell := ""
				for _, s := range row.of.Own {
					if s.Field == field {
						cell = accountShare(s.Share, s.Low, s.High, row.scale)
					}
				}
				cells = append(cells, cell)
			}
			n := row.of.Neighbours
			t.add(group, append(cells, accountShare(n.Share, n.Low, n.High, row.scale), draw.Signed(row.scale*row.of.NotExplained, 2))...)
		}
	}
	return t
}

func accountShare(share, low, high, scale float64) string {
	return draw.Signed(scale*share, 2) + " ±" + places(scale*(high-low)/2, 2)
}

func hissText(level *float64) string {
	if level == nil {
		return "none"
	}
	return draw.Signed(*level, 1) + " dBu"
}

// noted is what a person wrote down, or that nobody did.
func noted(text string) string {
	if text == "" {
		return notDone
	}
	return "“" + text + "”"
}
