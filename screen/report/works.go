package report

import (
	"math"
	"path/filepath"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// WorkListCSV is the name of the file of work lists.
const WorkListCSV = "worklist.csv"

// Works gives the lines of the work lists of a finished run, which must stay
// open: for every building, in order of place, the work under its best strategy
// that no gate excludes, in the order it is done on site. They are for people:
// words in place of ids, in the units the run was asked for.
func Works(e *screen.Engine, run *screen.Run) *Rows { return works(e, run, UnitsOf(e), nil) }

// works counts buildings in t as it goes, where there is one.
func works(e *screen.Engine, run *screen.Run, u Units, t *Trades) *Rows {
	r := &Rows{Columns: labelled(workColumns(e, run), u), Note: ReadyRule, people: true}
	r.lines = func(view View, f func(*line) error) error {
		return eachBuilding(run, view, func(place int, _ uint32, row *screen.Row) error {
			j := screen.ForWork(row.Judgements)
			ready, list := jobs(e, u, row, j, &row.Survey)
			if t != nil {
				t.add(j, ready, list)
			}
			for i := range list {
				if err := f(&line{row: row, b: &row.Building, j: j, s: &row.Survey, ready: ready, place: place, job: &list[i], order: i + 1}); err != nil {
					return err
				}
			}
			return nil
		})
	}
	return r
}

// WriteWorks writes worklist.csv to dir, line by line, and returns the sums over
// the portfolio. Without a dir it sums only.
func WriteWorks(dir string, e *screen.Engine, run *screen.Run) (*Trades, error) {
	t := newTrades(e)
	w := works(e, run, SI, t) // files for programs are SI
	if dir == "" {
		return t, w.lines(View{}, func(*line) error { return nil })
	}
	return t, w.csv(filepath.Join(dir, WorkListCSV))
}

// workColumns lists the columns of the work lists.
func workColumns(e *screen.Engine, run *screen.Run) []Column {
	strategies := e.Choices()
	of := shared(e)
	words := func(f func(*job) string) func(*line) cell { return func(l *line) cell { return str(f(l.job)) } }
	layer := func(f func(*job) cell) func(*line) cell {
		return only(func(l *line) bool { return l.job.Layer != nil }, func(l *line) cell { return f(l.job) })
	}
	limit := func(name func(*line) string) func(*line) cell {
		return only(func(l *line) bool { return l.job.most() && !l.job.j.Allowance.Full }, func(l *line) cell { return str(name(l)) })
	}
	return located(e, run.Source.Names(), []Column{
		{Name: "overall_rank", Label: "Overall rank", Help: "order of the building by its best strategy, 1 first", Kind: Whole, get: func(l *line) cell { return count(l.place) }},
		of("building_id", "as in the inventory"), of("group_key", ""), of("wall_area_m2", "empty where the inventory gives none"), of("readiness", "of the building. "+ReadyRule),
		of("strategy", "the best that no rule excludes"), of("verdict", "on that strategy. "+VerdictRule),
		{Name: "work_order", Brief: true, Label: "Order", Help: "order of the work on site, 1 first", Kind: Whole, get: func(l *line) cell { return count(l.order) }},
		{Name: "stage", Brief: true, Label: "Stage", Help: "stage of work", get: words(func(w *job) string { return w.Stage.ID }), say: words(func(w *job) string { return w.Stage.Label })},
		{Name: "action", Brief: true, Label: "Action", Help: "do; investigate (what is found decides); after investigation (of the strategy itself, where something must be investigated first); start now (nothing is listed before the work); stop (do not build the strategy); not now (belongs to a strategy that is not to be built)",
			get: words(func(w *job) string { return w.Action.String() })},
		{Name: "work", Brief: true, Label: "Work", Help: "what is to be done or investigated", Inventory: true, get: words((*job).what)},
		{Name: "caution", Brief: true, Label: "Caution", Help: "dangers of the step, or of the strategy whose layer is built", Inventory: true,
			get: words(func(w *job) string { return cautioned(w.dangers(strategies)) }), say: words(func(w *job) string { return w.dangers(strategies) })},
		{Name: "why", Brief: true, Label: "Why", Help: "the facts of the inventory that call for it, or that the strategy itself does", Inventory: true, get: words((*job).why)},
		{Name: "blocks", Brief: true, Label: "Blocks", Help: "what waits for it, by the rules on the facts of the building", Inventory: true, get: words((*job).blocks)},
		{Name: "layer", Brief: true, Label: "Layer", Help: "place of the layer among those the strategy adds to its side of the wall, outside to inside", get: layer(func(w *job) cell { return str(layerPlace(w.Layer)) })},
		{Name: "material", Label: "Material", Help: "of the layer that is built", Inventory: true,
			get: layer(func(w *job) cell { return str(w.Layer.Material) }), say: layer(func(w *job) cell { return str(w.Layer.Label) })},
		{Name: "thickness_mm", Brief: true, Label: "Thickness", scale: Thickness, Help: "of the layer as judged; empty for coats and membranes", Kind: Real, Decimals: 1,
			get: layer(func(w *job) cell { return cell{f: 1000 * w.Layer.Thickness, null: w.Layer.Thickness == 0} })},
		{Name: "thickness_most_mm", Brief: true, Label: "Insulation allowance", scale: Thickness, Help: "of this layer; empty where that is not known. " + AllowanceRule, Kind: Real, Decimals: 1,
			get: func(l *line) cell { return cell{f: 1000 * l.job.j.Allowance.Thickness, null: !l.job.most()} }},
		{Name: "limited_by", Label: "Beyond, first over its limit", Help: "empty where limits are kept over the whole range",
			get: limit(func(l *line) string { return l.job.j.Allowance.By.Info().Name }), say: limit(func(l *line) string { return where(l.job.b, l.job.j.Allowance.By) })},
		{Name: "source", Label: "Source", Help: "of the rule that asks for it", Inventory: true, get: words(func(w *job) string { return w.source(strategies) })},
	})
}

// Trades sums up the work lists of a portfolio: how far buildings are from
// starting, and how many need each stage of work.
type Trades struct {
	Ready  [screen.NumVerdicts][screen.NumReadiness]int // buildings, by the verdict on the strategy whose work is listed
	Stages []StageWork                                  // in the order of work, those with no building too
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
	t := &Trades{}
	for _, s := range config.InOrder(e.Config().Stages) {
		t.Stages = append(t.Stages, StageWork{Stage: s})
	}
	return t
}

// add counts a building by its work list.
func (t *Trades) add(j *screen.Judgement, ready screen.Readiness, list []job) {
	t.Ready[j.Verdict][ready]++
	met := map[*int]bool{} // the counts that the building is in
	count := func(n *int) (first bool) {
		if first = !met[n]; first {
			met[n] = true
			*n++
		}
		return first
	}
	for i := range list {
		w := &list[i]
		s := &t.Stages[slices.IndexFunc(t.Stages, func(s StageWork) bool { return s.Stage.ID == w.Stage.ID })]
		switch w.Action {
		case screen.Do:
			if a := w.b.Num[ingest.WallArea]; count(&s.Do) && !math.IsNaN(a) {
				s.Area += a
			}
			if slices.ContainsFunc(w.Gates, func(g config.Gate) bool { return g.Effect == config.EffectHold }) {
				count(&s.Held)
			}
		case screen.Investigate, screen.Afterwards:
			count(&s.Look)
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
