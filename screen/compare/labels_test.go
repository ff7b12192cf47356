package compare_test

import (
	"strings"
	"testing"
)

// People read labels where there are some, programs ids. Rows of both methods are told
// apart beside their figures.
func TestLabelsForPeopleIDsForPrograms(t *testing.T) {
	base := judged("A", "interior_wool_retarder", 1, "suited", 0.5).With("climate_zone", "oceanic_wet", "gates", "", "fix_first", "", "tier", "transient", "a_w_kg_m2_s05", 0.1, "inputs_sha256", "p")
	other := judged("B", "exterior_rigid", 1, "suited", 0.5).With("climate_zone", "4c", "gates", "", "fix_first", "", "a_w_kg_m2_s05", 0.1)
	old := output(t, plain(), base, other)
	new := output(t, plain(), base.With("verdict", "not suited", "tier", "steady", "governing", "condensate", "stone_type", "brick_common", "climate_zone", "4c", "exposure", "very_severe", "inputs_sha256", "q"),
		other.With("gates", "salts_heavy", "fix_first", "repoint_lime", "governing", "surface_mould"))
	words := []string{"Interior mineral wool, humidity-variable vapour control", "condensate within the wall", "hourly method → monthly method", "ASHRAE 4C, mixed marine", "Oceanic, Atlantic or west coast, wet",
		"very severe", "Heavy salts: added", "Repoint in lime: added", "mould at the inner surface", "share of the limit", "before or with the measure", "governed by",
		"climate zone Oceanic, Atlantic or west coast, wet → ASHRAE 4C, mixed marine"}
	ids := []string{"interior_wool_retarder", "brick_common", "oceanic_wet", "very_severe", "salts_heavy", "repoint_lime", "surface_mould", "stone_type", "fix_first", "utilisation"}
	for _, format := range []string{"table", "markdown"} {
		s := form(t, old, new, format, 0)
		for _, word := range words {
			if !strings.Contains(s, word) {
				t.Errorf("%s: no %q in\n%s", format, word, s)
			}
		}
		for _, id := range ids {
			if strings.Contains(s, id) {
				t.Errorf("%s shows %q in\n%s", format, id, s)
			}
		}
	}
	for _, format := range []string{"csv", "json"} {
		s := form(t, old, new, format, 0)
		for _, id := range ids {
			if !strings.Contains(s, id) && id != "utilisation" {
				t.Errorf("%s has no %q", format, id)
			}
		}
	}
	// An id that the configuration does not know stays what it is.
	strange := judged("C", "own_strategy", 1, "suited", 0.5)
	if s := form(t, output(t, plain(), strange), output(t, plain(), strange.With("verdict", "not suited")), "table", 0); !strings.Contains(s, "own strategy") {
		t.Error(s)
	}
}
