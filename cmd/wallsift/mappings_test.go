package main

import (
	"strings"
	"testing"
)

// Two lists with headers and words of their own are read whole, and what is
// read is what they say: rows picked by hand, converted by hand.
func TestMappings(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	for name, facts := range map[string]struct {
		id   string
		says []string
	}{
		// 26 in × 0.0254 m; 557 ft² × 0.09290304 m².
		"housing_stock": {"TH1040", []string{"stone,Basalt rubble in lime mortar", "wall thickness,660.4 mm", "wall area,51.747 m²", "orientation,45°",
			"embedded timber,joist ends", "outer finish,film paint", "drain outlet,yes", "protected facade,unknown"}},
		// 72.5 cm; NW is 315°.
		"heritage_register": {"MF-1/003", []string{"stone,Granite rubble in lime mortar", "wall thickness,725 mm", "orientation,315°", "latitude,48.8216",
			"embedded timber,none", "protected facade,yes", "outer finish,film paint", "mortar,earth", "ground moisture,damp", "salts,traces", "exposure,severe"}},
	} {
		t.Run(name, func(t *testing.T) {
			list, mapping := "../../testdata/mappings/"+name+".csv", "../../testdata/mappings/"+name+".yaml"
			s := call(t, t.Context(), "check", "--config", mapping, list)
			if s.code != exitDone || !strings.Contains(s.err, "25 rows can be screened, 0 rows rejected") || strings.Contains(s.err, "note:") {
				t.Errorf("exit code %d: %s%s", s.code, s.out, s.err)
			}
			if s := call(t, t.Context(), "check", list); s.code == exitDone {
				t.Error("the list is read without its mapping, so the mapping shows nothing")
			}
			s = call(t, t.Context(), "explain", "--config", mapping, list, "--building", facts.id, "--format", "csv")
			for _, fact := range facts.says {
				if !strings.Contains(s.out, "\nfacts,"+fact+"\n") {
					t.Errorf("%s: %q is not in\n%s%s", facts.id, fact, s.out, s.err)
				}
			}
		})
	}
}

// NO is north-east in German; the mapping must not take it for the word no.
func TestMappingOfPoints(t *testing.T) {
	t.Setenv("WALLSIFT_RUN_TIER", "steady") // the question is not one of the tier
	list := "../../testdata/mappings/heritage_register.csv"
	body := "building_id;wall_thickness_cm;stone_type;climate_zone;exposure;embedded_timber;Schauseite\n" +
		"A;60;Tuff;Vorland;BG I;keine;NO\nB;60;Tuff;Vorland;BG I;keine;O\nC;60;Tuff;Vorland;BG I;keine;SO\nD;60;Tuff;Vorland;BG I;keine;SW\n"
	mapping := strings.TrimSuffix(list, ".csv") + ".yaml"
	mine := write(t, "points.csv", body)
	for id, degrees := range map[string]string{"A": "45", "B": "90", "C": "135", "D": "225"} {
		s := call(t, t.Context(), "explain", "--config", mapping, mine, "--building", id, "--format", "csv")
		if !strings.Contains(s.out, "facts,orientation,"+degrees+"°\n") {
			t.Errorf("%s: not %s degrees in\n%s%s", id, degrees, s.out, s.err)
		}
	}
}
