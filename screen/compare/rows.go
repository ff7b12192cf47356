package compare

import (
	"context"
	"errors"
	"fmt"
	"io"
	"math"
	"math/bits"
	"path/filepath"
	"slices"
	"strconv"
	"strings"

	"github.com/apache/arrow/go/v17/arrow"
	"github.com/apache/arrow/go/v17/arrow/array"
	"github.com/apache/arrow/go/v17/arrow/memory"
	"github.com/apache/arrow/go/v17/parquet/file"
	"github.com/apache/arrow/go/v17/parquet/pqarrow"

	"wallsift/screen/report"
)

// Columns of the ranking that are compared, beside facts.
const (
	idColumn        = "building_id"
	strategyColumn  = "strategy"
	verdictColumn   = "verdict"
	rankColumn      = "rank_in_building"
	governingColumn = "governing"
	shareColumn     = "utilisation"
	tierColumn      = "tier"
	zoneColumn      = "climate_zone"
	stoneColumn     = "stone_type"
)

// chanceColumns are names under which a ranking may say how likely a limit is
// exceeded; the first that is there counts.
var chanceColumns = []string{"chance", "chance_exceeded", "chance_over_limit"}

// ranking is an open ranking.parquet.
type ranking struct {
	dir   string
	pq    *file.Reader
	names []string
}

func (f *folder) openRanking() (r *ranking, err error) {
	defer rescue(f.dir, &err)
	pq, err := file.OpenParquetFile(filepath.Join(f.dir, report.RankingParquet), false)
	if err != nil {
		return nil, bad(f.dir, "%s cannot be read (%v); run wallsift screen again with --out %s", report.RankingParquet, err, f.dir)
	}
	r = &ranking{dir: f.dir, pq: pq}
	schema := pq.MetaData().Schema
	for i := range schema.NumColumns() {
		r.names = append(r.names, schema.Column(i).Path())
	}
	for _, name := range []string{idColumn, strategyColumn, verdictColumn} {
		if !slices.Contains(r.names, name) {
			pq.Close()
			return nil, bad(f.dir, "%s has no column %s, so it is not a ranking; run wallsift screen again with --out %s", report.RankingParquet, name, f.dir)
		}
	}
	return r, nil
}

// rescue turns a panic of the Parquet reader over damaged bytes into an error.
func rescue(dir string, err *error) {
	if p := recover(); p != nil {
		*err = bad(dir, "%s is damaged (%v); run wallsift screen again with --out %s", report.RankingParquet, p, dir)
	}
}

func (r *ranking) close() { r.pq.Close() }

// cells gives the cells of one batch by place in the list of names that were
// asked for; a column the file lacks is nil.
type cells []arrow.Array

// text returns a cell as text, empty where there is none. It is valid as long
// as the batch.
func (c cells) text(column, row int) string {
	a := c[column]
	if a == nil || a.IsNull(row) {
		return ""
	}
	switch a := a.(type) {
	case *array.String:
		return a.Value(row)
	case *array.Float64:
		return strconv.FormatFloat(a.Value(row), 'f', -1, 64)
	}
	return a.ValueStr(row)
}

// number returns a cell as a number, NaN where there is none.
func (c cells) number(column, row int) float64 {
	a := c[column]
	if a == nil || a.IsNull(row) {
		return math.NaN()
	}
	switch a := a.(type) {
	case *array.Float64:
		return a.Value(row)
	case *array.Int64:
		return float64(a.Value(row))
	}
	return math.NaN()
}

// each streams the named columns.
func (r *ranking) each(ctx context.Context, names []string, f func(c cells, rows int) error) (err error) {
	defer rescue(r.dir, &err)
	var leaves []int
	for _, n := range names {
		if i := slices.Index(r.names, n); i >= 0 && !slices.Contains(leaves, i) {
			leaves = append(leaves, i)
		}
	}
	reader, err := pqarrow.NewFileReader(r.pq, pqarrow.ArrowReadProperties{BatchSize: 1 << 13}, memory.DefaultAllocator)
	if err != nil {
		return r.damaged(err)
	}
	records, err := reader.GetRecordReader(ctx, leaves, nil)
	if err != nil {
		return r.damaged(err)
	}
	defer records.Release()
	for {
		rec, err := records.Read()
		if errors.Is(err, io.EOF) {
			return nil
		}
		if err == nil {
			err = ctx.Err()
		}
		if err != nil {
			return r.damaged(err)
		}
		c := make(cells, len(names))
		for i, n := range names {
			if at := rec.Schema().FieldIndices(n); len(at) > 0 {
				c[i] = rec.Column(at[0])
			}
		}
		if err := f(c, int(rec.NumRows())); err != nil {
			return err
		}
	}
}

func (r *ranking) damaged(err error) error {
	if errors.Is(err, context.Canceled) {
		return err
	}
	return bad(r.dir, "%s cannot be read to its end (%v); run wallsift screen again with --out %s", report.RankingParquet, err, r.dir)
}

// facts collects, of some buildings, those of the named columns whose bits are
// set, in order.
func (r *ranking) facts(ctx context.Context, names []string, wanted map[string]uint64) (map[string][]string, error) {
	out, words := map[string][]string{}, map[string]string{} // values repeat
	err := r.each(ctx, append([]string{idColumn}, names...), func(c cells, rows int) error {
		last := ""
		for i := range rows {
			id := c.text(0, i)
			if id == last || wanted[id] == 0 || out[id] != nil {
				continue
			}
			id = strings.Clone(id)
			values := make([]string, 0, bits.OnesCount64(wanted[id]))
			for k := range names {
				if wanted[id]&(1<<k) == 0 {
					continue
				}
				word, known := words[c.text(k+1, i)]
				if !known {
					word = strings.Clone(c.text(k+1, i))
					words[word] = word
				}
				values = append(values, word)
			}
			out[id], last = values, id
		}
		return nil
	})
	if err != nil {
		return nil, fmt.Errorf("reading facts again: %w", err)
	}
	return out, nil
}
