package ask

import (
	"encoding/json"
	"fmt"
	"maps"
	"slices"
	"strconv"
)

// Two figures are the same within this share of the larger, or when both are
// as good as nothing: what is left of rounding is another on another machine.
const (
	sameWithin = 1e-6
	asNothing  = 1e-14
)

// differing is what two replies do not have alike.
type differing struct {
	figures, count int
	first          []Different
}

// figuresIn counts the numbers of a reply.
func figuresIn(text []byte) int {
	d, err := differences(text, text)
	if err != nil {
		return 0
	}
	return d.figures
}

// differences holds two replies against each other. What a finding says in
// words is not compared: its words are another version's to choose.
func differences(packed, now []byte) (differing, error) {
	d := differing{first: []Different{}}
	var a, b map[string]any
	if err := json.Unmarshal(packed, &a); err != nil {
		return d, fmt.Errorf("it is no reply: %w", err)
	}
	if err := json.Unmarshal(now, &b); err != nil {
		return d, err
	}
	d.hold("answer", a["answer"], b["answer"], 0)
	return d, nil
}

// hold walks two values side by side; whole is the size of what a figure is a
// share of, 0 where it stands for itself.
func (d *differing) hold(path string, a, b any, whole float64) {
	switch a := a.(type) {
	case map[string]any:
		if b, is := b.(map[string]any); is {
			d.tables(path, a, b, whole)
			return
		}
	case []any:
		if b, is := b.([]any); is {
			d.lists(path, a, b, whole)
			return
		}
	case float64:
		d.figures++
		if b, is := b.(float64); is && alike(a, b, whole) {
			return
		}
	default:
		if a == b {
			return
		}
	}
	d.note(path, a, b)
}

func (d *differing) tables(path string, a, b map[string]any, whole float64) {
	whole = max(whole, wholeOf(a))
	for _, key := range slices.Sorted(maps.Keys(a)) {
		d.hold(path+"."+key, a[key], b[key], whole)
	}
}

func (d *differing) lists(path string, a, b []any, whole float64) {
	if len(a) != len(b) {
		d.note(path, fmt.Sprint(len(a), " entries"), fmt.Sprint(len(b), " entries"))
		return
	}
	for i := range a {
		d.hold(path+"["+strconv.Itoa(i)+"]", a[i], b[i], whole)
	}
}

// wholeOf gives the size of the figure that a table shares a difference of out:
// the shares are known to as many digits as it is, however small they are.
func wholeOf(table map[string]any) float64 {
	from, is := table["from"].(float64)
	to, has := table["to"].(float64)
	if _, shares := table["explained"]; !is || !has || !shares {
		return 0
	}
	if table["relative"] == true { // its shares are fractions of it
		return 1
	}
	return max(from, -from, to, -to)
}

func (d *differing) note(path string, a, b any) {
	d.count++
	if len(d.first) < mostShown {
		d.first = append(d.first, Different{path, shown(a), shown(b)})
	}
}

// shown writes a value short enough for a line.
func shown(v any) string {
	text, err := json.Marshal(v)
	if err != nil {
		panic("ask: " + err.Error())
	}
	const most = 60
	if len(text) > most {
		return string(text[:most]) + "…"
	}
	return string(text)
}

func alike(a, b, whole float64) bool {
	size := max(a, -a, b, -b, whole)
	off := max(a-b, b-a)
	return off <= sameWithin*size || size <= asNothing
}
