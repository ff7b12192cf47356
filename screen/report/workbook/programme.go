package workbook

import (
	"context"
	"fmt"
	"path/filepath"
	"slices"

	"github.com/xuri/excelize/v2"

	"wallsift/screen/report"
)

// ProgrammeXLSX is the name of the workbook of a programme.
const ProgrammeXLSX = "programme.xlsx"

// WriteProgramme writes programme.xlsx to dir: each table on the sheet that names
// gives its name, the first one with the sentences below it. m is the manifest of
// the run it was made from. The same tables give the same bytes.
func WriteProgramme(dir string, m *report.Manifest, grids []report.Grid, names map[string]string, sentences []string) error {
	b := &book{ctx: context.Background(), in: Input{Manifest: m}, title: "Programme of homes", rows: maxRows - headRow - belowRows, f: excelize.NewFile(excelize.Options{TmpDir: dir})}
	defer b.f.Close()
	write := func() (err error) {
		if b.styles, err = newStyles(b.f); err != nil {
			return err
		}
		for i, g := range grids {
			notes := []string{g.Note}
			if i == 0 {
				notes = slices.Concat(sentences, notes, []string{m.Caution, m.TierCaution})
			}
			if err := b.grid(names[g.Name], g, notes...); err != nil {
				return err
			}
		}
		if err := b.properties(); err != nil {
			return err
		}
		return save(b.ctx, b.f, filepath.Join(dir, ProgrammeXLSX))
	}
	if err := write(); err != nil {
		return fmt.Errorf("writing %s: %w", ProgrammeXLSX, err)
	}
	return nil
}
