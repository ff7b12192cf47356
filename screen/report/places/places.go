// Package places writes places.geojson: one point for each building with its
// best strategy, for maps. It follows RFC 7946. Buildings without coordinates
// are left out and counted. It computes nothing and refuses shapes other than
// points.
package places

import (
	"bufio"
	"encoding/json"
	"fmt"
	"path/filepath"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
	"wallsift/screen/report/places/geoparquet"
)

// GeoJSON is the name of the file.
const GeoJSON = "places.geojson"

// Count says how many buildings are on the map, and how many are not because
// their coordinates are not known.
type Count struct{ Written, LeftOut int }

// Note says what of the buildings is not on the map; it is empty where all are.
func (c Count) Note() string {
	switch {
	case c.LeftOut == 0:
		return ""
	case c.Written == 0:
		return GeoJSON + " is empty: no building has coordinates"
	}
	return fmt.Sprintf("%s: %s without coordinates left out", GeoJSON, report.Counted(c.LeftOut, "building"))
}

// Write writes places.geojson to dir, buildings in order of place, one feature a
// line. Properties are the brief columns under their names in ranking.csv
// and with its ids and decimals; what is not known is null. The caution is that of
// the strategy. Nothing is held in memory but one feature. Without any coordinates the collection is empty, which
// Count tells.
func Write(dir string, e *screen.Engine, run *screen.Run) (n Count, err error) {
	err = report.WriteFile(filepath.Join(dir, GeoJSON), func(w *bufio.Writer) (err error) {
		n, err = collection(w, report.Ranking(e, run, false))
		return err
	})
	return n, err
}

func collection(w *bufio.Writer, r *report.Rows) (n Count, err error) {
	extent := geoparquet.NewExtent()
	w.WriteString(`{"type":"FeatureCollection","features":[`)
	err = r.Each(report.View{Best: true, Brief: true}, func(b *ingest.Building, values []any) error {
		lon, lat := b.Num[ingest.Longitude], b.Num[ingest.Latitude]
		if !geoparquet.Known(lon, lat) {
			n.LeftOut++
			return nil
		}
		// Six decimals, about a tenth of a metre: what RFC 7946 section 11.2 calls enough.
		lon, lat = report.Rounded(lon, 6), report.Rounded(lat, 6)
		extent.Add(lon, lat)
		var properties report.Object
		for i, c := range r.Columns {
			if c.Brief {
				properties = append(properties, [2]any{c.Name, values[i]})
			}
		}
		if n.Written++; n.Written > 1 {
			w.WriteByte(',')
		}
		return put(w, "\n", report.Object{
			{"type", "Feature"}, {"id", b.ID}, {"geometry", report.Object{{"type", "Point"}, {"coordinates", [2]float64{lon, lat}}}},
			{"properties", properties}, // in the order of the columns, in which programs show them
		})
	})
	if err != nil {
		return n, err
	}
	// The box stands behind the features because it is known only then; the order of
	// members means nothing in JSON. The others are foreign members (RFC 7946 section 6.1).
	w.WriteString("\n]")
	if box, ok := extent.Box(); ok {
		put(w, `,"bbox":`, box)
	}
	put(w, `,"left_out_without_coordinates":`, n.LeftOut)
	put(w, `,"caution":`, report.Caution)
	_, err = w.WriteString("}\n")
	return n, err
}

// put writes a value as JSON behind some text.
func put(w *bufio.Writer, before string, value any) error {
	text, err := json.Marshal(value)
	if err == nil {
		_, err = w.WriteString(before + string(text))
	}
	return err
}
