package report_test

import (
	"encoding/binary"
	"encoding/json"
	"math"
	"os"
	"path/filepath"
	"testing"

	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/file"

	"wallsift/screen/report"
)

const placed = `building_id,wall_thickness_mm,stone_type,climate_zone,exposure,embedded_timber,latitude,longitude,geometry
A,500,brick_common,4c,moderate,none,51.5,-0.25,mine
B,500,brick_common,4c,moderate,none,,,
C,610,brick_common,4c,moderate,none,-12.5,0.75,
D,610,brick_common,4c,moderate,none,48,,
`

// The layout of well-known binary is that of OGC 06-103r4, section 8.2: byte
// order 1 for little-endian, type 1 for a point, x, y. Names and values of the
// metadata are those of the GeoParquet 1.1.0 specification, section "File
// metadata"; bbox is west, south, east, north. Both from memory.
func TestParquetCarriesGeometry(t *testing.T) {
	path := filepath.Join(t.TempDir(), "placed.csv")
	if err := os.WriteFile(path, []byte(placed), 0o600); err != nil {
		t.Fatal(err)
	}
	e, run := screened(t, path)
	dir := t.TempDir()
	if err := report.WriteRanking(dir, e, run); err != nil {
		t.Fatal(err)
	}
	pf, err := file.OpenParquetFile(filepath.Join(dir, report.RankingParquet), false)
	if err != nil {
		t.Fatal(err)
	}
	defer pf.Close()
	text := pf.MetaData().KeyValueMetadata().FindValue("geo")
	if text == nil {
		t.Fatal("no geo metadata")
	}
	var meta struct {
		Version string
		Primary string `json:"primary_column"`
		Columns map[string]struct {
			Encoding string
			Types    []string `json:"geometry_types"`
			BBox     []float64
			CRS      any
		}
	}
	if err := json.Unmarshal([]byte(*text), &meta); err != nil {
		t.Fatal(err)
	}
	g := meta.Columns["geometry"]
	if meta.Version != "1.1.0" || meta.Primary != "geometry" || g.Encoding != "WKB" || len(g.Types) != 1 || g.Types[0] != "Point" || g.CRS != nil {
		t.Errorf("metadata %s", *text)
	}
	if len(g.BBox) != 4 || g.BBox[0] != -0.25 || g.BBox[1] != -12.5 || g.BBox[2] != 0.75 || g.BBox[3] != 51.5 {
		t.Errorf("bbox %v", g.BBox)
	}
	schema := pf.MetaData().Schema
	at := schema.ColumnIndexByName("geometry")
	if schema.ColumnIndexByName("geometry_inventory") < 0 {
		t.Error("the inventory's own column is lost")
	}
	if schema.Column(at).PhysicalType() != parquet.Types.ByteArray || schema.Column(at).MaxRepetitionLevel() != 0 {
		t.Errorf("geometry column is %v", schema.Column(at))
	}
	reader, err := pf.RowGroup(0).Column(at)
	if err != nil {
		t.Fatal(err)
	}
	rows := pf.NumRows()
	values, def := make([]parquet.ByteArray, rows), make([]int16, rows)
	_, n, err := reader.(*file.ByteArrayColumnChunkReader).ReadBatch(rows, values, def, nil)
	if err != nil {
		t.Fatal(err)
	}
	seen := map[[2]float64]int{}
	for _, b := range values[:n] {
		if len(b) != 21 || b[0] != 1 || binary.LittleEndian.Uint32(b[1:]) != 1 {
			t.Fatalf("% x is no point", b)
		}
		seen[[2]float64{math.Float64frombits(binary.LittleEndian.Uint64(b[5:])), math.Float64frombits(binary.LittleEndian.Uint64(b[13:]))}]++
	}
	each := len(e.Strategies())
	if seen[[2]float64{-0.25, 51.5}] != each || seen[[2]float64{0.75, -12.5}] != each || n != 2*each {
		t.Errorf("points %v", seen)
	}
}
