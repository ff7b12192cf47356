package workbook_test

import (
	"math"
	"regexp"
	"strconv"
	"strings"
	"testing"

	"wallsift/screen"
	"wallsift/screen/report"
)

// What only one system of units writes. Water and s_d values are SI in both.
var (
	onlySI = regexp.MustCompile(`\bmm\b|kWh|W/\(?m|m²·K|m2K/W|°C|degC|square met|^m²$|\d m(?:[^\pL\d/²]|$)`)
	onlyIP = regexp.MustCompile(`Btu|°F|degF|\bft\b|ft²|ft2|^in$|, in$|\d in(?:[^\pL]|$)|square f(?:oo|ee)t|\blb/`)
)

// A workbook is in one system of units. Sources are quotations and are left out;
// so are rejects, which quote the inventory.
func TestOneSystemOfUnits(t *testing.T) {
	l, e := engineIP()
	for name, c := range map[string]struct {
		r               *result
		wanted, foreign *regexp.Regexp
	}{"si": {ofDemo(t), onlySI, onlyIP}, "ip": {madeBy(t, l, e, demo, nil), onlyIP, onlySI}} {
		found := false
		for sheet, rows := range sheets(t, c.r.path()) {
			if sheet == "Rejects" {
				continue
			}
			for k, row := range rows {
				for i, cell := range row {
					if rows[0][i] == "Source" || sheet == "Notes" { // quotations, and rules that are SI, as the sheet says
						continue
					}
					// The score that ranks is in SI in every system.
					if u := c.foreign.FindString(strings.ReplaceAll(cell, screen.RankingRule, "")); u != "" {
						t.Errorf("%s, %s, row %d, %s: %q has %q", name, sheet, k+1, rows[0][i], cell, u)
					}
					found = found || c.wanted.MatchString(cell)
				}
				if sheet == "Notes" && row[3] == "m" && name == "ip" && !strings.HasPrefix(row[1], "s_d") {
					t.Errorf("ip, %q is in metres", row[1])
				}
			}
		}
		if !found {
			t.Errorf("%s: no unit of its own", name)
		}
	}
}

// Amounts of both workbooks are the same. Factors: NIST Special Publication 811
// (2008), appendix B.8, from memory.
func TestWorkbooksOfBothSystemsAgree(t *testing.T) {
	l, e := engineIP()
	r := madeBy(t, l, e, demo, nil)
	si, ip := sheets(t, ofDemo(t).path())["All strategies"], sheets(t, r.path())["All strategies"]
	fields, other := report.Ranking(r.input.Engine, r.input.Run, false).Columns, report.Ranking(r.input.Engine, r.input.Run, true).Columns
	sizes := map[string]float64{ // of the unit of the one in that of the other
		"insulation_mm": 25.4, "allowance_mm": 25.4, "wall_thickness_mm": 25.4, "height_m": 0.3048, "elevation_m": 0.3048, "wall_area_m2": 0.09290304, "floor_area_m2": 0.09290304,
		"u_before_w_m2k": 5.678263, "u_after_w_m2k": 5.678263, "r_added_m2k_w": 1.761102e-1, "allowance_r_m2k_w": 1.761102e-1,
		"saved_kwh_m2a": 1.135653e4 * 1000 / 3.6e6, "saved_kwh_a": 1.055056e3 * 1000 / 3.6e6,
	}
	if len(si) != len(ip) {
		t.Fatalf("%d and %d rows", len(si), len(ip))
	}
	seen := 0
	for i, f := range fields {
		size, converted := sizes[f.Name]
		if !converted {
			if f.Unit != other[i].Unit {
				t.Errorf("%s: %s and %s, and no factor to check it by", f.Name, f.Unit, other[i].Unit)
			}
			continue
		}
		inSI, inIP := column(si, f.Heading()), column(ip, other[i].Heading())
		half := 0.5*math.Pow10(-other[i].Decimals) + 0.5*math.Pow10(-f.Decimals)/size
		for k := 1; k < len(si); k++ {
			a, errA := strconv.ParseFloat(si[k][inSI], 64)
			b, errB := strconv.ParseFloat(ip[k][inIP], 64)
			if (errA == nil) != (errB == nil) {
				t.Fatalf("%s, row %d: %q and %q", f.Name, k, si[k][inSI], ip[k][inIP])
			}
			if errA != nil {
				continue
			}
			seen++
			if math.Abs(a/size-b) > half+1e-6*math.Abs(b) {
				t.Fatalf("%s, row %d: %v %s is not %v %s", f.Name, k, a, f.Unit, b, other[i].Unit)
			}
		}
	}
	if seen < len(si) {
		t.Errorf("only %d amounts", seen)
	}
}

// The workbook says what it means that repairs alone are not suited.
func TestRepairsAreExplained(t *testing.T) {
	note := report.RepairsNote(ofDemo(t).input.Engine)
	got := sheets(t, ofDemo(t).path())
	for _, sheet := range []string{"Strategies", "Notes"} {
		n := 0
		for _, row := range got[sheet] {
			for _, cell := range row {
				if note != "" && strings.Contains(cell, note) {
					n++
				}
			}
		}
		if n != 1 {
			t.Errorf("%s: the note %q stands %d times", sheet, note, n)
		}
	}
}
