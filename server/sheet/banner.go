package sheet

import (
	"regexp"
	"strings"
	"unicode/utf8"
)

// Patterns of lone rows, matched against lower-case text with outer decoration and white space removed.
var (
	numbered     = `(?:\d{1,3}[a-z]?|one|two|three|four|five|six|seven|eight|nine|ten|eleven|twelve|[a-d]|[ivx]{1,4})`
	ordinal      = `(?:\d{1,3}(?:st|nd|rd|th)|ground|first|second|third|fourth|fifth|sixth|seventh|eighth|ninth|tenth|upper|lower|main|top|basement|mezzanine|roof|sub-?basement)`
	floorWord    = `(?:levels?|lvl|floors?|flr|fl|storey|story)`
	levelPattern = regexp.MustCompile(`^(?:` + floorWord + `[\s.:#-]*(?:no\.? *)?` + numbered + `|l[\s.-]?\d{1,3}|` + ordinal + `[\s-]+` + floorWord +
		`|basement(?: \d)?|mezzanine|mezz|penthouse|roof|ground|` + floorWord + `[\s.:-]*` + ordinal + `)$`)
	areaPattern = regexp.MustCompile(`^(?:(?:zone|area|wing|phase|sector|quadrant|block|building|bldg|tower|suite|pour|sequence)[\s.:#-]*[\w .&/-]{1,40}` +
		`|[\w .&/-]{1,40}\s(?:zone|area|wing|tower|building|bldg|side|quadrant|suite))$`)
	totalPattern = regexp.MustCompile(`\b(?:sub[- ]?)?totals?\b|^(?:sum|count)\b`)
	pagePattern  = regexp.MustCompile(`^(?:page|sheet|pg\.?) ?\d+(?: ?(?:of|/) ?\d+)?$`)
	notePattern  = regexp.MustCompile(`^(?:approved by|reviewed by|signature|signed|project\b|job\b|architect|contractor\b|client\b|\(?\*|notes?\b|general notes?\b|legend\b|abbreviations?\b|key\b|remarks?:|revisions?\b|rev\b|end of |prepared by|` +
		`drawn by|checked by|printed|page \d|sheet \d|see |all dim|dimensions |continued|cont\b|cont'd)`)
	grandTotal  = regexp.MustCompile(`^(?:grand |project |overall )?totals?\b`)
	endPattern  = regexp.MustCompile(`^(?:summary\b|recap\b|notes?\b|general notes?\b|legend\b|abbreviations?\b|revisions?\b|key\b|end of )`)
	voidPattern = regexp.MustCompile(`^(?:number |mark |opening )?(?:not used|deleted?|void(?:ed)?|omit(?:ted)?|not in use|unused|cancell?ed)\.?$`)
	tailNoise   = regexp.MustCompile(`[\s(]*(?:continued|cont\.?|cont'd|con't)\)?$`)
	listNoise   = regexp.MustCompile(`\s+(?:openings?|doors?|(?:door|opening|frame|glazing) schedule|schedule)$`)
)

// Banner is what a lone row announces for the rows below it.
type Banner struct{ Level, Area string }

// readBanner reads LEVEL 2, 2ND FLOOR, L2, MEZZANINE; ZONE B, EAST WING; and both together: LEVEL 2 - EAST WING. The
// wording is kept as written, without decoration and "continued".
func readBanner(text string) (Banner, bool) {
	text = undecorate(text)
	if utf8.RuneCountInString(text) > 60 {
		return Banner{}, false
	}
	if levelPattern.MatchString(strings.ToLower(text)) {
		return Banner{Level: text}, true
	}
	for i, r := range text {
		if !strings.ContainsRune("-–—:,/(|", r) {
			continue
		}
		head := undecorate(text[:i])
		if levelPattern.MatchString(strings.ToLower(head)) {
			return Banner{Level: head, Area: undecorate(text[i+utf8.RuneLen(r):])}, true
		}
	}
	if areaPattern.MatchString(strings.ToLower(text)) {
		return Banner{Area: text}, true
	}
	return Banner{}, false
}

// LevelName reports whether a text is the name of a level and nothing else, as the name of a worksheet may be.
func LevelName(text string) bool {
	b, ok := readBanner(text)
	return ok && b.Level != "" && b.Area == ""
}

// undecorate takes rules, brackets and trailing colons off a banner, then what only says that a list goes on.
func undecorate(text string) string {
	const marks = " \t-–—=*_~:.#<>[](){}|/\\•"
	text = strings.Trim(oneLine(text), marks)
	lower := strings.ToLower(text)
	for _, noise := range []*regexp.Regexp{tailNoise, listNoise} {
		if at := noise.FindStringIndex(lower); at != nil && at[0] > 0 && len(lower) == len(text) {
			text, lower = text[:at[0]], lower[:at[0]]
		}
	}
	return strings.Trim(text, marks)
}

func isTotal(text string) bool {
	return totalPattern.MatchString(strings.ToLower(strings.Trim(oneLine(text), " -*=:")))
}

// isGrandTotal tells the total of the whole list from those of its parts.
func isGrandTotal(text string) bool {
	return grandTotal.MatchString(strings.ToLower(strings.Trim(oneLine(text), " -*=:")))
}
func isPage(text string) bool { return pagePattern.MatchString(strings.ToLower(oneLine(text))) }
func isNote(text string) bool { return notePattern.MatchString(strings.ToLower(oneLine(text))) }
func endsList(text string) bool {
	return endPattern.MatchString(strings.ToLower(strings.Trim(oneLine(text), " -*=:")))
}

func isVoid(text string) bool {
	return voidPattern.MatchString(strings.ToLower(strings.Trim(oneLine(text), " -*()[]")))
}

// dittoMark reports whether a cell repeats the one above, and gives the mark as written.
func dittoMark(text string) (string, bool) {
	if text == "" || len(text) > 20 {
		return "", false
	}
	bare := strings.ToLower(strings.Trim(text, " -–—._=()"))
	switch strings.ReplaceAll(bare, " ", "") {
	case `"`, `""`, `''`, "”", "“", "″", "〃", "''''", `"""`, "””", "do", "ditto", "same", "sameasabove", "asabove", "↓", "´´", "``", "’’", "‘‘", "′′":
		return text, true
	}
	return "", false
}
