package ifc

import (
	"bytes"
	"errors"
	"fmt"
	"io"
)

// bufferBytes is how much of a file is held at a time.
const bufferBytes = 256 << 10

// scanner hands out the bytes of a file one by one and counts lines. At the end of the file, and after a failed read, it
// hands out zeros; err tells the two apart.
type scanner struct {
	src    io.Reader
	buf    []byte
	pos    int
	line   int
	ended  bool
	err    error    // of the source
	entity uint32   // the statement being read, for faults; 0 for those without a number
	word   [64]byte // scratch for keywords
	text   []byte   // scratch for strings
	values int      // read of the statement
}

func newScanner(src io.Reader) *scanner {
	return &scanner{src: src, buf: make([]byte, 0, bufferBytes), line: 1}
}

// fill reads the next part of the file and reports whether there is one.
func (s *scanner) fill() bool {
	for idle := 0; !s.ended; idle++ {
		n, err := s.src.Read(s.buf[:cap(s.buf)])
		s.buf, s.pos = s.buf[:n], 0
		if err == nil && n == 0 && idle > 100 {
			err = io.ErrNoProgress
		}
		if err != nil {
			s.ended = true
			if !errors.Is(err, io.EOF) {
				s.err = err
			}
		}
		if n > 0 {
			return true
		}
	}
	s.buf, s.pos = s.buf[:0], 0
	return false
}

// atEnd reports whether nothing is left.
func (s *scanner) atEnd() bool { return s.pos >= len(s.buf) && !s.fill() }

// peek is the next byte, 0 at the end.
func (s *scanner) peek() byte {
	if s.pos >= len(s.buf) && !s.fill() {
		return 0
	}
	return s.buf[s.pos]
}

// next takes the next byte, 0 at the end.
func (s *scanner) next() byte {
	c := s.peek()
	if s.pos < len(s.buf) {
		s.pos++
		if c == '\n' {
			s.line++
		}
	}
	return c
}

// fault makes a fault at the present line.
func (s *scanner) fault(format string, args ...any) error {
	return Fault{Line: s.line, Entity: s.entity, Message: fmt.Sprintf(format, args...), Remedy: exportAgain}
}

// space passes over white space and comments.
func (s *scanner) space() error {
	for {
		switch s.peek() {
		case ' ', '\t', '\n', '\r', '\f', '\v':
			s.next()
		case '/':
			if err := s.comment(); err != nil {
				return err
			}
		default:
			return nil
		}
	}
}

func (s *scanner) comment() error {
	begin := s.line
	s.next()
	if s.next() != '*' {
		return s.fault("a stroke stands outside of texts and comments")
	}
	for !s.atEnd() {
		if s.next() == '*' && s.peek() == '/' {
			s.next()
			return nil
		}
	}
	return Fault{Line: begin, Entity: s.entity, Message: "the comment that begins here does not end", Remedy: exportAgain}
}

// statement is the beginning of a statement: an entity with its number, or a keyword of the file's frame with number 0.
type statement struct {
	id   uint32
	line int
	word []byte // the keyword in upper case, valid until the next statement; empty for several types at once, which IFC does not use
}

// statement reads up to the bracket or semicolon after the keyword. It returns io.EOF at the end.
func (s *scanner) statement() (st statement, err error) {
	s.entity, s.values = 0, 0
	if err := s.space(); err != nil {
		return st, err
	}
	if s.atEnd() {
		return st, io.EOF
	}
	st.line = s.line
	if s.peek() == '#' {
		if st.id, err = s.number(); err != nil {
			return st, err
		}
		s.entity = st.id
		if err := s.expect('='); err != nil {
			return st, err
		}
	}
	if err := s.space(); err != nil {
		return st, err
	}
	if st.id != 0 && s.peek() == '(' {
		return st, nil
	}
	st.word = s.keyword()
	if len(st.word) == 0 {
		return st, s.fault("%s stands where a keyword is expected", s.shown())
	}
	return st, nil
}

// expect takes one mark, white space before it aside. Any other mark stays where it is.
func (s *scanner) expect(mark byte) error {
	if err := s.space(); err != nil {
		return err
	}
	if s.peek() != mark {
		return s.fault("%s stands where %q is expected", s.shown(), mark)
	}
	s.next()
	return nil
}

// shown is the next byte in words.
func (s *scanner) shown() string {
	if s.atEnd() {
		return "the end of the file"
	}
	return fmt.Sprintf("%q", s.peek())
}

// number reads #123.
func (s *scanner) number() (uint32, error) {
	s.next()
	n, digits := uint64(0), 0
	for c := s.peek(); c >= '0' && c <= '9'; c = s.peek() {
		n = n*10 + uint64(c-'0')
		if n > 1<<32-1 {
			return 0, s.fault("an entity number is larger than %d", uint32(1<<32-1))
		}
		digits++
		s.next()
	}
	if digits == 0 || n == 0 {
		return 0, s.fault("a # without an entity number")
	}
	return uint32(n), nil
}

// keyword reads letters, digits, dashes and underscores into the scratch word, in upper case. A longer word than any of
// the standard is cut.
func (s *scanner) keyword() []byte {
	n := 0
	for {
		c := s.peek()
		switch {
		case c >= 'a' && c <= 'z':
			c -= 'a' - 'A'
		case c >= 'A' && c <= 'Z', c >= '0' && c <= '9', c == '_', c == '-', c == '!' && n == 0:
		default:
			return s.word[:n]
		}
		if n < len(s.word) {
			s.word[n] = c
			n++
		}
		s.next()
	}
}

// skip passes over the rest of a statement to behind its semicolon. depth is how many brackets are open. It looks at no
// more than it must to notice a lost quote, bracket or semicolon.
func (s *scanner) skip(depth int) error {
	for {
		rest := s.buf[s.pos:]
		i := bytes.IndexAny(rest, "'\"();/\n")
		if i < 0 {
			s.pos = len(s.buf)
			if s.atEnd() {
				return s.fault("the file ends in the middle of a statement")
			}
			continue
		}
		s.pos += i
		switch s.peek() {
		case '\'', '"':
			if err := s.pass(s.peek()); err != nil {
				return err
			}
		case '(':
			s.next()
			depth++
		case ')':
			s.next()
			if depth--; depth <= 0 {
				return s.expect(';')
			}
		case ';':
			if depth > 0 {
				return s.fault("a bracket is not closed before the semicolon")
			}
			s.next()
			return nil
		case '/':
			if err := s.comment(); err != nil {
				return err
			}
		default:
			s.next()
		}
	}
}

// pass passes over a text in quotes and checks that a comma or bracket follows, since a lost quote turns texts and what
// stands between them inside out.
func (s *scanner) pass(quote byte) error {
	begin := s.line
	for s.next(); ; {
		i := bytes.IndexByte(s.buf[s.pos:], quote)
		if i < 0 {
			s.line += bytes.Count(s.buf[s.pos:], []byte{'\n'})
			s.pos = len(s.buf)
			if s.atEnd() {
				return Fault{Line: begin, Entity: s.entity, Message: "the text that begins here does not end", Remedy: exportAgain}
			}
			continue
		}
		s.line += bytes.Count(s.buf[s.pos:s.pos+i], []byte{'\n'})
		s.pos += i + 1
		if s.peek() != quote {
			break
		}
		s.next()
	}
	if err := s.space(); err != nil {
		return err
	}
	if c := s.peek(); c != ',' && c != ')' {
		return s.fault("%s follows the text that begins in line %d; a quote may be missing", s.shown(), begin)
	}
	return nil
}

// resume passes over what is left of a broken statement, as far as that can be told: to behind the next semicolon, or up
// to an entity that begins a line. At least one byte of the statement was taken before, or one is taken here.
func (s *scanner) resume() {
	last := byte('\n')
	for !s.atEnd() {
		c := s.peek()
		if c == '#' && (last == '\n' || last == '\r') {
			return
		}
		s.next()
		if c == ';' {
			return
		}
		if c != ' ' && c != '\t' {
			last = c
		}
	}
}
