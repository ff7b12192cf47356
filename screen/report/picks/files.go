package picks

import (
	"bufio"
	"encoding/csv"
	"fmt"
	"math"
	"path/filepath"
	"strconv"
	"strings"

	"wallsift/screen/report"
	"wallsift/screen/report/page"
	"wallsift/screen/report/workbook"
)

// CSV is the name of the programme for programs.
const CSV = "programme.csv"

// Files lists what Write writes.
var Files = []string{CSV, workbook.ProgrammeXLSX, page.ProgrammeHTML}

// Write writes the files of the programme to dir. The same run, configuration and
// list of homes done give the same bytes.
func (p *Picks) Write(dir string) error {
	if err := report.WriteFile(filepath.Join(dir, CSV), p.writeCSV); err != nil {
		return fmt.Errorf("writing %s: %w", CSV, err)
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
	number := func(x float64, decimals int) string {
		if math.IsNaN(x) {
			return ""
		}
		return strconv.FormatFloat(x, 'f', decimals, 64)
	}
	for i, x := range p.chosen.Picks {
		h, m := p.at(x)
		saved := math.NaN()
		if money, ok := p.money(m.kWh).(float64); ok {
			saved = money
		}
		strategy := p.about(m.strategy)
		row := []string{
			strconv.Itoa(i + 1), h.id, h.address, h.group, m.strategy, m.verdict, m.readiness, number(m.mm, 0), number(m.area, 1), number(m.kWh, 0), number(m.cost, 0), number(saved, 0),
			strings.Join(m.do, " "), strings.Join(m.look, " "), number(m.typical, 3), number(m.low, 3), number(m.high, 3), m.chance, report.StrategyCaution(&strategy),
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
