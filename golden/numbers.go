package golden

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"
)

// Tolerance is how far a number may lie from the one on file:
// |got − want| ≤ Abs + Rel·|want|. Abs matters where a figure is zero but for
// rounding.
type Tolerance struct {
	Rel float64 // of the figure on file
	Abs float64 // in the figure's own unit
}

// number finds decimal numbers wherever they stand in a text. It is compiled
// once and never changed.
var number = regexp.MustCompile(`[-+]?(?:\d+\.?\d*|\.\d+)(?:[eE][-+]?\d+)?`)

// mostNumbers bounds how many differing numbers are shown.
const mostNumbers = 20

// compareNumbers gives "" when the texts agree, else what is wrong.
func compareNumbers(want, got []byte, tol Tolerance) string {
	wantAt, gotAt := number.FindAllIndex(want, -1), number.FindAllIndex(got, -1)
	if number.ReplaceAllString(string(want), "#") != number.ReplaceAllString(string(got), "#") {
		return diff(want, got)
	}
	// Equal texts around the numbers mean equally many numbers.
	var wrong []string
	for i := range wantAt {
		w := string(want[wantAt[i][0]:wantAt[i][1]])
		g := string(got[gotAt[i][0]:gotAt[i][1]])
		if !near(w, g, tol) {
			wrong = append(wrong, fmt.Sprintf("line %d: number %s became %s", lineOf(got, gotAt[i][0]), w, g))
		}
	}
	if len(wrong) > mostNumbers {
		wrong = append(wrong[:mostNumbers], fmt.Sprintf("… and %d more", len(wrong)-mostNumbers))
	}
	return strings.Join(wrong, "\n")
}

// near compares two decimal texts. What a float64 cannot hold is compared as
// text, so an overflow never passes as "equal infinities".
func near(want, got string, tol Tolerance) bool {
	if want == got {
		return true
	}
	w, errW := strconv.ParseFloat(want, 64)
	g, errG := strconv.ParseFloat(got, 64)
	if errW != nil || errG != nil {
		return false
	}
	return abs(g-w) <= tol.Abs+tol.Rel*abs(w)
}

func abs(x float64) float64 {
	if x < 0 {
		return -x
	}
	return x
}

func lineOf(text []byte, offset int) int {
	return 1 + strings.Count(string(text[:offset]), "\n")
}
