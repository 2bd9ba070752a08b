package importing

import (
	"fmt"
	"regexp"
	"strconv"
	"strings"

	"jambwright/scheduler/length"
)

// maxExpansion bounds how many openings one row may stand for.
const maxExpansion = 500

var (
	numberRange = regexp.MustCompile(`^((?:[A-Za-z0-9]*[-. ])?[A-Za-z]*)(\d+)\s*(?:-|to|thru|through|\.\.\.?)\s*((?:[A-Za-z0-9]*[-. ])?[A-Za-z]*)(\d+)$`)
	letterRange = regexp.MustCompile(`^(.*?\d[-. ]?)([A-Za-z])\s*(?:-|to|thru|through|\.\.\.?)\s*(.*?)([A-Za-z])$`)
	plainRange  = regexp.MustCompile(`^([A-Za-z])\s*(?:-|to|thru|through|\.\.\.?)\s*([A-Za-z])$`)
	eatenMark   = regexp.MustCompile(`^\d(?:\.\d+)?[eE]\+\d{2,3}$`)
	countTail   = regexp.MustCompile(`^(.+?)\s*\(\s*x?\s*(\d{1,3})\s*(?:ea|total|pcs|no)?\.?\s*\)$`)
	separators  = regexp.MustCompile(`\s*(?:,|;|&|\+|\n|\band\b)\s*`)
	slashes     = regexp.MustCompile(`\s*/\s*`)
	letterTail  = regexp.MustCompile(`^[A-Za-z]$`)
)

// readMarks returns the marks that one cell names, given the row's quantity (0 where the sheet has none).
//
//	101            101                     101-106        101 102 103 104 105 106
//	101A-C         101A 101B 101C          101, 103-105   101 103 104 105
//	101-1          101-1, not a range: it does not ascend
//	101/102        two marks with quantity 2, else a question: it may be the door between two rooms
//
// A quantity that differs from the number of marks is a fault. A single mark with a quantity above one gets numbered
// marks, 101/1 101/2 101/3, and numbered reports it.
func readMarks(text string, quantity int) (marks []string, numbered bool, err error) {
	text = strings.TrimSpace(text)
	if m := countTail.FindStringSubmatch(text); m != nil && (quantity == 0 || quantity == number(m[2])) && number(m[2]) > 1 {
		if marks, _, err := expandMarks(m[1]); err == nil && len(marks) == number(m[2]) {
			return marks, false, nil // 101-106 (6)
		}
	}
	if eatenMark.MatchString(text) {
		return nil, false, refuse("format the column as text and type the mark again", "the spreadsheet program has read the mark as a number")
	}
	marks, unsure, err := expandMarks(text)
	if err != nil {
		return nil, false, err
	}
	if unsure && quantity != len(marks) {
		if quantity == 1 {
			return []string{text}, false, nil
		}
		return nil, false, refuse(fmt.Sprintf("write the marks with commas between them, or quantity %d or 1 beside it", len(marks)),
			"it may be one mark or %d", len(marks))
	}
	switch {
	case quantity == 0 || quantity == len(marks):
		return marks, false, nil
	case len(marks) > 1:
		return nil, false, refuse("correct the one or the other", "%s names %d marks, but the quantity is %d", text, len(marks), quantity)
	case numberRange.MatchString(length.Plain(text)):
		return nil, false, refuse("write the range from low to high with as many digits, or each mark with commas between them",
			"%s may be a range of marks that does not ascend", text)
	case quantity > maxExpansion:
		return nil, false, refuse("give each opening its mark", "quantity %d is more than %d in one row", quantity, maxExpansion)
	}
	marks = marks[:0]
	for i := range quantity {
		marks = append(marks, text+"/"+strconv.Itoa(i+1))
	}
	return marks, true, nil
}

// expandMarks splits lists and ranges. unsure means that the text may as well be a single mark.
func expandMarks(text string) (marks []string, unsure bool, err error) {
	parts := separators.Split(text, -1)
	if slashed := slashes.Split(text, -1); len(parts) == 1 && len(slashed) > 1 {
		parts, unsure = slashed, true
	}
	for i, part := range parts {
		part = strings.TrimSpace(part)
		if part == "" {
			return nil, false, refuse("write the marks with single commas between them", "the list of marks has a gap")
		}
		if i > 0 && letterTail.MatchString(part) && len(marks) > 0 { // 101A, B, C
			if stem := strings.TrimRight(marks[0], "abcdefghijklmnopqrstuvwxyzABCDEFGHIJKLMNOPQRSTUVWXYZ"); len(stem) == len(marks[0])-1 {
				part = stem + part
			}
		}
		more, doubt, err := expandRange(part)
		if err != nil {
			return nil, false, err
		}
		unsure = unsure || doubt
		if marks = append(marks, more...); len(marks) > maxExpansion {
			return nil, false, refuse("split the row", "it names more than %d marks", maxExpansion)
		}
	}
	return marks, unsure, nil
}

// expandRange spells out 101-106, D-201 thru D-206, 101A-C, 101A-101C, A-C. What does not ascend is a single mark.
func expandRange(part string) (marks []string, unsure bool, err error) {
	plain := length.Plain(part)
	if m := numberRange.FindStringSubmatch(plain); m != nil && (m[3] == "" || m[3] == m[1]) {
		marks, unsure, err := numbersBetween(part, m[1], m[2], m[4])
		return marks, unsure && m[3] == "", err
	}
	if m := letterRange.FindStringSubmatch(plain); m != nil && (m[3] == "" || m[3] == m[1]) {
		return lettersBetween(part, m[1], m[2], m[4]), false, nil
	}
	if m := plainRange.FindStringSubmatch(plain); m != nil {
		return lettersBetween(part, "", m[1], m[2]), true, nil
	}
	return []string{part}, false, nil
}

// numbersBetween counts from one number to another of as many digits. With one or two digits it may also be floor and
// door, 01-10, so that only a quantity makes sure.
func numbersBetween(part, prefix, from, to string) ([]string, bool, error) {
	first, err1 := strconv.Atoi(from)
	last, err2 := strconv.Atoi(to)
	if err1 != nil || err2 != nil || len(from) != len(to) || last <= first {
		return []string{part}, false, nil
	}
	if last-first >= maxExpansion {
		return nil, false, refuse("split the row", "%s would be %d marks, more than %d", part, last-first+1, maxExpansion)
	}
	var marks []string
	for n := first; n <= last; n++ {
		marks = append(marks, fmt.Sprintf("%s%0*d", prefix, len(from), n))
	}
	return marks, len(from) < 3, nil
}

func lettersBetween(part, stem, from, to string) []string {
	a, z := from[0], to[0]
	sameCase := (a >= 'a') == (z >= 'a')
	if !sameCase || z <= a {
		return []string{part}
	}
	var marks []string
	for c := a; c <= z; c++ {
		marks = append(marks, stem+string(rune(c)))
	}
	return marks
}
