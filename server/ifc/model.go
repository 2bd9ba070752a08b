package ifc

import (
	"errors"
	"fmt"
	"io"
	"strings"

	"jambwright/scheduler/length"
)

// MaxBytes is the largest file that is read.
const MaxBytes = 1 << 30

// Class is what an opening is in the model.
type Class string

// The classes.
const (
	Door        Class = "IfcDoor"
	Window      Class = "IfcWindow"
	Panel       Class = "IfcPlate"       // a panel of a curtain wall
	CurtainWall Class = "IfcCurtainWall" // as a whole, in the place of its panels where they have no sizes
)

// Model is what was read of a file.
type Model struct {
	Schema      string // IFC2X3, IFC4, IFC4X3_ADD2
	Unit        string // of lengths in the file: metre, millimetre, inch
	Storeys     []Storey
	Openings    []Opening // by storey from the bottom up, then by line; those on no storey last
	LoosePlates int       // plates that belong to no curtain wall and are no openings
}

// Storey is a level of the building. Levels of one name are told apart by the building's name or by their elevation.
type Storey struct {
	Name      string
	Elevation length.Length // may be negative
	Elevated  bool          // Elevation is given
	Line      int
	Alike     bool // the name in the file stands for more than one storey
}

// Opening is one door, window, panel or curtain wall. Empty fields are not given by the file.
type Opening struct {
	Entity   uint32
	Line     int
	Class    Class
	GlobalID string
	Name     string
	TypeName string // of its type or style, else ObjectType
	Wall     string // of a panel: the name of its curtain wall

	Mark     string // exactly as written
	MarkFrom string // where it stands: property Mark of PSet, attribute Tag

	Storey string
	Rooms  []string // number and name of each space beside it or around it, in the order of the file

	Width, Height length.Length // over all; 0 is missing
	SizeFrom      string        // where sizes stand that OverallWidth and OverallHeight do not give; "" otherwise
	SizeNote      string        // why a given size is not taken: -1 metre is no size

	Predefined string   // SKYLIGHT, TRAPDOOR ...
	Operation  string   // SINGLE_SWING_LEFT ..., of a window its partitioning
	UserWords  string   // of the operation USERDEFINED
	Other      string   // the operation of the door itself where its type says another one
	Leaves     []string // operations of the panels: SWINGING, SLIDING of a door, FIXEDCASEMENT, SIDEHUNGLEFTHAND of a window
	Glazed     bool     // a part of its area is said to be glass
	FireRating string
	Panels     int // of a curtain wall
}

// Read reads a model. An error of type Faults lists what is wrong with the file; then there is no model. Any other error is
// the source's.
func Read(src io.Reader) (*Model, error) {
	limited := &io.LimitedReader{R: src, N: MaxBytes + 1}
	records, faults, err := gather(limited)
	switch {
	case err != nil:
		return nil, fmt.Errorf("reading an IFC model: %w", err)
	case limited.N <= 0:
		return nil, Faults{{Line: 1, Message: fmt.Sprintf("the file has more than %d MB", MaxBytes>>20), Remedy: exportLess}}
	case len(faults) > 0:
		return nil, faults
	case !strings.HasPrefix(records.schema, "IFC"):
		return nil, Faults{{Line: max(records.schemaLine, 1), Message: fmt.Sprintf("the file follows the schema %q, not IFC", records.schema), Remedy: "export the model as IFC 2x3, 4 or 4.3"}}
	}
	model, err := resolve(records)
	var fault Fault
	if errors.As(err, &fault) {
		return nil, Faults{fault}
	}
	return model, err
}
