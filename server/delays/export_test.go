package delays

// HasGlyph reports whether a font draws a character.
func HasGlyph(font []byte, r rune) bool {
	f, err := newFace(font)
	return err == nil && f.has(r)
}
