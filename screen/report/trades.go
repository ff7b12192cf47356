package report

import (
	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// Trades sums up the work lists of a portfolio: how far buildings are from
// starting, and how many need each stage of work.
type Trades struct {
	Ready  [screen.NumVerdicts][screen.NumReadiness]int // buildings, by the verdict on the strategy whose work is listed
	Stages []StageWork                                  // in the order of work, those with no building too
	index  map[string]int
	seen   [][3]int // by stage: number of the last building counted under do, look and held
	now    int      // number of the building at hand
}

// StageWork is what a stage of work amounts to over a portfolio.
type StageWork struct {
	Stage config.Stage
	Do    int     // buildings with work of the stage to do
	Look  int     // buildings where it is to be seen whether it is needed, or may be done
	Held  int     // buildings where a gate holds the strategy until it is done
	Area  float64 // m² of wall of the buildings under Do whose area is known
}

func newTrades(e *screen.Engine) *Trades {
	t := &Trades{index: map[string]int{}}
	for i, s := range e.Stages() {
		t.index[s.ID] = i
		t.Stages = append(t.Stages, StageWork{Stage: s})
	}
	t.seen = make([][3]int, len(t.Stages))
	return t
}

// add counts a line; the lines of a building come together, its first with
// number 1.
func (t *Trades) add(l *line) {
	w := l.job
	if w.number == 1 {
		t.now++
		t.Ready[l.j.Verdict][l.ready]++
	}
	i := t.index[w.Stage.ID]
	s := &t.Stages[i]
	first := func(kind int) bool {
		was := t.seen[i][kind]
		t.seen[i][kind] = t.now
		return was != t.now
	}
	switch w.Action {
	case screen.Do:
		if first(0) {
			s.Do++
			if a := w.b.Num[ingest.WallArea]; a == a { // not NaN
				s.Area += a
			}
		}
		for _, g := range w.Gates {
			if g.Effect == config.EffectHold && first(2) {
				s.Held++
			}
		}
	case screen.Investigate, screen.Afterwards:
		if first(1) {
			s.Look++
		}
	}
}

// Sum is how many buildings have a readiness.
func (t *Trades) Sum(r screen.Readiness) (n int) {
	for v := range t.Ready {
		n += t.Ready[v][r]
	}
	return n
}
