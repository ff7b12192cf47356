// Package workbook writes ranking.xlsx, the results as a workbook for people:
// one sheet for each table, headers that stay in sight, filters, units in the
// headings, a caution at the head, and marks that do not depend on telling colours
// apart. Columns follow
// the table of the ranking files in package report. It computes nothing, draws no
// charts, and writes no formulas: text from an inventory is never run.
package workbook

import (
	"archive/zip"
	"bufio"
	"cmp"
	"context"
	"errors"
	"fmt"
	"io"
	"os"
	"path/filepath"
	"slices"

	"github.com/klauspost/compress/flate"
	"github.com/xuri/excelize/v2"

	"wallsift/screen/report"
)

// XLSX is the name of the file.
const XLSX = "ranking.xlsx"

// Bounds of a sheet (ECMA-376 sets none; these are what spreadsheet programs
// read, from memory).
const (
	maxColumns = 1 << 14
	maxText    = 32767 // UTF-16 units in a cell
	belowRows  = 8     // kept free for lines of text below a table
)

// tableRows are the most of a table; what does not fit is counted on the sheet Notes.
var tableRows = 1<<20 - headRow - belowRows

// book is a workbook on its way to disk.
type book struct {
	ctx    context.Context
	in     report.Results
	f      *excelize.File
	styles *styles
	sheets int
	title  string
	notes  []string // what was cut
}

// Write writes ranking.xlsx to dir, where rejects.csv must be finished already.
// Rows are streamed through temporary files in dir; memory does not grow with
// the run. It ends with ctx. It returns a sentence for everything that was cut. The same run gives
// the same bytes.
func Write(ctx context.Context, dir string, in report.Results) (cut []string, err error) {
	b := &book{ctx: ctx, in: in, title: "Ranking of walls and strategies"}
	return b.write(dir, XLSX, b.overview, b.rankings, b.works, b.survey,
		func() error { return b.rejects(filepath.Join(dir, report.RejectsCSV)) },
		b.notesSheet) // last: it says what was cut
}

// write makes a workbook of its parts, one after the other.
func (b *book) write(dir, name string, parts ...func() error) (cut []string, err error) {
	b.f = excelize.NewFile(excelize.Options{TmpDir: dir})
	defer b.f.Close() // removes the temporary files
	b.styles = newStyles(b.f)
	for _, part := range append(parts, func() error { return b.styles.failed }, b.properties) {
		if err := part(); err != nil {
			return nil, fmt.Errorf("writing %s: %w", name, err)
		}
	}
	return b.notes, save(b.ctx, b.f, filepath.Join(dir, name))
}

// properties fixes what would name a moment, a machine or another program.
func (b *book) properties() error {
	const never = "2000-01-01T00:00:00Z" // a time of writing would make equal runs differ
	return errors.Join(b.f.SetAppProps(&excelize.AppProperties{Application: "wallsift"}), b.f.SetDocProps(&excelize.DocProperties{
		Title: b.title, Description: report.Caution,
		Creator: "wallsift " + b.in.Manifest.Version, LastModifiedBy: "wallsift", Created: never, Modified: never,
	}))
}

func (b *book) cut(format string, args ...any) {
	b.notes = append(b.notes, fmt.Sprintf(format, args...))
}

// save writes the workbook in two steps. The library walks its streamed sheets
// in the order of a map and gathers the archive in memory; so the archive goes
// to a file of its own first, and its parts are then copied, still compressed,
// in order of name, which puts first what readers look for first: [Content_Types].xml
// and _rels/.rels.
func save(ctx context.Context, f *excelize.File, path string) error {
	loose := path + ".loose"
	defer os.Remove(loose)
	if err := report.WriteFile(loose, func(out *bufio.Writer) error {
		f.SetZipWriter(func(io.Writer) excelize.ZipWriter {
			w := zip.NewWriter(stoppable{ctx, out})
			w.RegisterCompressor(zip.Deflate, func(to io.Writer) (io.WriteCloser, error) { return flate.NewWriter(to, 5) })
			return w
		})
		_, err := f.WriteTo(io.Discard)
		return err
	}); err != nil {
		return err
	}
	r, err := zip.OpenReader(loose)
	if err != nil {
		return err
	}
	defer r.Close()
	slices.SortFunc(r.File, func(a, b *zip.File) int { return cmp.Compare(a.Name, b.Name) })
	return report.WriteFile(path, func(out *bufio.Writer) error {
		w := zip.NewWriter(stoppable{ctx, out})
		for _, part := range r.File {
			if err := w.Copy(part); err != nil {
				return err
			}
		}
		return w.Close()
	})
}

// stoppable is a writer that takes no more once its context ended.
type stoppable struct {
	ctx context.Context
	w   io.Writer
}

func (s stoppable) Write(b []byte) (int, error) {
	if err := s.ctx.Err(); err != nil {
		return 0, err
	}
	return s.w.Write(b)
}
