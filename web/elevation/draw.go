package elevation

import (
	"fmt"
	"html"
	"strconv"
	"strings"
)

// Size is the height of a drawing in pixels.
type Size int

// The three sizes.
const (
	Strip Size = 28  // in a row of many
	List  Size = 96  // one an item
	Large Size = 320 // on the opening's own page
)

// widest is the greatest width of a drawing as a multiple of its height. A longer run is drawn less high, so that it
// keeps its proportions.
func (s Size) widest() float64 {
	if s == Large {
		return 3
	}
	return 6
}

// margin is the space around the opening that the frame's stroke runs into, in pixels.
func (s Size) margin() float64 {
	switch s {
	case Strip:
		return 1.5
	case List:
		return 2.5
	}
	return 5
}

// SVG draws the opening. The text is safe to be put into a page as it is.
func (o Opening) SVG(size Size) string { return o.SVGWithMeasures(size, "", "") }

// SVGWithMeasures draws the opening with dimension lines that carry the two texts; empty texts leave them out.
func (o Opening) SVGWithMeasures(size Size, width, height string) string {
	c := newCanvas(o, size, width != "" || height != "")
	c.structure()
	c.panes()
	c.leaves()
	c.marks()
	c.hold()
	c.measures(width, height)
	return c.document()
}

// canvas collects the parts of one drawing. Coordinates are pixels, y downwards.
type canvas struct {
	o     Opening
	size  Size
	lay   layout
	x, y  float64 // upper left corner of the opening
	w, h  float64 // of the opening
	full  [2]float64
	scale float64 // pixels for one length unit
	body  strings.Builder
}

func newCanvas(o Opening, size Size, measured bool) *canvas {
	c := &canvas{o: o, size: size, lay: o.layout()}
	margin := size.margin()
	room := float64(size) - 2*margin
	if measured {
		room -= measureRoom
	}
	c.scale = room / float64(c.lay.height)
	if limit := room * size.widest(); float64(c.lay.width)*c.scale > limit {
		c.scale = limit / float64(c.lay.width)
	}
	c.w, c.h = float64(c.lay.width)*c.scale, float64(c.lay.height)*c.scale
	c.x, c.y = margin, margin
	c.full = [2]float64{c.w + 2*margin, c.h + 2*margin}
	if measured {
		c.x += measureRoom
		c.full[0] += measureRoom
		c.full[1] += measureRoom
	}
	return c
}

// measureRoom is the space for a dimension line and its text, in pixels.
const measureRoom = 30.0

func (c *canvas) document() string {
	w, h := c.full[0], c.full[1]
	var b strings.Builder
	fmt.Fprintf(&b, `<svg class="el el-%d" role="img" width="%s" height="%s" viewBox="0 0 %s %s"><title>%s</title>`,
		c.size, px(w), px(h), px(w), px(h), html.EscapeString(c.o.Text()))
	b.WriteString(c.body.String())
	b.WriteString("</svg>")
	return b.String()
}

func (c *canvas) path(class, d string) {
	fmt.Fprintf(&c.body, `<path class="%s" d="%s"/>`, class, d)
}

func (c *canvas) text(class string, x, y float64, text string) {
	fmt.Fprintf(&c.body, `<text class="%s" x="%s" y="%s">%s</text>`, class, px(x), px(y), html.EscapeString(text))
}

// px writes a coordinate with at most one decimal.
func px(v float64) string {
	return strings.TrimSuffix(strconv.FormatFloat(v, 'f', 1, 64), ".0")
}

// box is the path of a rectangle.
func box(r rect) string {
	return "M" + px(r.x) + " " + px(r.y) + "h" + px(r.w) + "v" + px(r.h) + "h" + px(-r.w) + "z"
}

// line is the path of a straight line.
func line(x1, y1, x2, y2 float64) string {
	return "M" + px(x1) + " " + px(y1) + "L" + px(x2) + " " + px(y2)
}

type rect struct{ x, y, w, h float64 }

// structure draws the outline and the divisions, as a dotted rough opening, in thin lines or as a solid frame. A frame
// has no sill under a leaf.
func (c *canvas) structure() {
	class, d := "el-rough", box(rect{c.x, c.y, c.w, c.h})
	switch {
	case c.o.Progress >= Framed:
		class, d = "el-frame", c.frame()
	case c.o.Progress >= Measured:
		class = "el-thin"
	}
	for _, x := range c.lay.mullions {
		at := c.x + x*c.scale
		d += line(at, c.y, at, c.y+c.h)
	}
	if c.lay.transom > 0 {
		at := c.y + c.lay.transom*c.scale
		d += line(c.x, at, c.x+c.w, at)
	}
	c.path(class, d)
}

// frame is the path of jambs and head, and of the sills under fixed panes.
func (c *canvas) frame() string {
	floor := c.y + c.h
	d := "M" + px(c.x) + " " + px(floor) + "V" + px(c.y) + "h" + px(c.w) + "V" + px(floor)
	for _, bay := range c.lay.bays {
		if !bay.leaf {
			d += line(c.x+bay.from*c.scale, floor, c.x+bay.to*c.scale, floor)
		}
	}
	return d
}

// panes tints the fixed panes of a glazed opening. The leaves of a pair have one pane above them.
func (c *canvas) panes() {
	if c.o.Progress < Glazed {
		return
	}
	d, inset, floor := "", c.frameInset(), float64(c.lay.height)
	for i := 0; i < len(c.lay.bays); i++ {
		light := c.lay.bays[i]
		for light.leaf && i+1 < len(c.lay.bays) && c.lay.bays[i+1].leaf {
			i++
			light.to = c.lay.bays[i].to
		}
		if c.lay.transom > 0 {
			d += box(c.within(light, 0, c.lay.transom, inset))
		}
		if !light.leaf {
			d += box(c.within(light, c.lay.transom, floor, inset))
		}
	}
	if d != "" {
		c.path("el-glass", d)
	}
}

// within is the place of a pane or leaf between two heights, clear of the frame, and with a narrow joint on sides where
// no mullion stands. bottom is the space left below.
func (c *canvas) within(b bay, top, floor, bottom float64) rect {
	r, inset, joint := c.place(b, top, floor), c.frameInset(), c.frameInset()/8
	left, right := inset, inset
	if !c.lay.isFramedAt(b.from) {
		left = joint
	}
	if !c.lay.isFramedAt(b.to) {
		right = joint
	}
	return rect{r.x + left, r.y + inset, max(r.w-left-right, 0.5), max(r.h-inset-bottom, 0.5)}
}

// place is where a bay lies on the canvas between two heights measured from the top, in length units.
func (c *canvas) place(b bay, top, bottom float64) rect {
	return rect{c.x + b.from*c.scale, c.y + top*c.scale, (b.to - b.from) * c.scale, (bottom - top) * c.scale}
}

// frameInset keeps panes and leaves clear of the frame's stroke.
func (c *canvas) frameInset() float64 {
	switch c.size {
	case Strip:
		return 1.5
	case List:
		return 3
	}
	return 6
}

// leaves draws the doors: an empty place until they hang, then the leaf, its handle and its way.
func (c *canvas) leaves() {
	if c.o.Progress < Hung {
		return
	}
	class := "el-leaf"
	if c.o.glassLeaf() {
		class = "el-leaf el-leaf-glass"
	}
	for _, bay := range c.lay.bays {
		if !bay.leaf {
			continue
		}
		r := c.within(bay, c.lay.transom, float64(c.lay.height), 0) // a leaf reaches the floor
		c.path(class, box(r))
		c.handle(r, bay)
		if c.size != Strip {
			c.way(r, bay)
		}
	}
}

// handle is a short stroke a third of a door's width in at most, near the latch side, a bit below half height.
func (c *canvas) handle(r rect, b bay) {
	inset := max(r.w*0.12, 1.5)
	x := r.x + r.w - inset
	if b.hinge == Right {
		x = r.x + inset
	}
	length := max(r.h*0.1, 3)
	y := r.y + r.h*0.52
	c.path("el-handle", line(x, y, x, y+length))
}

// way shows how the leaf opens: dashed lines that meet at the hinge, or an arrow in the sense of the slide.
func (c *canvas) way(r rect, b bay) {
	if c.o.Type != SlidingFront {
		hinge, latch := r.x, r.x+r.w
		if b.hinge == Right {
			hinge, latch = latch, hinge
		}
		c.path("el-swing", "M"+px(latch)+" "+px(r.y)+"L"+px(hinge)+" "+px(r.y+r.h/2)+"L"+px(latch)+" "+px(r.y+r.h))
		return
	}
	y, half, tip := r.y+r.h*0.3, r.w*0.28, r.w*0.12
	from, to := r.x+r.w/2+half, r.x+r.w/2-half
	if b.hinge == Right {
		from, to, tip = to, from, -tip
	}
	c.path("el-slide", line(from, y, to, y)+line(to+tip, y-r.w*0.08, to, y)+line(to, y, to+tip, y+r.w*0.08))
}

// marks draws the tick of material on site and the check of a punched opening.
func (c *canvas) marks() {
	s := []float64{7, 14, 28}[c.step()]
	if c.o.Progress == OnSite {
		c.path("el-tick", "M"+px(c.x)+" "+px(c.y+c.h-s)+"V"+px(c.y+c.h)+"H"+px(c.x+s)+"z")
	}
	if c.o.Progress >= Punched {
		x, y := c.x+c.w-s*1.05, c.y+s*0.1
		c.path("el-patch", box(rect{x, c.y, s * 1.05, s * 1.05}))
		c.path("el-check", "M"+px(x+s*0.2)+" "+px(y+s*0.45)+"l"+px(s*0.22)+" "+px(s*0.28)+"l"+px(s*0.36)+" "+px(-s*0.56))
	}
}

func (c *canvas) step() int {
	switch c.size {
	case Strip:
		return 0
	case List:
		return 1
	}
	return 2
}

// hold draws the hatched band across the middle and its word where it fits. Hatching is drawn line by line, so that it
// needs no pattern with an identifier.
func (c *canvas) hold() {
	if c.o.Hold == "" {
		return
	}
	deep := c.h * 0.26
	band := rect{c.x, c.y + (c.h-deep)/2, c.w, deep}
	c.path("el-band", box(band))
	c.path("el-hatch", hatch(band, []float64{4, 6, 10}[c.step()]))
	if c.size == Strip {
		return
	}
	font := []float64{0, 11, 16}[c.step()]
	word := c.holdWord(font)
	if word == "" {
		return
	}
	wide := float64(len([]rune(word)))*font*letterWidth + 6
	c.path("el-plate", box(rect{band.x + (band.w-wide)/2, band.y + (deep-font*1.35)/2, wide, font * 1.35}))
	c.text("el-word", band.x+band.w/2, band.y+deep/2+font*0.36, word)
}

// letterWidth is a letter's width as a share of the type size, generous for a sans serif.
const letterWidth = 0.6

// holdWord is the word of the hold, "held" when that one is too long, or nothing on a drawing too narrow for either.
func (c *canvas) holdWord(font float64) string {
	for _, word := range []string{c.o.Hold, "held"} {
		if float64(len([]rune(word)))*font*letterWidth+6 <= c.w {
			return word
		}
	}
	return ""
}

// hatch fills a rectangle with lines that rise to the right, a step apart.
func hatch(r rect, step float64) string {
	var d strings.Builder
	for k := step / 2; k < r.w+r.h; k += step {
		// The line x + y' = k, where y' is measured from the top, within the rectangle.
		x1, y1 := max(0, k-r.h), min(k, r.h)
		x2, y2 := min(k, r.w), max(0, k-r.w)
		d.WriteString(line(r.x+x1, r.y+y1, r.x+x2, r.y+y2))
	}
	return d.String()
}

// measures draws the dimension lines: height on the left, width below, each between two ticks.
func (c *canvas) measures(width, height string) {
	if height != "" {
		x := c.x - 10
		c.path("el-measure", line(x, c.y, x, c.y+c.h)+line(x-4, c.y, x+4, c.y)+line(x-4, c.y+c.h, x+4, c.y+c.h))
		fmt.Fprintf(&c.body, `<text class="el-figure" transform="translate(%s %s) rotate(-90)">%s</text>`,
			px(x-7), px(c.y+c.h/2), html.EscapeString(height))
	}
	if width != "" {
		y := c.y + c.h + 10
		c.path("el-measure", line(c.x, y, c.x+c.w, y)+line(c.x, y-4, c.x, y+4)+line(c.x+c.w, y-4, c.x+c.w, y+4))
		c.text("el-figure", c.x+c.w/2, y+17, width)
	}
}
