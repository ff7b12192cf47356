package page

import (
	"bytes"
	"fmt"
	"html/template"
	"os"
	"path/filepath"

	"wallsift/screen/report"
)

// ProgrammeHTML is the name of the page of a programme.
const ProgrammeHTML = "programme.html"

// WriteProgramme writes programme.html to dir: the sentences and the tables, long
// columns on a line of their own below each row. It prints, and needs no script and
// no network. m is the manifest of the run it was made from.
func WriteProgramme(dir string, m *report.Manifest, grids []report.Grid, sentences []string) error {
	var b bytes.Buffer
	err := pages.ExecuteTemplate(&b, "programme.html", struct {
		CSS       template.CSS
		Manifest  *report.Manifest
		Grids     []report.Grid
		Sentences []string
	}{template.CSS(asset("page.css")), m, grids, sentences})
	if err == nil {
		err = os.WriteFile(filepath.Join(dir, ProgrammeHTML), b.Bytes(), 0o644)
	}
	if err != nil {
		return fmt.Errorf("writing %s: %w", ProgrammeHTML, err)
	}
	return nil
}
