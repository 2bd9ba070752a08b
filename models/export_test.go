package models

import (
	"sync"

	"gorm.io/gorm/schema"
)

// AllRows returns one value of every row type.
func AllRows() []any {
	return []any{
		Calendar{}, CalendarShift{}, CalendarHoliday{}, CalendarException{}, CalendarExceptionShift{}, Site{}, SiteTravel{},
		Supplier{}, SupplierItem{}, Crew{}, CrewSkill{}, CrewSite{}, CrewAbsence{}, Limit{}, Rate{}, RateFactor{}, RateLearning{},
		WorkPattern{}, FirmSettings{}, RateObservation{}, Project{}, Area{}, Handover{}, HandoverChange{},
		User{}, UserProject{}, Session{}, SignInFailure{}, OneTimeLink{}, AuditEntry{}, KeptForm{},
		Release{}, ReleaseDrop{}, Opening{}, MaterialItem{}, MaterialChange{}, GCDate{}, Task{}, FieldReport{}, Pin{},
		Plan{}, PlanDocument{}, PlanTask{}, PlanDate{}, PlanUnplanned{}, PlanChange{}, PlanIssue{}, Baseline{}, Night{},
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
