package workbook_test

import (
	"encoding/xml"
	"io"
	"regexp"
	"slices"
	"strings"
	"testing"

	"github.com/xuri/excelize/v2"
)

// order is the sequence of child elements that ECMA-376 part 1, 18.3.1.99
// (CT_Worksheet) prescribes, as far as this package or its library writes them;
// from memory. Spreadsheet programs offer to repair a sheet that breaks it.
var order = []string{
	"sheetPr", "dimension", "sheetViews", "sheetFormatPr", "cols", "sheetData", "sheetProtection", "autoFilter", "mergeCells",
	"conditionalFormatting", "dataValidations", "hyperlinks", "printOptions", "pageMargins", "pageSetup", "headerFooter",
	"rowBreaks", "colBreaks", "ignoredErrors", "drawing", "legacyDrawing", "tableParts", "extLst",
}

func TestPartsAreWellFormedAndInOrder(t *testing.T) {
	for _, r := range []*result{ofDemo(t), made(t, inventory(t, hostile), nil)} {
		for name, text := range parts(t, r.path()) {
			d := xml.NewDecoder(strings.NewReader(text))
			depth, at := 0, 0
			for {
				token, err := d.Token()
				if err == io.EOF {
					break
				}
				if err != nil {
					t.Fatalf("%s: %v", name, err)
				}
				switch x := token.(type) {
				case xml.StartElement:
					if depth++; depth == 2 && strings.HasPrefix(name, "xl/worksheets/sheet") {
						here := slices.Index(order, x.Name.Local)
						if here < at {
							t.Errorf("%s: %s stands behind %s", name, x.Name.Local, order[at])
						}
						at = here
					}
				case xml.EndElement:
					depth--
				}
			}
		}
	}
}

// The columns of a table are named as its header cells, the table covers every
// row of it, and no two tables share a name or a number (ECMA-376 part 1, 18.5.1).
func TestTablesMatchTheirSheets(t *testing.T) {
	r := made(t, inventory(t, hostile), nil)
	f, err := excelize.OpenFile(r.path())
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	got := sheets(t, r.path())
	names := map[string]bool{}
	for sheet, rows := range got {
		tables, err := f.GetTables(sheet)
		if err != nil || len(tables) != 1 {
			t.Fatalf("%s: %d tables, %v", sheet, len(tables), err)
		}
		if names[tables[0].Name] || !regexp.MustCompile(`^[A-Za-z_][A-Za-z0-9_.]*$`).MatchString(tables[0].Name) {
			t.Errorf("table name %q", tables[0].Name)
		}
		names[tables[0].Name] = true
		corner := tables[0].Range[strings.IndexByte(tables[0].Range, ':')+1:]
		column, row, err := excelize.CellNameToCoordinates(corner)
		if err != nil || column != len(rows[0]) || row > 1+len(rows) || row < 3 {
			t.Errorf("%s: the table is %s, the sheet %d × %d", sheet, tables[0].Range, len(rows), len(rows[0]))
		}
	}
	ids := map[string]bool{}
	headers := map[string]bool{}
	for _, rows := range got {
		headers[strings.Join(rows[0], "\x00")] = true
	}
	for name, text := range parts(t, r.path()) {
		if !strings.HasPrefix(name, "xl/tables/") {
			continue
		}
		var table struct {
			ID      string `xml:"id,attr"`
			Columns []struct {
				Name string `xml:"name,attr"`
			} `xml:"tableColumns>tableColumn"`
		}
		if err := xml.Unmarshal([]byte(text), &table); err != nil {
			t.Fatal(err)
		}
		var list []string
		for _, c := range table.Columns {
			list = append(list, c.Name)
		}
		if ids[table.ID] || !headers[strings.Join(list, "\x00")] {
			t.Errorf("%s: number %s, columns %q", name, table.ID, list)
		}
		ids[table.ID] = true
	}
	if len(ids) != len(got) {
		t.Errorf("%d tables for %d sheets", len(ids), len(got))
	}
}
