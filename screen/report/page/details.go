package page

import (
	"wallsift/ingest"
	"wallsift/model/simulate"
	"wallsift/screen"
)

// flags packs what is so or not, lowest bit first: excluded, a limit governs,
// failed, gathering, judged hourly, allowance known, whole range allowed.
func flags(j *screen.Judgement) (out int) {
	for i, on := range [...]bool{j.Excluded, j.HasGovern, j.Failed, j.Gathering, j.Tier != 0, j.Allowance.Known, j.Allowance.Full} {
		if on {
			out |= 1 << i
		}
	}
	return out
}

// details writes what cards show. A building: levels of its categories, its
// numbers in SI × 10 000, its texts but the group, U as it is, the stack as it is, and a row
// for each strategy in order of rank: strategy, flags, governing indicator,
// the same in the adverse case, month, works, demand, limit, low and typical
// utilisation × 100 (high is in the index), utilisations × 100 after a bit for
// each indicator that applies, U × 1000,
// thickness and allowed thickness in 0.1 mm, indicator that bounds it, half
// width of the chance in per mille, rain on the wall, stack, courses.
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
		for _, x := range b.Num {
			l.scaled(x, 1e4)
		}
		l.shut()
		l.open()
		for t, s := range b.Text {
			if ingest.Text(t) != ingest.GroupKey {
				l.text(s)
			}
		}
		l.shut()
		l.scaled(row.Judgements[0].UBefore, 1000)
		before, _ := w.in.Engine.Stack(b, 0)
		l.int(w.pool.stack(before))
		l.open()
		for place := range row.Judgements {
			w.judgement(l, b, &row.Judgements[place], place < w.courses)
		}
		l.shut()
		l.shut()
	})
}

func (w *writer) judgement(l *line, b *ingest.Building, j *screen.Judgement, course bool) {
	l.open()
	l.int(int(j.Strategy))
	l.int(flags(j))
	l.int(int(j.Governing))
	l.int(int(j.GoverningHigh))
	l.int(int(j.Month))
	l.int(w.pool.work(j))
	l.figure(j.Demand)
	l.figure(j.Limit)
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
	l.scaled(j.UAfter, 1000)
	l.scaled(j.Thickness, 1e4)
	l.scaled(j.Allowance.Thickness, 1e4)
	l.int(int(j.Allowance.By))
	l.chance(j.ChanceError)
	l.scaled(j.RainOnWall, 1)
	_, after := w.in.Engine.Stack(b, j.Strategy)
	l.int(w.pool.stack(after))
	for i := range j.Course {
		s := ""
		if course {
			s = spell((*[simulate.Weeks]uint8)(&j.Course[i]))
		}
		l.text(s)
	}
	l.shut()
}
