package main

import (
	"cmp"
	"encoding/csv"
	"errors"
	"fmt"
	"io/fs"
	"os"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
)

func newTemplate() *cobra.Command {
	var units string
	cmd := &cobra.Command{
		Use:   "template [FILE]",
		Short: "Write an inventory to start from, with every column and two example rows",
		Long: "Writes an inventory that has every known column and two rows of an invented place, and next\n" +
			"to it FILE_columns.txt, which is wallsift help columns. Without FILE the CSV goes to the standard\n" +
			"output and nothing else is written. Optional columns may be deleted. A file that exists is\n" +
			"never overwritten.",
		Example: "  wallsift template homes.csv && wallsift check homes.csv\n  wallsift template --units ip homes.csv\n  wallsift template homes.parquet",
		Args:    cobra.MaximumNArgs(1),
		RunE: func(_ *cobra.Command, args []string) error {
			return writeTemplate(args, units)
		},
	}
	cmd.Flags().StringVar(&units, "units", config.UnitsSI, "units of the column names: si (mm, m) or ip (in, ft)")
	return cmd
}

func writeTemplate(args []string, units string) error {
	if !slices.Contains(config.Units, units) {
		return usage(fmt.Errorf("--units %q: expected one of %s", units, strings.Join(config.Units, ", ")))
	}
	path := strings.Join(args, "")
	form := templateCSV
	if strings.EqualFold(filepath.Ext(path), ".parquet") {
		form = templateParquet
	}
	body, err := form(units)
	if err != nil {
		return fmt.Errorf("forming the template: %w", err)
	}
	if path == "" || path == "-" {
		_, err := fmt.Fprint(os.Stdout, body)
		return err
	}
	explained := strings.TrimSuffix(path, filepath.Ext(path)) + "_columns.txt"
	if err := writeNew(path, body); err != nil {
		return err
	}
	if err := writeNew(explained, topicText("columns")); err != nil {
		os.Remove(path) // half a template would look whole
		return err
	}
	fmt.Fprintf(os.Stderr, "%s has every column and two example rows of an invented place: put yours in their stead.\n%s explains the columns. Next: wallsift check %s\n", path, explained, path)
	return nil
}

// writeNew writes a file that must not exist yet: it may hold somebody's work.
func writeNew(path, text string) error {
	f, err := os.OpenFile(path, os.O_WRONLY|os.O_CREATE|os.O_EXCL, 0o644)
	switch {
	case errors.Is(err, fs.ErrExist):
		return usage(fmt.Errorf("%s exists and is not overwritten; give another name, or move it away", path))
	case errors.Is(err, fs.ErrNotExist):
		return usage(fmt.Errorf("%s cannot be made, its folder is missing; make the folder first", path))
	case err != nil:
		return fmt.Errorf("making a new file: %w; check the folder's permissions", err)
	}
	_, err = f.WriteString(text)
	if err = cmp.Or(err, f.Close()); err != nil {
		os.Remove(path)
		return fmt.Errorf("writing a new file: %w; check that the disk has room", err)
	}
	return nil
}

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

// templateRecords is the template in the given units, its header first.
func templateRecords(units string) [][]string {
	records := make([][]string, 1+len(templateRows))
	for _, c := range ingest.Columns() {
		h, factor := headerIn(&c, units)
		records[0] = append(records[0], h)
		for k, row := range templateRows {
			cell := row[c.Name]
			if x, err := strconv.ParseFloat(cell, 64); err == nil && factor > 0 {
				cell = strconv.FormatFloat(x/factor, 'g', 4, 64)
			}
			records[k+1] = append(records[k+1], cell)
		}
	}
	return records
}

func templateCSV(units string) (string, error) {
	var b strings.Builder
	err := csv.NewWriter(&b).WriteAll(templateRecords(units))
	return b.String(), err
}

// templateParquet is the template with types: numbers are float64, dates date32,
// all else text; blank is null.
func templateParquet(units string) (string, error) {
	records := templateRecords(units)
	var fields []arrow.Field
	for i, c := range ingest.Columns() {
		field := arrow.Field{Name: records[0][i], Type: arrow.BinaryTypes.String, Nullable: !c.Required}
		switch c.Kind {
		case ingest.KindNumber:
			field.Type = arrow.PrimitiveTypes.Float64
		case ingest.KindDate:
			field.Type = arrow.FixedWidthTypes.Date32
		}
		fields = append(fields, field)
	}
	schema := arrow.NewSchema(fields, nil)
	builder := array.NewRecordBuilder(memory.DefaultAllocator, schema)
	defer builder.Release()
	for _, record := range records[1:] {
		for i, cell := range record {
			if err := builder.Field(i).AppendValueFromString(cmp.Or(cell, array.NullValueStr)); err != nil {
				return "", fmt.Errorf("column %s: %w", fields[i].Name, err)
			}
		}
	}
	rec := builder.NewRecord()
	defer rec.Release()
	var b strings.Builder
	props := parquet.NewWriterProperties(parquet.WithCompression(compress.Codecs.Snappy), parquet.WithCreatedBy("wallsift"))
	w, err := pqarrow.NewFileWriter(schema, &b, props, pqarrow.DefaultWriterProps())
	if err == nil {
		err = cmp.Or(w.Write(rec), w.Close())
	}
	return b.String(), err
}
