package web

import "time"

// SignInPage lets people in. GET /sign-in, POST /sign-in; with Demo set each role has a button that posts role to
// /demo/sign-in.
type SignInPage struct {
	Chrome
	Form  SignInForm
	Fault string // the same words whatever was wrong
	Wait  int    // seconds to wait after too many tries, 0 for none
}

// SignInForm is what is sent.
type SignInForm struct {
	Name     string `form:"name"`
	Password string `form:"password"`
	Next     string `form:"next"` // local address to go to
}

// DemoRoles are the buttons of the demo.
func (p SignInPage) DemoRoles() []Role { return []Role{RoleOperations, RoleForeman, RoleProject} }

// WelcomePage makes the first account from a one-time link. GET and POST /welcome/{token}.
type WelcomePage struct {
	Chrome
	Token  string
	Form   WelcomeForm
	Faults Faults
}

// WelcomeForm is what is sent.
type WelcomeForm struct {
	Name     string `form:"name"`
	Firm     string `form:"firm"`
	Password string `form:"password"`
	Again    string `form:"again"`
	Units    string `form:"units"` // imperial or metric
}

// ErrorKind is what went wrong, as a person sees it.
type ErrorKind string

// The kinds of error page.
const (
	ErrorNotFound   ErrorKind = "not_found"
	ErrorLink       ErrorKind = "link" // a link that works no more
	ErrorNotAllowed ErrorKind = "not_allowed"
	ErrorStale      ErrorKind = "stale"
	ErrorTooLarge   ErrorKind = "too_large"
	ErrorTooMany    ErrorKind = "too_many"
	ErrorBadRequest ErrorKind = "bad_request"
	ErrorUnknown    ErrorKind = "unknown"
)

// ErrorPage tells what went wrong and what to do next.
type ErrorPage struct {
	Chrome
	Kind      ErrorKind
	Detail    string // one sentence for this case; may be empty
	Reference string // short reference into the log, for ErrorUnknown
	Stale     StaleWrite
	Again     string // local address to try again from; empty for the start page
}

// StaleWrite shows both values of a form that another person's save has overtaken.
type StaleWrite struct {
	What   string // "crew Alder"
	By     string
	At     time.Time
	Fields []StaleField
}

// StaleField is one field that differs.
type StaleField struct {
	Name   string
	Yours  string
	Theirs string
}

// Heading is the page's title.
func (p ErrorPage) Heading() string {
	switch p.Kind {
	case ErrorLink:
		return "This link works no more"
	case ErrorNotFound:
		return "There is no such page"
	case ErrorNotAllowed:
		return "This is not open to you"
	case ErrorStale:
		return "Someone saved this before you"
	case ErrorTooLarge:
		return "That file is too large"
	case ErrorTooMany:
		return "Too many tries"
	case ErrorBadRequest:
		return "That could not be understood"
	}
	return "Something went wrong here"
}

// Remedy says what to do next.
func (p ErrorPage) Remedy() string {
	switch p.Kind {
	case ErrorLink:
		return "It has been used or has expired. Ask for a new one; for the first account, start the program again."
	case ErrorNotFound:
		return "It may have been moved or taken out by a newer sheet. Look for it by its mark on the openings page."
	case ErrorNotAllowed:
		return "Your role does not show this page. Ask your operations manager if you need it."
	case ErrorStale:
		return "Nothing of yours was saved. Compare both values, then make your change again on the newest one."
	case ErrorTooLarge:
		return "Send one sheet at a time, without pictures."
	case ErrorTooMany:
		return "Wait a little, then try again."
	case ErrorBadRequest:
		return "Go back and send the form again."
	}
	return "Nothing was changed. Try again; if it happens twice, tell your operations manager the reference."
}
