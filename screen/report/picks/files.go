package picks

import (
	"bufio"
	"context"
	"encoding/csv"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/page"
	"wallsift/screen/report/workbook"
	"wallsift/screen/results"
)

// CSV is the name of the programme for programs.
const CSV = "programme.csv"

// Files lists what Write writes.
var Files = []string{CSV, workbook.ProgrammeXLSX, page.ProgrammeHTML}

// Write writes the files of the programme to dir. The same run, configuration and
// list of homes done give the same bytes.
func (p *Picks) Write(dir string) error {
	if err := report.WriteFile(filepath.Join(dir, CSV), p.writeCSV); err != nil {
		return err
	}
	grids, sentences := p.Grids(), p.Summary()
	names := map[string]string{Programme: "Programme", Groups: "By group", LeftOut: "Left out", Apart: "Homes left out", Dangers: "Cautions"}
	if err := workbook.WriteProgramme(dir, p.Manifest, grids, names, sentences); err != nil {
		return err
	}
	return page.WriteProgramme(dir, p.Manifest, grids, sentences)
}

// writeCSV writes one row for each home of the programme, in SI and with ids.
func (p *Picks) writeCSV(out *bufio.Writer) error {
	w := csv.NewWriter(out)
	head := []string{"order", "building_id", "address", "group_key", "strategy", "verdict", "readiness", "insulation_mm", "wall_area_m2", "saved_kwh_a", "cost", "saved_cost_a", "fix_first", "check_on_site", "utilisation", "utilisation_low", "utilisation_high", "chance", "caution"}
	if err := w.Write(head); err != nil {
		return err
	}
	number := func(x any, decimals int) string {
		if f, ok := x.(float64); ok && !math.IsNaN(f) {
			return strconv.FormatFloat(f, 'f', decimals, 64)
		}
		return ""
	}
	for _, x := range p.picked {
		strategy := p.about(x.strategy)
		row := []string{
			strconv.Itoa(x.order), x.id, x.address, x.group, x.strategy, x.verdict, x.readiness, number(x.mm, 0), number(x.area, 1), number(x.kWh, 0), number(x.cost, 0), number(p.money(x.kWh), 0),
			strings.Join(x.do, " "), strings.Join(x.look, " "), number(x.typical, 3), number(x.low, 3), number(x.high, 3), x.chance, report.StrategyCaution(&strategy),
		}
		for k := range row {
			row[k] = report.Guarded(row[k])
		}
		if err := w.Write(row); err != nil {
			return err
		}
	}
	w.Flush()
	return w.Error()
}

// home is one row of homes: its measures that are suited, with a saving.
type home struct {
	id, address, group string
	measures           []measure
	why                reason   // why there are none, or none is picked
	most               float64  // what it would save at most, kWh/a, where it is left out; NaN where no measure is suited
	missing            []string // rows of costs, where it is left out for them
}

// measure is a strategy at a home.
type measure struct {
	strategy, verdict, readiness, chance string
	mm, area, kWh                        float64 // NaN where there is none
	typical, low, high                   float64 // shares of the limit
	cost                                 float64 // NaN where it is not known
	missing                              []string
	do, look                             []string  // ids of steps
	parts                                []string  // strategies of the walls, where each has its own
	partMM                               []float64 // and their insulation
}

// pick is a measure of the programme.
type pick struct {
	order int
	*home
	*measure
}

// built lists the strategies that the measure builds.
func (m *measure) built() []string {
	if m.parts != nil {
		return m.parts
	}
	return []string{m.strategy}
}

// reason says why a home is left out; the order is that of the lists, the homes that
// are nearest to a programme first.
type reason int

const (
	isPicked reason = iota
	isDone
	costUnknown
	areaUnknown
	beyond
	savesNothing
	nothingSuited
)

// columns of the ranking that are read, beside that of addresses.
var columns = []string{
	"building_id", "group_key", "strategy", "verdict", "readiness", "chance", "fix_first", "check_on_site",
	"insulation_mm", "wall_measures", "wall_area_m2", "saved_kwh_a", "utilisation", "utilisation_low", "utilisation_high",
}

// read gathers the homes of a ranking, in its order.
func (p *Picks) read(ctx context.Context, f *results.Folder) error {
	if f.Has(report.AddressName) {
		p.address = report.AddressName
	}
	place := map[string]int{}
	return f.Ranking(ctx, append(slices.Clone(columns), p.address), func(r results.Row) {
		id := r.Text("building_id")
		at, met := place[id]
		if !met {
			at = len(p.all)
			place[id] = at
			p.all = append(p.all, home{id: id, address: r.Text(p.address), group: r.Text("group_key"), why: nothingSuited})
		}
		p.all[at].meet(p.measure(r))
	})
}

// meet adds a measure of the home, if it can be one of a programme.
func (h *home) meet(m measure) {
	switch {
	case m.verdict != screen.Suited.String() && m.verdict != screen.SuitedAfterRepairs.String():
	case m.parts == nil && !(m.mm > 0) || m.kWh <= 0: // repairs alone
		h.why = min(h.why, savesNothing)
	case math.IsNaN(m.kWh):
		h.why = areaUnknown
	default:
		h.measures = append(h.measures, m)
	}
}

// measure reads a row and prices it.
func (p *Picks) measure(r results.Row) measure {
	m := measure{
		strategy: r.Text("strategy"), verdict: r.Text("verdict"), readiness: r.Text("readiness"), chance: r.Text("chance"),
		mm: r.Number("insulation_mm"), area: r.Number("wall_area_m2"), kWh: math.Round(r.Number("saved_kwh_a")),
		typical: r.Number("utilisation"), low: r.Number("utilisation_low"), high: r.Number("utilisation_high"),
		do: strings.Fields(r.Text("fix_first")), look: strings.Fields(r.Text("check_on_site")),
	}
	if math.IsNaN(m.high) {
		m.high = 0 // no limit applies
	}
	price := func(id string, area, mm float64) {
		c, ok := p.cfg.Costs[id]
		if !ok && !slices.Contains(m.missing, id) {
			m.missing = append(m.missing, id)
		}
		m.cost += c.Of(area, mm)
	}
	for _, wall := range strings.Fields(r.Text("wall_measures")) {
		id, mm, area, err := report.ParseMeasure(wall)
		if err != nil {
			id = wall // no row of costs has that name
		}
		if s, ok := p.cfg.Strategies[id]; ok && len(s.Inside)+len(s.Outside) == 0 {
			continue // repairs alone: their steps are priced below
		}
		price(id, area, mm)
		if !slices.Contains(m.parts, id) {
			m.parts, m.partMM = append(m.parts, id), append(m.partMM, mm)
		}
	}
	if m.parts == nil {
		price(m.strategy, m.area, m.mm)
	}
	for _, id := range m.do {
		price(id, m.area, m.mm)
	}
	m.cost = math.Round(m.cost)
	if m.missing != nil {
		m.cost = math.NaN()
	}
	return m
}

// ReadDone reads the ids of homes that are decided or done: the column building_id
// of a CSV file, such as the programme.csv of another year.
func ReadDone(path string) (ids []string, err error) {
	isID := func(column string) bool { return strings.EqualFold(strings.TrimSpace(column), "building_id") }
	head, err := results.ReadCSV(path, -1, func(cells map[string]string) {
		for column, id := range cells {
			if isID(column) && strings.TrimSpace(id) != "" {
				ids = append(ids, id)
			}
		}
	})
	switch {
	case err != nil:
		return nil, fmt.Errorf("%s cannot be read: %w", path, err)
	case !slices.ContainsFunc(head, isID):
		return nil, fmt.Errorf("%s, line 1, %q: a header with the column building_id was expected; name the column of ids so", path, strings.Join(head, ","))
	}
	return ids, nil
}
