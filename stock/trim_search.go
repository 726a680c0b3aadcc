package stock

import (
	"context"
	"slices"
)

const (
	trimRounds  = 8
	trimSolved  = 96  // options of a band that are solved whole in place of its own
	trimPairs   = 128 // of each of two bands, reckoned together
	trimTwo     = 64  // of these, solved whole
	trimRefines = 12
)

// search starts from the board as it is: every single change of every band is solved
// whole, what several do together is reckoned from these, the best board so reckoned
// is solved whole and is the next to start from. Then trims are exchanged on the
// whole circuit, one band at a time and two.
func (t *trimmer) search(ctx context.Context) error {
	t.best = t.solved(make([]int, len(t.Bands)))
	for range trimRounds {
		e, err := t.effects(ctx)
		if err != nil {
			return err
		}
		reckoned := t.reckon(e)
		if slices.Equal(reckoned, t.best.at) {
			break
		}
		if b := t.solved(reckoned); !t.keep(b) {
			break
		}
	}
	for range trimRefines {
		e, err := t.effects(ctx)
		if err != nil {
			return err
		}
		changed, err := t.exchange(ctx, e)
		if err != nil {
			return err
		}
		if t.settled = !changed; !changed && !t.exchangeTwo(e) {
			return ctx.Err()
		}
	}
	return ctx.Err()
}

// solved solves one board.
func (t *trimmer) solved(at []int) trimBoard {
	b := trimBoard{at: slices.Clone(at)}
	t.take([][]int{at}, func(_ int, figures [][3]float64) { b.figures = slices.Clone(figures) })
	b.rank = t.rankOf(at, b.figures)
	return b
}

func (t *trimmer) take(boards [][]int, each func(i int, figures [][3]float64)) {
	t.room.take(t.want, len(boards), func(i, band int) Model { return t.options[band][boards[i][band]].leg }, each)
}

// keep holds on to a better board that the drawer can fill.
func (t *trimmer) keep(b trimBoard) bool {
	if !b.rank.less(t.best.rank) || !t.possible(b.at) {
		return false
	}
	t.best = b.clone()
	return true
}

// effects are the figures of the best board with one band's single options in place
// of its own: by band, option and band.
type effects [][][][3]float64

func (t *trimmer) effects(ctx context.Context) (effects, error) {
	e := make(effects, len(t.Bands))
	for band, options := range t.options {
		if err := ctx.Err(); err != nil {
			return nil, err
		}
		var boards [][]int
		for n := range options {
			if options[n].parts[0] >= 0 {
				break // pairs come last
			}
			at := slices.Clone(t.best.at)
			at[band] = n
			boards = append(boards, at)
		}
		e[band] = make([][][3]float64, len(boards))
		t.take(boards, func(i int, figures [][3]float64) { e[band][i] = slices.Clone(figures) })
	}
	return e, nil
}

// of reckons what an option of a band does to all bands.
func (e effects) of(t *trimmer, band, option int, to [][3]float64) {
	parts := t.options[band][option].parts
	if parts[0] < 0 {
		copy(to, e[band][option])
		return
	}
	for i := range to {
		to[i] = moved(e[band][0][i], e[band][parts[0]][i], e[band][parts[1]][i])
	}
}

// reckon descends over the bands by what is reckoned, until nothing is better.
func (t *trimmer) reckon(e effects) []int {
	at := slices.Clone(t.best.at)
	figures := slices.Clone(t.best.figures)
	best := t.best.rank
	base, of := t.best.figures, make([][3]float64, len(at))
	others, trial := make([][3]float64, len(at)), make([][3]float64, len(at))
	for changed := true; changed; {
		changed = false
		for band := range at {
			e.of(t, band, at[band], of) // take the band's own part of the figures out
			for i := range others {
				others[i] = moved(of[i], figures[i], base[i])
			}
			next := slices.Clone(at)
			for n := range t.options[band] {
				e.of(t, band, n, of)
				for i := range trial {
					trial[i] = moved(base[i], others[i], of[i])
				}
				next[band] = n
				if r := t.rankOf(next, trial); r.less(best) && t.possible(next) {
					best, changed = r, true
					at[band] = n
					copy(figures, trial)
				}
			}
		}
	}
	return at
}

// likely gives the options of a band that are reckoned best on the best board, a
// part that another band has at present among them.
func (t *trimmer) likely(e effects, band, most int) []int {
	type ranked struct {
		option int
		rank
	}
	var list []ranked
	at, figures := slices.Clone(t.best.at), make([][3]float64, len(t.Bands))
	for n := range t.options[band] {
		e.of(t, band, n, figures)
		at[band] = n
		list = append(list, ranked{n, t.rankOf(at, figures)})
	}
	slices.SortStableFunc(list, func(a, b ranked) int {
		switch {
		case a.less(b.rank):
			return -1
		case b.less(a.rank):
			return 1
		}
		return 0
	})
	var options []int
	for _, r := range list[:min(most, len(list))] {
		options = append(options, r.option)
	}
	return options
}

// exchange tries the likely options of every band on the whole circuit.
func (t *trimmer) exchange(ctx context.Context, e effects) (changed bool, err error) {
	for band := range t.Bands {
		if err := ctx.Err(); err != nil {
			return false, err
		}
		var boards [][]int
		for _, n := range t.likely(e, band, trimSolved) {
			at := slices.Clone(t.best.at)
			at[band] = n
			boards = append(boards, at)
		}
		changed = t.tryAll(boards) || changed
	}
	return changed, nil
}

// two is an option for each of two bands, and what they are reckoned to come to.
type two struct {
	at [2]int
	rank
}

// exchangeTwo reckons the likely options of two bands together, and solves the best
// of these whole.
func (t *trimmer) exchangeTwo(e effects) bool {
	var likely [][]int
	for band := range t.Bands {
		likely = append(likely, t.likely(e, band, trimPairs))
	}
	var boards [][]int
	for a := range likely {
		for b := a + 1; b < len(likely); b++ {
			for _, pair := range t.bestTwo(e, [2]int{a, b}, [2][]int{likely[a], likely[b]}) {
				at := slices.Clone(t.best.at)
				at[a], at[b] = pair.at[0], pair.at[1]
				boards = append(boards, at)
			}
		}
	}
	return t.tryAll(boards)
}

// bestTwo gives the pairs of two bands' options that are reckoned best.
func (t *trimmer) bestTwo(e effects, bands [2]int, options [2][]int) (best []two) {
	first, second, both := t.room3(), t.room3(), t.room3()
	at := slices.Clone(t.best.at)
	for _, i := range options[0] {
		e.of(t, bands[0], i, first)
		at[bands[0]] = i
		for _, k := range options[1] {
			e.of(t, bands[1], k, second)
			at[bands[1]] = k
			for n := range both {
				both[n] = moved(t.best.figures[n], first[n], second[n])
			}
			x := two{[2]int{i, k}, t.rankOf(at, both)}
			if len(best) == trimTwo && !x.less(best[trimTwo-1].rank) || !t.possible(at) {
				continue
			}
			place := 0
			for place < len(best) && !x.less(best[place].rank) {
				place++
			}
			best = slices.Insert(best[:min(len(best), trimTwo-1)], place, x)
		}
	}
	return best
}

// room3 has room for the figures of all bands.
func (t *trimmer) room3() [][3]float64 { return make([][3]float64, len(t.Bands)) }

// tryAll solves boards whole and keeps the best.
func (t *trimmer) tryAll(boards [][]int) (changed bool) {
	t.take(boards, func(i int, figures [][3]float64) {
		changed = t.keep(trimBoard{boards[i], figures, t.rankOf(boards[i], figures)}) || changed
	})
	return changed
}
