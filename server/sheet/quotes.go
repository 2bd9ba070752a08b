package sheet

import "strings"

// maxQuotedLines bounds a quoted field that runs over line ends, so that one stray quote does not swallow the file.
const maxQuotedLines = 60

// splitter cuts records off the front of rest. In this trade a quote is three things: the bracket of RFC 4180, an inch
// mark, and a ditto mark. The strict reading (RFC 4180, except that a quote inside an unquoted field is an inch mark)
// is taken when it makes sense; else the line is cut by cutLine, which can tell the three apart in most files.
type splitter struct {
	rest      string
	separator byte
	columns   int // commonest number of fields, 0 if unknown
}

func (s *splitter) record() []string {
	line, after, _ := strings.Cut(s.rest, "\n")
	if strings.IndexByte(line, '"') < 0 {
		s.rest = after
		return strings.Split(line, string(rune(s.separator)))
	}
	strict, rest, ok := s.strict()
	if ok && s.trust(strict, line, rest, after) {
		s.rest = rest
		return strict
	}
	s.rest = after
	return cutLine(line, s.separator)
}

// trust decides between the strict reading and the tolerant one. A strict field that begins with a separator is nearly
// always two ditto marks with the separator between them: ",". A strict reading with another number of fields than
// the rest of the file, where the tolerant one fits, is wrong.
func (s *splitter) trust(strict []string, line, rest, after string) bool {
	tolerant := cutLine(line, s.separator)
	if s.columns > 0 && len(tolerant) == s.columns && len(strict) != s.columns {
		return false
	}
	fits := s.columns > 0 && len(strict) == s.columns
	for _, field := range strict {
		if !fits && field != "" && field[0] == s.separator {
			return false
		}
	}
	return fits || len(rest) == len(after) || len(tolerant) <= len(strict)
}

// strict reads one record by RFC 4180. ok is false when a quoted field does not end in a quote before a separator or
// line end.
func (s *splitter) strict() (fields []string, rest string, ok bool) {
	rest = s.rest
	for {
		var field string
		if strings.HasPrefix(rest, `"`) {
			field, rest, ok = quoted(rest[1:])
			if !ok {
				return nil, s.rest, false
			}
		} else {
			end := strings.IndexAny(rest, string(rune(s.separator))+"\n")
			if end < 0 {
				end = len(rest)
			}
			field, rest = rest[:end], rest[end:]
		}
		fields = append(fields, field)
		switch {
		case rest == "":
			return fields, rest, true
		case rest[0] == '\n':
			return fields, rest[1:], true
		case rest[0] != s.separator:
			return nil, s.rest, false
		}
		rest = rest[1:]
	}
}

// quoted reads up to the closing quote, doubled quotes standing for one.
func quoted(s string) (field, rest string, ok bool) {
	var b strings.Builder
	lines := 0
	for i := 0; i < len(s); i++ {
		if s[i] == '\n' {
			if lines++; lines > maxQuotedLines {
				return "", s, false
			}
		}
		if s[i] != '"' {
			b.WriteByte(s[i])
			continue
		}
		if i+1 >= len(s) || s[i+1] != '"' {
			return b.String(), s[i+1:], true
		}
		b.WriteByte('"')
		i++
	}
	return "", s, false
}

// cutLine cuts one line by tolerant rules. A quote opens a field only at its start, and only if a later quote stands
// before a separator or the line's end; any other quote is text. A quote alone between separators is a ditto mark.
func cutLine(line string, separator byte) []string {
	var fields []string
	for {
		field, rest, more := cutField(line, separator)
		fields = append(fields, field)
		if !more {
			return fields
		}
		line = rest
	}
}

func cutField(line string, separator byte) (field, rest string, more bool) {
	if len(line) > 1 && line[0] == '"' && line[1] != separator {
		if field, rest, more, ok := cutQuoted(line, separator); ok {
			return field, rest, more
		}
	}
	end := strings.IndexByte(line, separator)
	if end < 0 {
		return line, "", false
	}
	return line[:end], line[end+1:], true
}

// cutQuoted looks for the run of quotes that closes the field: the first one that stands before a separator or the end.
// Of n quotes the last closes and each two before it stand for one; an even run, which RFC 4180 would read as no close
// at all, is taken as inch marks and a close.
func cutQuoted(line string, separator byte) (field, rest string, more, ok bool) {
	for i := 1; i < len(line); i++ {
		if line[i] != '"' {
			continue
		}
		end := i
		for end < len(line) && line[end] == '"' {
			end++
		}
		if end == len(line) || line[end] == separator {
			inner := strings.ReplaceAll(line[1:i], `""`, `"`) + strings.Repeat(`"`, (end-i)/2)
			if end == len(line) {
				return inner, "", false, true
			}
			return inner, line[end+1:], true, true
		}
		i = end - 1
	}
	return "", "", false, false
}
