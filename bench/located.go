package bench

import (
	"slices"
	"strings"

	"bandwright/finding"
	"bandwright/job"
)

// located gives what the engines found the place in the file it comes from:
// the line of the [[part]] that is named, or of the first that has the point.
// What a band makes gets the band's name, what has no place at all the file's.
// The list itself is left as it was.
func located(list finding.List, j *job.Job, file string) finding.List {
	list = slices.Clone(list)
	for i := range list {
		at := &list[i].Place
		if at.File != "" {
			continue
		}
		written := slices.IndexFunc(j.Parts, func(p job.Part) bool { return concerns(*at, p) })
		switch {
		case at.Line > 0:
			at.File = file
		case written >= 0:
			at.File, at.Line, at.Part = file, j.Parts[written].Line, j.Parts[written].Name
		case harnessLine(*at, j) > 0:
			at.File, at.Line = file, harnessLine(*at, j)
		case at.Part != "" && at.Band == "":
			at.Band = bandWith(j, at.Part)
		case *at == finding.Place{}:
			at.File = file
		}
	}
	return list
}

// concerns says whether a place is a [[part]] or a point of it.
func concerns(at finding.Place, p job.Part) bool {
	if at.Part != "" {
		return at.Part == p.Name
	}
	return at.Point != "" && slices.Contains(p.Points, at.Point)
}

// bandWith names the band that makes a part, "" when none does.
func bandWith(j *job.Job, part string) string {
	for _, b := range j.Bands {
		end, ok := strings.CutPrefix(part, b.Name)
		if ok && slices.Contains([]string{"", ".resistor", ".coil", ".capacitor"}, end) {
			return b.Name
		}
	}
	return ""
}

// harnessLine gives the line of the run, link, switch or jack that a place
// concerns, or of the first run that ends at its point; 0: none, or not known.
func harnessLine(at finding.Place, j *job.Job) int {
	begins := func(name string) bool { return at.Part == name || strings.HasPrefix(at.Part, name+".") }
	for _, r := range j.Runs {
		if begins("run."+r.Name) || at.Part == "" && at.Point != "" && slices.Contains([]string{r.From, r.To, r.ScreenFrom, r.ScreenTo}, at.Point) {
			return r.Line
		}
	}
	for _, l := range j.Links {
		if begins("link." + l.Name) {
			return l.Line
		}
	}
	for _, s := range j.Switches {
		if at.Part != "" && begins(s.Name) {
			return s.Line
		}
	}
	for _, k := range j.Jacks {
		if at.Part != "" && begins(k.Name) {
			return k.Line
		}
	}
	return 0
}
