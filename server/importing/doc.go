// Package importing turns the sheets that contractors keep into typed rows, shows what they would change and saves them
// in one transaction.
//
// The way of a file:
//
//	bytes --sheet.Read--> tables of cells --Read--> Sheet: rows, faults, warnings
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
// This package knows no database: it declares, as Store, the few calls it needs.
package importing
