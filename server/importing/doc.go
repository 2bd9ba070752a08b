// Package importing turns the sheets that contractors keep into typed rows, shows what they would change and saves them
// in one transaction.
//
// The way of a file:
//
//	bytes --sheet.Read--> tables of cells --Read--> Sheet: rows, faults, warnings
//	model --ifc.Read----> its openings ------Read--> the same
//	      Sheet + stored rows --Compare--> differences and questions   = Preview
//	      Preview + answers   --Apply----> Store.Apply, all or nothing
//
// Words. A fault is a cell or row that cannot be read; it names file, sheet, row, column and value and says how to mend
// it. All faults of a file come at once. A warning is a reading that a person should look at, such as 915 mm that is
// most likely a 3'-0" door. Where two readings are possible there is no guess: the row is a fault.
//
// Nothing is saved while a file has faults, unless the person accepts to leave those rows out. Reading the same sheet
// again changes nothing. A revised sheet shows what is new, what changed, field by field, and what is gone, and asks
// about openings that already have work on them.
//
// Rules of reading that have no single answer in the trade, and the tests that pin them:
//
//   - A blank cell repeats the one above in the columns level, area and type only, and never across a heading or a level.
//     A blank size is missing (testdata/sheets/faults).
//   - A row with quantity 3 and one mark makes three openings with the marks 101/1, 101/2, 101/3, and says so. A range
//     or list of marks must agree with the quantity (testdata/sheets/marks).
//   - Numbers without a unit: the heading or a title names it, else 12 to 240 are inches and 300 to 30,000 millimetres;
//     anything else is a fault (TestReadSizes_ColumnsAndUnits).
//   - The width of a pair up to 3'-8" is one leaf's and from 4'-8" the opening's; between them it is a fault, and
//     6070 without the word pair is one too (testdata/sheets/sizes).
//   - A table with two usual conditions or more in one heading row is a matrix of handovers, areas down; tbc in a cell is
//     told and changes nothing (testdata/sheets/handovers, TestMatrix).
//   - 03/04/2026 is a fault unless the person says whether the month or the day comes first (TestParseDate).
//   - Types are read from words; words that fit two types, such as glass front, are a fault (TestReadType).
//   - The openings of a building model (IFC) take their type from the operation, else from the panels, else from the names,
//     else, under 5'-0" wide, they are a door and frame; each but the first with a warning (TestRead_DoorsWithoutOperation...).
//     What the operation is to us stands in a table. A model changes what it says and erases nothing
//     (TestCompare_AModelKeepsWhatOnlySheetsKnow).
//
// This package knows no database: it declares, as Store, the few calls it needs.
package importing
