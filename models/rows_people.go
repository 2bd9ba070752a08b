package models

import "time"

// Role is what a person may do.
type Role string

// The roles.
const (
	OperationsManager Role = "operations_manager" // everything
	ProjectManager    Role = "project_manager"    // own projects
	Foreman           Role = "foreman"            // own crew's work
)

// User is a person who signs in by Email, which is stored in lower case.
type User struct {
	ID           int64
	Name         string
	Email        string
	PasswordHash string
	Role         Role
	CrewID       *int64 // a foreman's crew
	Active       bool
	Versioned
	Crew     *Crew
	Projects []UserProject
}

// UserProject says that a project manager runs a project.
type UserProject struct {
	ID        int64
	UserID    int64
	ProjectID int64
	Project   Project
}

// Session is a signed-in browser; the token is stored as a hash only.
type Session struct {
	TokenHash string `gorm:"primaryKey"`
	Data      []byte
	ExpiresAt time.Time
}

// SignInFailure is one failed attempt.
type SignInFailure struct {
	ID      int64
	Account string
	Address string
	At      time.Time
}

// LinkPurpose is what a link lets its bearer do.
type LinkPurpose string

// The purposes.
const (
	LinkFirstAccount LinkPurpose = "first_account" // make the first account
	LinkInvitation   LinkPurpose = "invitation"    // choose a password for a new account
	LinkPassword     LinkPurpose = "password"      // choose a new password
	LinkGuest        LinkPurpose = "guest"         // read one project until it expires, any number of times
)

// OneTimeLink is a link that expires; the token is stored as a hash only. All but guest links work once.
type OneTimeLink struct {
	ID        int64
	TokenHash string
	Purpose   LinkPurpose
	UserID    *int64
	ProjectID *int64
	CreatedBy *int64
	CreatedAt time.Time
	ExpiresAt time.Time
	UsedAt    *time.Time
}

// AuditEntry is one change: who, what, to which row, with the values before and after in Detail.
type AuditEntry struct {
	ID          int64
	At          time.Time
	UserID      *int64
	Actor       string
	Action      string
	SubjectKind string
	SubjectID   int64
	ProjectID   *int64
	Detail      JSON[map[string]any]
}
