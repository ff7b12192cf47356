package report

import (
	"fmt"
	"strconv"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// Trades sums up the work lists of a portfolio: how far buildings are from
// starting, and how many need each stage of work.
type Trades struct {
	Ready  [screen.NumReadiness]int // buildings
	Stages []StageWork              // in the order of work, those with no building too
	index  map[string]int
	seen   [][2]int // by stage: number of the last building counted under do and look
	held   []int
	now    int // number of the building at hand
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
	t.seen, t.held = make([][2]int, len(t.Stages)), make([]int, len(t.Stages))
	return t
}

// TradesOf sums up the work lists of the buildings that each streams. WriteWorks
// gives the same sums of a run as it writes the lists.
func TradesOf(e *screen.Engine, each func(func(*screen.Row) error) error) (*Trades, error) {
	t := newTrades(e)
	return t, each(func(row *screen.Row) error {
		for _, x := range jobs(e, unitsOf(e), &row.Building, screen.ForWork(row.Judgements), &row.Survey) {
			t.add(&x)
		}
		return nil
	})
}

// add counts a line; the lines of a building come together, its first with
// number 1.
func (t *Trades) add(w *job) {
	if w.number == 1 {
		t.now++
		t.Ready[w.ready]++
	}
	i := t.index[w.Stage.ID]
	s := &t.Stages[i]
	switch {
	case w.Action == screen.Do && t.seen[i][0] != t.now:
		s.Do++
		t.seen[i][0] = t.now
		if a := w.b.Num[ingest.WallArea]; a == a { // not NaN
			s.Area += a
		}
	case (w.Action == screen.LookFirst || w.Action == screen.AfterLook) && t.seen[i][1] != t.now:
		s.Look++
		t.seen[i][1] = t.now
	}
	for _, g := range w.Gates {
		if g.Effect == config.EffectHold && w.Action == screen.Do && t.held[i] != t.now {
			s.Held++
			t.held[i] = t.now
		}
	}
}

// Table prints the sums, plainly for a terminal.
func (t *Trades) Table(e *screen.Engine) Table { return t.table(unitsOf(e), unitsOf(e).area.label) }

// Shown is Table with its unit as files for people write it.
func (t *Trades) Shown(e *screen.Engine) Table { return t.table(unitsOf(e), unitsOf(e).area.sign) }

func (t *Trades) table(u *units, area string) Table {
	out := Table{
		Name: "readiness",
		Title: fmt.Sprintf("Readiness: %d ready, %d after repairs, %d look first, %d none suited. Work by stage, in the order of work",
			t.Ready[screen.ReadyToStart], t.Ready[screen.AfterRepairs], t.Ready[screen.AfterALook], t.Ready[screen.NoneSuited]),
		Columns: []string{"stage", "to do at", "wall there, where known, " + area, "to look at first", "holds it up at"},
		Note:    "Buildings, by the best strategy of each that no gate excludes; their lists are in " + WorkListCSV + ". What waits for a look counts under look first. " + ReadyRule,
	}
	for _, s := range t.Stages {
		if s.Do+s.Look > 0 {
			out.Rows = append(out.Rows, []string{s.Stage.Label, strconv.Itoa(s.Do), fixed(u.area.Of(s.Area), 0), strconv.Itoa(s.Look), strconv.Itoa(s.Held)})
		}
	}
	return out
}

// workTable is the work list of one judgement, with whether the building is
// ready for it.
func workTable(e *screen.Engine, b *ingest.Building, w *screen.Working) Table {
	u, strategies := unitsOf(e), e.Strategies()
	ready, _ := e.WorkList(b, &w.Judgement, nil)
	state := ready.String()
	if ready == screen.NoneSuited { // of others nothing is said here
		state = w.Judgement.Verdict.String()
	}
	t := Table{
		Name: "works", Title: "Work list for: " + w.Strategy.Label + " (" + state + ")",
		Columns: []string{"order", "stage", "do or look", "work", "why", "holds up", "layer", u.thickness.label, "at most " + u.thickness.label, "source"},
		Note:    "Layers are numbered outside to inside, and listed as they are built. " + ReadyRule,
	}
	for i, x := range jobs(e, u, b, &w.Judgement, nil) {
		row := []string{strconv.Itoa(i + 1), x.Stage.Label, x.Action.String(), x.what(), x.why(), x.holdsUp(), "", "", "", x.source(strategies)}
		if x.Layer != nil {
			row[6], row[7] = layerPlace(x.Layer), u.thickness.known(x.Layer.Thickness)
		}
		if x.most() {
			row[8] = u.thickness.print(w.Judgement.Allowance.Thickness)
		}
		t.Rows = append(t.Rows, row)
	}
	return t
}
