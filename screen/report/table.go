package report

import (
	"bytes"
	"encoding/csv"
	"encoding/json"
	"fmt"
	"io"
	"slices"
	"strconv"
	"strings"
	"unicode/utf8"

	"github.com/olekukonko/tablewriter"
	"github.com/olekukonko/tablewriter/renderer"
	"github.com/olekukonko/tablewriter/tw"
)

// Table is one table for people: a title, columns, rows of text and a note.
type Table struct {
	Name    string     `json:"name"`
	Title   string     `json:"title"`
	Columns []string   `json:"columns"`
	Rows    [][]string `json:"rows"`
	Note    string     `json:"note,omitempty"`
}

// Print writes tables in a format of config.Formats. Width is the width of the
// terminal in characters, 0 when there is none; only the format table heeds it.
func Print(to io.Writer, tables []Table, format string, width int) error {
	var w bytes.Buffer // what draws tables drops failures to write
	switch format {
	case "json":
		enc := json.NewEncoder(&w)
		enc.SetIndent("", "  ")
		if err := enc.Encode(struct {
			Tables  []Table `json:"tables"`
			Caution string  `json:"caution"`
		}{tables, Caution}); err != nil {
			return err
		}
	case "csv":
		printCSV(&w, tables)
	default:
		if format == "markdown" { // a file that is sent on; a terminal has it on the standard error
			fmt.Fprintf(&w, "> %s\n\n", Caution)
		}
		for _, t := range tables {
			if err := t.draw(&w, format == "markdown", width); err != nil {
				return err
			}
		}
	}
	_, err := to.Write(w.Bytes())
	return err
}

// PrintSummed is Print with sentences before the tables; where programs read, they are
// a table too.
func PrintSummed(w io.Writer, sentences []string, tables []Table, format string, width int) error {
	if format == "csv" || format == "json" {
		t := Table{Name: "summary", Title: "Summary", Columns: []string{"sentence"}}
		for _, s := range sentences {
			t.Rows = append(t.Rows, []string{s})
		}
		return Print(w, slices.Insert(tables, 0, t), format, width)
	}
	for _, s := range sentences {
		if _, err := io.WriteString(w, Wrap(s, width)+"\n\n"); err != nil {
			return err
		}
	}
	return Print(w, tables, format, width)
}

// printCSV writes the tables one after the other, each row led by the name of
// its table, so that one stream can be taken apart again.
func printCSV(w *bytes.Buffer, tables []Table) {
	c := csv.NewWriter(w)
	for _, t := range tables {
		c.Write(append([]string{"table"}, t.Columns...))
		for _, r := range t.Rows {
			c.Write(append([]string{t.Name}, mapped(r, Guarded)...))
		}
	}
	c.Flush()
}

func (t *Table) draw(w io.Writer, markdown bool, width int) error {
	lead := ""
	if markdown {
		lead = "## "
	}
	fmt.Fprintf(w, "%s%s\n\n", lead, t.Title)
	if len(t.Rows) == 0 {
		fmt.Fprintln(w, "(none)")
	} else if err := t.grid(w, markdown, width); err != nil {
		return fmt.Errorf("printing table %s: %w", t.Name, err)
	}
	if t.Note != "" {
		fmt.Fprintf(w, "\n%s\n", Wrap(t.Note, width))
	}
	fmt.Fprintln(w)
	return nil
}

func (t *Table) grid(w io.Writer, markdown bool, width int) error {
	wrap := tw.WrapNormal
	// Rules under the header only, columns parted by space: nothing to draw,
	// nothing to go wrong in a log file.
	look := tablewriter.WithRendition(tw.Rendition{
		Symbols: tw.NewSymbols(tw.StyleASCII),
		Borders: tw.Border{Left: tw.Off, Right: tw.Off, Top: tw.Off, Bottom: tw.Off},
		Settings: tw.Settings{
			Separators: tw.Separators{BetweenColumns: tw.Off, BetweenRows: tw.Off},
			Lines:      tw.Lines{ShowHeaderLine: tw.On, ShowFooterLine: tw.Off},
		},
	})
	rows := t.Rows
	if markdown {
		wrap, look = tw.WrapNone, tablewriter.WithRenderer(renderer.NewMarkdown())
		rows = mapped(rows, func(row []string) []string { return mapped(row, EscapeMarkdown) })
	}
	opts := []tablewriter.Option{
		tablewriter.WithHeaderAutoFormat(tw.Off), tablewriter.WithHeaderAlignment(tw.AlignLeft), tablewriter.WithTrimSpace(tw.Off),
		tablewriter.WithRowAutoWrap(wrap), tablewriter.WithHeaderAutoWrap(wrap), look,
	}
	if width > 0 && !markdown {
		opts = append(opts, tablewriter.WithColumnWidths(t.widths(width)))
	}
	align := make([]tw.Align, len(t.Columns))
	for i := range align {
		align[i] = tw.AlignLeft
		if t.numeric(i) {
			align[i] = tw.AlignRight
		}
	}
	opts = append(opts, tablewriter.WithAlignment(align))
	table := tablewriter.NewTable(w, opts...)
	table.Header(t.Columns)
	if err := table.Bulk(rows); err != nil {
		return err
	}
	return table.Render()
}

// EscapeMarkdown makes text of an inventory stay the text it is in Markdown: no
// column, tag, link, picture, code or line of its own. Underscores, which ids have,
// may stand.
var EscapeMarkdown = strings.NewReplacer(`\`, `\\`, "|", `\|`, "<", `\<`, "[", `\[`, "`", "\\`", "*", `\*`, "\n", " ", "\r", " ").Replace

func (t *Table) numeric(column int) bool {
	for _, r := range t.Rows {
		if strings.Trim(r[column], "0123456789.,+-% ") != "" {
			return false
		}
	}
	return true
}

// widths shares the terminal among the columns: each gets what it needs, and
// what is missing is taken from the widest, but never below its longest word: a
// line that runs over is easier to read than a word cut off.
func (t *Table) widths(total int) tw.Mapper[int, int] {
	const padding = 2
	need, least, sum := tw.Mapper[int, int]{}, make([]int, len(t.Columns)), 0
	for i, c := range t.Columns {
		least[i] = longestWord(c)
		need[i] = least[i]
		for _, r := range t.Rows {
			least[i] = max(least[i], longestWord(r[i]))
			need[i] = max(need[i], utf8.RuneCountInString(r[i]))
		}
		need[i] += padding
		least[i] += padding
		sum += need[i]
	}
	for sum > total {
		widest := -1
		for i := range least {
			if need[i] > least[i] && (widest < 0 || need[i] > need[widest]) {
				widest = i
			}
		}
		if widest < 0 {
			break
		}
		need[widest]--
		sum--
	}
	return need
}

func longestWord(s string) int {
	n := 0
	for _, word := range strings.Fields(s) {
		n = max(n, utf8.RuneCountInString(word))
	}
	return n
}

// Wrap breaks text at spaces so that no line is longer than width characters;
// 0 leaves it alone.
func Wrap(s string, width int) string {
	if width <= 0 {
		return s
	}
	var lines []string
	for _, word := range strings.Fields(s) {
		last := len(lines) - 1
		if last >= 0 && utf8.RuneCountInString(lines[last]+" "+word) <= width {
			lines[last] += " " + word
		} else {
			lines = append(lines, word)
		}
	}
	return strings.Join(lines, "\n")
}

// Object is a JSON object of names and values that keeps their order.
type Object [][2]any

// MarshalJSON implements json.Marshaler.
func (o Object) MarshalJSON() ([]byte, error) {
	var out []string
	for _, member := range o {
		value, err := json.Marshal(member[1])
		if err != nil {
			return nil, fmt.Errorf("%s: %w", member[0], err)
		}
		out = append(out, strconv.Quote(member[0].(string))+":"+string(value)) // names are plain words
	}
	return []byte("{" + strings.Join(out, ",") + "}"), nil
}

// Grid is one table over the portfolio with typed cells, which the terminal, the
// workbook and the page each draw in their way. It names what its figures are in.
type Grid struct {
	Name, Title string
	Heads       []Head
	Rows        [][]any // by head: string, int, float64 or nil
	Foot        []any   // sums for below the rows; nil without
	Note        string
	Folded      bool // long, and of less weight: a page shows it when asked
}

// Head is one column of a Grid.
type Head struct {
	Title     string // with its unit
	Number    bool   // holds int or float64
	Decimals  int    // of float64
	Look      Look
	Verdict   int  // 1 and above: counts this verdict, from the first
	Inventory bool // holds text from the inventory
	Long      bool // sentences, for which a terminal has no room
}

// Text is a cell as it is printed.
func (h *Head) Text(cell any) string {
	switch v := cell.(type) {
	case string:
		return v
	case int:
		return strconv.Itoa(v)
	case float64:
		return fixed(v, h.Decimals)
	}
	return ""
}

// Table is the grid as text, without long columns.
func (g *Grid) Table() Table {
	t := Table{Name: g.Name, Title: g.Title, Note: g.Note}
	rows := g.Rows
	if g.Foot != nil {
		rows = append(rows[:len(rows):len(rows)], g.Foot)
	}
	t.Rows = make([][]string, len(rows))
	for i := range g.Heads {
		h := &g.Heads[i]
		if h.Long {
			continue
		}
		t.Columns = append(t.Columns, h.Title)
		for k, row := range rows {
			t.Rows[k] = append(t.Rows[k], h.Text(row[i]))
		}
	}
	return t
}
