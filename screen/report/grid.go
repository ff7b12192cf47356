package report

import "strconv"

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
