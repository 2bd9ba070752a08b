package models

import (
	"context"
	"slices"
	"time"

	"jambwright/scheduler/pattern"
)

// NewsKind is where a piece of news comes from.
type NewsKind string

// The kinds of news.
const (
	NewsReport   NewsKind = "report"
	NewsHandover NewsKind = "handover"
	NewsMaterial NewsKind = "material"
)

// News is one thing that became known in a span of time, with the tasks of the problem that it is about. Exactly one of
// Report, Handover, Release and Item is set.
type News struct {
	At        time.Time
	Kind      NewsKind
	ProjectID int64
	Tasks     []string // keys
	Report    *FieldReport
	Handover  *HandoverChange
	Release   *Release
	Item      *MaterialItem // a remake
	Mark      string        // opening of the remake
}

// NewsBetween lists what became known of all open projects after from, up to and including to, in order of time. It takes
// a fixed number of queries.
func NewsBetween(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	from, to = Instant(from), Instant(to)
	var all []News
	for _, read := range []func(context.Context, Reader, time.Time, time.Time) ([]News, error){
		reportNews, handoverNews, releaseNews, remakeNews,
	} {
		news, err := read(ctx, r, from, to)
		if err != nil {
			return nil, err
		}
		all = append(all, news...)
	}
	slices.SortStableFunc(all, func(a, b News) int { return a.At.Compare(b.At) })
	return all, nil
}

func reportNews(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	var rows []FieldReport
	err := r.in(ctx).Preload("Task.Opening").Preload("Crew").Where("received_at > ? AND received_at <= ?", from, to).
		Order("received_at, id").Find(&rows).Error
	news := make([]News, 0, len(rows))
	for i := range rows {
		news = append(news, News{
			At: rows[i].ReceivedAt, Kind: NewsReport, ProjectID: rows[i].Task.ProjectID, Tasks: []string{rows[i].Task.Key}, Report: &rows[i],
		})
	}
	return news, wrap(err, "read the reports since %s", from)
}

func handoverNews(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	var rows []HandoverChange
	err := r.in(ctx).Preload("Handover.Area").Where("at > ? AND at <= ?", from, to).Order("at, id").Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the handover changes since %s", from)
	}
	codes, err := projectCodes(ctx, r)
	if err != nil {
		return nil, err
	}
	news := make([]News, 0, len(rows))
	for i := range rows {
		h := rows[i].Handover
		key := pattern.HandoverTask(codes[h.Area.ProjectID], h.Area.Code, h.Condition)
		news = append(news, News{
			At: rows[i].At, Kind: NewsHandover, ProjectID: h.Area.ProjectID, Tasks: []string{string(key)}, Handover: &rows[i],
		})
	}
	return news, nil
}

func releaseNews(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	var rows []Release
	err := r.in(ctx).Preload("Supplier").Preload("Drops").
		Where("version > 1 AND updated_at > ? AND updated_at <= ?", from, to).Order("updated_at, id").Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the releases changed since %s", from)
	}
	codes, err := projectCodes(ctx, r)
	if err != nil {
		return nil, err
	}
	news := make([]News, 0, len(rows))
	for i := range rows {
		code := codes[rows[i].ProjectID]
		keys := []string{string(pattern.OrderTask(code, rows[i].Code))}
		for _, d := range rows[i].Drops {
			keys = append(keys, string(pattern.LeadTask(code, rows[i].Code, d.Number)), string(pattern.DeliverTask(code, rows[i].Code, d.Number)))
		}
		news = append(news, News{At: rows[i].UpdatedAt, Kind: NewsMaterial, ProjectID: rows[i].ProjectID, Tasks: keys, Release: &rows[i]})
	}
	return news, nil
}

func remakeNews(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	var rows []struct {
		MaterialItem
		Mark        string
		ProjectID   int64
		ProjectCode string
	}
	err := r.in(ctx).Model(&MaterialItem{}).
		Select("material_items.*, openings.mark, openings.project_id, projects.code AS project_code").
		Joins("JOIN openings ON openings.id = material_items.opening_id").Joins("JOIN projects ON projects.id = openings.project_id").
		Where("material_items.parent_id IS NOT NULL AND material_items.updated_at > ? AND material_items.updated_at <= ?", from, to).
		Order("material_items.updated_at, material_items.id").Find(&rows).Error
	news := make([]News, 0, len(rows))
	for i := range rows {
		row := &rows[i]
		news = append(news, News{
			At: row.UpdatedAt, Kind: NewsMaterial, ProjectID: row.ProjectID, Item: &row.MaterialItem, Mark: row.Mark,
			Tasks: []string{
				string(pattern.OrderTask(row.ProjectCode, row.Code)),
				string(pattern.LeadTask(row.ProjectCode, row.Code, 1)), string(pattern.DeliverTask(row.ProjectCode, row.Code, 1)),
			},
		})
	}
	return news, wrap(err, "read the remakes changed since %s", from)
}

// projectCodes maps the ids of all projects to their codes.
func projectCodes(ctx context.Context, r Reader) (map[int64]string, error) {
	var rows []Project
	if err := r.in(ctx).Select("id", "code").Find(&rows).Error; err != nil {
		return nil, wrap(err, "read the codes of projects")
	}
	codes := make(map[int64]string, len(rows))
	for _, p := range rows {
		codes[p.ID] = p.Code
	}
	return codes, nil
}
