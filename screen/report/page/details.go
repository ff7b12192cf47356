package page

import (
	"fmt"
	"strings"

	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/report"
)

// details writes what cards show, in the page's units. A building: levels of its
// categories, its numbers as texts, its texts but the group, U as it is × 1000,
// the thickness of its masonry × 1000, the stack as it is, and a row for each
// strategy in order of rank, and then the file and line it stood in. A row: strategy,
// flags (lowest bit: judged hourly; above it readiness), work list, low and typical share of
// the limit × 100 (high is in the index), shares × 100 after two sets of bits, of
// indicators that apply and of those not judged, U × 1000, share of timber lost to
// rot in per mille, draws, stack, courses, and places among the shared words: of the
// verdict, what governs, its limit, up to what limits are kept, the facing, and the clauses
// of the sentence.
func (w *writer) details() error {
	return w.blocks("details", blockRows, func(_ int, _ uint32, row *screen.Row) []any {
		b, nums, texts, rows := &row.Building, []string{}, []string{}, []any{}
		for n := range ingest.NumNumbers {
			nums = append(nums, w.units.Known(b, n))
		}
		for t, s := range b.Text {
			if ingest.Text(t) != ingest.GroupKey {
				texts = append(texts, s)
			}
		}
		before, _ := w.in.Engine.Stack(row.Governing(&row.Judgements[0]))
		stack := w.pool.stack(before, w.units.Thickness)
		for place := range row.Judgements {
			rows = append(rows, w.judgement(row, &row.Judgements[place]))
		}
		return []any{
			b.Cat, append(nums, b.Facings.String()), texts, scaled(w.units.U.Of(row.Judgements[0].UBefore), 1000),
			scaled(w.units.Thickness.Of(b.Num[ingest.WallThickness]), 1000), stack, rows, b.File, b.Line,
		}
	})
}

func (w *writer) judgement(row *screen.Row, j *screen.Judgement) []any {
	e, b := w.in.Engine, &row.Building
	var survey *screen.Survey
	if j == screen.ForWork(row.Judgements) {
		survey = &row.Survey
	}
	ready, lines := report.WorkLines(e, row, j, survey)
	var applies, notJudged int
	var shares []any
	for id, u := range j.Utilisation {
		switch {
		case u >= 0:
			applies |= 1 << id
			shares = append(shares, scaled(u, 100))
		case u == screen.NotJudged:
			notJudged |= 1 << id
		}
	}
	list := w.pool.list(lines)
	_, after := e.Stack(row.Governing(j))
	out := []any{
		j.Strategy, int(j.Tier) | int(ready)<<1, list, scaled(j.Low, 100), scaled(j.Typical, 100), append([]any{applies, notJudged}, shares...),
		scaled(w.units.U.Of(j.UAfter), 1000), scaled(j.MassLoss, 1000), j.Draws, w.pool.stack(after, w.units.Thickness), spell(j.Course[0]), spell(j.Course[1]),
	}
	texts := append([]string{report.VerdictWords(e, j), report.Governed(b, j), w.limit(j), w.keptUpTo(j), w.facing(j)}, report.Clauses(e, b, j)...)
	if text := report.WallsClause(e, row, j); text != "" {
		texts = append(texts, text)
	}
	for _, text := range texts {
		out = append(out, w.pool.words.place(text))
	}
	return out
}

// limit is that of the measure that governs.
func (w *writer) limit(j *screen.Judgement) string {
	if !j.HasGovern || j.Excluded {
		return ""
	}
	x, unit := w.units.Measure(j.Limit, j.Governing.In(j.Tier).Unit)
	if unit == "1" {
		unit = ""
	}
	return strings.TrimSpace(fmt.Sprintf("limit: %.3g %s", x, unit))
}

// keptUpTo says up to how much insulation limits are kept.
func (w *writer) keptUpTo(j *screen.Judgement) string {
	a := &j.Allowance
	most := w.units.Insulation.With(a.Thickness)
	switch {
	case !a.Known:
		return "not asked"
	case a.Full:
		return most + ", the whole range"
	case a.Thickness == 0:
		return "not even the thinnest: " + a.By.Info().Label
	}
	return most + ", then " + a.By.Info().Label
}

func (w *writer) facing(j *screen.Judgement) string {
	if !j.HasGovern {
		return ""
	}
	out := report.Compass(j.Facing)
	if j.Facings > 1 {
		out += ", of " + report.Counted(int(j.Facings), "facing")
	}
	return out
}
