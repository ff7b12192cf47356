//go:build slow

package screen

import (
	"flag"
	"fmt"
	"math"
	"os"
	"slices"
	"strings"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
)

var update = flag.Bool("update", false, "write the response tables into model/README.md")

// responseFile holds the tables between two marks.
const (
	responseFile  = "../model/README.md"
	responseBegin = "<!-- responses: go test -tags slow -run TestResponseTables ./screen -update -->"
	responseEnd   = "<!-- end of responses -->"
)

// response is one wall of a table: the facts it differs in from the base wall.
type response struct {
	name      string
	words     map[ingest.Category]string
	numbers   map[ingest.Number]float64
	stone     string
	zone      string
	thickness float64 // m of insulation, 0 for the strategy's usual one
}

// TestResponseTables runs one factor after the other of a common wall, so that a
// physicist can see whether the tool thinks straight.
func TestResponseTables(t *testing.T) {
	l, err := config.Load(config.Inputs{Flags: map[string]any{"chance.draws": 0}})
	if err != nil {
		t.Fatal(err)
	}
	e, err := NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	cat := func(c ingest.Category, words ...string) (out []response) {
		for _, w := range words {
			out = append(out, response{name: strings.ReplaceAll(w, "_", " "), words: map[ingest.Category]string{c: w}})
		}
		return out
	}
	num := func(n ingest.Number, format string, scale float64, values ...float64) (out []response) {
		for _, v := range values {
			out = append(out, response{name: fmt.Sprintf(format, v), numbers: map[ingest.Number]float64{n: v * scale}})
		}
		return out
	}
	var stones, zones, dose []response
	for _, s := range []string{"brick_soft", "brick_common", "brick_dense", "sandstone_rubble", "sandstone_porous", "limestone_rubble", "limestone_soft", "granite", "granite_rubble", "slate_rubble", "tuff"} {
		stones = append(stones, response{name: s, stone: s})
	}
	for _, z := range []string{"3a", "4a", "4c", "5a", "oceanic_wet", "continental", "6a", "7", "8"} {
		zones = append(zones, response{name: z, zone: z})
	}
	for _, mm := range []float64{20, 40, 60, 80, 120, 160} {
		dose = append(dose, response{name: fmt.Sprintf("%.0f mm", mm), thickness: mm / 1000})
	}
	var out strings.Builder
	for _, table := range []struct {
		title string
		rows  []response
	}{
		{"Orientation, degrees from north", num(ingest.Orientation, "%.0f", 1, 0, 45, 90, 135, 180, 225, 270, 315)},
		{"Masonry, mm", num(ingest.WallThickness, "%.0f", 1e-3, 230, 350, 500, 700)},
		{"Exposure", cat(ingest.Exposure, "sheltered", "moderate", "severe", "very_severe")},
		{"Stone", stones},
		{"Climate", zones},
		{"Coat on the face", cat(ingest.OuterFinish, "bare", "limewash", "silicate_paint", "lime_render", "cement_render", "film_paint")},
		{"Joints", cat(ingest.JointCondition, "sound", "weathered", "open")},
		{"Indoor humidity class", cat(ingest.HumidityClass, "1", "2", "3", "4", "5")},
		{"Insulation", dose},
	} {
		out.WriteString(responseTable(t, e, table.title, table.rows))
	}
	if !*update {
		return
	}
	page, err := os.ReadFile(responseFile)
	if err != nil {
		t.Fatal(err)
	}
	before, rest, ok := strings.Cut(string(page), responseBegin)
	_, after, ok2 := strings.Cut(rest, responseEnd)
	if !ok || !ok2 {
		t.Fatalf("%s has no place for the tables", responseFile)
	}
	if err := os.WriteFile(responseFile, []byte(before+responseBegin+"\n"+out.String()+responseEnd+after), 0o644); err != nil {
		t.Fatal(err)
	}
}

// responseTable runs the wall as it is and under three linings.
func responseTable(t *testing.T, e *Engine, title string, rows []response) string {
	t.Helper()
	strategies := []string{"repairs_only", "interior_wool_retarder", "capillary_active_board", "exterior_rigid"}
	var b strings.Builder
	fmt.Fprintf(&b, "\n**%s**\n\n| wall | rain on the face kg/m²a | timber %%, as it is | timber of its limit: as it is | wool | board | exterior | corner mould of its limit: as it is | wool | cold face mould: wool | board | reserve kg/m²a: wool | board | filling in the fullest frost, of the critical: as it is | wool |\n|---|---|---|---|---|---|---|---|---|---|---|---|---|---|---|\n", title)
	for _, r := range rows {
		building := responseWall(t, r)
		h := e.NewWorker().newHome(&building)
		var rain, moisture float64
		u := map[string]*trial{}
		for _, id := range strategies {
			st := &e.strategies[slices.IndexFunc(e.strategies, func(s strategy) bool { return s.ID == id })]
			// The facts are taken as they stand: joints and coats are what is varied.
			at := e.worldOf(&building, st, point{})
			sized := st.Thickness.Typical
			if r.thickness > 0 {
				sized = min(max(r.thickness, st.Thickness.Min), st.Thickness.Max)
			}
			one, err := h.ask(&at, at.facings[0], sized, false)
			if err != nil {
				t.Fatal(err)
			}
			if u[id] = &one; st.bare() {
				rain, moisture = one.outcome.Rain, one.outcome.TimberMoisture[depthJoists].Value
			}
		}
		cell := func(id string, i indicator.ID) string {
			v := u[id].result[i]
			if !v.Applies {
				return "–"
			}
			return fmt.Sprintf("%.2f", math.Min(v.Utilisation, 9.99))
		}
		frost := func(id string) string {
			y := &u[id].outcome.Frost
			if y.Critical == 0 {
				return "not judged"
			}
			return fmt.Sprintf("%.2f", float64(y.Fullest[0].Filling)/y.Critical)
		}
		reserve := func(id string) string { return fmt.Sprintf("%.2f", u[id].outcome.Reserve.Value) }
		fmt.Fprintf(&b, "| %s | %.0f | %.0f | %s | %s | %s | %s | %s | %s | %s | %s | %s | %s | %s | %s |\n", r.name, rain, 100*moisture,
			cell("repairs_only", indicator.TimberHumidity), cell("interior_wool_retarder", indicator.TimberHumidity), cell("capillary_active_board", indicator.TimberHumidity), cell("exterior_rigid", indicator.TimberHumidity),
			cell("repairs_only", indicator.SurfaceMould), cell("interior_wool_retarder", indicator.SurfaceMould),
			cell("interior_wool_retarder", indicator.ColdFaceMould), cell("capillary_active_board", indicator.ColdFaceMould),
			reserve("interior_wool_retarder"), reserve("capillary_active_board"), frost("repairs_only"), frost("interior_wool_retarder"))
	}
	t.Log(b.String())
	return b.String()
}

// responseWall is the base wall, changed: 350 mm of common brick with joist ends,
// two storeys, facing south-west in a maritime climate.
func responseWall(t *testing.T, r response) ingest.Building {
	t.Helper()
	b := ingest.Building{ID: "response", Home: "response", Stone: "brick_common", Zone: "4c"}
	for n := range b.Num {
		b.Num[n] = math.NaN()
	}
	b.Num[ingest.WallThickness], b.Num[ingest.Orientation], b.Num[ingest.Storeys] = 0.35, 225, 2
	set := func(c ingest.Category, word string) {
		level, ok := c.Level(word)
		if !ok {
			t.Fatalf("%s has no level %s", c.Name(), word)
		}
		b.Cat[c] = level
	}
	for c, word := range map[ingest.Category]string{ingest.Exposure: "moderate", ingest.EmbeddedTimber: "joist_ends", ingest.OuterFinish: "bare",
		ingest.JointCondition: "sound", ingest.InnerFinish: "lime_plaster", ingest.HumidityClass: "3"} {
		set(c, word)
	}
	for c, word := range r.words {
		set(c, word)
	}
	for n, x := range r.numbers {
		b.Num[n] = x
	}
	if r.stone != "" {
		b.Stone = r.stone
	}
	if r.zone != "" {
		b.Zone = r.zone
	}
	return b
}
