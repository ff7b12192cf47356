package places_test

import (
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"testing"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/places"
)

const demo = "../../../testdata/demo.csv"

func screened(t testing.TB, inventory string) (*screen.Engine, *screen.Run) {
	t.Helper()
	l, err := config.Load(config.Inputs{Flags: map[string]any{"run.tier": config.TierSteady, "output.address": "street"}})
	if err != nil {
		t.Fatal(err)
	}
	e, err := screen.NewEngine(l)
	if err != nil {
		t.Fatal(err)
	}
	src, err := ingest.Open([]string{inventory}, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	run, err := e.Run(context.Background(), src, screen.Options{Dir: t.TempDir(), Rejected: func(ingest.Reject) error { return nil }})
	if err != nil {
		t.Fatal(err)
	}
	t.Cleanup(run.Close)
	return e, run
}

// written returns the file for an inventory, and what was counted.
func written(t *testing.T, inventory string) ([]byte, places.Count) {
	t.Helper()
	e, run := screened(t, inventory)
	dir := t.TempDir()
	n, err := places.Write(dir, e, run)
	if err != nil {
		t.Fatal(err)
	}
	if n.Written+n.LeftOut != run.Counts.Accepted {
		t.Errorf("%d written and %d left out of %d", n.Written, n.LeftOut, run.Counts.Accepted)
	}
	b, err := os.ReadFile(filepath.Join(dir, places.GeoJSON))
	if err != nil {
		t.Fatal(err)
	}
	return b, n
}

func file(t *testing.T, text string) string {
	t.Helper()
	path := filepath.Join(t.TempDir(), "inventory.csv")
	if err := os.WriteFile(path, []byte(text), 0o600); err != nil {
		t.Fatal(err)
	}
	return path
}

// conform holds a text against the rules of RFC 7946 that concern points: the
// section of each stands in the message.
func conform(text []byte) (features []map[string]any, box []float64, err error) {
	var doc map[string]any
	if err := json.Unmarshal(text, &doc); err != nil {
		return nil, nil, fmt.Errorf("section 2: %w", err)
	}
	if doc["type"] != "FeatureCollection" {
		return nil, nil, fmt.Errorf("3.3: type is %v", doc["type"])
	}
	list, ok := doc["features"].([]any)
	if !ok {
		return nil, nil, fmt.Errorf("3.3: features is %T", doc["features"])
	}
	for _, key := range []string{"crs"} {
		if _, has := doc[key]; has {
			return nil, nil, fmt.Errorf("4: member %s", key)
		}
	}
	for _, key := range []string{"coordinates", "geometries", "geometry", "properties"} {
		if _, has := doc[key]; has {
			return nil, nil, fmt.Errorf("7.1: a collection with %s", key)
		}
	}
	for _, x := range list {
		f, _ := x.(map[string]any)
		if f["type"] != "Feature" {
			return nil, nil, fmt.Errorf("3.2: type is %v", f["type"])
		}
		switch f["id"].(type) {
		case string, float64:
		default:
			return nil, nil, fmt.Errorf("3.2: id is %T", f["id"])
		}
		if _, ok := f["properties"].(map[string]any); !ok {
			return nil, nil, fmt.Errorf("3.2: properties is %T", f["properties"])
		}
		for _, key := range []string{"coordinates", "geometries", "features", "crs"} {
			if _, has := f[key]; has {
				return nil, nil, fmt.Errorf("7.1, 4: a feature with %s", key)
			}
		}
		g, _ := f["geometry"].(map[string]any)
		at, _ := g["coordinates"].([]any)
		if g["type"] != "Point" || len(at) != 2 {
			return nil, nil, fmt.Errorf("3.1.2: geometry %v", g)
		}
		lon, lat := at[0].(float64), at[1].(float64)
		if math.Abs(lon) > 180 || math.Abs(lat) > 90 {
			return nil, nil, fmt.Errorf("4: longitude %v, latitude %v", lon, lat)
		}
		features = append(features, f)
	}
	if b, has := doc["bbox"]; has {
		sides, ok := b.([]any)
		if !ok || len(sides) != 4 {
			return nil, nil, fmt.Errorf("5: bbox %v", b)
		}
		for _, s := range sides {
			box = append(box, s.(float64))
		}
	}
	return features, box, nil
}

func TestDemoConforms(t *testing.T) {
	text, n := written(t, demo)
	features, box, err := conform(text)
	if err != nil {
		t.Fatalf("RFC 7946 section %v", err)
	}
	if len(features) != n.Written || n.Written < 300 {
		t.Fatalf("%d features, %d counted", len(features), n.Written)
	}
	// An independent reading of the inventory: west, south, east, north.
	f, err := os.Open(demo)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	r := csv.NewReader(f)
	r.FieldsPerRecord = -1 // the demo has a damaged row, which is rejected
	rows, err := r.ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	id, lat, lon := slices.Index(rows[0], "building_id"), slices.Index(rows[0], "latitude_deg"), slices.Index(rows[0], "longitude_deg")
	where := map[string][2]string{}
	for _, r := range rows[1:] {
		if len(r) != len(rows[0]) {
			continue
		}
		if _, twice := where[r[id]]; !twice { // the first row of an id counts
			where[r[id]] = [2]string{r[lon], r[lat]}
		}
	}
	want := []float64{math.Inf(1), math.Inf(1), math.Inf(-1), math.Inf(-1)}
	for _, f := range features {
		at := f["geometry"].(map[string]any)["coordinates"].([]any)
		given := where[f["id"].(string)]
		for axis, text := range given {
			x, err := strconv.ParseFloat(text, 64)
			if err != nil || math.Abs(x-at[axis].(float64)) > 0.5e-6 {
				t.Fatalf("%v is at %v, the inventory says %v", f["id"], at, given)
			}
			want[axis], want[axis+2] = min(want[axis], x), max(want[axis+2], x)
		}
	}
	if !slices.Equal(box, want) {
		t.Errorf("bbox %v, expected %v", box, want)
	}
}

// Properties are what ranking.csv says of the best strategy.
func TestPropertiesAreThoseOfTheRanking(t *testing.T) {
	e, run := screened(t, demo)
	dir := t.TempDir()
	if _, err := places.Write(dir, e, run); err != nil {
		t.Fatal(err)
	}
	if err := report.WriteRanking(dir, e, run); err != nil {
		t.Fatal(err)
	}
	b, err := os.ReadFile(filepath.Join(dir, places.GeoJSON))
	if err != nil {
		t.Fatal(err)
	}
	features, _, err := conform(b)
	if err != nil {
		t.Fatal(err)
	}
	f, err := os.Open(filepath.Join(dir, report.RankingCSV))
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rows, err := csv.NewReader(f).ReadAll()
	if err != nil {
		t.Fatal(err)
	}
	at := map[string]int{}
	for i, name := range rows[0] {
		at[name] = i
	}
	best := map[string][]string{}
	for _, r := range rows[1:] {
		if r[at["rank_in_building"]] == "1" {
			best[r[at["building_id"]]] = r
		}
	}
	for _, f := range features {
		r, props := best[f["id"].(string)], f["properties"].(map[string]any)
		for _, name := range []string{"building_id", "address", "strategy", "verdict", "utilisation", "overall_rank", "readiness", "caution"} {
			if _, has := props[name]; !has {
				t.Fatalf("%v has no %s", f["id"], name)
			}
		}
		for name, v := range props {
			if name == "caution" { // of the file, and the dangers of the strategy
				if i := slices.IndexFunc(e.Strategies(), func(s config.Strategy) bool { return s.ID == props["strategy"] }); v != report.StrategyCaution(&e.Strategies()[i]) {
					t.Errorf("%v: caution %v", f["id"], v)
				}
				continue
			}
			cell, same := r[at[name]], false
			switch x := v.(type) {
			case nil:
				same = cell == ""
			case string:
				same = cell == x
			case float64:
				y, err := strconv.ParseFloat(cell, 64)
				same = err == nil && x == y
			}
			if !same {
				t.Errorf("%v: %s is %v, ranking.csv says %q", f["id"], name, v, cell)
			}
		}
	}
}

const scattered = `building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,latitude,longitude
"A ""<&>"" é",500,brick_common,4c,moderate,none,-16.5,179.25
B,500,brick_common,4c,moderate,none,,
C,610,brick_common,4c,moderate,none,-18,-179.5
D,610,brick_common,4c,moderate,none,48,
`

func TestLeftOutAndAcrossTheDateLine(t *testing.T) {
	text, n := written(t, file(t, scattered))
	features, box, err := conform(text)
	if err != nil {
		t.Fatalf("RFC 7946 section %v", err)
	}
	if n != (places.Count{Written: 2, LeftOut: 2}) || len(features) != 2 {
		t.Errorf("%+v, %d features", n, len(features))
	}
	// RFC 7946 section 5.2: west is the greater number.
	if !slices.Equal(box, []float64{179.25, -18, -179.5, -16.5}) {
		t.Errorf("bbox %v", box)
	}
	ids := []string{features[0]["id"].(string), features[1]["id"].(string)}
	if !slices.Contains(ids, `A "<&>" é`) || !slices.Contains(ids, "C") {
		t.Errorf("ids %q", ids)
	}
	if !bytes.Contains(text, []byte(`"left_out_without_coordinates":2`)) {
		t.Error("the count is not in the file")
	}
}

// RFC 7946 section 3.3 allows an empty array of features; section 5 has no box
// for nothing.
func TestNobodyHasCoordinates(t *testing.T) {
	text, n := written(t, file(t, "building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber\nA,500,brick_common,4c,moderate,none\n"))
	features, box, err := conform(text)
	if err != nil || len(features) != 0 || box != nil || n != (places.Count{LeftOut: 1}) || n.Note() != "places.geojson is empty: no building has coordinates" {
		t.Errorf("%v: %d features, box %v, %+v", err, len(features), box, n)
	}
}

func TestSameRunSameBytes(t *testing.T) {
	a, _ := written(t, demo)
	b, _ := written(t, demo)
	if !bytes.Equal(a, b) {
		t.Error("two runs differ")
	}
}

// The rules of conform can fail: each broken text names its section.
func TestConformRejects(t *testing.T) {
	for _, text := range []string{
		`{"type":"FeatureCollection"}`,
		`{"type":"FeatureCollection","features":[],"crs":{}}`,
		`{"type":"FeatureCollection","features":[{"type":"Feature","id":"a","properties":{},"geometry":{"type":"Point","coordinates":[51.5,-181]}}]}`,
		`{"type":"FeatureCollection","features":[{"type":"Feature","id":"a","geometry":{"type":"Point","coordinates":[0,0]}}]}`,
		`{"type":"FeatureCollection","features":[],"bbox":[0,1,2]}`,
	} {
		if _, _, err := conform([]byte(text)); err == nil {
			t.Errorf("%s passes", text)
		}
	}
}
