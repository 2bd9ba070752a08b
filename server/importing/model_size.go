package importing

import (
	"fmt"
	"regexp"

	"jambwright/scheduler/length"
	"jambwright/scheduler/takeoff"
)

// modelSize is the remedy for sizes.
const modelSize = "give it OverallWidth and OverallHeight in the model, or list it in a sheet"

// size reads the size over all and reports whether there is one.
func (r *modelRow) size() bool {
	in := r.in
	if in.Width == 0 || in.Height == 0 {
		missing := "the size is missing"
		switch {
		case in.Width != 0:
			missing = "the height is missing"
		case in.Height != 0:
			missing = "the width is missing"
		}
		r.fault("OverallWidth, OverallHeight", in.SizeNote, missing, modelSize)
		return false
	}
	if in.SizeFrom != "" {
		r.warn("OverallWidth, OverallHeight", "they are not given; the size is taken from the "+in.SizeFrom)
	}
	for i, l := range []length.Length{in.Width, in.Height} {
		if l < leastSize || l > mostSize || i == 1 && l > mostHigh {
			r.fault([]string{"OverallWidth", "OverallHeight"}[i], l.String(), fmt.Sprintf("%s is no size of an opening; the unit of the model may be wrong", l.FeetInches()), modelSize)
			return false
		}
	}
	r.out.Width, r.out.Height = in.Width, in.Height
	return true
}

// doubts shows readings that a person should look at, as for sheets, and refuses a door that lies on its side.
func (r *modelRow) doubts() {
	o := &r.out
	wide, high := o.Width.FeetInches(), o.Height.FeetInches()
	switch {
	case r.failed:
	case isDoor(o.Type) && o.Height < doorLeast && o.Width > o.Height:
		r.fault("OverallHeight", o.Height.String(), fmt.Sprintf("a height of %s is too low for a door; width and height may be the wrong way round", high), modelSize)
	case isDoor(o.Type) && o.Height < doorLeast:
		r.warn("OverallHeight", fmt.Sprintf("a height of %s is low for a door", high))
	case o.Type.IsDoorSized() && o.Width > mostDoor:
		r.fault("OverallWidth", o.Width.String(), fmt.Sprintf("%s is no width of a door", wide), modelSize)
	case o.Type == takeoff.DoorFrame && o.Width >= oneLeaf && len(o.Sidelights) == 0:
		r.warn("OverallWidth", fmt.Sprintf("%s is wide for one leaf without a sidelight", wide))
	case o.Type == takeoff.Pair && o.Width <= leafMost:
		r.warn("OverallWidth", fmt.Sprintf("%s is narrow for a pair; it may be the width of one leaf", wide))
	}
	w, h := dim{value: o.Width, metric: r.metric()}, dim{value: o.Height, metric: r.metric()}
	if inchW, inchH, soft := softMetric(w, h); soft {
		r.warn("OverallWidth, OverallHeight", fmt.Sprintf("kept as written; it is close to %s x %s (%s x %s mm)", inchW.FeetInches(), inchH.FeetInches(), inchW.Millimetres(), inchH.Millimetres()))
	}
}

func (r *modelReader) metric() bool { return metreWord.MatchString(r.unit) }

var (
	metreWord = regexp.MustCompile(`metre$`)
	nameSize  = regexp.MustCompile(`(?i)\d[\d'"., /-]*(?:mm|cm|m|in)?["']?\s*[x×]\s*\d(?:[\d'".,/-]|\s\d)*\s?(?:mm\b|cm\b|m\b|in\b)?["']?`)
)

// nameTolerance is how far a size in a name, which is rounded, may be from the size of the model.
const nameTolerance = length.Millimetre

// named compares the size with the one that the name of the type carries, since people choose types by that name. The size
// of the model counts.
func (r *modelRow) named() {
	for _, name := range []string{r.in.TypeName, r.in.Name} {
		w, h, ok := sizeInName(name)
		if !ok || r.failed {
			continue
		}
		near := func(a, b length.Length) bool { return max(a-b, b-a) <= nameTolerance }
		switch o := &r.out; {
		case near(w, o.Width) && near(h, o.Height):
		case near(w, o.Height) && near(h, o.Width):
			r.warn("Name", fmt.Sprintf("the name %q gives height and width the other way round; the attributes count, %s wide and %s high", name, o.Width, o.Height))
		default:
			r.warn("Name", fmt.Sprintf("the name %q says another size than the attributes; these count, %s wide and %s high", name, o.Width, o.Height))
		}
		return
	}
}

// sizeInName finds a size such as 0762 x 2032mm or 36" x 84", width first, in the name of a type.
func sizeInName(name string) (width, height length.Length, ok bool) {
	text := nameSize.FindString(length.Plain(name))
	if text == "" {
		return 0, 0, false
	}
	s, err := readSize(text, sizeContext{})
	if err != nil || len(s.dims) != 2 {
		return 0, 0, false
	}
	if _, err := settleBare(&s.dims[0], &s.dims[1]); err != nil {
		return 0, 0, false
	}
	return s.dims[0].value, s.dims[1].value, true
}
