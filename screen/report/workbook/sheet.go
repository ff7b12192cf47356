package workbook

import (
	"cmp"
	"errors"
	"fmt"
	"strconv"
	"strings"
	"unicode/utf16"
	"unicode/utf8"

	"github.com/xuri/excelize/v2"

	"wallsift/screen/report"
)

// head is one column of a sheet.
type head struct {
	title    string
	kind     report.Kind
	decimals int // of reals; negative for as many as there are
	look     report.Look
	user     bool    // text from outside
	wrap     bool    // long text, broken into lines
	width    float64 // in characters
}

// headRow is the row of the header; the caution stands above it.
const headRow = 2

// sheet is one table on its way to disk: a caution, a header, rows, and free lines
// below. Once it failed it does nothing more, and close says why.
type sheet struct {
	b       *book
	sw      *excelize.StreamWriter
	name    string
	frozen  int // columns that stay in sight
	heads   []head
	cells   []excelize.Cell
	values  []any // pointers to cells, nil where a cell is empty
	row     int   // last row written, 1-based
	table   int   // last row of the table
	most    int   // rows of the table
	left    int   // rows left out because of it
	clipped int   // cells cut to what a cell can hold
	failed  error
}

// open starts a sheet. Columns up to frozen stay in sight, as does the header.
func (b *book) open(name string, frozen int, heads []head) *sheet {
	if n := len(heads) - maxColumns; n > 0 {
		b.cut("Sheet %s: the last %d columns were left out, a sheet holds %d; all are in %s.", name, n, maxColumns, report.Written(b.in.Engine, b.in.Run, report.RankingCSV))
		heads = heads[:maxColumns]
	}
	s := &sheet{b: b, name: name, most: tableRows, frozen: frozen, heads: heads, cells: make([]excelize.Cell, len(heads)), values: make([]any, len(heads))}
	if b.sheets++; b.sheets == 1 {
		s.failed = b.f.SetSheetName(b.f.GetSheetName(0), name)
	} else {
		_, s.failed = b.f.NewSheet(name)
	}
	fit := true
	if s.failed = errors.Join(s.failed, b.f.SetSheetProps(name, &excelize.SheetPropsOptions{FitToPage: &fit})); s.failed == nil {
		s.sw, s.failed = b.f.NewStreamWriter(name)
	}
	if s.failed != nil {
		return s
	}
	corner, _ := excelize.CoordinatesToCellName(frozen+1, headRow+1)
	pane := "bottomLeft"
	if frozen > 0 {
		pane = "bottomRight"
	}
	s.failed = s.sw.SetPanes(&excelize.Panes{Freeze: true, XSplit: frozen, YSplit: headRow, TopLeftCell: corner, ActivePane: pane})
	for i := range heads {
		s.cells[i].StyleID = b.styles.of(&heads[i])
	}
	// Every call copies what the calls before it set: thousands of columns of the
	// user's own must not cost one each.
	for i, to := 0, 0; i < len(heads); i = to {
		for to = i + 1; to < len(heads) && heads[to].fit() == heads[i].fit(); to++ {
		}
		s.failed = errors.Join(s.failed, s.sw.SetColWidth(i+1, to, heads[i].fit()))
	}
	titles := make([]any, len(heads))
	tall := 1
	for i, title := range unique(heads) {
		titles[i] = excelize.Cell{StyleID: b.styles.head, Value: title}
		tall = max(tall, lines(title, heads[i].fit()-3)) // the filter button takes room
	}
	s.row = headRow
	s.failed = errors.Join(s.failed, s.sw.SetRow("A1", []any{excelize.Cell{StyleID: b.styles.caution, Value: report.ShortCaution + " " + name + "."}}),
		s.sw.SetRow("A"+strconv.Itoa(headRow), titles, b.rowOf(tall)))
	return s
}

// lines is a careful guess at the lines that text takes in a column.
func lines(text string, width float64) int {
	return 1 + int(float64(utf8.RuneCountInString(text))/max(width, 4))
}

// rowOf is how a row stands. Programs do not all find a height by themselves. A row
// without a style makes the library look for one among all columns at every cell.
func (b *book) rowOf(lines int) excelize.RowOpts {
	opt := excelize.RowOpts{StyleID: b.styles.text}
	if lines > 1 {
		opt.Height = min(15*float64(lines), excelize.MaxRowHeight)
	}
	return opt
}

// fit is the width of a column: that of its values, or of the longest word of
// its title with room for the filter button.
func (h *head) fit() float64 {
	word := 0
	for _, w := range strings.Fields(h.title) {
		word = max(word, utf8.RuneCountInString(w))
	}
	return min(max(h.width, float64(word)+4, 8), 80)
}

// unique returns the titles as a table needs them: none empty, none twice
// whatever the case, none with a line break, none longer than 255 characters.
func unique(heads []head) []string {
	out := make([]string, len(heads))
	taken := map[string]bool{}
	for i, h := range heads {
		title := []rune(strings.Join(strings.Fields(strings.ToValidUTF8(h.title, "�")), " "))
		title = title[:min(len(title), 240)]
		if len(title) == 0 {
			title = []rune("(no name)")
		}
		out[i] = string(title)
		for n := 2; taken[strings.ToLower(out[i])]; n++ {
			out[i] = fmt.Sprintf("%s (%d)", string(title), n)
		}
		taken[strings.ToLower(out[i])] = true
	}
	return out
}

// add writes a row of the table. A row that does not fit is counted.
func (s *sheet) add(values ...any) {
	switch {
	case s.failed != nil:
		return
	case s.row-headRow >= s.most:
		s.left++
		return
	}
	tall := 1
	for i := range s.heads {
		s.cells[i].Value, s.values[i] = values[i], &s.cells[i]
		if text, ok := values[i].(string); ok {
			s.cells[i].Value = s.clip(text)
			if s.heads[i].wrap {
				tall = max(tall, lines(text, s.heads[i].fit()))
			}
		} else if values[i] == nil {
			s.values[i] = nil
		}
	}
	s.row++
	s.failed = s.sw.SetRow("A"+strconv.Itoa(s.row), s.values, s.b.rowOf(tall))
}

// clip cuts text to what a cell holds and counts it.
func (s *sheet) clip(text string) string {
	if len(text) <= maxText { // bytes are never fewer than UTF-16 units
		return text
	}
	units := 0
	for at, r := range text {
		if units += utf16.RuneLen(r); units > maxText {
			s.clipped++
			return text[:at]
		}
	}
	return text
}

// close ends the table, writes lines of text below it, and says how the sheet
// prints.
func (s *sheet) close(below ...string) error {
	if s.row == headRow { // a table needs a row
		s.add(append([]any{"none"}, make([]any, len(s.heads)-1)...)...)
	}
	s.table = s.row
	if s.left > 0 {
		s.b.cut("Sheet %s: the last %d rows were left out, %d are shown; all are in %s.", s.name, s.left, s.table-headRow, s.source())
	}
	if s.clipped > 0 {
		s.b.cut("Sheet %s: %d cells were cut to the %d characters that a cell holds; they are whole in %s.", s.name, s.clipped, maxText, s.source())
	}
	for i := range s.heads {
		if rules := s.b.styles.rules(&s.heads[i]); rules != nil {
			from, _ := excelize.CoordinatesToCellName(i+1, headRow+1)
			to, _ := excelize.CoordinatesToCellName(i+1, s.table)
			s.failed = errors.Join(s.failed, s.b.f.SetConditionalFormat(s.name, from+":"+to, rules))
		}
	}
	for _, text := range below {
		s.below(text)
	}
	if s.failed != nil {
		return s.failed
	}
	return s.print()
}

// source names the file that holds everything.
func (s *sheet) source() string {
	if s.name == rejectsName { // which every run writes
		return report.RejectsCSV
	}
	of := map[string]string{worksName: report.WorkListCSV, surveyName: report.SurveyCSV}
	return report.Written(s.b.in.Engine, s.b.in.Run, cmp.Or(of[s.name], report.RankingCSV))
}

// below writes a line of text under the table, over as many columns as a line is
// easily read.
func (s *sheet) below(text string) {
	if text == "" || s.failed != nil {
		return
	}
	const readable = 120
	columns, wide := 0, 0.0
	for ; columns < len(s.heads) && wide < readable; columns++ {
		wide += s.heads[columns].fit()
	}
	s.row++
	if s.row == s.table+1 {
		s.row++ // an empty row keeps the line out of the table
	}
	at, _ := excelize.CoordinatesToCellName(1, s.row)
	to, _ := excelize.CoordinatesToCellName(columns, s.row)
	s.failed = errors.Join(s.sw.MergeCell(at, to), s.sw.SetRow(at, []any{excelize.Cell{StyleID: s.b.styles.wrapped, Value: text}}, s.b.rowOf(lines(text, wide))))
}

// print ends the sheet: the filter, and paper as wide as the table, with the head
// of the table and the name of the inventory on every page.
func (s *sheet) print() error {
	end, _ := excelize.CoordinatesToCellName(len(s.heads), s.table)
	stripes := true
	landscape, pages, tall, paper, wide := "landscape", 1, 0, 9, 0.0 // 9 is A4, 8 is A3 (ECMA-376 part 1, 18.3.1.63)
	for _, h := range s.heads {
		wide += h.fit()
	}
	if wide > 160 {
		paper = 8
	}
	if s.name == allName { // at the width of one page nobody could read it
		pages = 1 + int(wide/300)
	}
	return errors.Join(
		s.sw.AddTable(&excelize.Table{Range: fmt.Sprintf("A%d:%s", headRow, end), Name: strings.ReplaceAll(s.name, " ", "_") + "_table", StyleName: "TableStyleLight1", ShowRowStripes: &stripes}),
		s.b.f.SetPageLayout(s.name, &excelize.PageLayoutOptions{Orientation: &landscape, Size: &paper, FitToWidth: &pages, FitToHeight: &tall}),
		s.b.f.SetHeaderFooter(s.name, &excelize.HeaderFooterOptions{OddHeader: "&L" + s.b.inventory() + "&R&A", OddFooter: "&L" + report.ShortCaution + "&R&P / &N"}),
		s.b.f.SetDefinedName(&excelize.DefinedName{Name: "_xlnm.Print_Titles", RefersTo: s.printTitles(), Scope: s.name}),
		s.sw.Flush())
}

// inventory names the files that were read, as a header takes them: it reads & as
// a command, and holds 255 characters in all (ECMA-376 part 1, 18.3.1.46).
func (b *book) inventory() string {
	var names []string
	for _, f := range b.in.Manifest.Inventories {
		names = append(names, f.Name)
	}
	name := []rune(strings.ReplaceAll(strings.Join(names, ", "), "&", "&&"))
	if len(name) > 120 {
		return string(name[:120]) + "…"
	}
	return string(name)
}

// printTitles repeats on every page what stays in sight on the screen.
func (s *sheet) printTitles() string {
	rows := fmt.Sprintf("'%s'!$1:$%d", s.name, headRow)
	if s.frozen == 0 {
		return rows
	}
	last, _ := excelize.ColumnNumberToName(s.frozen)
	return "'" + s.name + "'!$A:$" + last + "," + rows
}
