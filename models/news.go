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
// Report, Handover and Material is set.
type News struct {
	At        time.Time
	Kind      NewsKind
	ProjectID int64
	Tasks     []string // keys
	Area      string   // of a handover, or of a task that is done on an area: its name after those around it
	Report    *FieldReport
	Handover  *HandoverChange
	Material  *MaterialChange
}

// NewsBetween lists what became known of all projects after from, up to and including to, in order of time. It takes
// a fixed number of queries.
func NewsBetween(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	from, to = Instant(from), Instant(to)
	var all []News
	for _, read := range []func(context.Context, Reader, time.Time, time.Time) ([]News, error){
		reportNews, handoverNews, materialNews,
	} {
		news, err := read(ctx, r, from, to)
		if err != nil {
			return nil, err
		}
		all = append(all, news...)
	}
	var areas []Area
	if err := r.in(ctx).Find(&areas).Error; err != nil {
		return nil, wrap(err, "read areas")
	}
	names := namesOf(areas)
	for i := range all {
		all[i].Area = names[all[i].areaID()]
	}
	slices.SortStableFunc(all, func(a, b News) int { return a.At.Compare(b.At) })
	return all, nil
}

// areaID is the area that news name; 0 for none.
func (n *News) areaID() int64 {
	switch {
	case n.Handover != nil:
		return n.Handover.Handover.AreaID
	case n.Report != nil && n.Report.Task.AreaID != nil:
		return *n.Report.Task.AreaID
	}
	return 0
}

func reportNews(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	var rows []FieldReport
	err := r.in(ctx).Preload("Task.Opening").Preload("Task.Release").Preload("Crew").Where("received_at > ? AND received_at <= ?", from, to).
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

func materialNews(ctx context.Context, r Reader, from, to time.Time) ([]News, error) {
	var rows []MaterialChange
	err := r.in(ctx).Preload("Release.Supplier").Preload("Item.Supplier").Preload("Item.Opening").
		Where("at > ? AND at <= ?", from, to).Order("at, id").Find(&rows).Error
	if err != nil {
		return nil, wrap(err, "read the material changes since %s", from)
	}
	codes, err := projectCodes(ctx, r)
	if err != nil {
		return nil, err
	}
	news := make([]News, 0, len(rows))
	for i := range rows {
		project, code, drop := int64(0), "", 1
		switch row := &rows[i]; {
		case row.Release != nil:
			project, code = row.Release.ProjectID, row.Release.Code
			if row.DropNumber != nil {
				drop = *row.DropNumber
			}
		case row.Item != nil && row.Item.Opening != nil:
			project, code = row.Item.Opening.ProjectID, row.Item.Code
		default:
			continue // what it was about is gone
		}
		news = append(news, News{At: rows[i].At, Kind: NewsMaterial, ProjectID: project, Material: &rows[i], Tasks: []string{
			string(pattern.OrderTask(codes[project], code)), string(pattern.LeadTask(codes[project], code, drop)),
			string(pattern.DeliverTask(codes[project], code, drop)),
		}})
	}
	return news, nil
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
