package main

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"strings"

	"jambwright/models"
	"jambwright/server/accounts"
)

// runUser adds an account and prints the one-time link by which its owner chooses a password.
func runUser(ctx context.Context, args []string, stdout, stderr io.Writer) int {
	const usage = "add --email NAME [--name NAME] --role operations_manager|project_manager|foreman [--crew CREW]"
	if len(args) == 0 || args[0] != "add" {
		fmt.Fprintf(stderr, "usage: jambwright user %s\n", usage)
		return exitUsage
	}
	var where place
	flags := newFlags("user", usage, stderr)
	where.flags(flags)
	email := flags.String("email", "", "what the person signs in with")
	name := flags.String("name", "", "the person's `NAME` as others see it (default: as --email)")
	role := flags.String("role", "", "operations_manager, project_manager or foreman")
	crew := flags.String("crew", "", "a foreman's `CREW`")
	origin := flags.String("origin", cmp.Or(os.Getenv(originVariable), "http://"+defaultListen),
		"the `URL` under which the pages are served, for the printed link; $"+originVariable+" sets it for good")
	if code, done := parse(flags, args[1:]); done {
		return code
	}
	account := accounts.NewAccount{Name: *name, SignInName: *email, Role: models.Role(*role)}
	if account.Name == "" {
		account.Name = *email
	}
	if fault := faultOf(account, *crew); fault != "" {
		fmt.Fprintf(stderr, "jambwright: %s\n", fault)
		return exitUsage
	}
	db, err := where.open(ctx)
	if err != nil {
		return failed(stderr, err)
	}
	defer db.Close()
	if *crew != "" {
		row, err := models.CrewByName(ctx, db, *crew)
		if errors.Is(err, models.ErrNotFound) {
			err = fmt.Errorf("there is no crew %q; the crews are %s", *crew, crewNames(ctx, db))
		}
		if err != nil {
			return failed(stderr, err)
		}
		account.CrewID = &row.ID
	}
	link, err := invite(ctx, db, account)
	if err != nil {
		return failed(stderr, err)
	}
	fmt.Fprintf(stdout, "%s may choose a password within two days at\n%s/welcome/%s\n", account.Name, *origin, link)
	return exitDone
}

func faultOf(a accounts.NewAccount, crew string) string {
	switch a.Role {
	case models.OperationsManager, models.ProjectManager:
		if crew != "" {
			return "--crew is for the role foreman"
		}
	case models.Foreman:
	default:
		return fmt.Sprintf("--role %q is not operations_manager, project_manager or foreman", a.Role)
	}
	if a.SignInName == "" {
		return "--email says what the person signs in with; it is missing"
	}
	return ""
}

func invite(ctx context.Context, db *models.DB, account accounts.NewAccount) (token string, err error) {
	service, err := accounts.New(db)
	if err != nil {
		return "", err
	}
	user, err := service.Create(ctx, account, "the console")
	if errors.Is(err, models.ErrDuplicate) {
		return "", fmt.Errorf("%s has an account already; choose another --email", account.SignInName)
	}
	if err != nil {
		return "", fmt.Errorf("make the account %s: %w", account.SignInName, err)
	}
	return service.Invite(ctx, user.ID)
}

// crewNames lists the crews for a message.
func crewNames(ctx context.Context, db *models.DB) string {
	crews, err := models.Crews(ctx, db)
	if err != nil || len(crews) == 0 {
		return "not read in yet"
	}
	names := make([]string, 0, len(crews))
	for i := range crews {
		names = append(names, crews[i].Name)
	}
	return strings.Join(names, ", ")
}
