// Package models holds what the product stores: the row types, the queries and transactions of its use cases, and the
// translation of rows into the planner's values and back.
//
//	server, cmd ── Open, Write, ReadTogether ──> DB, Tx
//	rows_*.go    one struct a table, by topic
//	snapshot*.go the whole firm as scheduler/pattern wants it
//	task*.go     the problem's tasks and links as rows, pins
//	plan*.go     a computed plan as rows; its issue and its differences
//	nights.go    the nightly runs; news.go: what became known between two plans
//	reports.go   field reports, folded onto tasks; material.go: orders, deliveries, remakes
//	intake_*.go  what sheets say, by the names that sheets use
//	page_*.go    one set of queries a page, returned as plain structs
//
// Conventions. A function that writes takes a *Tx, so the caller decides what one transaction holds; a function that reads
// takes a Reader, which is a DB or a Tx. Every change that a person makes leaves a line in the audit trail, in the same
// transaction. Instants are UTC in whole microseconds; dates have no zone (type Date); lengths are whole ten-thousandths
// of a millimetre; money is whole cents. Intervals are half-open. A row that people edit has a version: an update names the
// version it was based on and is refused with ErrStale when the row has moved on.
//
// Worked example: a foreman reports a broken pane. The server calls
//
//	db.Write(ctx, func(tx *models.Tx) error {
//		already, err := models.AppendReport(ctx, tx, &models.FieldReport{ClientID: id, TaskID: task, Kind: models.ReportDamaged, ...})
//		return err
//	})
//
// which appends the report, marks the item damaged, adds the remake, and does nothing at all when the same report was
// sent before.
//
// What this package does not do: it never changes the schema (package migrations does), decides no dates (the planner
// does), formats nothing for people, and lets no error of the database library out: callers test for ErrNotFound,
// ErrDuplicate, ErrInUse, ErrRefused and *ErrStale.
package models
