package page_test

import (
	"encoding/json"
	"regexp"
	"slices"
	"strings"
	"testing"

	"wallsift/screen"
	"wallsift/screen/report"
)

// What a rule excludes is not judged by limits: its figures of the monthly method,
// which a run by the hourly one has too, would stand beside those of other strategies.
func TestNoFiguresOfWhatARuleExcludes(t *testing.T) {
	in := screened(t, demo)
	d := parsed(t, written(t, in, madeUp))
	rows := d.rows(t)
	excluded, place := 0, 0
	err := in.Run.Each(in.Run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		list := rows[place]["list"].([]any)
		place++
		for k := range row.Judgements {
			j := &row.Judgements[k]
			shown := list[k].(map[string]any)
			high, shares := shown["high"], len(slices.DeleteFunc(shown["shares"].([]any), func(x any) bool { return x == nil || x.(float64) < 0 }))
			switch {
			case !j.Excluded && (high == nil || j.HasGovern && shares == 0):
				t.Errorf("%s under strategy %d: high %v, %d shares", row.Building.ID, j.Strategy, high, shares)
			case j.Excluded && (high != nil || shares > 0):
				t.Errorf("%s under strategy %d is excluded: high %v, %d shares", row.Building.ID, j.Strategy, high, shares)
			}
			if j.Excluded {
				excluded++
			}
		}
		return nil
	})
	if err != nil || excluded == 0 {
		t.Errorf("%d excluded, error %v", excluded, err)
	}
	if main := text(d.all("body")[0]); !strings.Contains(main, report.TierCaution(in.Manifest.Tier)) {
		t.Error("the page does not say what its tier leaves out")
	}
}

// Words of the configuration and of mathematics that a housing analyst need not know
// stand in no text of the page: neither in that which is there, nor in what its script
// writes. A string of the script with a blank in it is taken for such a text.
func TestPlainWords(t *testing.T) {
	d := parsed(t, written(t, screened(t, demo), madeUp))
	foreign := regexp.MustCompile(`(?i)\b(gates?|matrix|allowance_mm|utilisations?)\b`)
	said := []string{text(d.all("header")[0]), text(d.all("main")[0])}
	for _, s := range d.all("script") {
		var v any
		switch id := attr(s, "id"); {
		case attr(s, "type") == "":
			said = append(said, regexp.MustCompile(`"[^"\n]* [^"\n]*"`).FindAllString(text(s), -1)...)
		case id != "book" && id != "shared":
		case json.Unmarshal([]byte(text(s)), &v) != nil:
			t.Errorf("%s is no JSON", id)
		default:
			said = append(said, textsOf(v)...)
		}
	}
	for _, s := range said {
		for _, at := range foreign.FindAllStringIndex(s, 3) {
			t.Errorf("%q", s[max(0, at[0]-60):min(len(s), at[1]+40)])
		}
	}
}
