package importing

import (
	"slices"
	"strings"

	"jambwright/scheduler/takeoff"
	"jambwright/server/sheet"
)

// knownTypes is what a fault offers instead of a type it does not know.
const knownTypes = "write sliding front, hinged front, fixed light, door and frame, pair, or storefront"

// typeReading is what the words of a type cell say.
type typeReading struct {
	kind       takeoff.Type
	leaves     int // 2 where the words say a pair; 0 where they say nothing
	sidelights int // how many the words name
}

// synonyms brings the words of the trade and their abbreviations to one word each.
var synonyms = map[string]string{
	"slider": "sliding", "slide": "sliding", "slides": "sliding", "sldg": "sliding", "slid": "sliding", "sld": "sliding", "barn": "sliding",
	"sliders": "sliding", "biparting": "sliding", "telescoping": "sliding",
	"hinge": "hinged", "swing": "hinged", "swinging": "hinged", "swg": "hinged", "pivot": "hinged", "pivoted": "hinged", "hng": "hinged", "hgd": "hinged", "hinges": "hinged",
	"lite": "light", "lites": "light", "lights": "light", "lt": "light", "lts": "light",
	"sidelite": "sidelight", "sidelites": "sidelights", "sl": "sidelight", "sls": "sidelights",
	"dr": "door", "doors": "door", "drs": "door", "leaf": "door", "frm": "frame", "fr": "frame", "frames": "frame", "framed": "frame",
	"hmd": "hm", "hmf": "hm", "hmdf": "hm", "wd": "wood", "wdd": "wood", "scwd": "wood", "scw": "wood", "alum": "aluminum", "al": "aluminum", "aluminium": "aluminum",
	"pr": "pair", "prs": "pair", "pairs": "pair", "double": "pair", "dbl": "pair", "doubles": "pair", "sgl": "single", "singles": "single",
	"fxd": "fixed", "fix": "fixed", "borrow": "borrowed", "brw": "borrowed", "borr": "borrowed", "brd": "borrowed", "bl": "borrowed", "windows": "window", "relight": "borrowed", "relite": "borrowed", "relites": "borrowed", "fl": "fixed", "fx": "fixed",
	"sf": "storefront", "asf": "storefront", "storefronts": "storefront", "shopfront": "storefront", "str": "storefront",
	"sgf": "sliding", "slf": "sliding", "hgf": "hinged", "hf": "hinged", "hsf": "hinged", "df": "door", "glazed": "glass", "fronts": "front", "gl": "glass",
	"partition": "front", "partitions": "front", "wall": "front",
}

// readType maps the words of a type cell to a type. Where the words fit two types, such as "glass front", which may
// slide, swing or stand still, it refuses.
func readType(text string) (typeReading, error) {
	words := typeWords(text)
	switch {
	case len(words) == 0 && blank(text) != "":
		return typeReading{}, refuse(knownTypes, "the type is not known") // a letter or number that a legend explains
	case len(words) == 0:
		return typeReading{}, refuse(knownTypes, "the type is missing")
	}
	head, tail := splitWith(words)
	r := typeReading{sidelights: countSidelights(words)}
	r.kind = classify(head)
	if r.kind == "" {
		r.kind = classify(append(slices.Clone(head), tail...))
	}
	if r.kind == "" && slices.Contains(head, "sidelight") {
		r.kind = classify(without(head, "sidelight", "sidelights"))
	}
	if r.kind == "" {
		return r, refuse(knownTypes, "the type is not known or fits more than one")
	}
	if slices.Contains(words, "pair") {
		r.leaves = 2
	}
	if r.kind == takeoff.FixedLight {
		r.sidelights = 0 // a sidelight in a row of its own has no other one beside it
	}
	return r, nil
}

// typeWords lower-cases, joins words that belong together and replaces synonyms. Numbers and the word type only number a
// variant: Type SF-1.
func typeWords(text string) []string {
	text = " " + sheet.Normalize(text) + " "
	text = strings.NewReplacer(
		" store front", " storefront", " side light", " sidelight", " side lite", " sidelite", " hollow metal", " hm", " bi parting", " biparting",
		" curtain wall", " curtainwall", " office front", " glass front", " d and f ", " door frame ", " d f ", " door frame ", " two leaf ", " pair ", " two leaves ", " pair ", " 2 leaf ", " pair ", " 2 leaves ", " pair ", " pair of ", " pair ",
	).Replace(text)
	var words []string
	for _, w := range strings.Fields(text) {
		w = strings.TrimRight(w, "0123456789")
		if s, ok := synonyms[w]; ok {
			w = s
		}
		if w != "" && !slices.Contains([]string{"type", "a", "an", "the", "of", "style", "unit", "run", "opening", "interior", "int", "new", "system"}, w) {
			words = append(words, w)
		}
	}
	return words
}

// splitWith cuts off what comes with the opening, since "door with sidelight" is a door.
func splitWith(words []string) (head, tail []string) {
	for i, w := range words {
		if (w == "with" || w == "plus" || w == "w") && i > 0 {
			return words[:i], words[i+1:]
		}
	}
	return words, nil
}

// countSidelights counts sidelights named in words: none, one, or two where the word is plural or "both" or "double" stands by.
func countSidelights(words []string) int {
	switch {
	case slices.Contains(words, "sidelights"):
		return 2
	case slices.Contains(words, "sidelight"):
		return 1
	}
	return 0
}

// classify decides on the type, "" where no or several types fit.
func classify(words []string) takeoff.Type {
	has := func(any ...string) bool {
		return slices.ContainsFunc(any, func(w string) bool { return slices.Contains(words, w) })
	}
	moving := has("hinged")
	solid := has("hm", "wood", "steel", "metal", "flush", "single", "fire", "solid")
	switch {
	case has("pocket", "folding", "accordion", "revolving", "overhead") || has("window") && has("front"):
		return ""
	case has("sliding") && (has("hinged", "storefront") || has("fixed", "borrowed") && !has("door")):
		return ""
	case has("sliding"):
		return takeoff.SlidingFront
	case has("storefront"):
		return takeoff.Storefront
	case moving && has("fixed", "borrowed"):
		return ""
	case moving && (has("front", "glass") || len(words) == 1) && !solid:
		return takeoff.HingedFront
	case has("pair"):
		return takeoff.Pair
	case has("borrowed", "window", "clerestory") && !has("door"):
		return takeoff.FixedLight
	case has("fixed") && !has("door"):
		return takeoff.FixedLight
	case len(words) == 1 && has("light", "sidelight", "vision"):
		return takeoff.FixedLight
	case moving && has("door") && has("sidelight", "sidelights") && !solid && !has("frame"):
		return takeoff.HingedFront
	case has("door") && (has("glass", "borrowed", "fixed") || moving) && !solid && !has("frame"):
		return ""
	case has("door") && !has("front"), solid && has("frame"), len(words) == 1 && words[0] == "single",
		!moving && (words[0] == "hm" || words[0] == "wood"):
		return takeoff.DoorFrame
	}
	return ""
}

func without(words []string, drop ...string) []string {
	return slices.DeleteFunc(slices.Clone(words), func(w string) bool { return slices.Contains(drop, w) })
}
