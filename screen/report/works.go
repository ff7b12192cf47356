package report

import (
	"path/filepath"

	"wallsift/ingest"
	"wallsift/screen"
)

// WorkListCSV is the name of the file of work lists.
const WorkListCSV = "worklist.csv"

// ReadyRule is printed wherever readiness is.
const ReadyRule = "A verdict speaks of the strategy once its repairs are done, readiness of what stands before the start of work. ready: no repair comes before the work, no gate holds and nothing that matters to the strategy is left to find out. after repairs: all is known, and work of a repair stage comes first. " +
	"look first: a fact is not known, a gate asks for a survey, or limits are in doubt. none suited: nothing is to be built on what is known; only repairs are listed to do."

// Works gives the lines of the work lists: for every building, in order of place,
// the work under its best strategy that no gate excludes, in the order it is done
// on site. It is for one goroutine.
type Works struct {
	e      *screen.Engine
	run    *screen.Run
	u      *units
	cols   []column
	fields []Field
}

// NewWorks returns the Works of a finished run, which must stay open. They are
// for people: words in place of ids, in the units the run was asked for.
func NewWorks(e *screen.Engine, run *screen.Run) *Works {
	w := newWorks(e, run, unitsOf(e))
	w.fields = fieldsOf(w.cols, 0)
	return w
}

func newWorks(e *screen.Engine, run *screen.Run, u *units) *Works {
	return &Works{e: e, run: run, u: u, cols: shownIn(u, workColumns(e))}
}

// Fields lists the columns; the values that Each hands out are in this order.
func (w *Works) Fields() []Field { return w.fields }

// Each calls f with every line. Values are as those of Reader.Each; both
// arguments are reused.
func (w *Works) Each(f func(b *ingest.Building, values []any) error) error {
	values := make([]any, len(w.cols))
	return w.lines(func(l *line) error {
		for i := range w.cols {
			values[i] = w.cols[i].value(l, true)
		}
		return f(l.b, values)
	})
}

// lines goes through all lines; one building is in memory at a time.
func (w *Works) lines(f func(*line) error) error {
	place := 0
	return w.run.Each(w.run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		place++
		j := screen.ForWork(row.Judgements)
		for _, x := range jobs(w.e, w.u, &row.Building, j, &row.Survey) {
			if err := f(&line{b: &row.Building, j: j, s: &row.Survey, place: place, job: &x}); err != nil {
				return err
			}
		}
		return nil
	})
}

// WriteWorks writes worklist.csv to dir, line by line, and returns the sums over
// the portfolio.
func WriteWorks(dir string, e *screen.Engine, run *screen.Run) (*Trades, error) {
	w := newWorks(e, run, &siUnits) // files for programs are SI
	c, err := newCSVSink(filepath.Join(dir, WorkListCSV), w.cols)
	if err != nil {
		return nil, err
	}
	defer c.f.Close()
	t := newTrades(e)
	err = w.lines(func(l *line) error {
		t.add(l.job)
		return c.write(l, func(int, cell) {})
	})
	if err != nil {
		return nil, err
	}
	return t, c.close()
}

// workColumns lists the columns of the work lists.
func workColumns(e *screen.Engine) []column {
	strategies := e.Strategies()
	of := func(f func(*job) cell) func(*line) cell { return func(l *line) cell { return f(l.job) } }
	layer := func(f func(*job) cell) func(*line) cell {
		return func(l *line) cell {
			if l.job.Layer == nil {
				return cell{null: true}
			}
			return f(l.job)
		}
	}
	return []column{
		{name: "place", label: "Place", help: "order of the building by its best strategy, 1 first", building: true, kind: Whole, get: func(l *line) cell { return count(l.place) }},
		{name: "building_id", label: "Building", help: "as in the inventory", building: true, user: true, get: func(l *line) cell { return str(l.b.ID) }},
		{name: "group_key", label: "Group", building: true, user: true, get: func(l *line) cell { return str(l.b.Text[ingest.GroupKey]) }},
		{name: "wall_area_m2", label: "Wall area", scale: func(u *units) Scale { return u.area }, help: "empty where the inventory gives none", building: true, kind: Real, decimals: 1,
			get: func(l *line) cell { return num(l.b.Num[ingest.WallArea]) }},
		{name: "readiness", label: "Readiness", help: "of the building: ready, after repairs, look first or none suited", building: true, get: of(func(w *job) cell { return str(w.ready.String()) })},
		{name: "strategy", label: "Strategy", help: "the best that no gate excludes", building: true,
			get: func(l *line) cell { return str(strategies[l.j.Strategy].ID) }, say: func(l *line) cell { return str(strategies[l.j.Strategy].Label) }},
		{name: "verdict", label: "Verdict", help: "on that strategy", building: true, look: VerdictLook, get: func(l *line) cell { return str(l.j.Verdict.String()) }},
		{name: "work_order", label: "Order", help: "order of the work on site, 1 first", kind: Whole, get: of(func(w *job) cell { return count(w.number) })},
		{name: "stage", label: "Stage", help: "stage of work", get: of(func(w *job) cell { return str(w.Stage.ID) }), say: of(func(w *job) cell { return str(w.Stage.Label) })},
		{name: "action", label: "Do or look", help: "do; look first (what is found decides); after the look (of the strategy itself, where something must be found out first); ready (nothing comes before the work); stop (do not build the strategy); not now (belongs to a strategy that is not to be built)",
			get: of(func(w *job) cell { return str(w.Action.String()) })},
		{name: "work", label: "Work", help: "what is to be done or found out", user: true, get: of(func(w *job) cell { return str(w.what()) })},
		{name: "why", label: "Why", help: "the facts of the inventory that call for it, or that the strategy itself does", user: true, get: of(func(w *job) cell { return str(w.why()) })},
		{name: "holds_up", label: "Holds up", help: "what the gates say that wait for it", user: true, get: of(func(w *job) cell { return str(w.holdsUp()) })},
		{name: "layer", label: "Layer", help: "place of the layer among those the strategy adds to its side of the wall, outside to inside", get: layer(func(w *job) cell { return str(layerPlace(w.Layer)) })},
		{name: "material", label: "Material", help: "of the layer that is built", user: true,
			get: layer(func(w *job) cell { return str(w.Layer.Material) }), say: layer(func(w *job) cell { return str(w.Layer.Label) })},
		{name: "thickness_mm", label: "Thickness", scale: thickness, help: "of the layer as judged; of insulation the typical one of its range; empty for coats and membranes", kind: Real, decimals: 1,
			get: layer(func(w *job) cell { return cell{f: 1000 * w.Layer.Thickness, null: w.Layer.Thickness == 0} })},
		{name: "thickness_most_mm", label: "At most", scale: thickness, help: "the most of this layer that keeps every limit in the typical case, within the strategy's range; empty where that is not known", kind: Real, decimals: 1,
			get: layer(func(w *job) cell { return cell{f: 1000 * w.j.Allowance.Thickness, null: !w.most()} })},
		{name: "limited_by", label: "Limited by", help: "the measure first over its limit with more; empty where the strategy's whole range is allowed",
			get: layer(func(w *job) cell { return w.limit(func() string { return w.j.Allowance.By.Info().Name }) }),
			say: layer(func(w *job) cell { return w.limit(func() string { return w.j.Allowance.By.Info().Label }) })},
		{name: "source", label: "Source", help: "of the rule that asks for it", user: true, get: of(func(w *job) cell { return str(w.source(strategies)) })},
	}
}
