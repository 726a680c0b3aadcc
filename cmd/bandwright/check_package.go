package main

import (
	"fmt"
	"runtime"
	"strconv"

	"bandwright/ask"
	"bandwright/finding"
	"bandwright/report"
)

// isPackage tells a package from a job, for the one verb that judges both.
func isPackage(path string) bool {
	text, err := readFile(path)
	return err == nil && report.IsPackage(text)
}

// checkPackage works a package out again and judges it.
func (v checkVerb) checkPackage(d door) error {
	progress, end := d.steps("answers")
	from := ask.From{File: readNamed, Workers: runtime.GOMAXPROCS(0), Program: programName + version, Progress: progress}
	answer, found, err := ask.Rebuild{File: v.Job}.Ask(d.ctx, from)
	end()
	if err = v.give(d, answer, found, err, func() error { return printRebuilt(d, answer) }); err != nil {
		return err
	}
	if !answer.Whole || !answer.Same {
		return judge(finding.Warning)
	}
	return nil
}

func printRebuilt(d door, a *ask.RebuildAnswer) error {
	fmt.Fprintf(d.out, "%s: %q, made with %s, worked out again with %s\ncheck-sum %s\n", a.File, a.Title, a.MadeWith, a.Program, a.Sum)
	t := names(d.out, "answer", "figures", "differ")
	for _, one := range a.Answers {
		differ := strconv.Itoa(one.Differs)
		if one.Identical {
			differ = "none, to the letter"
		}
		t.row(one.File, strconv.Itoa(one.Figures), differ)
	}
	if err := t.flush(); err != nil {
		return err
	}
	for _, one := range a.Answers {
		for _, f := range one.First {
			fmt.Fprintf(d.out, "  %s %s: packed %s, now %s\n", one.File, f.Path, f.Packed, f.Now)
		}
	}
	switch {
	case !a.Whole:
		fmt.Fprintln(d.out, "The package is not as it was handed over; the files are named below.")
	case a.Same:
		fmt.Fprintln(d.out, "The package is whole, and every figure comes out again.")
	default:
		fmt.Fprintln(d.out, "The package is whole; not every figure comes out again.")
	}
	return nil
}
