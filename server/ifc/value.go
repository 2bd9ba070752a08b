package ifc

import (
	"strconv"
	"strings"
)

// Bounds of one statement that is read and not passed over. The longest real ones list the elements of a storey.
const (
	mostValues = 1 << 20
	mostDepth  = 32
	mostText   = 1 << 20
)

type valueKind uint8

const (
	omitted valueKind = iota // $
	derived                  // *
	reference
	number
	text
	enumeration
	list
	typed // IFCLABEL('A101'): the keyword is the text, the value the only one of the list
)

// value is one attribute of an entity.
type value struct {
	kind valueKind
	num  float64 // of a number, or the entity that a reference points at
	text string  // of a text, enumeration (without its dots, upper case) or typed value
	list []value
}

// attributes reads the attributes of a statement and its semicolon.
func (s *scanner) attributes() ([]value, error) {
	if err := s.expect('('); err != nil {
		return nil, err
	}
	values, err := s.list(1)
	if err != nil {
		return nil, err
	}
	return values, s.expect(';')
}

// list reads values up to the closing bracket. The opening one is taken already.
func (s *scanner) list(depth int) ([]value, error) {
	if depth > mostDepth {
		return nil, s.fault("brackets are nested more than %d deep", mostDepth)
	}
	if err := s.space(); err != nil {
		return nil, err
	}
	var values []value
	if s.peek() == ')' {
		s.next()
		return values, nil
	}
	for {
		v, err := s.value(depth)
		if err != nil {
			return nil, err
		}
		values = append(values, v)
		if err := s.space(); err != nil {
			return nil, err
		}
		switch s.peek() {
		case ',':
			s.next()
		case ')':
			s.next()
			return values, nil
		default:
			return nil, s.fault("%s stands where a comma or bracket is expected", s.shown())
		}
	}
}

func (s *scanner) value(depth int) (v value, err error) {
	if s.values++; s.values > mostValues {
		return v, s.fault("the statement has more than %d values", mostValues)
	}
	if err := s.space(); err != nil {
		return v, err
	}
	switch c := s.peek(); {
	case c == '$':
		s.next()
		return v, nil
	case c == '*':
		s.next()
		return value{kind: derived}, nil
	case c == '#':
		id, err := s.number()
		return value{kind: reference, num: float64(id)}, err
	case c == '\'':
		t, err := s.quoted()
		return value{kind: text, text: t}, err
	case c == '"':
		return value{kind: derived}, s.pass('"')
	case c == '.':
		return s.enumeration()
	case c == '(':
		s.next()
		items, err := s.list(depth + 1)
		return value{kind: list, list: items}, err
	case c == '+' || c == '-' || c >= '0' && c <= '9':
		return s.real()
	}
	return s.typed(depth)
}

// enumeration reads .METRE., or .5 for a number that somebody wrote without its zero.
func (s *scanner) enumeration() (value, error) {
	s.next()
	if c := s.peek(); c >= '0' && c <= '9' {
		return s.digits([]byte("0."))
	}
	word := string(s.keyword())
	if s.peek() != '.' || word == "" {
		return value{}, s.fault("%s stands in the middle of an enumeration", s.shown())
	}
	s.next()
	return value{kind: enumeration, text: word}, nil
}

func (s *scanner) real() (value, error) { return s.digits(nil) }

// digits reads the rest of a number, of which the part in hand was read already.
func (s *scanner) digits(part []byte) (value, error) {
	for c := s.peek(); c >= '0' && c <= '9' || c == '.' || c == '+' || c == '-' || c == 'E' || c == 'e'; c = s.peek() {
		if len(part) == 64 {
			return value{}, s.fault("a number has more than 64 digits")
		}
		part = append(part, c)
		s.next()
	}
	n, err := strconv.ParseFloat(string(part), 64)
	if err != nil {
		return value{}, s.fault("%q is no number", part)
	}
	return value{kind: number, num: n}, nil
}

func (s *scanner) typed(depth int) (value, error) {
	word := string(s.keyword())
	if word == "" {
		return value{}, s.fault("%s stands where a value is expected", s.shown())
	}
	if err := s.expect('('); err != nil {
		return value{}, err
	}
	items, err := s.list(depth + 1)
	if err == nil && len(items) != 1 {
		err = s.fault("%s holds %d values, not one", word, len(items))
	}
	return value{kind: typed, text: word, list: items}, err
}

// quoted reads a text with its quotes and decodes it. Line ends inside a text are no part of it, as the standard says.
func (s *scanner) quoted() (string, error) {
	begin := s.line
	s.text = s.text[:0]
	for s.next(); !s.atEnd(); {
		c := s.next()
		if c == '\'' {
			if s.peek() != '\'' {
				return decode(s.text), nil
			}
			s.next()
		}
		if c == '\n' || c == '\r' {
			continue
		}
		if len(s.text) == mostText {
			return "", Fault{Line: begin, Entity: s.entity, Message: "the text that begins here is longer than a million letters", Remedy: exportAgain}
		}
		s.text = append(s.text, c)
	}
	return "", Fault{Line: begin, Entity: s.entity, Message: "the text that begins here does not end", Remedy: exportAgain}
}

// plain takes the type off a value: IFCLABEL('A101') is 'A101'.
func (v value) plain() value {
	for v.kind == typed && len(v.list) == 1 {
		v = v.list[0]
	}
	return v
}

// at is an attribute by its place, omitted where the entity has fewer.
func at(values []value, place int) value {
	if place < len(values) {
		return values[place]
	}
	return value{}
}

// id is the entity that an attribute points at, 0 for none.
func (v value) id() uint32 {
	if v.kind != reference {
		return 0
	}
	return uint32(v.num)
}

// ids are the entities that an attribute points at, one or a list, typed or not.
func (v value) ids() []uint32 {
	v = v.plain()
	if v.kind == reference {
		return []uint32{v.id()}
	}
	var ids []uint32
	for _, item := range v.list {
		if id := item.id(); id != 0 {
			ids = append(ids, id)
		}
	}
	return ids
}

// words is a text or enumeration, "" for anything else.
func (v value) words() string {
	v = v.plain()
	if v.kind == text || v.kind == enumeration {
		return strings.TrimSpace(v.text)
	}
	return ""
}

// amount is a number and whether there is one.
func (v value) amount() (float64, bool) {
	v = v.plain()
	return v.num, v.kind == number
}
