package ingest

import (
	"math"
	"strings"
	"testing"
)

// readCell reads one row with one extra known column.
func readCell(t *testing.T, header, cell string) result {
	t.Helper()
	if strings.ContainsAny(cell, ",\"") {
		cell = "\"" + strings.ReplaceAll(cell, "\"", "\"\"") + "\""
	}
	return readText(t, testOptions, table(requiredHeader+","+header, row("a", cell)))
}

func TestNumbers(t *testing.T) {
	const foot = 0.3048 // exact: international yard and pound agreement, 1959
	for _, c := range []struct {
		header, cell string
		field        Number
		want         float64
	}{
		{"height_m", "9", Height, 9},
		{"height_m", " 9.50 ", Height, 9.5},
		{"height_m", "9,5", Height, 9.5},
		{"height_m", "9.5 m", Height, 9.5},
		{"height_m", "9,5 metres", Height, 9.5},
		{"height_m", "\u00a09.5\u00a0m", Height, 9.5},
		{"height_m", "1e1", Height, 10},
		{"height_m", "+9", Height, 9},
		{"height_ft", "30", Height, 30 * foot},
		{"height_ft", "30'", Height, 30 * foot},
		{"height_m", "30 ft", Height, 30 * foot},
		{"height_ft", "9.5 m", Height, 9.5},
		{"height_m", "ca. 9", Height, 9},
		{"height_m", "c. 9,5 m", Height, 9.5},
		{"height_m", "~9", Height, 9},
		{"height_m", "About 30 ft", Height, 30 * foot},
		{"height_m", "", Height, math.NaN()},
		{"height_m", "unknown", Height, math.NaN()},
		{"storeys", "3", Storeys, 3},
		{"storeys", "2.5", Storeys, 2.5},
		{"wall_area_ft2", "1000", WallArea, 1000 * foot * foot},
		{"wall_area_m²", "100 m²", WallArea, 100},
		{"wall_area_m2", "100 sqm", WallArea, 100},
		{"wall_area_m2", "1 250", WallArea, 1250},
		{"wall_area_m2", "1\u202f250,5 m²", WallArea, 1250.5},
		{"wall_area_m2", "12\u00a0345.25", WallArea, 12345.25},
		{"latitude", "-33.9", Latitude, -33.9},
		{"latitude_deg", "47.45°", Latitude, 47.45},
		{"longitude", "0", Longitude, 0},
		{"elevation_m", "-3", Elevation, -3},
		{"elevation_m", "0,125", Elevation, 0.125},
		{"a_w_kg_m2_s05", "0.02", WaterAbsorption, 0.02},
		// 1 h = 3600 s, so a value for √h is 60 times the one for √s.
		{"a_w_kg_m2_h05", "3", WaterAbsorption, 0.05},
		{"A_w (kg/m²h0.5)", "3 kg/(m²·h0.5)", WaterAbsorption, 0.05},
		{"orientation", "N", Orientation, 0},
		{"orientation", "nnw", Orientation, 337.5},
		{"orientation_deg", "South-West", Orientation, 225},
		{"orientation_deg", "360", Orientation, 0},
		{"orientation_deg", "202.5 deg", Orientation, 202.5},
	} {
		t.Run(c.header+"="+c.cell, func(t *testing.T) {
			res := readCell(t, c.header, c.cell)
			if len(res.rejects) > 0 {
				t.Fatalf("rejects: %+v", res.rejects)
			}
			got := res.rows[0].Num[c.field]
			if math.Abs(got-c.want) > 1e-12*math.Abs(c.want) || math.IsNaN(got) != math.IsNaN(c.want) {
				t.Errorf("got %v, want %v", got, c.want)
			}
		})
	}
}

// Two ends are an uncertainty that somebody was honest about: the middle is the
// value, and the ends stay.
func TestTwoEnds(t *testing.T) {
	const foot = 0.3048
	for _, c := range []struct {
		header, cell string
		field        Number
		low, high    float64
	}{
		{"height_m", "8-10", Height, 8, 10},
		{"height_m", "8.5 – 9,5", Height, 8.5, 9.5},
		{"height_m", "8 to 10 m", Height, 8, 10},
		{"height_m", "8m-10m", Height, 8, 10},
		{"height_m", "30-40 ft", Height, 30 * foot, 40 * foot},
		{"height_m", "ca. 8-10", Height, 8, 10},
		{"elevation_m", "-3-5", Elevation, -3, 5},
		{"storeys", "2-3", Storeys, 2, 3},
		{"wall_area_m2", "1 200-1 400", WallArea, 1200, 1400},
		{"a_w_kg_m2_s05", "0.01-0.02", WaterAbsorption, 0.01, 0.02},
		{"built_year", "1880-1890", BuiltYear, 1880, 1890},
		{"height_m", "9-9", Height, 9, 9},
		{"height_m", "9", Height, 9, 9},
	} {
		res := readCell(t, c.header, c.cell)
		if len(res.rejects) > 0 {
			t.Errorf("%s=%q: %+v", c.header, c.cell, res.rejects)
			continue
		}
		near := func(a, b float64) bool { return math.Abs(a-b) <= 1e-12*math.Abs(b) }
		b := res.rows[0]
		low, high, given := b.Range(c.field)
		if !near(low, c.low) || !near(high, c.high) || !near(b.Num[c.field], (c.low+c.high)/2) || given != (c.low != c.high) || len(b.Ranges) > 1 {
			t.Errorf("%s=%q: %v to %v, %v, %v", c.header, c.cell, low, high, b.Num[c.field], b.Ranges)
		}
	}
}

func TestNumberRejects(t *testing.T) {
	for _, c := range []struct{ header, cell, reason, fix string }{
		{"height_m", "tall", "a number was expected", "blank"},
		{"height_m", "NaN", "a number was expected", "leave the cell blank"},
		{"height_m", "inf", "a number was expected", "leave the cell blank"},
		{"height_m", "1e400", "outside the accepted range 1 to 120 m", "unit in the column name"},
		{"height_m", "n/a", "a number was expected", "leave the cell blank"},
		{"height_m", "-9", "a negative value cannot be", "correct"},
		{"height_m", "900", "outside the accepted range 1 to 120 m", "unit in the column name"},
		{"height_ft", "900", "outside the accepted range 3.281 to 393.7 ft", "unit in the column name"},
		{"height_m", "0x10", "", ""},
		{"height_m", "1_0", "", ""},
		{"height_m", "9.5 yd", "column is in m", "without a unit"},
		{"height_m", "9-10-11", "more than one", "decide"},
		{"height_m", "10-9", "first of the two ends is the larger", "smaller end first"},
		{"height_m", "9-1000", "outside the accepted range", "correct"},
		{"height_m", "-3-5", "a negative value cannot be", "correct"},
		{"height_m", "9- m", "column is in m", ""},
		{"storeys", "2-3 floors", "plain number", "remove the unit"},
		{"latitude", "40-50", "more than one", "decide"},
		{"orientation", "350-10", "more than one", "decide"},
		{"height_m", "about", "a number was expected", "blank"},
		{"height_m", "ca. tall", "a number was expected", "blank"},
		{"height_m", "9/10", "more than one", "decide"},
		{"height_m", "1.0.0", "thousands separators", "without separators"},
		{"storeys", "3 floors", "plain number", "remove the unit"},
		{"storeys", "0", "outside the accepted range 1 to 60", ""},
		{"wall_area_m2", "1,250", "thousands separators", "without separators"},
		{"wall_area_m2", "1 25", "thousands separators", "without separators"},
		{"wall_area_m2", "1250 000", "thousands separators", "without separators"},
		{"wall_area_m2", "1'250", "thousands separators", "without separators"},
		{"wall_area_m2", "1.250,5", "thousands separators", "without separators"},
		{"wall_area_m2", "1,250.5", "thousands separators", "without separators"},
		{"wall_area_m2", "1.250.000", "thousands separators", "without separators"},
		{"latitude", "91", "outside the accepted range -90 to 90 deg", "correct"},
		{"latitude", "47.5N", "column is in deg", ""},
		{"orientation", "NEN", "N, NNE", ""},
		{"orientation", "400", "outside the accepted range 0 to 360 deg", ""},
	} {
		t.Run(c.header+"="+c.cell, func(t *testing.T) {
			res := readCell(t, c.header, c.cell)
			r := onlyReject(t, res)
			if !strings.Contains(r.Reason, c.reason) || !strings.Contains(r.Fix, c.fix) || r.Fix == "" || r.Column != c.header || r.Value != c.cell || r.Known != "a" || r.Line != 2 || len(res.rows) != 0 {
				t.Errorf("reject = %+v", r)
			}
		})
	}
}

func TestWallThicknessUnits(t *testing.T) {
	for header, cell := range map[string]string{"wall_thickness_mm": "508", "wall_thickness_cm": "50.8", "wall_thickness_m": "0.508", "wall_thickness_in": "20", "Wall thickness (inches)": "20", "wall_thickness_ft": "1.6666666666666667"} {
		in := strings.Replace(table(requiredHeader, row("a")), "wall_thickness_mm", header, 1)
		res := readText(t, testOptions, strings.Replace(in, "450", cell, 1))
		if len(res.rows) != 1 || math.Abs(res.rows[0].Num[WallThickness]-0.508) > 1e-9 {
			t.Errorf("%s = %s: %+v %+v", header, cell, res.rows, res.rejects)
		}
	}
}

// A comma before three digits is decimal where the delimiter is a semicolon,
// and ambiguous elsewhere.
func TestDecimalCommaByDelimiter(t *testing.T) {
	in := table(requiredHeader+",elevation_m", row("a", "1@250"))
	semi := strings.NewReplacer(",", ";", "@", ",").Replace(in)
	if res := readText(t, testOptions, semi); len(res.rows) != 1 || res.rows[0].Num[Elevation] != 1.25 {
		t.Errorf("semicolon: %+v %+v", res.rows, res.rejects)
	}
	tab := strings.NewReplacer(",", "\t", "@", ",").Replace(in)
	if r := onlyReject(t, readText(t, testOptions, tab)); !strings.Contains(r.Reason, "thousands") {
		t.Errorf("tab: %+v", r)
	}
}

func TestCategories(t *testing.T) {
	for _, c := range []struct {
		header, cell string
		field        Category
		want         string
	}{
		{"protected_facade", "yes", ProtectedFacade, "yes"}, {"protected_facade", "TRUE", ProtectedFacade, "yes"},
		{"protected_facade", "1", ProtectedFacade, "yes"}, {"protected_facade", "Y", ProtectedFacade, "yes"},
		{"drain_outlet", "no", DrainOutlet, "no"}, {"drain_outlet", "False", DrainOutlet, "no"},
		{"drain_outlet", "0", DrainOutlet, "no"}, {"drain_outlet", "n", DrainOutlet, "no"},
		{"drain_outlet", "", DrainOutlet, "unknown"}, {"drain_outlet", "Unknown", DrainOutlet, "unknown"},
		{"outer_finish", "Lime render", OuterFinish, "lime_render"}, {"outer_finish", "SILICATE-PAINT", OuterFinish, "silicate_paint"},
		{"humidity_class", "3", HumidityClass, "3"}, {"humidity_class", "Class 4", HumidityClass, "4"},
		{"rainwater_goods", "defective", RainwaterGoods, "defective"},
	} {
		res := readCell(t, c.header, c.cell)
		if len(res.rejects) > 0 {
			t.Errorf("%s=%q: %+v", c.header, c.cell, res.rejects)
			continue
		}
		if got := c.field.Levels()[res.rows[0].Cat[c.field]]; got != c.want {
			t.Errorf("%s=%q: got %s, want %s", c.header, c.cell, got, c.want)
		}
	}
}

func TestVocabularyRejects(t *testing.T) {
	for _, c := range []struct{ name, from, to, column, reason, fix string }{
		{"stone near an id", "granite", "granit", "stone_type", "unknown stone_type", "did you mean \"granite\"?"},
		{"stone near a label", "granite", "Porous sandstones", "stone_type", "unknown stone_type", "Porous sandstone"},
		{"stone near an alias", "granite", "freeston", "stone_type", "unknown stone_type", "freestone"},
		{"stone near nothing", "granite", "cheese", "stone_type", "expected one of granite, sandstone_porous, brick_soft", "input.aliases"},
		{"zone", "4A", "4AA", "climate_zone", "unknown climate_zone", "\"4A\""},
		{"level", "severe", "sever", "exposure", "sheltered, moderate, severe, very_severe", "\"severe\""},
		{"exposure must be known", "severe", "unknown", "exposure", "exposure cannot be left unknown", "judge"},
		{"blank required", "severe", "", "exposure", "blank", "fill"},
		{"blank timber", "none", "", "embedded_timber", "blank", "write unknown"},
		{"blank id", "a,", " ,", "building_id", "blank", "fill"},
		{"id with a control character", "a,", "a\tb,", "building_id", "control character", "quotes"},
		{"id with a destroyed character", "a,", "a\ufffd,", "building_id", "destroyed", "encoding"},
	} {
		t.Run(c.name, func(t *testing.T) {
			in := table(requiredHeader, strings.Replace(row("a"), c.from, c.to, 1))
			r := onlyReject(t, readText(t, testOptions, in))
			if r.Column != c.column || !strings.Contains(r.Reason, c.reason) || !strings.Contains(r.Fix, c.fix) {
				t.Errorf("reject = %+v", r)
			}
		})
	}
}

func TestEveryProblemOfARowIsReported(t *testing.T) {
	res := readText(t, testOptions, table(requiredHeader+",salts,height_m", row("ok", "none", "5"), "b,9000,chalk,4A,windy,none,lots,x", row("c", "", "")))
	var cols []string
	for _, r := range res.rejects {
		if r.Line != 3 || r.Known != "b" {
			t.Errorf("reject = %+v", r)
		}
		cols = append(cols, r.Column)
	}
	if got := strings.Join(cols, " "); got != "wall_thickness_mm stone_type exposure salts height_m" || ids(res.rows) != "ok c" {
		t.Errorf("columns %q, rows %q", got, ids(res.rows))
	}
}

func TestAliases(t *testing.T) {
	opt := testOptions
	opt.Aliases = map[string]map[string]string{
		"stone_type": {"Whin": "granite"}, "climate_zone": {"Coast": "5C"}, "exposure": {"windy": "very severe", "severe": "moderate"},
		"height_m": {"n/a": "", "low": "4"}, "salts": {"?": "unknown"}, "heating_fuel": {"Mains gas": "gas"},
	}
	in := table(requiredHeader+",height_m,salts,heating_fuel", "a,450,WHIN,coast,Windy,none,N/A,?,mains gas", "b,450,whin,5c,severe,none,low,heavy,oil")
	res := readText(t, opt, in)
	if len(res.rejects) > 0 {
		t.Fatalf("rejects: %+v", res.rejects)
	}
	a, b := res.rows[0], res.rows[1]
	if a.Stone != "granite" || a.Zone != "5C" || a.Cat[Exposure] != 4 || !math.IsNaN(a.Num[Height]) || a.Cat[Salts] != 0 || a.Text[HeatingFuel] != "gas" {
		t.Errorf("a = %+v", a)
	}
	if b.Cat[Exposure] != 2 || b.Num[Height] != 4 || b.Text[HeatingFuel] != "oil" {
		t.Errorf("b = %+v", b)
	}
}

// In numbers and dates an alias holds for the cell as written, upper case and
// spaces aside: sign, decimal mark and fraction are part of the value.
func TestAliasesOfNumbersKeepPunctuation(t *testing.T) {
	opt := testOptions
	opt.Aliases = map[string]map[string]string{
		"wall_thickness": {"1½ c.": "380", "1.5": "380", "2 C": "510"},
		"last_survey":    {"1. 1. 1900": "unknown", "B.D.": "unknown"},
	}
	in := table(requiredHeader+",last_survey", row("a", "b.d."), row("b", "1.1.1900"), row("c", ""), row("d", ""))
	for i, cell := range []string{"1½C.", "1.5", "2c", "150"} {
		in = strings.Replace(in, string(rune('a'+i))+",450", string(rune('a'+i))+","+cell, 1)
	}
	res := readText(t, opt, in)
	if len(res.rejects) > 0 || len(res.rows) != 4 {
		t.Fatalf("%+v", res)
	}
	for i, want := range []float64{0.38, 0.38, 0.51, 0.15} {
		if got := res.rows[i].Num[WallThickness]; math.Abs(got-want) > 1e-12 || res.rows[i].Text[LastSurvey] != "" {
			t.Errorf("row %d: %v m, %q", i, got, res.rows[i].Text[LastSurvey])
		}
	}
	r := onlyReject(t, readText(t, opt, strings.Replace(table(requiredHeader, row("a")), "450", "1 c.", 1)))
	if r.Value != "1 c." {
		t.Errorf("%+v", r)
	}
}

func TestAmbiguousLabel(t *testing.T) {
	opt := testOptions
	opt.Stones = []Term{{ID: "s1", Label: "Sandstone"}, {ID: "s2", Label: "sandstone"}, {ID: "granite"}}
	r := onlyReject(t, readText(t, opt, table(requiredHeader, strings.Replace(row("a"), "granite", "Sandstone", 1))))
	if !strings.Contains(r.Reason, "s1 or s2") {
		t.Errorf("reject = %+v", r)
	}
}

// A blank says what the user maps it to, in required columns too.
func TestBlankMapped(t *testing.T) {
	opt := testOptions
	opt.Aliases = map[string]map[string]string{"embedded_timber": {"": "unknown"}, "exposure": {"": "moderate"}, "stone_type": {"": "granite"}, "wall_thickness": {"": "500"}}
	res := readText(t, opt, table(requiredHeader, "a,,,4A,,", "b,450,brick_soft,4A,severe,none"))
	if len(res.rejects) > 0 || len(res.rows) != 2 {
		t.Fatalf("%+v", res.rejects)
	}
	a, b := res.rows[0], res.rows[1]
	if a.Cat[EmbeddedTimber] != 0 || a.Cat[Exposure] != 2 || a.Stone != "granite" || a.Num[WallThickness] != 0.5 || b.Cat[EmbeddedTimber] != 1 || b.Num[WallThickness] != 0.45 {
		t.Errorf("%+v\n%+v", a, b)
	}
	opt.Aliases = map[string]map[string]string{"exposure": {"": "unknown"}}
	if _, err := Open([]string{"-"}, opt); err == nil || !strings.Contains(err.Error(), "not known") {
		t.Errorf("exposure cannot be unknown: %v", err)
	}
}

// A row without any required cell is one reject, not six.
func TestTitleRowsAreOneReject(t *testing.T) {
	in := table("note,"+requiredHeader+",height_m", "x,"+row("a", "9"), "DISTRICT 2,,,,,,,", "x,"+row("b", "9"), "SUM,,,,,,,tall", "x,,450,granite,4A,severe,none,9")
	h, rows := splitRows(in)
	for name, path := range map[string]string{
		"CSV":     writeFile(t, "in.csv", in),
		"Parquet": writeBytes(t, "in.parquet", parquetBytes(t, textRecord(h, rows), 10)),
	} {
		res := readAll(t, testOptions, path)
		var got []string
		for _, r := range res.rejects {
			got = append(got, strings.Fields(r.Reason)[0]+" "+r.Column)
		}
		if ids(res.rows) != "a b" || strings.Join(got, ",") != "none ,none ,the building_id" {
			t.Errorf("%s: rows %q, rejects %q", name, ids(res.rows), got)
		}
	}
}
