package page

import (
	"wallsift/ingest"
	"wallsift/model/simulate"
	"wallsift/screen"
	"wallsift/screen/report"
)

// flags packs what is so or not, lowest bit first: a limit governs, judged
// hourly; readiness is in the bits above.
func flags(j *screen.Judgement, ready screen.Readiness) int {
	out := int(ready) << 2
	for i, on := range [...]bool{j.HasGovern, j.Tier != 0} {
		if on {
			out |= 1 << i
		}
	}
	return out
}

// details writes what cards show, in the page's units. A building: levels of its
// categories, its numbers × the book's per, its texts but the group, U as it is
// × 1000, the stack as it is, and a row for each strategy in order of rank:
// strategy, flags, governing indicator, work list, demand, limit, low and typical
// utilisation × 100 (high is in the index), utilisations × 100 after a bit for
// each indicator that applies, U × 1000, stack, courses, and places among the
// shared words: of the chance, the limit used most, the insulation the wall
// takes, and the clauses of the sentence.
func (w *writer) details() error {
	return w.blocks("details", blockRows, func(l *line, _ uint32, row *screen.Row) {
		b := &row.Building
		l.open()
		l.open()
		for _, c := range b.Cat {
			l.int(int(c))
		}
		l.shut()
		l.open()
		for n, x := range b.Num {
			f := &w.facts[n]
			l.scaled(f.of(x), f.per())
		}
		l.shut()
		l.open()
		for t, s := range b.Text {
			if ingest.Text(t) != ingest.GroupKey {
				l.text(s)
			}
		}
		l.shut()
		l.scaled(w.units.U.Of(row.Judgements[0].UBefore), 1000)
		before, _ := w.in.Engine.Stack(b, &row.Judgements[0])
		l.int(w.pool.stack(before, w.units.Layer))
		l.open()
		for place := range row.Judgements {
			w.judgement(l, row, &row.Judgements[place], place < w.courses)
		}
		l.shut()
		l.shut()
	})
}

func (w *writer) judgement(l *line, row *screen.Row, j *screen.Judgement, course bool) {
	ready, list := w.workList(row, j)
	l.open()
	l.int(int(j.Strategy))
	l.int(flags(j, ready))
	l.int(int(j.Governing))
	l.int(w.pool.list(list))
	unit := limitInfo(j, int(j.Governing)).Unit
	for _, x := range []float64{j.Demand, j.Limit} {
		x, _ = w.units.Measure(x, unit)
		l.figure(x)
	}
	l.scaled(j.Low, 100)
	l.scaled(j.Typical, 100)
	l.open()
	applies := 0
	for id, u := range j.Utilisation {
		if u >= 0 {
			applies |= 1 << id
		}
	}
	l.int(applies)
	for _, u := range j.Utilisation {
		if u >= 0 {
			l.scaled(u, 100)
		}
	}
	l.shut()
	l.scaled(w.units.U.Of(j.UAfter), 1000)
	_, after := w.in.Engine.Stack(&row.Building, j)
	l.int(w.pool.stack(after, w.units.Layer))
	for i := range j.Course {
		s := ""
		if course {
			s = spell((*[simulate.Weeks]uint8)(&j.Course[i]))
		}
		l.text(s)
	}
	for _, text := range append([]string{report.Chance(j), governed(j), w.thickest(j)}, report.Clauses(w.in.Engine, j)...) {
		l.int(w.pool.word(text))
	}
	l.shut()
}
