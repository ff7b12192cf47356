package main

import (
	"cmp"
	_ "embed"
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
	arrowcsv "github.com/apache/arrow/go/v17/arrow/csv"
	"github.com/apache/arrow/go/v17/parquet"
	"github.com/apache/arrow/go/v17/parquet/compress"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"
	"github.com/spf13/cobra"

	"wallsift/config"
	"wallsift/ingest"
)

func newTemplate() *cobra.Command {
	var units string
	cmd := command("template", cobra.MaximumNArgs(1))
	cmd.RunE = func(_ *cobra.Command, args []string) error {
		if !slices.Contains(config.Units, units) {
			return usage(fmt.Errorf("--units %q: expected one of %s", units, strings.Join(config.Units, ", ")))
		}
		path := strings.Join(args, "")
		body := templateCSV(units)
		if strings.EqualFold(filepath.Ext(path), ".parquet") {
			body = templateParquet(units)
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
	cmd.Flags().StringVar(&units, "units", config.UnitsSI, "units of the column names: si (mm, m) or ip (in, ft)")
	return cmd
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
// all is known, and one as most lists have it. Numbers are in SI, and headers have
// no unit.
//
//go:embed template.csv
var templateRows string

// templateCSV is the template in the given units.
func templateCSV(units string) string {
	records, _ := csv.NewReader(strings.NewReader(templateRows)).ReadAll()
	for i, c := range ingest.Columns() {
		header, factor := headerIn(&c, units)
		records[0][i] = header
		for _, row := range records[1:] {
			if x, err := strconv.ParseFloat(row[i], 64); err == nil && factor > 0 {
				row[i] = strconv.FormatFloat(x/factor, 'g', 4, 64)
			}
		}
	}
	var b strings.Builder
	csv.NewWriter(&b).WriteAll(records) //nolint:errcheck // a builder takes all
	return b.String()
}

// templateParquet is the template with types: numbers are float64, dates date32,
// all else text; blank is null.
func templateParquet(units string) string {
	var fields []arrow.Field
	for _, c := range ingest.Columns() {
		header, _ := headerIn(&c, units)
		field := arrow.Field{Name: header, Type: arrow.BinaryTypes.String, Nullable: !c.Required}
		switch c.Kind {
		case ingest.KindNumber:
			field.Type = arrow.PrimitiveTypes.Float64
		case ingest.KindDate:
			field.Type = arrow.FixedWidthTypes.Date32
		}
		fields = append(fields, field)
	}
	rows := arrowcsv.NewReader(strings.NewReader(templateCSV(units)), arrow.NewSchema(fields, nil), arrowcsv.WithHeader(true), arrowcsv.WithNullReader(true, ""), arrowcsv.WithChunk(-1))
	defer rows.Release()
	rows.Next() // all of them
	var b strings.Builder
	props := parquet.NewWriterProperties(parquet.WithCompression(compress.Codecs.Snappy), parquet.WithCreatedBy("wallsift"))
	w, err := pqarrow.NewFileWriter(rows.Schema(), &b, props, pqarrow.DefaultWriterProps())
	if err == nil {
		err = cmp.Or(rows.Err(), w.Write(rows.Record()), w.Close())
	}
	if err != nil {
		panic(err) // a defect of the build
	}
	return b.String()
}
