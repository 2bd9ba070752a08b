package importing

import (
	"fmt"
	"regexp"
	"slices"
	"strings"

	"jambwright/scheduler/takeoff"
	"jambwright/server/ifc"
	"jambwright/server/sheet"
)

// operation is what an operation of the standard is to us.
type operation struct {
	kind    takeoff.Type
	leaves  int
	handing string
	fixed   bool // a fixed panel stands beside the leaf
}

// operations are those of IfcDoorStyleOperationEnum (IFC 2x3) and IfcDoorTypeOperationEnum (IFC 4, 4.3) that are openings of
// ours; IFC 4.3 says panel where the others say door. The standard looks along the swing: LH is hinged left seen from
// the side that the leaf swings away from, and is RHR seen from the other side. Folding, revolving, rolling and lifting
// doors are none of ours.
var operations = map[string]operation{
	"SINGLE_SWING_LEFT":                        {takeoff.DoorFrame, 1, "LH", false},
	"SINGLE_SWING_RIGHT":                       {takeoff.DoorFrame, 1, "RH", false},
	"SWING_FIXED_LEFT":                         {takeoff.DoorFrame, 1, "LH", true},
	"SWING_FIXED_RIGHT":                        {takeoff.DoorFrame, 1, "RH", true},
	"DOUBLE_SWING_LEFT":                        {takeoff.DoorFrame, 1, "LH DOUBLE ACTING", false},
	"DOUBLE_SWING_RIGHT":                       {takeoff.DoorFrame, 1, "RH DOUBLE ACTING", false},
	"DOUBLE_DOOR_SINGLE_SWING":                 {takeoff.Pair, 2, "", false},
	"DOUBLE_PANEL_SINGLE_SWING":                {takeoff.Pair, 2, "", false},
	"DOUBLE_DOOR_SINGLE_SWING_OPPOSITE_LEFT":   {takeoff.Pair, 2, "OPPOSITE", false},
	"DOUBLE_PANEL_SINGLE_SWING_OPPOSITE_LEFT":  {takeoff.Pair, 2, "OPPOSITE", false},
	"DOUBLE_DOOR_SINGLE_SWING_OPPOSITE_RIGHT":  {takeoff.Pair, 2, "OPPOSITE", false},
	"DOUBLE_PANEL_SINGLE_SWING_OPPOSITE_RIGHT": {takeoff.Pair, 2, "OPPOSITE", false},
	"DOUBLE_DOOR_DOUBLE_SWING":                 {takeoff.Pair, 2, "DOUBLE ACTING", false},
	"DOUBLE_PANEL_DOUBLE_SWING":                {takeoff.Pair, 2, "DOUBLE ACTING", false},
	"SLIDING_TO_LEFT":                          {takeoff.SlidingFront, 1, "LEFT", false},
	"SLIDING_TO_RIGHT":                         {takeoff.SlidingFront, 1, "RIGHT", false},
	"DOUBLE_DOOR_SLIDING":                      {takeoff.SlidingFront, 2, "", false},
	"DOUBLE_PANEL_SLIDING":                     {takeoff.SlidingFront, 2, "", false},
}

// modelTypes is what a fault offers for a door whose type the model does not say.
const modelTypes = "give its type an operation in the model, or list it in a sheet: " + knownTypes

// kind settles type, leaves and handing.
func (r *modelRow) kind() {
	switch r.in.Class {
	case ifc.Door:
		r.door()
	case ifc.Window:
		r.window()
	case ifc.Panel:
		r.out.Type = takeoff.FixedLight
		r.warn("IfcCurtainWall", fmt.Sprintf("the panels of curtain wall %s are read one by one as fixed lights, whatever they are made of; what is built as one run belongs in a sheet as a storefront", r.in.Wall))
	case ifc.CurtainWall:
		r.out.Type = takeoff.Storefront
		r.warn("IfcCurtainWall", "read as one storefront, since its panels have no sizes; the model does not say how many lights stand side by side")
	}
}

func (r *modelRow) door() {
	if p := r.in.Predefined; slices.Contains([]string{"GATE", "TRAPDOOR", "BOOM_BARRIER", "TURNSTILE"}, p) {
		r.fault("PredefinedType", p, "it is no opening of ours", "leave it out of the export, or correct its type in the model")
		return
	}
	said := r.in.Operation
	if said == "" || said == "USERDEFINED" {
		if !r.doorByLeaves() {
			r.doorByWords()
		}
		return
	}
	op, known := operations[said]
	if !known {
		r.fault("OperationType", said, "none of our types opens like this", modelTypes)
		return
	}
	if r.in.Other != "" {
		r.warn("OperationType", fmt.Sprintf("the door says %s, its type %s; the type counts", r.in.Other, said))
	}
	r.take(op)
	if op.handing != "" && op.kind != takeoff.SlidingFront {
		r.warn("OperationType", "the hand is seen from the side that the leaf swings away from; seen from the other side LH is RHR and RH is LHR, so check it before ordering")
	}
}

// doorByLeaves reads a door that has no operation by the panels that the model describes, and reports whether it does. A panel
// that neither swings nor slides is left to words and width.
func (r *modelRow) doorByLeaves() bool {
	count := map[string]int{}
	for _, leaf := range r.in.Leaves {
		if leaf == "DOUBLE_ACTING" {
			leaf = "SWINGING"
		}
		count[leaf]++
	}
	swinging, sliding, fixed := count["SWINGING"], count["SLIDING"], count["FIXEDPANEL"]
	switch others := len(r.in.Leaves) - swinging - sliding - fixed; {
	case others > 0 || swinging > 0 && sliding > 0 || swinging > 2 || fixed > 1:
		return false
	case swinging == 2 && fixed == 0:
		r.take(operation{kind: takeoff.Pair, leaves: 2})
	case swinging == 1:
		r.take(operation{kind: takeoff.DoorFrame, leaves: 1, fixed: fixed == 1})
	case sliding > 0:
		r.take(operation{kind: takeoff.SlidingFront, leaves: sliding})
	default:
		return false
	}
	r.warn("IfcDoorPanelProperties", "the operation is not given; the type is read from the panels of the door, and its hand is not known")
	return true
}

// take gives the row an operation.
func (r *modelRow) take(op operation) {
	o := &r.out
	o.Type, o.Leaves, o.Handing = op.kind, op.leaves, op.handing
	switch {
	case op.fixed:
		o.Sidelights = []Sidelight{{}}
		r.warn("OperationType", "a fixed panel stands beside the leaf; the model does not give its width")
	case op.kind == takeoff.Pair:
		o.LeafWidth, o.LeafHeight = o.Width/2, o.Height
	case op.kind == takeoff.DoorFrame:
		o.LeafWidth, o.LeafHeight = o.Width, o.Height
	}
	switch {
	case op.kind == takeoff.SlidingFront && !r.in.Glazed && !glassWord.MatchString(r.words()):
		r.warn("OperationType", "a sliding door is read as a sliding front, though the model does not say that it is of glass")
	case op.kind != takeoff.SlidingFront && r.in.Glazed:
		r.warn("GlazingAreaFraction", "the leaf is partly of glass; it is read as a door and frame or pair, so list hinged fronts in a sheet")
	}
}

var (
	glassWord   = regexp.MustCompile(`\b(?:glass|glazed|glazing|glas)\b`)
	foreignWord = regexp.MustCompile(`\b(?:bi ?fold|bifolding|folding|accordion|revolving|overhead|pocket|rolling|roll up|rollup|roller|coiling|garage|gate|hatch|shutter|turnstile)\b`)
	doubleGlass = regexp.MustCompile(`\bdouble (?:glazed|glazing|glass|acting|action|sided|skin)\b`)
)

// words are all names of the opening, in lower case, letters and digits only.
func (r *modelRow) words() string {
	return sheet.Normalize(strings.NewReplacer("_", " ", ":", " ").Replace(r.in.UserWords + " " + r.in.TypeName + " " + r.in.Name))
}

// doorByWords reads a door that has no operation by its names, else by its width: under 5'-0" it is one leaf, from there on
// it may be one or two.
func (r *modelRow) doorByWords() {
	names := r.words()
	if word := foreignWord.FindString(names); word != "" {
		r.fault("OperationType", r.in.Operation, fmt.Sprintf("none of our types is %s", word), modelTypes)
		return
	}
	words := typeWords(doubleGlass.ReplaceAllString(names, " "))
	has := func(any ...string) bool {
		return slices.ContainsFunc(any, func(w string) bool { return slices.Contains(words, w) })
	}
	because := "the model does not say how they open; by their names they are read as "
	switch {
	case has("sliding") && has("hinged", "pair"):
		r.fault("OperationType", r.in.Operation, "the model does not say how it opens, and its name fits two types", modelTypes)
	case has("sliding"):
		r.warn("OperationType", because+"sliding fronts")
		r.take(operation{kind: takeoff.SlidingFront, leaves: 1})
	case has("pair"):
		r.warn("OperationType", because+"pairs")
		r.take(operation{kind: takeoff.Pair, leaves: 2})
	case has("single"):
		r.warn("OperationType", because+"door and frame with one leaf")
		r.take(operation{kind: takeoff.DoorFrame, leaves: 1})
	case r.out.Width >= oneLeaf:
		r.fault("OperationType", r.in.Operation, fmt.Sprintf("the model does not say how it opens; %s wide it may be a pair or one wide leaf", r.out.Width.FeetInches()), modelTypes)
	default:
		r.warn("OperationType", "the model does not say how they open; under 5'-0\" wide they are read as door and frame with one leaf")
		r.take(operation{kind: takeoff.DoorFrame, leaves: 1})
	}
}

// window reads a window as a fixed light. Interior work has no other; what the model says to the contrary is shown.
func (r *modelRow) window() {
	r.out.Type = takeoff.FixedLight
	if p := r.in.Predefined; p == "SKYLIGHT" || p == "LIGHTDOME" {
		r.warn("PredefinedType", fmt.Sprintf("a %s is read as a fixed light", strings.ToLower(p)))
	}
	moving := slices.DeleteFunc(slices.Clone(r.in.Leaves), func(s string) bool { return s == "FIXEDCASEMENT" })
	switch {
	case len(moving) > 0:
		r.warn("IfcWindowPanelProperties", fmt.Sprintf("the window opens (%s); it is read as a fixed light", strings.Join(moving, ", ")))
	case !slices.Contains(r.in.Leaves, "FIXEDCASEMENT"):
		r.warn("IfcWindow", "the model does not say whether the windows open; they are read as fixed lights")
	}
	if o := r.in.Operation; o != "" && o != "SINGLE_PANEL" {
		r.warn("PartitioningType", fmt.Sprintf("the window is divided (%s); it is read as one light", o))
	}
}
