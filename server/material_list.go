package server

import (
	"cmp"
	"context"
	"fmt"
	"path"
	"slices"
	"strconv"
	"strings"

	"github.com/gin-gonic/gin"

	"jambwright/models"
	"jambwright/scheduler/length"
	"jambwright/scheduler/ordering"
	"jambwright/scheduler/pattern"
	"jambwright/scheduler/takeoff"
	"jambwright/web"
)

// verifyWords stands on every line of an order list: a takeoff is arithmetic on a schedule, not a shop drawing.
const verifyWords = "verify against approved shop drawings"

// orderListHeadings are the columns of an order list.
var orderListHeadings = []string{
	"Release", "Drop", "Supplier", "State", "Order by", "Mark", "Room", "Area", "Item", "Piece", "Quantity", "Width or length", "Height", "Glass",
	"Weight each", "Sizes from", "Opening as scheduled", "Opening as measured", "Finish", "Hardware set", "Handing", "Check",
}

// orderList sends what is not here yet, or all of one release, piece by piece, as CSV or XLSX.
func (s *Server) orderList(c *gin.Context, p *person) error {
	ctx := c.Request.Context()
	project, err := s.projectOf(c, p, c.Query("project"))
	if err != nil {
		return err
	}
	f := s.format(c, project)
	v, err := s.materialView(ctx, project, f)
	if err != nil {
		return err
	}
	list, err := models.ListOpenings(ctx, s.db, models.OpeningQuery{ProjectID: project.ID})
	if err != nil {
		return err
	}
	settings, err := models.Settings(ctx, s.db)
	if err != nil {
		return err
	}
	o := orderSheet{view: v, rules: settings.TakeoffRules.V.WithDefaults(), openings: map[string]*models.Opening{}}
	if err := o.readSizes(ctx, s.db, list); err != nil {
		return err
	}
	for i := range list.Openings {
		o.openings[list.Openings[i].Mark] = &list.Openings[i].Opening
	}
	rows := [][]string{
		{fmt.Sprintf("Order list of %s, made %s", project.Name, f.Moment(f.Now))},
		{"Sizes and weights come by takeoff from the opening schedule, or from the field size where the line says so. Before ordering, " + verifyWords + "; the manufacturer's instructions and local codes govern."},
		orderListHeadings,
	}
	only := c.Query("release")
	for _, line := range ordering.ByUrgency(v.board.Lines) {
		rel := v.byCode[line.Release]
		chosen := only == "" && line.Received == nil || !line.Remake && rel != nil && strconv.FormatInt(rel.ID, 10) == only
		if line.Project == project.Code && chosen {
			rows = append(rows, o.line(&line)...)
		}
	}
	return sendSheet(c, path.Base(c.Param("file")), "order-list", rows, 2)
}

// orderSheet writes the pieces of deliveries.
type orderSheet struct {
	view     *materialView
	rules    takeoff.Rules
	openings map[string]*models.Opening // by mark
}

// piece is one size of one item, so many times.
type piece struct {
	name          string
	count         int
	width, height length.Length
	glass         string
	grams         int64
}

// readSizes reads what was measured of the openings of a list.
func (o *orderSheet) readSizes(ctx context.Context, db *models.DB, list *models.OpeningList) error {
	openings := make([]*models.Opening, len(list.Openings))
	for i := range list.Openings {
		openings[i] = &list.Openings[i].Opening
	}
	return models.ReadSizes(ctx, db, openings...)
}

// line writes the pieces of one delivery, opening by opening.
func (o *orderSheet) line(l *ordering.Line) (rows [][]string) {
	f := o.view.format
	d := o.view.delivery(l)
	by := ""
	if !d.OrderBy.IsZero() {
		by = f.ISO(d.OrderBy.Add(-1))
	}
	for _, c := range l.Contents {
		opening := o.openings[c.Mark]
		if opening == nil {
			continue
		}
		measured := ""
		if opening.MeasuredWidth > 0 {
			measured = f.Size(opening.MeasuredWidth, opening.MeasuredHeight)
		}
		size := opening.ItemSize(c.Item)
		if !l.Remake {
			size = pattern.SizeOf(pattern.ItemOrder{Item: c.Item, Basis: l.Basis, Ordered: l.Ordered}, opening.Sizes)
		}
		geometry, fits := size.MadeTo(opening.Takeoff(), o.rules)
		from := sizeWords(opening, size, fits, f.ISO, f)
		for _, p := range o.pieces(opening, geometry, c.Item) {
			rows = append(rows, []string{
				d.Name, strconv.Itoa(l.Drop), l.Supplier, d.State(), by, c.Mark, opening.Room, o.view.names.d.ByID[opening.AreaID],
				itemWords(c.Item), p.name, strconv.Itoa(p.count), o.length(p.width), o.length(p.height), p.glass, o.weight(p.grams),
				from, f.Size(opening.Width, opening.Height), measured, opening.Finish, opening.HardwareSet, opening.Handing, verifyWords,
			})
		}
	}
	return rows
}

func (o *orderSheet) length(l length.Length) string {
	if l == 0 {
		return ""
	}
	return o.view.format.Length(l)
}

func (o *orderSheet) weight(grams int64) string {
	if grams == 0 {
		return ""
	}
	return o.view.format.Weight(kilograms(grams))
}

// pieces are what an item of an opening is made of, equal ones together. An opening that cannot be taken off says so.
func (o *orderSheet) pieces(opening *models.Opening, geometry takeoff.Opening, item pattern.Item) (list []piece) {
	t, err := takeoff.Of(geometry, o.rules)
	if err != nil {
		return []piece{{name: "geometry is not whole: see the opening's page", count: 1}}
	}
	glass := cmp.Or(opening.GlassText, glassWords(opening.Takeoff().Glass, o.view.format))
	if t.GlassAssumed {
		glass = strings.TrimSpace(glass + " (thickness assumed)")
	}
	add := func(p piece) {
		i := slices.IndexFunc(list, func(other piece) bool {
			other.count = p.count
			return other == p
		})
		if i < 0 {
			list = append(list, p)
			return
		}
		list[i].count += p.count
	}
	switch item {
	case pattern.FrameKit:
		for _, m := range t.Members {
			add(piece{name: string(m.Role), count: m.Count, width: m.Length})
		}
	case pattern.Glass:
		for _, p := range t.Panes {
			add(piece{name: "pane", count: 1, width: p.Width, height: p.Height, glass: glass, grams: p.Grams})
		}
	case pattern.Leaf:
		for _, l := range t.Leaves {
			p := piece{name: "leaf", count: 1, width: l.Place.Width, height: l.Place.Height}
			if l.Glass != nil {
				p.name, p.glass, p.grams = "leaf of glass", glass, l.Glass.Grams
			}
			add(p)
		}
	case pattern.Hardware:
		add(piece{name: "hardware points", count: max(1, t.Hardware)})
	}
	return list
}

// orderListLinks are the addresses of an order list, of one release or of all that is not here.
func orderListLinks(projectID, release string) []web.Choice {
	query := "?project=" + projectID
	if release != "" {
		query += "&release=" + release
	}
	return []web.Choice{
		{Value: "/material/export/order-list.xlsx" + query, Text: "Order list, XLSX"},
		{Value: "/material/export/order-list.csv" + query, Text: "Order list, CSV"},
	}
}
