package workbook

import (
	"context"
	"errors"
	"path/filepath"
	"testing"

	"github.com/xuri/excelize/v2"

	"wallsift/screen"
	"wallsift/screen/report"
)

// A column of any kind and look is shown as its table says, without an edit here.
func TestEveryLook(t *testing.T) {
	b := &book{f: excelize.NewFile(), in: report.Results{Manifest: &report.Manifest{}}}
	defer b.f.Close()
	b.styles = newStyles(b.f)
	cases := []struct {
		head  head
		value any
		want  string
		rules int
	}{
		{head{title: "chance", kind: report.Real, decimals: 3, look: report.ChanceLook}, 0.374, "37%", 1},
		{head{title: "share", kind: report.Real, decimals: 2, look: report.ShareLook}, 1.5, "150%", 2},
		{head{title: "amount", kind: report.Real, look: report.BarLook}, 12345.0, "12,345", 1},
		{head{title: "count", kind: report.Whole}, int64(12345), "12345", 0},
		{head{title: "verdict", look: report.VerdictLook}, "suited", "suited", int(screen.NumVerdicts) + 2},
		{head{title: "text", user: true}, "-1", "-1", 0},
		{head{title: "as it is", kind: report.Real, decimals: -1}, 0.0083, "0.0083", 0},
	}
	var heads []head
	var row []any
	for _, c := range cases {
		heads, row = append(heads, c.head), append(row, c.value)
	}
	s := b.open("Looks", 1, heads)
	s.add(row...)
	if err := errors.Join(s.close(), b.styles.failed); err != nil {
		t.Fatal(err)
	}
	path := filepath.Join(t.TempDir(), "looks.xlsx")
	if err := save(t.Context(), b.f, path); err != nil {
		t.Fatal(err)
	}
	f, err := excelize.OpenFile(path)
	if err != nil {
		t.Fatal(err)
	}
	defer f.Close()
	rules, err := f.GetConditionalFormats("Looks")
	if err != nil {
		t.Fatal(err)
	}
	for i, c := range cases {
		at, _ := excelize.CoordinatesToCellName(i+1, headRow+1)
		if got, err := f.GetCellValue("Looks", at); err != nil || got != c.want {
			t.Errorf("%s shows %q, expected %q (%v)", c.head.title, got, c.want, err)
		}
		n := len(rules[at+":"+at]) + len(rules[at])
		if n != c.rules {
			t.Errorf("%s has %d rules, expected %d", c.head.title, n, c.rules)
		}
	}
}

// A workbook that is stopped on its way to disk leaves nothing behind.
func TestStoppedWorkbookLeavesNothing(t *testing.T) {
	ctx, stop := context.WithCancel(t.Context())
	stop()
	f := excelize.NewFile()
	defer f.Close()
	path := filepath.Join(t.TempDir(), XLSX)
	if err := save(ctx, f, path); !errors.Is(err, context.Canceled) {
		t.Errorf("%v", err)
	}
	if left, _ := filepath.Glob(path + "*"); len(left) > 0 {
		t.Errorf("left behind: %q", left)
	}
}
