package problem

import "strings"

// nearest is the name that a person most likely meant: the one with the fewest single-letter edits (Levenshtein 1966),
// at most a third of its length, the first of equals. It is "" when none is near.
func nearest(wrong string, names []string) string {
	const longest = 64 // beyond that it is no slip of the finger
	if len(wrong) > longest {
		return ""
	}
	best, fewest := "", len(wrong)/3+1
	for _, name := range names {
		if len(name) > longest || name == "" {
			continue
		}
		if edits := editDistance(strings.ToLower(wrong), strings.ToLower(name)); edits < fewest {
			best, fewest = name, edits
		}
	}
	return best
}

func editDistance(a, b string) int {
	row := make([]int, len(b)+1) // edits from a[:i] to each b[:j]
	for j := range row {
		row[j] = j
	}
	for i := range len(a) {
		diagonal := row[0]
		row[0] = i + 1
		for j := range len(b) {
			replace := diagonal
			if a[i] != b[j] {
				replace++
			}
			diagonal = row[j+1]
			row[j+1] = min(replace, row[j+1]+1, row[j]+1)
		}
	}
	return row[len(b)]
}
