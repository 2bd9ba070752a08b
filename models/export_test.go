package models

import (
	"errors"
	"sync"

	"gorm.io/gorm"
	"gorm.io/gorm/schema"
)

// AllRows returns one value of every row type.
func AllRows() []any {
	return []any{
		Calendar{},
		CalendarShift{},
		CalendarHoliday{},
		CalendarException{},
		CalendarExceptionShift{},
		Site{},
		SiteTravel{},
		Supplier{},
		SupplierItem{},
		Crew{},
		CrewSkill{},
		CrewSite{},
		CrewAbsence{},
		Limit{},
		Rate{},
		RateFactor{},
		RateLearning{},
		WorkPattern{},
		FirmSettings{},
		RateObservation{},
		RateDecision{},
		Project{},
		Area{},
		Handover{},
		HandoverChange{},
		User{},
		UserProject{},
		Session{},
		SignInFailure{},
		OneTimeLink{},
		AuditEntry{},
		KeptForm{},
		Release{},
		ReleaseDrop{},
		Opening{},
		MaterialItem{},
		MaterialChange{},
		GCDate{},
		Task{},
		TaskLink{},
		FieldReport{},
		Photo{},
		PhotoFile{},
		Pin{},
		Plan{},
		PlanDocument{},
		Forecast{},
		ForecastDate{},
		PlanTask{},
		PlanDate{},
		PlanUnplanned{},
		PlanChange{},
		PlanIssue{},
		Baseline{},
		Night{},
		ForecastSettings{},
		RecoverySettings{},
		RecoveryRun{},
		Scenario{},
		DelayTerms{},
		LedgerWindow{},
		LedgerDate{},
		LedgerLine{},
		LedgerPart{},
		LedgerConfirmation{},
		DelayNotice{},
	}
}

// ColumnsOfRows lists table.column of every row type, as the row types have it.
func ColumnsOfRows() ([]string, error) {
	var out []string
	for _, row := range AllRows() {
		s, err := schema.Parse(row, &sync.Map{}, schema.NamingStrategy{})
		if err != nil {
			return nil, err
		}
		for _, column := range s.DBNames {
			out = append(out, s.Table+"."+column)
		}
	}
	return out, nil
}

// CountQueries counts the statements that read while work runs.
func CountQueries(db *DB, work func()) int {
	n := 0
	count := func(*gorm.DB) { n++ }
	query, row := db.gorm.Callback().Query(), db.gorm.Callback().Row()
	if err := errors.Join(query.After("gorm:query").Register("count", count), row.After("gorm:row").Register("count", count)); err != nil {
		panic(err)
	}
	work()
	if err := errors.Join(query.Remove("count"), row.Remove("count")); err != nil {
		panic(err)
	}
	return n
}
