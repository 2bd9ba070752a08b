package web

import (
	"bytes"
	"embed"
	"fmt"
	"html/template"
	"io"
	"net/http"
	"path"
	"slices"
	"strings"

	"jambwright/scheduler/length"
	"jambwright/web/elevation"
)

//go:embed templates/*.html
var templateFiles embed.FS

//go:embed assets/*
var assetFiles embed.FS

// Page is one of the page structs of this package.
type Page interface {
	template() string // name of the page's template file without its ending
}

func (TomorrowPage) template() string      { return "tomorrow" }
func (ReportPage) template() string        { return "report" }
func (OpeningsPage) template() string      { return "openings" }
func (OpeningPage) template() string       { return "opening" }
func (OpeningEditPage) template() string   { return "opening_edit" }
func (SoonerPage) template() string        { return "sooner" }
func (CrewsPage) template() string         { return "crews" }
func (MovePreviewPage) template() string   { return "move" }
func (IssuePage) template() string         { return "issue" }
func (DatesPage) template() string         { return "dates" }
func (CalibrationPage) template() string   { return "calibration" }
func (DelaysPage) template() string        { return "delays" }
func (HandoversPage) template() string     { return "handovers" }
func (HandoverTryPage) template() string   { return "handover_try" }
func (ReportTryPage) template() string     { return "report_try" }
func (HandoverNewPage) template() string   { return "handover_new" }
func (TolerancesPage) template() string    { return "tolerances" }
func (HandoverPage) template() string      { return "handover" }
func (MaterialPage) template() string      { return "material" }
func (ReleasePage) template() string       { return "release" }
func (MaterialEditPage) template() string  { return "material_edit" }
func (MaterialCheckPage) template() string { return "material_check" }
func (SuggestPage) template() string       { return "suggest" }
func (SiteLimitsPage) template() string    { return "limits" }
func (NightsPage) template() string        { return "nights" }
func (NightPage) template() string         { return "night" }
func (ImportPage) template() string        { return "import" }
func (ImportPreviewPage) template() string { return "preview" }
func (ProjectsPage) template() string      { return "projects" }
func (SignInPage) template() string        { return "sign_in" }
func (WelcomePage) template() string       { return "welcome" }
func (ErrorPage) template() string         { return "error" }

// pageTemplates lists every page once; loading fails when one has no template.
func pageTemplates() []Page {
	return []Page{
		TomorrowPage{},
		ReportPage{},
		OpeningsPage{},
		OpeningPage{},
		OpeningEditPage{},
		FactorPage{},
		SoonerPage{},
		CrewsPage{},
		MovePreviewPage{},
		IssuePage{},
		DatesPage{},
		CalibrationPage{},
		DelaysPage{},
		HandoversPage{},
		HandoverPage{},
		MaterialPage{},
		ReleasePage{},
		MaterialEditPage{},
		MaterialCheckPage{},
		HandoverTryPage{},
		ReportTryPage{},
		PatternEditPage{},
		HandoverNewPage{},
		TolerancesPage{},
		SuggestPage{},
		RecoveryPage{},
		ScenarioPage{},
		RecoveryPricesPage{},
		SiteLimitsPage{},
		CostPage{},
		NightsPage{},
		NightPage{},
		ImportPage{},
		ImportPreviewPage{},
		ProjectsPage{},
		RatesPage{},
		RatePage{},
		RevisionPage{},
		SettingsPage{},
		ForecastRiskPage{},
		PatternsPage{},
		SignInPage{},
		WelcomePage{},
		ErrorPage{},
	}
}

// Pages holds the parsed templates and the assets. It is safe for use by several goroutines.
type Pages struct {
	byName map[string]*template.Template
	assets assets
}

// Load parses every template and hashes every asset. An error means a fault of this package, found at start.
func Load() (*Pages, error) {
	files, err := loadAssets(assetFiles)
	if err != nil {
		return nil, fmt.Errorf("loading assets: %w", err)
	}
	base, err := template.New("layout.html").Funcs(functions(files)).
		ParseFS(templateFiles, "templates/layout.html", "templates/parts.html")
	if err != nil {
		return nil, fmt.Errorf("parsing the layout: %w", err)
	}
	pages := &Pages{byName: make(map[string]*template.Template), assets: files}
	for _, page := range pageTemplates() {
		name := page.template()
		set, err := base.Clone()
		if err != nil {
			return nil, fmt.Errorf("copying the layout for page %s: %w", name, err)
		}
		set.Funcs(template.FuncMap{"room": func(page any) string { return roomOf(name, page) }})
		if _, err := set.ParseFS(templateFiles, path.Join("templates", name+".html")); err != nil {
			return nil, fmt.Errorf("parsing page %s: %w", name, err)
		}
		pages.byName[name] = set
	}
	return pages, nil
}

// Render writes the page as a whole HTML document. On an error nothing has been written.
func (p *Pages) Render(w io.Writer, page Page) error {
	var buffer bytes.Buffer
	if err := p.byName[page.template()].Execute(&buffer, page); err != nil {
		return fmt.Errorf("rendering page %s: %w", page.template(), err)
	}
	_, err := buffer.WriteTo(w)
	return err
}

// Assets serves everything under /assets/. Addresses hold a hash of the content and may be cached for ever; any other
// address is not found.
func (p *Pages) Assets() http.Handler { return p.assets }

// functions are what templates may call beside the methods of the page and of its Format.
func functions(files assets) template.FuncMap {
	return template.FuncMap{
		"asset": files.address,
		"shown": func(format Format, item any) Shown { return Shown{Format: format, Item: item} },
		"strip": func(o elevation.Opening) template.HTML { return template.HTML(o.SVG(elevation.Strip)) },
		"list":  func(o elevation.Opening) template.HTML { return template.HTML(o.SVG(elevation.List)) },
		"large": func(f Format, o elevation.Opening) template.HTML {
			return template.HTML(o.SVGWithMeasures(elevation.Large, f.Length(o.Width), f.Length(o.Height)))
		},
		"fault": func(faults Faults, field string) FieldFault {
			return FieldFault{Field: field, Message: faults.On(field)}
		},
		"described":  described,
		"glyph":      glyph,
		"room":       func(any) string { return "" }, // replaced for each page
		"firstMoves": func(moved []MovedTask) []MovedTask { return moved[:min(len(moved), movesAtOnce)] },
		"haveCauses": func(moved []MovedTask) bool {
			return slices.ContainsFunc(moved, func(m MovedTask) bool { return m.Cause != "" })
		},
		"moreMoves":   func(moved []MovedTask) []MovedTask { return moved[min(len(moved), movesAtOnce):] },
		"kinds":       TaskKinds,
		"decimal":     Decimal,
		"labour":      labour,
		"times":       times,
		"costed":      costed,
		"priced":      priced,
		"legend":      legend,
		"lateWords":   LateWords,
		"spreadWords": SpreadWords,
		"join":        func(items []string) string { return strings.Join(items, ", ") },
	}
}

// movesAtOnce is how many moved tasks a page shows before the rest folds away.
const movesAtOnce = 30

// roomOf is the entry of the navigation under which a page stands: by its template, or by where what it asks about was begun.
func roomOf(name string, page any) string {
	if revision, is := page.(RevisionPage); is {
		for _, room := range []string{"material", "openings"} {
			if strings.HasPrefix(revision.Action, "/"+room) {
				return room
			}
		}
	}
	switch name {
	case "tomorrow", "report", "report_try":
		return "tomorrow"
	case "openings", "opening", "opening_edit", "sooner":
		return "openings"
	case "crews", "move", "issue":
		return "crews"
	case "handovers", "handover", "handover_try", "handover_new", "tolerances":
		return "handovers"
	case "rates", "rate", "revision", "settings", "patterns", "pattern_edit":
		return "rates"
	case "material", "release", "material_edit", "material_check", "suggest", "limits":
		return "material"
	case "nights", "night":
		return "nights"
	case "dates", "calibration", "recovery", "scenario", "recovery_prices":
		return "dates"
	case "import", "preview", "projects":
		return "projects"
	}
	return name
}

// Shown hands a part of a page to a named template together with the reader's format.
type Shown struct {
	Format Format
	Item   any
}

// legend shows one opening at every step of progress, and once held, with the words for it.
func legend() []OpeningMark {
	sample := elevation.Opening{
		Type: elevation.HingedFront, Width: 66 * length.Inch, Height: 96 * length.Inch,
		Sidelights: []elevation.Sidelight{{Side: elevation.Right}},
	}
	var marks []OpeningMark
	for progress := elevation.RoughOpening; progress <= elevation.Punched; progress++ {
		sample.Progress = progress
		marks = append(marks, OpeningMark{Room: progress.Word(), Elevation: sample})
	}
	sample.Progress, sample.Hold = elevation.Framed, "held"
	return append(marks, OpeningMark{Room: "held", Elevation: sample})
}

// described ties a field to its help (an id, may be empty) and to its fault, for people who cannot see them stand together.
func described(faults Faults, field, help string) template.HTMLAttr {
	ids, invalid := help, ""
	if faults.On(field) != "" {
		ids, invalid = strings.TrimSpace(help+" "+field+"-fault"), ` aria-invalid="true"`
	}
	if ids == "" {
		return ""
	}
	return template.HTMLAttr(`aria-describedby="` + ids + `"` + invalid)
}
