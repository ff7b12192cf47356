package page

import (
	"fmt"
	"strings"

	"wallsift/ingest"
	"wallsift/model/simulate"
	"wallsift/screen"
	"wallsift/screen/report"
)

// flags packs what is so or not, lowest bit first: judged hourly; readiness is in
// the bits above.
func flags(j *screen.Judgement, ready screen.Readiness) int {
	return int(j.Tier) | int(ready)<<1
}

// details writes what cards show, in the page's units. A building: levels of its
// categories, its numbers as texts, its texts but the group, U as it is × 1000,
// the thickness of its masonry × 1000, the stack as it is, and a row for each
// strategy in order of rank, and then the file and line it stood in. A row: strategy, flags, work list, low and typical share of
// the limit × 100 (high is in the index), shares × 100 after two sets of bits, of
// indicators that apply and of those not judged, U × 1000, share of timber lost to
// rot in per mille, draws, stack, courses, and places among the shared words: of the
// verdict, what governs, its limit, up to what limits are kept, the facing, and the clauses
// of the sentence.
func (w *writer) details() error {
	return w.blocks("details", blockRows, func(l *line, _ int, _ uint32, row *screen.Row) {
		b := &row.Building
		l.open()
		l.open()
		for _, c := range b.Cat {
			l.int(int(c))
		}
		l.shut()
		l.open()
		for n := range ingest.NumNumbers {
			l.text(w.units.Known(b, n))
		}
		l.text(b.Facings.String())
		l.shut()
		l.open()
		for t, s := range b.Text {
			if ingest.Text(t) != ingest.GroupKey {
				l.text(s)
			}
		}
		l.shut()
		l.scaled(w.units.U.Of(row.Judgements[0].UBefore), 1000)
		l.scaled(w.units.Thickness.Of(b.Num[ingest.WallThickness]), 1000)
		before, _ := w.in.Engine.Stack(row.Governing(&row.Judgements[0]))
		l.int(w.pool.stack(before, w.units.Thickness))
		l.open()
		for place := range row.Judgements {
			w.judgement(l, row, &row.Judgements[place])
		}
		l.shut()
		l.int(int(b.File))
		l.int(int(b.Line))
		l.shut()
	})
}

func (w *writer) judgement(l *line, row *screen.Row, j *screen.Judgement) {
	e, b := w.in.Engine, &row.Building
	var survey *screen.Survey
	if j == screen.ForWork(row.Judgements) {
		survey = &row.Survey
	}
	ready, lines := report.WorkLines(e, row, j, survey)
	l.open()
	l.int(int(j.Strategy))
	l.int(flags(j, ready))
	l.int(w.pool.list(lines))
	l.scaled(j.Low, 100)
	l.scaled(j.Typical, 100)
	l.open()
	var applies, notJudged int
	for id, u := range j.Utilisation {
		switch {
		case u >= 0:
			applies |= 1 << id
		case u == screen.NotJudged:
			notJudged |= 1 << id
		}
	}
	l.int(applies)
	l.int(notJudged)
	for _, u := range j.Utilisation {
		if u >= 0 {
			l.scaled(u, 100)
		}
	}
	l.shut()
	l.scaled(w.units.U.Of(j.UAfter), 1000)
	l.scaled(j.MassLoss, 1000)
	l.int(int(j.Draws))
	_, after := e.Stack(row.Governing(j))
	l.int(w.pool.stack(after, w.units.Thickness))
	for i := range j.Course {
		l.text(spell((*[simulate.Weeks]uint8)(&j.Course[i])))
	}
	for _, text := range append([]string{report.VerdictWords(e, j), report.Governed(b, j), w.limit(j), w.keptUpTo(j), w.facing(j)}, report.Clauses(e, b, j)...) {
		l.int(w.pool.word(text))
	}
	if text := report.WallsClause(e, row, j); text != "" {
		l.int(w.pool.word(text))
	}
	l.shut()
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
