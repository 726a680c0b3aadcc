package report

import (
	"strconv"
	"strings"

	"bandwright/bench"
	"bandwright/job"
)

// missing names what the record lacks; it is never passed over.
func (c recordComposer) missing() Section {
	s := Section{ID: "missing", Heading: "What is missing"}
	list := c.with.Record.Missing
	if len(list) == 0 {
		s.Blocks = []Block{text(Plain, "Every entry of the record has been made."), c.unread()}
		return s
	}
	t := &Table{Columns: []Column{{Head: "entry"}, {Head: "of"}, {Head: "", Keep: true}}}
	for _, m := range list {
		t.add("", MissingWords(m), orDash(m.Of), notDone)
	}
	s.Blocks = []Block{text(Look, count(len(list), "entry is missing.", "entries are missing.")), {Table: t}, c.unread()}
	return s
}

// unread names the lists further on in which lines were left out.
func (c recordComposer) unread() Block {
	if len(c.with.Unread) == 0 {
		return text(Plain, "Every line of the lists further on was read.")
	}
	var lists []string
	for _, u := range c.with.Unread {
		lists = append(lists, u.List+" "+strconv.Itoa(u.Lines)+" of "+strconv.Itoa(u.Of))
	}
	return text(Look, "Lines of the lists further on that nobody read say "+notDone+" there: "+strings.Join(lists, "; ")+".")
}

// MissingWords says what an entry is, as the record's headings have it.
func MissingWords(m bench.Missing) string {
	if words, known := missingWords[m.Key]; known {
		return words
	}
	table, key, _ := strings.Cut(m.Key, ".")
	heads := map[string]string{"agreed": "agreed", "found": "as found", "tap_in": "tap-in", "left": "as left", "record": "record", "safety": "safety", "feed": "feed"}
	if head, known := heads[table]; known {
		table = head
	}
	return table + ": " + strings.ReplaceAll(key, "_", " ")
}

// missingWords are those that a key alone does not tell.
var missingWords = map[string]string{
	"amp": "the amplifier, as its plate says", "record.owner": "record: owner's reference", "record.by": "record: who did the work",
	"record.why": "record: why it was done", "record.photo": "record: photos of the cut links",
	"agreed.by": "agreed: by whom", "found.measured": "as found: when", "left.measured": "as left: when",
	"band.coil.measured": "coil, measured", "band.capacitor.measured": "capacitor, measured",
	"feed": "feed: supply and its worst cases", "feed.cold": "feed: the rail read cold", "feed.ripple": "feed: the ripple read on the rail",
	"feed.fuse": "feed: the fuse as marked", "run": "wiring: the runs", "run.state": "run, made", "moved.signed_by": "moved mains part, signed off",
	"fitting.done": "fitting step", "volts.stage": "first volts: stage signed", "reading.ohms": "ring-out: ohms read", "reading.volts": "volts read",
	"curve": "a measured curve", "left.volts": "as left: voltage chart", "left.normal_hum": "as left: normal hum, for the player",
	"left.footswitch": "as left: what the footswitch does, for the player", "safety.by": "safety: read by", "safety.date": "safety: when",
}

// got is how a figure came to be.
type got string

const (
	predicted got = "predicted"
	measured  got = "measured"
	entered   got = "entered"
)

// how says of the figures that others build on how each was got.
func (c recordComposer) how() Section {
	t := &Table{Columns: []Column{{Head: "figure"}, {Head: "value", Number: true}, {Head: "how it was got"}, {Head: "where it stands"}}}
	put := func(group, figure, value string, how got, where string) {
		if value != "" && value != dash {
			t.add(group, figure, value, string(how), where)
		}
	}
	f, l := c.job.Found, c.job.Left
	put("As found and as left", "mains as found", volts(f.Mains), measured, "as found")
	put("As found and as left", "rail as found", volts(f.Rail), measured, "as found")
	put("As found and as left", "mains as left", volts(l.Mains), measured, "as left")
	put("As found and as left", "rail as left", volts(l.Rail), measured, "as left")
	source := c.job.TapIn.SourceOhms
	put("As found and as left", "source at the tap-in", ohms(&source), entered, "tap-in")
	for _, b := range c.job.Bands {
		how, coil := entered, b.Coil.Value
		if b.Coil.MeasuredValue != nil {
			how, coil = measured, *b.Coil.MeasuredValue
		}
		put("Parts", "coil of "+b.Name, coil.Display(4), how, "parts: as marked where not measured")
		how, cap := entered, b.Capacitor.Value
		if b.Capacitor.MeasuredValue != nil {
			how, cap = measured, *b.Capacitor.MeasuredValue
		}
		put("Parts", "capacitor of "+b.Name, cap.Display(4), how, "parts: as marked where not measured")
	}
	c.howBands(put)
	for _, p := range c.answer.Volts.Points {
		if p.Volts != nil && p.Shown != nil && (*p.Volts > 0.1 || *p.Volts < -0.1) {
			put("Direct volts", p.Point, pointVolts(p)+" V", predicted, "direct volts")
		}
	}
	for _, r := range c.job.Readings {
		if r.Taken() {
			put("Readings", r.Kind+" "+readingLeads(r), r.Value, measured, "readings of the job")
		}
	}
	return Section{ID: "how", Heading: "How each figure was got", Blocks: []Block{
		text(Small, "Predicted: from the one circuit of this job. Measured: read on this amplifier. Entered: stated by a person. A predicted figure proves nothing about safety."), {Table: t}}}
}

func (c recordComposer) howBands(put func(group, figure, value string, how got, where string)) {
	for _, b := range c.answer.Bands.Bands {
		put("Bands", "centre of "+b.Band, hertz(b.CentreHz)+" Hz", predicted, "band table")
		put("Bands", "boost of "+b.Band, db1(b.BoostDB), predicted, "band table")
	}
	if c.answer.Compare == nil {
		return
	}
	for _, u := range c.answer.Compare.Units {
		for _, b := range u.Bands {
			put("Bands", "centre of "+b.Band+", "+unitName(u), hertzOr(b.MeasuredHz), measured, "band table, curves")
		}
	}
}

func readingLeads(r job.Reading) string {
	red, black := r.Red, r.Black
	if red == "" {
		red = "output"
	}
	if black == "" {
		black = "ground"
	}
	return red + " to " + black
}
