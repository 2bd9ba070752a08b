package server

import (
	"errors"
	"fmt"
	"net/http"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/server/accounts"
	"jambwright/web"
)

// signInForm shows the form; who is signed in already goes to the page of the role.
func (s *Server) signInForm(c *gin.Context) {
	if p := personOf(c); p != nil {
		c.Redirect(http.StatusSeeOther, home(p.role))
		return
	}
	page := web.SignInPage{Chrome: s.chrome(c)}
	page.Form.Next = localAddress(c.Query("next"), "")
	s.render(c, http.StatusOK, page)
}

func (s *Server) signIn(c *gin.Context) {
	page := web.SignInPage{}
	if err := c.ShouldBind(&page.Form); err != nil {
		s.fail(c, bindFault(err))
		return
	}
	user, err := s.accounts.SignIn(c.Request.Context(), page.Form.Name, page.Form.Password, c.ClientIP())
	var tooMany *accounts.TooManyError
	switch {
	case errors.As(err, &tooMany):
		page.Wait = int(tooMany.Wait.Seconds())
		s.signInAgain(c, http.StatusTooManyRequests, page, "Too many tries.")
	case errors.Is(err, accounts.ErrWrong):
		s.signInAgain(c, http.StatusUnauthorized, page, "Name or password is not right.")
	case err != nil:
		s.fail(c, err)
	default:
		s.enter(c, user, page.Form.Next)
	}
}

func (s *Server) signInAgain(c *gin.Context, status int, page web.SignInPage, fault string) {
	page.Chrome, page.Fault, page.Form.Password = s.chrome(c), fault, ""
	s.render(c, status, page)
}

// enter begins a session for the user under a new token.
func (s *Server) enter(c *gin.Context, user *models.User, next string) {
	ctx := c.Request.Context()
	if err := s.sessions.RenewToken(ctx); err != nil {
		s.fail(c, fmt.Errorf("begin a session: %w", err))
		return
	}
	s.sessions.Put(ctx, sessionUser, user.ID)
	c.Redirect(http.StatusSeeOther, localAddress(next, home(webRole(user.Role))))
}

func (s *Server) signOut(c *gin.Context) {
	if err := s.sessions.Destroy(c.Request.Context()); err != nil {
		s.fail(c, fmt.Errorf("end the session: %w", err))
		return
	}
	c.Redirect(http.StatusSeeOther, "/sign-in")
}

// demoSignIn signs in the demo's person of a role; the route exists only in the demo, which listens to this machine only.
func (s *Server) demoSignIn(c *gin.Context) {
	role := web.Role(c.PostForm("role"))
	users, err := models.Users(c.Request.Context(), s.db)
	if err != nil {
		s.fail(c, err)
		return
	}
	for i := range users {
		if users[i].Active && webRole(users[i].Role) == role {
			s.enter(c, &users[i], c.PostForm("next"))
			return
		}
	}
	s.fail(c, badRequest("The demo has nobody of that role."))
}

func (s *Server) welcomeForm(c *gin.Context) {
	user, err := s.accounts.Invited(c.Request.Context(), c.Param("token"))
	if err != nil {
		s.fail(c, welcomeFault(err))
		return
	}
	page := web.WelcomePage{Chrome: s.chrome(c), Token: c.Param("token")}
	if user != nil {
		page.Form.Name = user.Email
	}
	s.render(c, http.StatusOK, page)
}

// welcome makes the first account, or sets the password of an invited one.
func (s *Server) welcome(c *gin.Context) {
	ctx, page := c.Request.Context(), web.WelcomePage{Token: c.Param("token")}
	if err := c.ShouldBind(&page.Form); err != nil {
		s.fail(c, bindFault(err))
		return
	}
	invited, err := s.accounts.Invited(ctx, page.Token)
	if err != nil {
		s.fail(c, welcomeFault(err))
		return
	}
	if page.Faults = welcomeFaults(page.Form, invited == nil); len(page.Faults) > 0 {
		s.welcomeAgain(c, page)
		return
	}
	var user *models.User
	if invited == nil {
		user, err = s.accounts.AcceptFirst(ctx, page.Token, accounts.Welcome{
			Name: page.Form.Name, SignInName: page.Form.Name, Password: page.Form.Password,
			Firm: page.Form.Firm, Units: models.Units(page.Form.Units),
		})
	} else {
		user, err = s.accounts.AcceptInvitation(ctx, page.Token, page.Form.Password)
	}
	switch {
	case errors.Is(err, accounts.ErrPasswordLength):
		page.Faults = web.Faults{{Field: "password", Message: err.Error()}}
		s.welcomeAgain(c, page)
	case err != nil:
		s.fail(c, welcomeFault(err))
	default:
		s.enter(c, user, "")
	}
}

func (s *Server) welcomeAgain(c *gin.Context, page web.WelcomePage) {
	page.Chrome, page.Form.Password, page.Form.Again = s.chrome(c), "", ""
	s.render(c, http.StatusUnprocessableEntity, page)
}

func welcomeFaults(form web.WelcomeForm, first bool) (faults web.Faults) {
	if first && strings.TrimSpace(form.Name) == "" {
		faults = append(faults, web.FieldFault{Field: "name", Message: "Say what you want to sign in with."})
	}
	if form.Password != form.Again {
		faults = append(faults, web.FieldFault{Field: "again", Message: "The two passwords differ."})
	}
	if len([]rune(form.Password)) < accounts.MinPassword {
		faults = append(faults, web.FieldFault{
			Field: "password", Message: fmt.Sprintf("Take at least %d characters.", accounts.MinPassword),
		})
	}
	return faults
}

// welcomeFault tells apart a link that works no more.
func welcomeFault(err error) error {
	if errors.Is(err, models.ErrNotFound) {
		return &refusal{kind: web.ErrorLink}
	}
	return err
}

// bindFault is an error of reading a form.
func bindFault(err error) error {
	var tooLarge *http.MaxBytesError
	if errors.As(err, &tooLarge) {
		return err
	}
	return badRequest("The form could not be read: " + err.Error())
}
