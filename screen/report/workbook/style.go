package workbook

import (
	"errors"
	"strconv"
	"strings"

	"github.com/xuri/excelize/v2"

	"wallsift/screen"
	"wallsift/screen/report"
)

// tint is one way to mark a cell. Tints go from light to dark as verdicts get
// worse, blue on the good side and brown on the bad one, so that they differ in
// lightness for everybody and on paper, and each has its own cut of type; the
// words stay in the cell whatever the tint.
type tint struct {
	fill, ink           string
	bold, italic, under bool
}

var (
	verdictTints = [screen.NumVerdicts]tint{
		screen.Suited:             {fill: "E3F1FA", ink: "0A2A43", bold: true},
		screen.SuitedAfterRepairs: {fill: "A9CCE6", ink: "0A2A43"},
		screen.SurveyFirst:        {fill: "D0852A", ink: "000000", italic: true},
		screen.WarningOnly:        {fill: "8F6135", ink: "FFFFFF", under: true},
		screen.NotSuited:          {fill: "4A2C17", ink: "FFFFFF", bold: true, italic: true},
	}
	beyondTint = tint{fill: "F0DCC0", ink: "4A2C17", bold: true} // a share of a limit above 1
	cautionInk = tint{fill: "FFFFFF", ink: "6B2450", bold: true}
	headTint   = tint{fill: "26323B", ink: "FFFFFF", bold: true}
)

const barColour = "9DB9CE"

// styles are the ids of the formats of one workbook.
type styles struct {
	f        *excelize.File
	failed   error
	head     int
	caution  int
	text     int
	user     int // text that stays text when somebody edits the cell
	wrapped  int
	verdicts [screen.NumVerdicts]int // conditional
	beyond   int                     // conditional
	cut      int                     // conditional: shares far beyond the limit
}

func newStyles(f *excelize.File) *styles {
	s := &styles{f: f}
	conditional := func(t tint, format *string) int {
		return s.id(f.NewConditionalStyle(&excelize.Style{Font: t.font(), Fill: t.pattern(), CustomNumFmt: format}))
	}
	top := &excelize.Alignment{Vertical: "top", Horizontal: "left", Indent: 1} // apart from the number before it
	wrap := &excelize.Alignment{Vertical: "top", Horizontal: "left", Indent: 1, WrapText: true}
	head, caution := headTint.font(), cautionInk.font()
	for _, f := range []*excelize.Font{head, caution} {
		f.Family, f.Size = "Calibri", 11 // the default of the library's other cells
	}
	s.head = s.add(excelize.Style{Font: head, Fill: headTint.pattern(), Alignment: wrap})
	s.caution = s.add(excelize.Style{Font: caution})
	s.text = s.add(excelize.Style{Alignment: top})
	s.user = s.add(excelize.Style{Alignment: top, NumFmt: 49}) // 49 is @, text (ECMA-376 part 1, 18.8.30)
	s.wrapped = s.add(excelize.Style{Alignment: wrap})
	for v, t := range verdictTints {
		s.verdicts[v] = conditional(t, nil)
	}
	s.beyond = conditional(beyondTint, nil)
	// The value stays a number, that it is far beyond is only shown. The tint is in
	// it too: some programs use the first rule that holds and no other.
	// The library numbers formats of cells from 164 and conditional ones, apart
	// from them, from 165: named here first, these have the same number in both.
	whole, far := "0", `"far beyond"`
	s.add(excelize.Style{CustomNumFmt: &whole})
	s.add(excelize.Style{CustomNumFmt: &far})
	s.cut = conditional(beyondTint, &far)
	return s
}

// add makes a style of cells; the library gives equal ones the same number.
func (s *styles) add(style excelize.Style) int { return s.id(s.f.NewStyle(&style)) }

// id keeps why a style could not be made.
func (s *styles) id(id int, err error) int {
	s.failed = errors.Join(s.failed, err)
	return id
}

func (t tint) font() *excelize.Font {
	f := &excelize.Font{Bold: t.bold, Italic: t.italic, Color: t.ink}
	if t.under {
		f.Underline = "single"
	}
	return f
}

func (t tint) pattern() excelize.Fill {
	return excelize.Fill{Type: "pattern", Pattern: 1, Color: []string{t.fill}}
}

// of returns the cell style of a column.
func (s *styles) of(h *head) int {
	format := ""
	switch {
	case h.wrap:
		return s.wrapped
	case h.kind == report.Text && h.user:
		return s.user
	case h.kind == report.Text:
		return s.text
	case h.look == report.ChanceLook, h.look == report.ShareLook:
		format = "0%"
	case h.kind == report.Whole:
		format = "0"
	case h.decimals < 0:
		format = "General"
	case h.decimals == 0:
		format = "#,##0"
	default:
		format = "0." + strings.Repeat("0", h.decimals)
	}
	return s.add(excelize.Style{CustomNumFmt: &format, Alignment: &excelize.Alignment{Vertical: "top"}})
}

// rules are the conditional formats of a column.
func (s *styles) rules(h *head) []excelize.ConditionalFormatOptions {
	switch h.look {
	case report.VerdictLook:
		var out []excelize.ConditionalFormatOptions
		for v := range screen.NumVerdicts {
			out = append(out, excelize.ConditionalFormatOptions{Type: "cell", Criteria: "==", Value: `"` + v.String() + `"`, Format: &s.verdicts[v]})
		}
		for _, text := range []string{report.RepairsNotEnough, report.ExcludedBy} {
			out = append(out, excelize.ConditionalFormatOptions{Type: "text", Criteria: "begins with", Value: text, Format: &s.verdicts[screen.NotSuited]})
		}
		return out
	case report.ShareLook:
		return []excelize.ConditionalFormatOptions{
			{Type: "cell", Criteria: ">=", Value: strconv.Itoa(report.FarBeyond), Format: &s.cut},
			{Type: "cell", Criteria: ">", Value: "1", Format: &s.beyond},
		}
	case report.ChanceLook:
		return []excelize.ConditionalFormatOptions{{Type: "data_bar", Criteria: "=", MinType: "num", MinValue: "0", MaxType: "num", MaxValue: "1", BarColor: barColour}}
	case report.BarLook:
		return []excelize.ConditionalFormatOptions{{Type: "data_bar", Criteria: "=", MinType: "num", MinValue: "0", MaxType: "max", BarColor: barColour}}
	}
	return nil
}
