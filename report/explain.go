package report

import (
	"cmp"
	"slices"
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/fit"
)

// What is not worth a word in a sentence: common practice, no source. A share is
// left out when it is below a twentieth of the difference too.
const (
	littleShare = 0.002 // of hertz
	littleDB    = 0.1
	twentieth   = 0.05
)

// Sentences says of every band in one sentence why it differs: "400 sits 5.4 %
// high: 5.0 from the coil, 0.4 from the capacitor."
func Sentences(a bench.Account) []string {
	var list []string
	for _, b := range a.Bands {
		list = append(list, bandSentence(b))
	}
	return list
}

func bandSentence(b bench.AccountBand) string {
	var said []string
	if b.Reversed {
		said = append(said, "its slider stands the wrong way round")
	}
	if centre := b.Centre; centre == nil {
		said = append(said, "its centre is not there on both sides")
	} else {
		said = append(said, "sits "+apart(*centre, littleShare, 100, 1, " %", "high", "low", "where it should"))
	}
	for _, f := range [...]struct {
		name   string
		figure *bench.AccountFigure
		sign   float64
	}{{"boost", b.Boost, 1}, {"cut", b.Cut, -1}} {
		if f.figure == nil || worth(f.figure, littleDB) == "" {
			continue
		}
		more, less := "more", "less"
		if f.sign < 0 { // a cut is below nought: further down is more of it
			more, less = less, more
		}
		said = append(said, "its "+f.name+" is "+apart(*f.figure, littleDB, 1, 2, " dB", more, less, ""))
	}
	return b.Band + " " + strings.Join(said, "; ") + "."
}

// worth is "" for a difference that is not.
func worth(f *bench.AccountFigure, little float64) string {
	if f.Difference < little && -f.Difference < little {
		return ""
	}
	return "worth it"
}

// apart says how far a figure is off, and what from.
func apart(f bench.AccountFigure, little, scale float64, decimals int, unit, above, below, nowhere string) string {
	if worth(&f, little) == "" {
		return nowhere
	}
	word, sign := above, 1.0
	if f.Difference < 0 {
		word, sign = below, -1
	}
	text := places(sign*scale*f.Difference, decimals) + unit + " " + word
	list := from(f)
	slices.SortStableFunc(list, func(a, b part) int { return cmp.Compare(max(b.share, -b.share), max(a.share, -a.share)) })
	var said []string
	for _, p := range list {
		share := sign * p.share
		size := max(share, -share)
		if size < little/2 || size < twentieth*sign*f.Difference {
			continue
		}
		words := places(scale*size, decimals) + " " + p.what
		if share < 0 {
			words = "less " + words
		}
		said = append(said, words)
	}
	if len(said) == 0 {
		return text
	}
	return text + ": " + strings.Join(said, ", ")
}

// part of a difference, in words.
type part struct {
	share float64
	what  string
}

// from gathers what a difference comes from. What is not explained and may be an
// error of reading is no part of it.
func from(f bench.AccountFigure) []part {
	var list []part
	if f.Drawn != nil {
		list = append(list, part{*f.Drawn, "as drawn"})
	}
	for _, s := range f.Own {
		list = append(list, part{s.Share, "from the " + partWord(s)})
	}
	list = append(list, part{f.Neighbours.Share, "from its neighbours"})
	others := 0.0
	for _, s := range f.Others {
		others += s.Share
	}
	list = append(list, part{others, "from other parts"})
	if r := f.Reading; r == nil || max(f.NotExplained, -f.NotExplained) > *r {
		list = append(list, part{f.NotExplained, "not explained"})
	}
	return list
}

// partWord names a part of a leg by its kind.
func partWord(s fit.Share) string {
	switch s.Field {
	case "Henries":
		return "coil"
	case "Farads":
		return "capacitor"
	case "Track":
		return "track"
	case "DCR":
		return "copper"
	case "CoreOhms":
		return "core"
	}
	return "resistor"
}

// SideWords names the two sides of an account in a heading.
func SideWords(a bench.Account) string {
	word := func(side string) string {
		switch side {
		case bench.SideStated, bench.SidePredicted:
			return "what is " + side
		}
		return "unit " + side
	}
	return "Why " + word(a.To) + " differs from " + word(a.From)
}

// places writes so many decimals of a size.
func places(x float64, decimals int) string { return strconv.FormatFloat(x, 'f', decimals, 64) }
