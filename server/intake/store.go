package intake

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"slices"
	"strconv"

	"jambwright/models"
	"jambwright/server/importing"
)

// Store is the importing.Store on the database. A project is named by its name, its code, or its id as text; a name that
// no project has begins a new one.
type Store struct {
	db    *models.DB
	actor models.Actor
	begin models.NewProject // what a new project begins with, but for its name
	// File names the sheet in the history of handovers.
	File string
}

// NewStore makes a store; actor is who imports. A new project takes its zone and units from begin.
func NewStore(db *models.DB, actor models.Actor, begin models.NewProject) *Store {
	return &Store{db: db, actor: actor, begin: begin}
}

// Stored reads what a project holds of a kind of sheet.
func (s *Store) Stored(ctx context.Context, project string, kind importing.Kind) (stored importing.Stored, err error) {
	err = s.db.ReadTogether(ctx, func(tx *models.Tx) error {
		p, err := s.find(ctx, tx, project)
		if err != nil {
			if errors.Is(err, models.ErrNotFound) {
				p = nil
			} else {
				return err
			}
		}
		stored, err = read(ctx, tx, p, kind)
		return err
	})
	return stored, err
}

// Apply reads what is stored, lets decide choose the changes and saves them, all in one transaction.
func (s *Store) Apply(ctx context.Context, project string, kind importing.Kind, decide func(importing.Stored) (importing.Changes, error)) error {
	return s.db.Write(ctx, func(tx *models.Tx) error { return s.apply(ctx, tx, project, kind, decide) })
}

// Within is the store in a transaction that is open already, such as one that is undone after a trial.
func (s *Store) Within(tx *models.Tx) importing.Store { return within{Store: s, tx: tx} }

// within is a store whose changes belong to somebody else's transaction.
type within struct {
	*Store
	tx *models.Tx
}

// Apply does what the store's own Apply does, in the open transaction.
func (w within) Apply(ctx context.Context, project string, kind importing.Kind, decide func(importing.Stored) (importing.Changes, error)) error {
	return w.apply(ctx, w.tx, project, kind, decide)
}

func (s *Store) apply(ctx context.Context, tx *models.Tx, project string, kind importing.Kind, decide func(importing.Stored) (importing.Changes, error)) error {
	p, err := s.find(ctx, tx, project)
	if err != nil && !errors.Is(err, models.ErrNotFound) {
		return err
	}
	stored, err := read(ctx, tx, p, kind)
	if err != nil {
		return err
	}
	changes, err := decide(stored)
	if err != nil || changes.Empty() {
		return err
	}
	if p == nil {
		begin := s.begin
		begin.Name = project
		if p, err = models.BeginProject(ctx, tx, begin, s.actor); err != nil {
			return fmt.Errorf("begin project %q: %w", project, err)
		}
	}
	if err := s.save(ctx, tx, p, changes); err != nil {
		return err
	}
	return models.RecordChange(ctx, tx, s.actor, "import "+string(kind), "project", p.ID, &p.ID, map[string]any{"file": s.File})
}

func (s *Store) find(ctx context.Context, r models.Reader, project string) (*models.Project, error) {
	if id, err := strconv.ParseInt(project, 10, 64); err == nil {
		if p, err := models.ProjectByID(ctx, r, id); err == nil {
			return p, nil
		}
	}
	return models.ProjectByName(ctx, r, project)
}

// read reads the rows of a kind; p nil is a project that does not exist yet.
func read(ctx context.Context, r models.Reader, p *models.Project, kind importing.Kind) (importing.Stored, error) {
	var stored importing.Stored
	switch kind {
	case importing.Crews:
		return stored, readCrews(ctx, r, p, &stored)
	case importing.Rates:
		var err error
		stored.Rates, err = RateRows(ctx, r)
		return stored, err
	case importing.Suppliers:
		suppliers, err := models.Suppliers(ctx, r)
		for i := range suppliers {
			if suppliers[i].Code == models.UnnamedSupplier {
				continue // nobody's sheet names it
			}
			stored.Suppliers = append(stored.Suppliers, supplierRows(&suppliers[i])...)
		}
		return stored, err
	}
	if p == nil {
		return stored, nil
	}
	around, err := areaNames(ctx, r, p.ID)
	if err != nil {
		return stored, err
	}
	switch kind {
	case importing.Openings:
		err = readOpenings(ctx, r, p.ID, around, &stored)
	case importing.Handovers:
		var handovers []models.Handover
		handovers, err = models.Handovers(ctx, r, p.ID)
		for i := range handovers {
			stored.Handovers = append(stored.Handovers, handoverRow(&handovers[i], around))
		}
	case importing.GCDates:
		var dates []models.GCDate
		dates, err = models.GCDates(ctx, r, p.ID)
		for i := range dates {
			stored.GCDates = append(stored.GCDates, gcDateRow(&dates[i], around))
		}
	}
	return stored, err
}

func readOpenings(ctx context.Context, r models.Reader, projectID int64, around map[int64]models.AreaName, stored *importing.Stored) error {
	openings, err := models.OpeningsOf(ctx, r, projectID)
	if err != nil {
		return err
	}
	for i := range openings {
		stored.Openings = append(stored.Openings, openingRow(&openings[i], around))
	}
	stored.HasWork, err = models.MarksWithWork(ctx, r, projectID)
	return err
}

func readCrews(ctx context.Context, r models.Reader, p *models.Project, stored *importing.Stored) error {
	crews, err := models.Crews(ctx, r)
	if err != nil {
		return err
	}
	sites, err := models.Sites(ctx, r)
	if err != nil {
		return err
	}
	calendars, err := models.Calendars(ctx, r)
	if err != nil {
		return err
	}
	names := map[int64]string{}
	for _, site := range sites {
		names[site.ID] = site.Name
	}
	for i := range crews {
		if crews[i].Active {
			stored.Crews = append(stored.Crews, crewRow(&crews[i], p, names, calendars))
		}
	}
	return nil
}

// areaNames maps areas to the names of their level and zone.
func areaNames(ctx context.Context, r models.Reader, projectID int64) (map[int64]models.AreaName, error) {
	areas, err := models.Areas(ctx, r, projectID)
	if err != nil {
		return nil, err
	}
	byID := map[int64]*models.Area{}
	for i := range areas {
		byID[areas[i].ID] = &areas[i]
	}
	names := make(map[int64]models.AreaName, len(areas))
	for _, a := range areas {
		switch {
		case a.Code == models.WholeJob:
			names[a.ID] = models.AreaName{}
		case a.Kind == "level":
			names[a.ID] = models.AreaName{Level: a.Name}
		case a.ParentID != nil:
			names[a.ID] = models.AreaName{Level: byID[*a.ParentID].Name, Zone: a.Name}
		default:
			names[a.ID] = models.AreaName{Zone: a.Name}
		}
	}
	return names, nil
}

// upserts are the rows to add or change, in one list.
func upserts[R importing.Row](c importing.RowChanges[R]) []R {
	rows := slices.Clone(c.Add)
	for _, change := range c.Change {
		rows = append(rows, change.New)
	}
	return rows
}

// save writes the changes of one kind.
func (s *Store) save(ctx context.Context, tx *models.Tx, p *models.Project, c importing.Changes) error {
	if err := s.saveOpenings(ctx, tx, p, c.Openings); err != nil {
		return err
	}
	if len(c.Crews.Add)+len(c.Crews.Change)+len(c.Crews.Remove) > 0 {
		if err := saveCrews(ctx, tx, p, c.Crews, s.actor); err != nil {
			return err
		}
	}
	if len(c.Suppliers.Add)+len(c.Suppliers.Change)+len(c.Suppliers.Remove) > 0 {
		if err := saveSuppliers(ctx, tx, p, c.Suppliers, s.actor); err != nil {
			return err
		}
	}
	if err := saveRates(ctx, tx, c.Rates, s.actor); err != nil {
		return err
	}
	return errors.Join(s.saveHandovers(ctx, tx, p, c.Handovers), s.saveGCDates(ctx, tx, p, c.GCDates))
}

func (s *Store) saveOpenings(ctx context.Context, tx *models.Tx, p *models.Project, c importing.RowChanges[importing.OpeningRow]) error {
	rows := upserts(c)
	if len(rows)+len(c.Remove) == 0 {
		return nil
	}
	inputs := make([]models.OpeningInput, len(rows))
	for i := range rows {
		inputs[i] = openingInput(rows[i])
	}
	if err := models.SaveOpenings(ctx, tx, p.ID, inputs, s.actor); err != nil {
		return err
	}
	var gone []string
	for _, row := range c.Remove {
		gone = append(gone, row.Mark)
	}
	if len(gone) > 0 {
		if err := models.RemoveOpenings(ctx, tx, p.ID, gone, s.actor); err != nil {
			return err
		}
	}
	return models.AssignReleases(ctx, tx, p.ID)
}

func (s *Store) saveHandovers(ctx context.Context, tx *models.Tx, p *models.Project, c importing.RowChanges[importing.HandoverRow]) error {
	var inputs []models.HandoverInput
	for _, row := range upserts(c) {
		inputs = append(inputs, handoverInput(row))
	}
	if len(inputs) > 0 {
		if err := models.SaveHandovers(ctx, tx, p.ID, inputs, cmp.Or(s.File, "sheet"), s.actor); err != nil {
			return err
		}
	}
	if len(c.Remove) == 0 {
		return nil
	}
	stored, err := models.Handovers(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	around, err := areaNames(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	var ids []int64
	for i := range stored {
		if row := handoverRow(&stored[i], around); slices.ContainsFunc(c.Remove, func(r importing.HandoverRow) bool { return r.Key() == row.Key() }) {
			ids = append(ids, stored[i].ID)
		}
	}
	return models.RemoveHandovers(ctx, tx, p.ID, ids, s.actor)
}

func (s *Store) saveGCDates(ctx context.Context, tx *models.Tx, p *models.Project, c importing.RowChanges[importing.GCDateRow]) error {
	var inputs []models.GCDateInput
	for _, row := range upserts(c) {
		inputs = append(inputs, gcDateInput(row))
	}
	if len(inputs) > 0 {
		if err := models.SaveGCDates(ctx, tx, p.ID, inputs, s.actor); err != nil {
			return err
		}
	}
	if len(c.Remove) == 0 {
		return nil
	}
	stored, err := models.GCDates(ctx, tx, p.ID)
	if err != nil {
		return err
	}
	var ids []int64
	for i := range stored {
		if slices.ContainsFunc(c.Remove, func(r importing.GCDateRow) bool { return sameName(r.Name, stored[i].Name) }) {
			ids = append(ids, stored[i].ID)
		}
	}
	return models.RemoveGCDates(ctx, tx, p.ID, ids, s.actor)
}
