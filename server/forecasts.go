package server

import (
	"context"
	"errors"
	"net/http"
	"strconv"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/forecast"
	"jambwright/server/forecasting"
	"jambwright/web"
)

// movesShown is how many of the things that move a GC date are named.
const movesShown = 6

// readOutlooks reads the forecast kept last.
func (v *dateView) readOutlooks(ctx context.Context, db *models.DB) error {
	latest, err := models.LatestForecast(ctx, db)
	v.outlooks = map[int64]*models.ForecastDate{}
	if latest != nil {
		for i := range latest.Dates {
			v.outlooks[latest.Dates[i].GCDateID] = &latest.Dates[i]
		}
	}
	return err
}

// outlook is what a forecast says of a GC date, nil where it says nothing: the date is done, or a task of it is not planned.
func (v *dateView) outlook(d *models.ForecastDate) *web.Outlook {
	if d == nil || d.DoneAt != nil {
		return nil
	}
	o := bandOf(d)
	if o == nil {
		return nil
	}
	for i := range d.Sensitivities {
		if len(o.Moves) == movesShown {
			break
		}
		s := &d.Sensitivities[i]
		o.Moves = append(o.Moves, v.format.Moves(*s, v.names.know(s.Task).names))
	}
	return o
}

// bandOf is the percentiles of a GC date, nil where there are none.
func bandOf(d *models.ForecastDate) *web.Outlook {
	if d.P10At == nil || d.P50At == nil || d.P80At == nil || d.P90At == nil || d.P80LowAt == nil || d.P80HighAt == nil || d.Chance == nil {
		return nil
	}
	return &web.Outlook{
		P10: *d.P10At, P50: *d.P50At, P80: *d.P80At, P90: *d.P90At, P80Low: *d.P80LowAt, P80High: *d.P80HighAt,
		Settled: d.Settled, Chance: *d.Chance, LateDays: d.LateDays, Damages: d.Damages,
	}
}

// forecastInfo is the forecast that the page shows and the one that is being made.
func (s *Server) forecastInfo(ctx context.Context, f web.Format) (info web.ForecastInfo, err error) {
	info.CanAsk = s.forecast != nil
	plan, err := models.LatestPlan(ctx, s.db)
	if err != nil {
		return info, err
	}
	latest, err := models.LatestForecast(ctx, s.db)
	if err != nil {
		return info, err
	}
	if latest != nil {
		info.Made, info.Samples, info.Older = *latest.MadeAt, latest.SamplesDone, latest.PlanID != plan.ID
		info.Certain = latest.StoppedBy == string(forecast.Certain)
		if latest.Because == models.ForecastByPerson {
			info.ByHand = latest.AskedBy
		}
	}
	open, err := models.OpenForecast(ctx, s.db)
	if err != nil {
		return info, err
	}
	if open != nil {
		info.Running = &web.ForecastRun{ID: strconv.FormatInt(open.ID, 10), Done: open.SamplesDone, Most: open.SamplesMost}
	}
	asked, err := models.LastAsked(ctx, s.db, plan.ID)
	if err != nil {
		return info, err
	}
	if asked != nil {
		info.Failure, info.Stopped = asked.Failure, asked.State == models.ForecastCancelled
	}
	kept, err := models.KeptForecasts(ctx, s.db)
	info.Verdict = f.Verdict(forecast.Calibrate(kept))
	return info, err
}

// askForecast begins a forecast of the plan that the page shows. Asking twice is asking once.
func (s *Server) askForecast(c *gin.Context, p *person) error {
	if s.forecast == nil {
		return notFound("")
	}
	ctx := c.Request.Context()
	plan, err := models.LatestPlan(ctx, s.db)
	if err != nil {
		return err
	}
	err = forecasting.Ask(ctx, s.db, s.forecast, plan.ID, models.ActorOf(p.user))
	if err != nil && !errors.Is(err, models.ErrDuplicate) {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/dates")
	return nil
}

// cancelForecast stops a forecast that is being made.
func (s *Server) cancelForecast(c *gin.Context, p *person) error {
	id, err := strconv.ParseInt(c.Param("id"), 10, 64)
	if err != nil {
		return notFound("")
	}
	if err := forecasting.Cancel(c.Request.Context(), s.db, id, models.ActorOf(p.user)); err != nil {
		return err
	}
	c.Redirect(http.StatusSeeOther, "/dates")
	return nil
}

// calibration shows what forecasts have been worth.
func (s *Server) calibration(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	page := web.CalibrationPage{Chrome: s.chrome(c)}
	kept, err := models.KeptForecasts(ctx, s.db)
	if err != nil {
		return err
	}
	page.Result = forecast.Calibrate(kept)
	byDate, err := models.GCDatesByID(ctx, s.db)
	if err != nil {
		return err
	}
	places := map[string]int{}
	for i := range kept {
		k := &kept[i]
		id, err := strconv.ParseInt(k.Date, 10, 64)
		if err != nil {
			return err
		}
		date := byDate[id]
		if !p.mayRead(date.ProjectID) {
			continue
		}
		at, listed := places[k.Date]
		if !listed {
			at, places[k.Date] = len(page.Dates), len(page.Dates)
			page.Dates = append(page.Dates, web.CameDate{
				Name: date.Name, Project: date.Project, Came: k.Came, First: &web.Outlook{P10: k.P10, P50: k.P50, P80: k.P80, P90: k.P90},
			})
		}
		page.Dates[at].Add(k)
	}
	s.render(c, http.StatusOK, page)
	return nil
}
