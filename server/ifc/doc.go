// Package ifc reads the openings out of a building model in the clear text form of STEP (ISO 10303-21) under one of the
// IFC schemas 2x3, 4 or 4.3 (ISO 16739): doors, windows and the panels of curtain walls, with their mark, storey, size,
// operation and rooms. It reads no geometry.
//
// The file is a list of numbered entities that point at each other by number, in any order:
//
//	#39=IFCBUILDINGSTOREY('1xS3BCk2',#33,'Level 1',$,$,#38,$,$,.ELEMENT.,0.);
//	#52=IFCDOOR('1hOSvn6d',#33,'Door',$,$,#51,$,'17',2.032,0.762);        height before width
//	#53=IFCPROPERTYSINGLEVALUE('Mark',$,IFCLABEL('A104'),$);
//	#54=IFCPROPERTYSET('0JlXkGLw',#33,'Identity',$,(#53));
//	#55=IFCRELDEFINESBYPROPERTIES('1QCvFS1a',#33,$,$,(#52),#54);          #52 has the properties of #54
//	#56=IFCRELCONTAINEDINSPATIALSTRUCTURE('0jhxSK53',#33,$,$,(#52),#39);  #52 stands on #39
//
// The way of a file:
//
//	bytes --scanner--> statements --gather--> the few kinds of entity needed, as small records
//	      records --resolve--> Model: openings, bottom storey first
//
// It is read once, from front to back, without being held in memory; statements of other kinds, which are nearly all of
// a model, are passed over byte by byte. Cost is linear in the size of the file; memory grows with the number of doors,
// relations and named properties, not with the shapes.
//
// Rules of reading that have no single answer:
//
//   - The mark is the property Mark of any property set, else the property Tag, else the property Reference where no other
//     opening of the file has the same (the standard means it for types, so it mostly repeats), else the attribute Tag,
//     else the name. Opening.MarkFrom says which.
//   - Sizes are OverallWidth and OverallHeight; where one is missing, the quantity or property Width or Height of the
//     opening, of its type, or of the IfcOpeningElement that it fills. Opening.SizeFrom says which. Shapes are not measured.
//   - Lengths carry binary noise (0.7619999999999989 m). They are rounded to the nearest 0.01 mm, or to a sixteenth of an
//     inch where one lies within 0.005 mm, so that sizes in inches stay exact.
//   - The operation of the type counts before the one of the door, as the standard says.
//   - A value that only repeats the name of its property (FireRating: Fire Rating) is a placeholder and no value.
//   - Bytes above 127, which the standard does not allow, are UTF-8 where they are valid as such, else ISO 8859-1.
//
// A file that breaks the grammar is refused with line and entity of each fault, and no opening of it is returned: after a
// break nobody knows what is missing.
//
// This package knows the standard, not the trade: what a DOUBLE_DOOR_SLIDING is to a subcontractor is its caller's business.
package ifc
