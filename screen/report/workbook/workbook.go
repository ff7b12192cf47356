// Package workbook writes ranking.xlsx, the results as a workbook for people:
// one sheet for each table, headers that stay in sight, filters, units in the
// headings, a caution at the head, and marks that do not depend on telling colours
// apart. Columns follow
// the table of the ranking files in package report. It computes nothing, draws no
// charts, and writes no formulas: text from an inventory is never run.
package workbook

import (
	"context"
	"fmt"
	"path/filepath"

	"github.com/xuri/excelize/v2"

	"wallsift/config"
	"wallsift/screen"
	"wallsift/screen/report"
)

// XLSX is the name of the file.
const XLSX = "ranking.xlsx"

// Bounds of a sheet (ECMA-376 sets none; these are what spreadsheet programs
// read, from memory).
const (
	maxRows    = 1 << 20 // with the header
	maxColumns = 1 << 14
	maxText    = 32767 // UTF-16 units in a cell
	belowRows  = 8     // kept free for lines of text below a table
)

// Input is what a workbook is made from.
type Input struct {
	Engine   *screen.Engine
	Run      *screen.Run // finished and not closed
	Config   *config.Config
	Manifest *report.Manifest
	Trades   *report.Trades
	Visits   *report.Visits
	Shown    []int // places of the homes that are shown under every strategy
	// MaxRows bounds the rows of a sheet below its header; 0 means as many as a
	// sheet can hold. What does not fit is counted on the sheet Notes.
	MaxRows int
}

// book is a workbook on its way to disk.
type book struct {
	ctx    context.Context
	in     Input
	f      *excelize.File
	styles styles
	units  *report.Units
	rows   int // most rows of a table
	sheets int
	title  string
	notes  []string // what was cut
}

// Write writes ranking.xlsx to dir, where rejects.csv must be finished already.
// Rows are streamed through temporary files in dir; memory does not grow with
// the run. It ends with ctx. It returns a sentence for everything that was cut. The same run gives
// the same bytes.
func Write(ctx context.Context, dir string, in Input) (cut []string, err error) {
	b := &book{ctx: ctx, in: in, title: "Ranking of walls and strategies", units: report.UnitsOf(in.Engine)}
	return b.write(dir, XLSX, b.grids, b.rankings, b.works, b.survey,
		func() error { return b.rejects(filepath.Join(dir, report.RejectsCSV)) },
		b.notesSheet) // last: it says what was cut
}

// write makes a workbook of its parts, one after the other.
func (b *book) write(dir, name string, parts ...func() error) (cut []string, err error) {
	b.f = excelize.NewFile(excelize.Options{TmpDir: dir})
	defer b.f.Close() // removes the temporary files
	if b.rows = maxRows - headRow - belowRows; b.in.MaxRows > 0 {
		b.rows = min(b.rows, b.in.MaxRows)
	}
	b.styles, err = newStyles(b.f)
	for _, part := range append(parts, b.properties, func() error { return save(b.ctx, b.f, filepath.Join(dir, name)) }) {
		if err == nil {
			err = part()
		}
	}
	if err != nil {
		return nil, fmt.Errorf("writing %s: %w", name, err)
	}
	return b.notes, nil
}

// properties fixes what would name a moment, a machine or another program.
func (b *book) properties() error {
	const never = "2000-01-01T00:00:00Z" // a time of writing would make equal runs differ
	if err := b.f.SetDocProps(&excelize.DocProperties{
		Title: b.title, Description: report.Caution,
		Creator: "wallsift " + b.in.Manifest.Version, LastModifiedBy: "wallsift", Created: never, Modified: never,
	}); err != nil {
		return err
	}
	return b.f.SetAppProps(&excelize.AppProperties{Application: "wallsift"})
}

func (b *book) cut(format string, args ...any) {
	b.notes = append(b.notes, fmt.Sprintf(format, args...))
}
