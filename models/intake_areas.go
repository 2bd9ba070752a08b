package models

import (
	"context"
	"fmt"
	"regexp"
	"strings"
	"unicode"

	"jambwright/scheduler/pattern"
)

// AreaName names an area as sheets do: a level and a zone or room group in it. Both empty mean the whole job.
type AreaName struct{ Level, Zone string }

// WholeJob is the code of the area of openings whose sheet names none.
const WholeJob = "JOB"

const wholeJobName = "Whole job"

// levelNumber is a level's number or letter: "Level 2", "lvl 02", "L2", "2nd floor", "floor B1".
var levelNumber = regexp.MustCompile(`(?i)^(?:level|lvl\.?|floor|fl\.?|storey|story|l)?\s*-?\s*0*([a-z]?\d+|[a-z])(?:st|nd|rd|th)?(?:\s*(?:level|floor|storey|story))?$`)

// EnsureAreas finds or makes the areas that a sheet names, in order, and returns their ids. New areas walk after those
// there are. Names are compared without case and spare spaces; codes are derived from them and never change again.
func EnsureAreas(ctx context.Context, tx *Tx, projectID int64, names []AreaName, actor Actor) (map[AreaName]int64, error) {
	var stored []Area
	if err := tx.in(ctx).Where("project_id = ?", projectID).Order("walk_order, id").Find(&stored).Error; err != nil {
		return nil, wrap(err, "read the areas of project %d", projectID)
	}
	a := &areaMaker{projectID: projectID, actor: actor, byKey: map[string]*Area{}, codes: map[string]bool{}}
	for i := range stored {
		a.know(&stored[i])
	}
	ids := make(map[AreaName]int64, len(names))
	for _, name := range names {
		area, err := a.ensure(ctx, tx, name)
		if err != nil {
			return nil, err
		}
		ids[name] = area.ID
	}
	return ids, nil
}

// areaMaker knows the areas of a project while new ones are made.
type areaMaker struct {
	projectID int64
	actor     Actor
	byKey     map[string]*Area // by parent id and folded name
	codes     map[string]bool
	lastWalk  int
}

func (a *areaMaker) know(area *Area) {
	a.byKey[areaKey(area.ParentID, area.Name)] = area
	a.codes[area.Code] = true
	a.lastWalk = max(a.lastWalk, area.WalkOrder)
}

func areaKey(parent *int64, name string) string {
	id := int64(0)
	if parent != nil {
		id = *parent
	}
	return fmt.Sprintf("%d/%s", id, foldName(name))
}

// foldName is a name without case and spare spaces; a level's different spellings fold to one.
func foldName(name string) string {
	name = strings.ToLower(strings.Join(strings.Fields(name), " "))
	if m := levelNumber.FindStringSubmatch(name); m != nil {
		return "level " + m[1]
	}
	return name
}

func (a *areaMaker) ensure(ctx context.Context, tx *Tx, name AreaName) (*Area, error) {
	level, zone := strings.TrimSpace(name.Level), strings.TrimSpace(name.Zone)
	if level == "" && zone == "" {
		return a.find(ctx, tx, nil, Area{Name: wholeJobName, Kind: pattern.Building, Code: WholeJob})
	}
	if level == "" {
		return a.find(ctx, tx, nil, Area{Name: zone, Kind: pattern.Zone, Code: areaCode(zone)})
	}
	around, err := a.find(ctx, tx, nil, Area{Name: level, Kind: pattern.Level, Code: levelCode(level)})
	if err != nil || zone == "" {
		return around, err
	}
	return a.find(ctx, tx, &around.ID, Area{Name: zone, Kind: pattern.Zone, Code: around.Code + "-" + areaCode(zone)})
}

func (a *areaMaker) find(ctx context.Context, tx *Tx, parent *int64, area Area) (*Area, error) {
	if known := a.byKey[areaKey(parent, area.Name)]; known != nil {
		return known, nil
	}
	base := area.Code
	for n := 2; a.codes[area.Code]; n++ {
		area.Code = fmt.Sprintf("%s.%d", base, n)
	}
	area.ProjectID, area.ParentID, area.WalkOrder = a.projectID, parent, a.lastWalk+1
	if err := create(ctx, tx, "area "+area.Code, &area); err != nil {
		return nil, err
	}
	a.know(&area)
	return &area, record(ctx, tx, a.actor, "create", subject{kind: "area", id: area.ID, projectID: &a.projectID},
		map[string]any{"code": area.Code, "name": area.Name})
}

// levelCode is short: "Level 2" is L2; a level with another name is coded like a zone.
func levelCode(name string) string {
	if folded, ok := strings.CutPrefix(foldName(name), "level "); ok && !strings.Contains(folded, " ") {
		return "L" + strings.ToUpper(folded)
	}
	return areaCode(name)
}

// areaCode keeps letters and digits of a name and joins words with a hyphen.
func areaCode(name string) string {
	words := strings.FieldsFunc(name, func(r rune) bool { return !unicode.IsLetter(r) && !unicode.IsDigit(r) })
	if len(words) == 0 {
		return "area"
	}
	return strings.Join(words, "-")
}
