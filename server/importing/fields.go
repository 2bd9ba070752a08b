package importing

import "jambwright/server/sheet"

// Fields of the vocabularies. They are also the names under which comparisons show a field.
const (
	fMark        = "mark"
	fType        = "type"
	fDescription = "description"
	fDoorType    = "door type"
	fLevel       = "level"
	fArea        = "area"
	fRoom        = "room"
	fSize        = "size"
	fWidth       = "width"
	fHeight      = "height"
	fRoughSize   = "rough size"
	fRoughWidth  = "rough width"
	fRoughHeight = "rough height"
	fThickness   = "thickness"
	fLeaves      = "leaves"
	fLeafWidth   = "leaf width"
	fLeafHeight  = "leaf height"
	fLeaf        = "leaf"
	fDoorWidth   = "door width"
	fDoorHeight  = "door height"
	fSidelight   = "sidelight"
	fLights      = "lights"
	fTransom     = "transom"
	fButt        = "butt joints"
	fHanding     = "handing"
	fGlass       = "glass"
	fGlassThick  = "glass thickness"
	fFire        = "fire rating"
	fHardware    = "hardware set"
	fRelease     = "release"
	fSupplier    = "supplier"
	fFinish      = "finish"
	fMaterial    = "material"
	fQuantity    = "quantity"
	fNotes       = "notes"
	fOther       = "other"

	fName         = "name"
	fForeman      = "foreman"
	fHeads        = "heads"
	fSkills       = "skills"
	fHomeSite     = "home site"
	fSites        = "sites"
	fCalendar     = "calendar"
	fShift        = "shift"
	fStart        = "start"
	fFinishTime   = "finish time"
	fCost         = "cost per hour"
	fProductivity = "productivity"
	fAway         = "away"
	fAwayFrom     = "away from"
	fAwayTo       = "away to"

	fCondition = "condition"
	fTrade     = "trade"
	fPromised  = "promised"
	fForecast  = "forecast"
	fActual    = "actual"

	fItems   = "items"
	fLeast   = "least"
	fLikely  = "likely"
	fMost    = "most"
	fBasis   = "order basis"
	fDays    = "days"
	fContact = "contact"

	fEach   = "for each"
	fHours  = "hours"
	fSource = "source"
	fUnder  = "condition of work"
	fFactor = "factor"

	fDate    = "date"
	fWork    = "work"
	fDamages = "damages per day"
)

// cross joins every prefix with every core: "" and "opening " with "width" and "w".
func cross(prefixes, cores []string) []string {
	var names []string
	for _, p := range prefixes {
		for _, c := range cores {
			if p == "" {
				names = append(names, c)
			} else {
				names = append(names, p+" "+c)
			}
		}
	}
	return names
}

// Words from which the headings of sizes are made.
var (
	widths      = []string{"width", "w", "wd", "wdth", "wide", "wid"}
	heights     = []string{"height", "h", "ht", "hgt", "hght", "high", "hi"}
	sizes       = []string{"size", "sizes", "wxh", "w x h", "wd x ht", "width x height", "hxw", "h x w", "ht x wd", "height x width", "w h", "h w", "wd ht", "ht wd", "width height", "height width", "size w x h", "size wxh", "size h x w", "size hxw", "size width x height", "size height x width", "dimensions", "dims"}
	openingWord = []string{"", "opening", "opng", "frame", "unit", "front", "fr", "masonry", "wall"}
	doorWord    = []string{"door", "dr"}
	leafWord    = []string{"leaf", "panel", "slab", "door leaf", "door panel", "active leaf"}
	roughWord   = []string{"ro", "r o", "rough opening", "rough opng", "rough"}
)

// vocabulary returns the headings of a kind of sheet, the key first. The lists are common practice of schedules and of
// the people who type them.
func vocabulary(kind Kind) sheet.Vocabulary {
	switch kind {
	case Openings:
		return openingHeadings
	case Crews:
		return crewHeadings
	case Handovers:
		return handoverHeadings
	case Suppliers:
		return supplierHeadings
	case GCDates:
		return gcDateHeadings
	case Rates:
		return rateHeadings
	}
	return nil
}

var notesNames = []string{"notes", "note", "remarks", "remark", "comments", "comment", "rmks", "remarks notes", "notes remarks", "special notes"}

var levelNames = []string{
	"level", "lvl", "floor", "flr", "fl", "storey", "story", "floor level", "level floor", "building level", "lev",
	"levels", "floors", "bldg level", "flr lvl", "level name", "floor name",
}

var areaNames = []string{
	"area", "zone", "area zone", "zone area", "work area", "sector", "wing", "phase", "building area", "building zone", "region",
	"room group", "quadrant", "pour", "block", "suite", "department", "dept", "section", "location area", "area location", "zone room", "room zone", "area room", "room area", "area name", "zone name", "areas", "zones", "building", "bldg", "tower",
}

var roomNames = []string{
	"room", "room name", "room no", "rm", "rm no", "rm name", "location", "loc", "room location", "location room", "space",
	"space name", "to room", "from room", "room to", "room from", "to", "from", "room number", "space no", "room space",
	"from to", "location to", "location from", "room name no",
}

var openingHeadings = sheet.Vocabulary{
	{Field: fMark, Names: []string{
		"mark", "marks", "mark no", "mark number", "opening mark", "opening no", "opening number", "opening id", "opening tag",
		"opening marks", "opng no", "opng mark", "opng", "door mark", "door no", "door number", "door id", "door tag", "dr no",
		"dr mark", "mk", "mk no", "mark s", "mark nos", "marks nos", "door nos", "door marks", "door no s", "opening nos", "front no", "front mark", "frame mark", "frame no", "frame number",
		"opening", "openings", "door opening", "door opening no", "door", "doors", "tag", "tag no", "id", "unit mark", "unit no",
		"plan mark", "symbol", "ref", "ref no", "reference", "no", "number", "item no", "item", "unit",
	}},
	{Field: fLevel, Names: levelNames, Repeat: sheet.Always},
	{Field: fArea, Names: areaNames, Repeat: sheet.UnlessWiderChanges, Within: fLevel},
	{Field: fType, Names: []string{
		"type", "opening type", "opng type", "front type", "unit type", "type of opening", "type of front", "kind", "kind of opening", "types",
		"item type", "assembly", "system", "system type", "product", "category", "configuration", "config", "style", "type description", "assembly type", "type code",
	}, Repeat: sheet.Always},
	{Field: fDescription, Names: []string{
		"description", "desc", "item description", "opening description", "product description", "description of opening", "descr", "descrip",
	}},
	{Field: fDoorType, Names: cross([]string{"door", "dr", "leaf", "panel"}, []string{"type", "style", "elevation", "elev"})},
	{Field: fRoom, Names: roomNames, Many: true},
	{Field: fSize, Names: append(cross(append(append([]string{}, openingWord...), doorWord...), sizes), "opening dimensions")},
	{Field: fWidth, Names: cross(openingWord, widths)},
	{Field: fHeight, Names: cross(openingWord, heights)},
	{Field: fRoughSize, Names: append(cross(roughWord, sizes), "ro", "rough opening")},
	{Field: fRoughWidth, Names: cross(roughWord, widths)},
	{Field: fRoughHeight, Names: cross(roughWord, heights)},
	{Field: fDoorWidth, Names: cross(doorWord, widths)},
	{Field: fDoorHeight, Names: cross(doorWord, heights)},
	{Field: fLeafWidth, Names: cross(leafWord, widths)},
	{Field: fLeafHeight, Names: cross(leafWord, heights)},
	{Field: fThickness, Names: append(cross([]string{"", "door", "dr", "leaf"}, []string{"thickness", "thk", "thick", "t", "thkns", "thck"}), "th")},
	{Field: fLeaves, Names: []string{
		"leaves", "no of leaves", "number of leaves", "leafs", "leaf count", "leaf qty", "lvs", "no leaves", "doors per opening",
		"no of doors", "panels", "no of panels",
	}},
	{Field: fLeaf, Names: append(cross([]string{"leaf", "leaves", "door leaf", "slab", "door slab"}, []string{"make", "made of", "material", "matl", "mat", "construction", "const", "kind", "core"}),
		"leaf", "door leaf", "slab", "door slab", "door construction", "dr construction", "door const")},
	{Field: fSidelight, Names: append(cross([]string{"", "left", "right", "l", "r"},
		[]string{"sidelight", "sidelights", "sidelite", "sidelites", "side light", "side lights", "side lite", "side lites", "sl", "sidelight width", "sidelite width", "sl width", "sidelight w", "sl w"}),
		"sidelight left", "sidelight right", "sl left", "sl right", "sidelite left", "sidelite right", "sidelight l", "sidelight r", "sidelight size"), Many: true},
	{Field: fLights, Names: []string{"lights", "lites", "no of lights", "no of lites", "number of lights", "number of lites", "bays", "no of bays", "light count", "lite count", "panes", "no of panes"}},
	{Field: fTransom, Names: append(cross([]string{"transom", "transom light", "transom lite"}, heights), "transom", "transom light", "transom lite", "transom glass", "transom size")},
	{Field: fButt, Names: []string{"butt joints", "butt joint", "butt jointed", "butt glazed", "butt glazing", "joints", "glass joints", "glass joint", "mullionless"}},
	{Field: fHanding, Names: []string{"handing", "hand", "door hand", "door handing", "swing", "door swing", "hdg", "hand of door", "hand swing", "slide direction", "operation", "door operation"}},
	{Field: fGlass, Names: []string{"glass", "glass type", "glazing", "glazing type", "glz", "glz type", "gl", "gl type", "glass kind", "glass make up", "glass makeup", "glass spec", "infill", "door glass", "door glazing"}},
	{Field: fGlassThick, Names: cross([]string{"glass", "glazing", "gl", "glz"}, []string{"thickness", "thk", "thick", "t"})},
	{Field: fFire, Names: []string{
		"fire rating", "rating", "fire label", "fire", "label", "fire rtg", "rtg", "fire rated", "hourly rating", "fire resistance",
		"fire rate", "rated", "fire protection rating", "door rating", "opening rating", "labeled", "fr", "rating min", "rating label", "label rating",
	}},
	{Field: fHardware, Names: append(cross([]string{"hardware", "hdw", "hdwr", "hdwe", "hw", "h w", "hrdw", "door hardware"}, []string{"set", "group", "set no", "group no", "sets", "no", "grp", "heading"}),
		"hardware", "hdw", "hdwr", "hdwe", "hw", "hwset", "hws", "set no", "set", "hardware set number", "door hardware")},
	{Field: fRelease, Names: []string{"release", "release no", "rel", "rel no", "release group", "order group", "release batch", "batch", "package", "order"}},
	{Field: fSupplier, Names: []string{"supplier", "vendor", "manufacturer", "mfr", "mfg", "furnished by", "source", "supplied by"}},
	{Field: fFinish, Names: []string{"finish", "frame finish", "fin", "finish color", "frame color", "color", "colour", "door finish", "metal finish"}},
	{Field: fMaterial, Names: append(cross([]string{"", "door", "dr"}, []string{"material", "matl", "mat", "mtl", "material core", "matl core", "core"}), "door frame material", "door frame")},
	{Field: fQuantity, Names: []string{
		"quantity", "qty", "qnty", "qnt", "qty reqd", "quan", "no of openings", "number of openings", "count", "pcs", "ea", "each", "no off",
		"no reqd", "amount", "total qty", "qty ea", "quant", "opening qty", "opening count", "units",
	}},
	{Field: fNotes, Names: notesNames, Many: true},
	{Field: fOther, Names: append(cross([]string{"frame"}, []string{"type", "material", "matl", "mat", "mtl", "head", "jamb", "sill", "elevation", "elev", "depth", "throat", "gauge", "anchor", "anchors", "profile"}),
		append(cross([]string{"head", "jamb", "sill", "threshold"}, []string{"detail", "details", "dtl", "det"}),
			"elevation", "elev", "elevation type", "elev type", "head", "jamb", "sill", "detail", "details", "undercut", "threshold", "access control", "wall type", "wall", "throat", "louver", "louvre", "frame finish type", "gauge", "closer", "lock", "lock function", "key", "keying", "area sf", "sqft", "sq ft", "weight", "wt", "cost", "price", "unit price", "rev", "revision", "status", "date")...), Many: true},
}
