package report

import (
	"fmt"

	"bandwright/finding"
)

// findings is every finding in words, the gravest first.
func (c composer) findings() Section {
	s := Section{ID: "findings", Heading: "Findings"}
	all := distinct(c.found)
	if len(all) == 0 {
		s.Blocks = []Block{text(Plain, "Nothing was found that needs a look.")}
		return s
	}
	list := &List{}
	for _, level := range [...]finding.Level{finding.Error, finding.Warning, finding.Note} {
		for _, f := range all {
			if f.Level != level {
				continue
			}
			w := Word(f)
			item := Item{Term: level.String(), Text: w.Say, Note: w.Hint}
			if w.Place != "" {
				item.Text = w.Place + ": " + w.Say
			}
			if level > finding.Note {
				item.Tone = Look
			}
			list.Items = append(list.Items, item)
		}
	}
	s.Blocks = []Block{{List: list}}
	return s
}

// distinct drops repeats: several questions meet the same finding.
func distinct(all finding.List) finding.List {
	seen := map[string]bool{}
	var kept finding.List
	for _, f := range all {
		key := fmt.Sprint(f.Level, f.Error())
		if !seen[key] {
			seen[key] = true
			kept = append(kept, f)
		}
	}
	return kept
}

// cautions are on every sheet that leads a hand near mains or high tension.
// Common practice, no source.
func (c composer) cautions() Section {
	return Section{ID: "cautions", Heading: "Before a hand goes in", Blocks: []Block{
		text(Danger, "Mains and high tension kill. Local codes and licensed practice come before anything on this sheet. Work on a live amplifier is only for a person competent in it."),
		{List: &List{Items: []Item{
			{Term: "Unplug", Text: "Switched off or on standby, the inlet, fuse, switch, voltage selector and perhaps the pilot lamp are still live. Pull the plug."},
			{Term: "Discharge", Text: "Lethal voltage stays in the filter caps after unplugging. Bleed them down through a resistor, prove dead with a meter just proved live, and leave the discharge clip on while hands are inside: capacitors recover charge."},
			{Term: "Earth", Text: "The safety earth is never lifted. A mains lug that was touched is hooked before it is soldered, sleeved and tug-tested, and the earth is read again."},
			{Term: "Scope", Text: "A scope's clip is earth. It never goes on HT, nor on a floating or bridged output."},
			{Term: "Load", Text: "A valve amplifier is never driven without its load."},
			{Term: "First power", Text: "A variac neither limits current nor isolates. Bring up through a limiter with a filament lamp; volts under the lamp differ from the chart."},
			{Term: "Live readings", Text: "One hand, no jewellery, someone within call."},
			{Term: "Heat", Text: "Droppers, coils and capacitors run hot: keep the dropper on stand-offs, clear of film capacitors."},
			{Term: "Fuse", Text: "Type and rating stay as marked."},
			{Term: "Drilling", Text: "Cover the chassis, drill it unplugged, vacuum, and look for swarf. Cut sheet has sharp edges."},
			{Term: "Lead and etchant", Text: "Gloves, eyes, air; etchant never goes down the drain."},
			{Term: "Return", Text: "Not to be played until earth bond, leakage and insulation are read and recorded. What is printed here is calculated, and proves nothing about safety."},
		}}},
	}}
}

// unknown says what a reader might take this sheet for and should not.
func (c composer) unknown() Section {
	items := []Item{
		{Text: "Hum from the mains transformer into the coils, and hum on the footswitch lead, depend on where things are placed; they are not in these figures."},
		{Text: "Coils are reckoned as linear: inductance and loss that change with level or frequency are not followed beyond the values entered."},
		{Text: "Coils are taken as coupled only where the job says so."},
		{Text: "The rest of the amplifier is only the source and the load stated at the tap-in."},
		{Text: "Parts that were not measured are reckoned at their marked value. What tolerances and readings leave open shows in the ranges of the band table and the shaded plot, nowhere else; parts without a tolerance are held still there."},
		{Text: "Where a band is off, the sheet says what to read next. Two causes can give one curve; it does not name the faulty part."},
	}
	if c.job.Invented {
		items = append([]Item{{Tone: Look, Text: "Every part, reading and curve of this job is invented, to show what a sheet looks like."}}, items...)
	}
	return Section{ID: "unknown", Heading: "What this sheet does not know", Blocks: []Block{{List: &List{Items: items}}}}
}
