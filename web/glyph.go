package web

import (
	"fmt"
	"html/template"
)

// glyphs are the drawings of the seven kinds of task on a 16 by 16 field, in the manner of the elevations: a bob for the
// survey, a sheet, a crate, an empty frame, a tinted pane, a leaf with its handle, a checked frame.
var glyphs = map[string]string{
	"survey":  `<path d="M8 1v7"/><path class="g-fill" d="M6 8h4l-2 6z"/>`,
	"order":   `<path d="M3.5 1.5h6l3 3v10h-9z"/><path d="M5.5 7.5h5M5.5 10.5h5"/>`,
	"deliver": `<path d="M1.5 4.5h13v8h-13zM1.5 7h13M6 4.5V7m4-2.5V7"/>`,
	"frame":   `<path class="g-bold" d="M3 14V2h10v12"/>`,
	"glaze":   `<path class="g-tint" d="M3.5 2.5h9v11h-9z"/><path d="M6 8l3-3m-3 6l4-4"/>`,
	"hang":    `<path d="M3.5 14V2.5h8V14z"/><path class="g-bold" d="M9.5 8v2"/>`,
	"punch":   `<path d="M2.5 2.5h11v11h-11z"/><path class="g-bold" d="M5 8l2.5 2.5L11.5 5"/>`,
	"other":   `<path d="M3 8h10"/>`,
}

// glyph draws a kind of task. The word always stands beside it, so the drawing is hidden from screen readers.
func glyph(kind TaskKind) template.HTML {
	return template.HTML(fmt.Sprintf(`<svg class="glyph" viewBox="0 0 16 16" width="16" height="16" aria-hidden="true">%s</svg>`,
		glyphs[kind.Glyph()]))
}
