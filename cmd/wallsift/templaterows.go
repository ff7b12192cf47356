package main

import (
	"bytes"
	"cmp"
	"encoding/csv"
	"fmt"
	"strconv"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"

	"wallsift/ingest"
)

// templateRows are two homes on the invented island of Hexmark: one about which
// all is known, and one as most lists have it. Numbers are in SI.
var templateRows = []map[string]string{
	{
		"building_id": "EXAMPLE-1", "wall_thickness": "0.600", "stone_type": "granite_rubble", "climate_zone": "oceanic_wet",
		"exposure": "severe", "embedded_timber": "joist_ends", "protected_facade": "no", "outer_finish": "lime_render",
		"mortar": "lime", "joint_condition": "weathered", "inner_finish": "lime_plaster", "inner_condition": "sound",
		"rainwater_goods": "worn", "ground_moisture": "damp", "salts": "none", "drain_outlet": "yes", "humidity_class": "3",
		"orientation": "225", "height": "6", "storeys": "2", "wall_area": "90", "floor_area": "85", "latitude": "49.534",
		"longitude": "-29.605", "elevation": "12", "a_w": "0.02", "heating_fuel": "gas", "last_survey": "2024-05-30", "group_key": "Netloft",
		"home_id": "EXAMPLE", "timber_state": "sound", "inner_damp": "none", "exposed_facings": "SW/NE", "built_year": "1874",
	},
	{
		"building_id": "EXAMPLE-2", "wall_thickness": "0.340", "stone_type": "brick_common", "climate_zone": "4c",
		"exposure": "moderate", "embedded_timber": "unknown", "protected_facade": "unknown", "outer_finish": "bare",
		"rainwater_goods": "unknown", "storeys": "2", "floor_area": "70", "heating_fuel": "oil", "group_key": "Weirside",
	},
}

// cellIn is an example cell in the unit its header names.
func cellIn(row map[string]string, c *ingest.Column, header string) string {
	s := row[c.Name]
	x, err := strconv.ParseFloat(s, 64)
	if c.Kind != ingest.KindNumber || err != nil {
		return s
	}
	for _, u := range c.Units {
		if header == c.Name+"_"+u.Suffix {
			return strconv.FormatFloat(x/u.Factor, 'g', 4, 64)
		}
	}
	return s
}

// templateCSV is the template as CSV in the given units.
func templateCSV(units string) ([]byte, error) {
	columns := ingest.Columns()
	records := make([][]string, 1+len(templateRows))
	for i := range columns {
		h := headerIn(&columns[i], units)
		records[0] = append(records[0], h)
		for k, row := range templateRows {
			records[k+1] = append(records[k+1], cellIn(row, &columns[i], h))
		}
	}
	var b bytes.Buffer
	w := csv.NewWriter(&b)
	if err := w.WriteAll(records); err != nil {
		return nil, fmt.Errorf("forming the template: %w", err)
	}
	return b.Bytes(), nil
}

// templateParquet is the same with types: numbers are float64, dates date32,
// all else text; blank is null.
func templateParquet(units string) ([]byte, error) {
	columns := ingest.Columns()
	fields := make([]arrow.Field, len(columns))
	for i := range columns {
		c := &columns[i]
		fields[i] = arrow.Field{Name: headerIn(c, units), Type: arrow.BinaryTypes.String, Nullable: !c.Required}
		switch c.Kind {
		case ingest.KindNumber:
			fields[i].Type = arrow.PrimitiveTypes.Float64
		case ingest.KindDate:
			fields[i].Type = arrow.FixedWidthTypes.Date32
		}
	}
	schema := arrow.NewSchema(fields, nil)
	builder := array.NewRecordBuilder(memory.DefaultAllocator, schema)
	defer builder.Release()
	for i := range columns {
		for _, row := range templateRows {
			cell := cellIn(row, &columns[i], fields[i].Name)
			if cell == "" {
				builder.Field(i).AppendNull()
			} else if err := builder.Field(i).AppendValueFromString(cell); err != nil {
				return nil, fmt.Errorf("forming the template, column %s: %w", fields[i].Name, err)
			}
		}
	}
	rec := builder.NewRecord()
	defer rec.Release()
	var b bytes.Buffer
	props := parquet.NewWriterProperties(parquet.WithCompression(compress.Codecs.Snappy), parquet.WithCreatedBy("wallsift"))
	w, err := pqarrow.NewFileWriter(schema, &b, props, pqarrow.DefaultWriterProps())
	if err == nil {
		err = cmp.Or(w.Write(rec), w.Close())
	}
	if err != nil {
		return nil, fmt.Errorf("forming the template: %w", err)
	}
	return b.Bytes(), nil
}
