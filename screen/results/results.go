// Package results opens the output folder of a finished run and reads it back. It
// says of a folder that is none, or not whole, what is wrong and what to do.
package results

import (
	"bufio"
	"bytes"
	"context"
	"encoding/csv"
	"encoding/json"
	"errors"
	"fmt"
	"io"
	"io/fs"
	"math"
	"os"
	"path/filepath"
	"slices"
	"strings"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet/file"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"

	"wallsift/screen/report"
)

// ErrFolder marks a folder that is not the output of a run.
var ErrFolder = errors.New("not the output of a run")

// Folder is the output of one run.
type Folder struct {
	Dir      string
	Manifest report.Manifest
	Columns  []string // of the ranking

	pq *file.Reader
}

// Open reads run.json and opens the ranking, which must have the columns needed and be
// the one that run.json is of.
// Its errors wrap ErrFolder and say what to do. The caller closes the folder.
func Open(dir string, needed ...string) (_ *Folder, err error) {
	f := &Folder{Dir: dir}
	info, err := os.Stat(dir)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, f.bad("there is no such folder; name the folder that a run was given with --out")
	case err != nil:
		return nil, f.bad("it cannot be read: %v", err)
	case !info.IsDir():
		return nil, f.bad("this is a file; name the folder it lies in")
	}
	manifest, err := os.ReadFile(filepath.Join(dir, report.ManifestJSON))
	if errors.Is(err, fs.ErrNotExist) {
		return nil, f.Again("there is no %s in it", report.ManifestJSON)
	}
	if err == nil {
		err = json.Unmarshal(manifest, &f.Manifest)
	}
	if err != nil {
		return nil, f.Again("%s cannot be read: %v", report.ManifestJSON, err)
	}
	if f.Manifest.Version == "" || f.Manifest.Configuration == "" {
		return nil, f.Again("%s names no version or no configuration_sha256, so it is not of a run", report.ManifestJSON)
	}
	defer func() {
		if err != nil && f.pq != nil {
			f.Close()
		}
	}()
	defer f.rescue(&err)
	f.pq, err = file.OpenParquetFile(filepath.Join(dir, report.RankingParquet), false)
	switch {
	case errors.Is(err, fs.ErrNotExist):
		return nil, f.Again("there is no %s in it, which output.files may have left out", report.RankingParquet)
	case err != nil:
		return nil, f.Again("%s cannot be read (%v)", report.RankingParquet, err)
	}
	for i := range f.pq.MetaData().Schema.NumColumns() {
		f.Columns = append(f.Columns, f.pq.MetaData().Schema.Column(i).ColumnPath()[0]) // a list lies below its name
	}
	for _, name := range needed {
		if !f.Has(name) {
			return nil, f.Again("%s has no column %s, so it is not a ranking", report.RankingParquet, name)
		}
	}
	sum, err := report.HashFile(filepath.Join(dir, report.RankingParquet))
	if err != nil {
		return nil, f.Again("%s cannot be read: %v", report.RankingParquet, err)
	}
	if hash := f.Manifest.RankingSHA256; hash != "" && sum != hash { // one file of each night
		return nil, f.Again("%s is not the one that %s is of: a run was stopped while it put its files in place, or a file was changed", report.RankingParquet, report.ManifestJSON)
	}
	return f, nil
}

// Close closes the ranking.
func (f *Folder) Close() error { return f.pq.Close() }

func (f *Folder) bad(format string, args ...any) error {
	return fmt.Errorf("%s is %w: %s", f.Dir, ErrFolder, fmt.Sprintf(format, args...))
}

// Again is an error of the folder that another run would mend.
func (f *Folder) Again(format string, args ...any) error {
	return fmt.Errorf("%w; run wallsift screen again with --out %s", f.bad(format, args...), f.Dir)
}

// rescue turns a panic of the Parquet reader over damaged bytes into an error.
func (f *Folder) rescue(err *error) {
	if p := recover(); p != nil {
		*err = f.Again("%s is damaged (%v)", report.RankingParquet, p)
	}
}

// Has says whether the ranking has a column.
func (f *Folder) Has(name string) bool { return slices.Contains(f.Columns, name) }

// Ranking reads columns of the ranking, as far as it has them, and hands out their
// rows, each until the next.
func (f *Folder) Ranking(ctx context.Context, columns []string, each func(Row)) (err error) {
	defer f.rescue(&err)
	var leaves []int
	for i, name := range f.Columns {
		if slices.Contains(columns, name) {
			leaves = append(leaves, i)
		}
	}
	reader, err := pqarrow.NewFileReader(f.pq, pqarrow.ArrowReadProperties{BatchSize: 1 << 13}, memory.DefaultAllocator)
	if err != nil {
		return f.Again("%s cannot be read (%v)", report.RankingParquet, err)
	}
	records, err := reader.GetRecordReader(ctx, leaves, nil)
	if err != nil {
		return f.Again("%s cannot be read (%v)", report.RankingParquet, err)
	}
	defer records.Release()
	for {
		rec, err := records.Read()
		switch {
		case errors.Is(err, io.EOF):
			return nil
		case ctx.Err() != nil:
			return ctx.Err()
		case err != nil:
			return f.Again("%s cannot be read to its end (%v)", report.RankingParquet, err)
		}
		row := Row{columns: map[string]arrow.Array{}}
		for i, column := range rec.Columns() {
			row.columns[rec.ColumnName(i)] = column
		}
		for row.at = range int(rec.NumRows()) {
			each(row)
		}
	}
}

// Row is one of a ranking. A column that is not there is empty.
type Row struct {
	columns map[string]arrow.Array
	at      int
}

// Number is a cell of a column of reals, NaN where there is none.
func (r Row) Number(column string) float64 {
	a, ok := r.columns[column].(*array.Float64)
	if !ok || a.IsNull(r.at) {
		return math.NaN()
	}
	return a.Value(r.at)
}

// Text is a cell as text, empty where there is none. The items of a list have blanks
// between them, as older rankings have it.
func (r Row) Text(column string) string {
	a := r.columns[column]
	if a == nil || a.IsNull(r.at) {
		return ""
	}
	from, to := int64(r.at), int64(r.at)+1
	if list, ok := a.(*array.List); ok {
		from, to = list.ValueOffsets(r.at)
		a = list.ListValues()
	}
	var items []string
	for ; from < to; from++ {
		items = append(items, a.ValueStr(int(from)))
	}
	return strings.Clone(strings.Join(items, " ")) // items lie in memory that is given back
}

// Table hands out the rows of a CSV file of the folder. A file that is missing has none.
func (f *Folder) Table(name string, each func(cells map[string]string)) error {
	if _, err := ReadCSV(filepath.Join(f.Dir, name), 0, each); err != nil && !errors.Is(err, fs.ErrNotExist) {
		return f.Again("%s cannot be read to its end (%v)", name, err)
	}
	return nil
}

// ReadCSV hands out the cells of the rows of a CSV file by the names of its columns,
// without the guard against formulas, and returns the names. Spreadsheets may have saved
// it, with semicolons or tabs. Rows have as many cells as the header, with fields -1 any
// number (as csv.Reader.FieldsPerRecord says).
func ReadCSV(path string, fields int, each func(cells map[string]string)) (head []string, err error) {
	f, err := os.Open(path)
	if err != nil {
		return nil, err
	}
	defer f.Close()
	in := bufio.NewReader(f)
	start, _ := in.Peek(1 << 12)
	if bytes.HasPrefix(start, []byte("\uFEFF")) {
		in.Discard(len("\uFEFF"))
	}
	rows := csv.NewReader(in)
	rows.FieldsPerRecord = fields
	line, _, _ := bytes.Cut(start, []byte("\n"))
	for _, d := range ";\t" {
		if !bytes.ContainsRune(line, ',') && bytes.ContainsRune(line, d) {
			rows.Comma = d
		}
	}
	for {
		row, err := rows.Read()
		switch {
		case errors.Is(err, io.EOF):
			return head, nil
		case err != nil:
			return head, err
		case head == nil:
			head = row
			continue
		}
		cells := map[string]string{}
		for i, text := range row[:min(len(row), len(head))] {
			cells[head[i]] = report.Unguarded(text)
		}
		each(cells)
	}
}
