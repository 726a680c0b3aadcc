package job

// nearest gives the known word that a mistyped one most likely means, "" when
// none is near: at most a third of its letters differ (edit distance of
// Levenshtein 1966). The first of equals wins, so the answer is stable.
func nearest(word string, known []string) string {
	if len(word) > 40 {
		return ""
	}
	best, least := "", len(word)/3+1
	for _, k := range known {
		if d := distance(word, k); d < least || d == least && best == "" && d <= 1 {
			best, least = k, d
		}
	}
	return best
}

// distance counts the bytes to insert, delete or exchange.
func distance(a, b string) int {
	row := make([]int, len(b)+1)
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		left := row[0]
		row[0] = i + 1
		for j := range len(b) {
			up := row[j+1]
			cost := left
			if a[i] != b[j] {
				cost = 1 + min(left, up, row[j])
			}
			left, row[j+1] = up, cost
		}
	}
	return row[len(b)]
}
