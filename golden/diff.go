package golden

import (
	"bytes"
	"fmt"
	"strings"
)

const (
	mostLines = 60      // shown of one diff
	mostCells = 4 << 20 // of the comparison table; larger texts get a plain report
)

// diff shows how got departs from want: line by line for text, by the first
// differing byte for anything else.
func diff(want, got []byte) string {
	if bytes.IndexByte(want, 0) >= 0 || bytes.IndexByte(got, 0) >= 0 {
		return firstByte(want, got)
	}
	a, b := splitLines(want), splitLines(got)
	skip := 0
	for skip < len(a) && skip < len(b) && a[skip] == b[skip] {
		skip++
	}
	a, b = a[skip:], b[skip:]
	for len(a) > 0 && len(b) > 0 && a[len(a)-1] == b[len(b)-1] {
		a, b = a[:len(a)-1], b[:len(b)-1]
	}
	if len(a)*len(b) > mostCells {
		return fmt.Sprintf("from line %d: %d lines became %d", skip+1, len(a), len(b))
	}
	return shorten(walk(a, b, skip))
}

// walk lists the changed lines by the longest common subsequence.
func walk(a, b []string, skip int) []string {
	common := commonTails(a, b)
	var lines []string
	for i, j := 0, 0; i < len(a) || j < len(b); {
		switch {
		case i < len(a) && j < len(b) && a[i] == b[j]:
			i, j = i+1, j+1
		case i < len(a) && (j == len(b) || common[i+1][j] >= common[i][j+1]):
			lines = append(lines, fmt.Sprintf("%5d - %s", skip+i+1, visible(a[i])))
			i++
		default:
			lines = append(lines, fmt.Sprintf("%5d + %s", skip+j+1, visible(b[j])))
			j++
		}
	}
	return lines
}

// commonTails[i][j] is the length of the longest common subsequence of a[i:]
// and b[j:].
func commonTails(a, b []string) [][]int {
	table := make([][]int, len(a)+1)
	for i := range table {
		table[i] = make([]int, len(b)+1)
	}
	for i := len(a) - 1; i >= 0; i-- {
		for j := len(b) - 1; j >= 0; j-- {
			if a[i] == b[j] {
				table[i][j] = table[i+1][j+1] + 1
			} else {
				table[i][j] = max(table[i+1][j], table[i][j+1])
			}
		}
	}
	return table
}

func shorten(lines []string) string {
	if len(lines) > mostLines {
		more := len(lines) - mostLines
		lines = append(lines[:mostLines:mostLines], fmt.Sprintf("… and %d more lines", more))
	}
	return strings.Join(lines, "\n")
}

func splitLines(text []byte) []string {
	return strings.SplitAfter(string(text), "\n")
}

// visible drops the line's end and shows what the eye would miss.
func visible(line string) string {
	trimmed, hadEnd := strings.CutSuffix(line, "\n")
	if !hadEnd {
		trimmed += "⟨no line end⟩"
	}
	return strings.NewReplacer("\r", "⟨CR⟩", "\t", "⟨TAB⟩").Replace(trimmed)
}

func firstByte(want, got []byte) string {
	at := 0
	for at < len(want) && at < len(got) && want[at] == got[at] {
		at++
	}
	return fmt.Sprintf("%d bytes became %d; first difference at byte %d", len(want), len(got), at)
}
