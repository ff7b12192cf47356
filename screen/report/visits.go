package report

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// SurveyCSV is the name of the file of the survey order.
const SurveyCSV = "survey.csv"

// wayWords say where a fact is found out, by config.Finding.Way.
var wayWords = map[string]string{
	config.WayDesk: "at the desk", config.WayLook: "look on site", config.WayOpen: "open up", config.WayMeasure: "measure",
}

// FoundOut says in words where a fact is found out.
func FoundOut(f *config.Finding) string { return wayWords[f.Way] }

// rows streams rows in an order; it is screen.Run.Each outside of tests.
type rows func(order []uint32, f func(building uint32, row *screen.Row) error) error

// Visits gives the survey order: the buildings at which knowing a fact cuts the
// chance of a wrong choice, those first where the best single fact cuts it most.
// Memory holds the order alone. It is for one goroutine.
type Visits struct {
	e      *screen.Engine
	run    *screen.Run
	each   rows
	order  []uint32 // buildings
	desk   int      // of them, those where nobody has to go
	spared int      // and those where one look-up leaves nothing to go for
	cols   []column
	fields []Field
}

// NewVisits returns the Visits of a finished run, which must stay open. They are
// for people: words in place of ids, in the units the run was asked for.
func NewVisits(e *screen.Engine, run *screen.Run) (*Visits, error) {
	v := &Visits{e: e, run: run, each: run.Each}
	if err := v.sort(); err != nil {
		return nil, err
	}
	v.cols = v.columns(true)
	v.fields = fieldsOf(v.cols, 0)
	return v, nil
}

// sort finds the order. Equal worth keeps the order of place.
func (v *Visits) sort() error {
	type key struct {
		gain     float32
		building uint32
	}
	var keys []key
	err := v.each(v.run.Ranks.Overall, func(i uint32, row *screen.Row) error {
		if row.Survey.Facts[0].Field < 0 {
			return nil
		}
		keys = append(keys, key{row.Survey.Facts[0].Gain, i})
		switch left, ok := v.afterDesk(&row.Survey); {
		case !v.onSite(&row.Survey):
			v.desk++
		case ok && left < nothing:
			v.spared++
		}
		return nil
	})
	slices.SortStableFunc(keys, func(a, b key) int { return cmp.Compare(b.gain, a.gain) })
	for _, k := range keys {
		v.order = append(v.order, k.building)
	}
	return err
}

// onSite says whether any fact that helps needs somebody to go there.
func (v *Visits) onSite(s *screen.Survey) bool {
	return slices.ContainsFunc(s.Facts[:], func(f screen.Fact) bool {
		if f.Field < 0 {
			return false
		}
		found := v.e.Finding(f)
		return found.OnSite()
	})
}

// nothing is a chance that is printed as 0.0 %.
const nothing = 0.0005

// afterDesk is the chance of a wrong choice once the fact that cuts it most of
// those found out at the desk is known; false where there is no such fact.
func (v *Visits) afterDesk(s *screen.Survey) (left float64, ok bool) {
	for _, f := range s.Facts { // most worth first
		if by := v.e.Finding(f); f.Field >= 0 && !by.OnSite() {
			return max(0, float64(s.Wrong)-float64(f.Gain)), true
		}
	}
	return 0, false
}

// Note says what the order is and is not.
func (v *Visits) Note() string {
	if v.run.Surveyed == 0 {
		return "Not sampled: what a fact is worth is known only after what is unknown was sampled, which this run did not do (run.tier " + config.TierTransient + " and chance.samples above 0 do). " + SurveyCSV + " holds its header only."
	}
	out := "Facts are worth knowing where they change the choice: a fact that is unknown but changes nothing is not listed. What several facts cut does not add up. "
	if len(v.order) > 0 {
		out += fmt.Sprintf("Of the %d buildings, %d are desk only: all that helps there is found in records and on maps. At %d more, one look-up takes the whole chance away: look up before you go. ", len(v.order), v.desk, v.spared)
	}
	if sampled, all := v.run.Surveyed, v.run.Ranks.Len(); sampled < all {
		out += fmt.Sprintf("%d of %d buildings were sampled; the others are not in the order. ", sampled, all)
	}
	return out + "The whole list, with what to do on site, is " + SurveyCSV + "."
}

// Fields lists the columns; the values that Each hands out are in this order.
func (v *Visits) Fields() []Field { return v.fields }

// Each calls f with every building of the order. Values are as those of
// Reader.Each; both arguments are reused.
func (v *Visits) Each(f func(b *ingest.Building, values []any) error) error {
	values := make([]any, len(v.cols))
	return v.lines(v.order, func(l *line) error {
		for i := range v.cols {
			values[i] = v.cols[i].value(l, true)
		}
		return f(l.b, values)
	})
}

// lines goes through some of the order from its start; a line's place is the
// number of the visit.
func (v *Visits) lines(order []uint32, f func(*line) error) error {
	number := 0
	return v.each(order, func(_ uint32, row *screen.Row) error {
		number++
		return f(&line{b: &row.Building, j: &row.Judgements[0], s: &row.Survey, place: number})
	})
}

// WriteVisits writes survey.csv to dir, line by line.
func WriteVisits(dir string, e *screen.Engine, run *screen.Run) error {
	return writeVisits(dir, e, run, run.Each)
}

func writeVisits(dir string, e *screen.Engine, run *screen.Run, each rows) error {
	v := &Visits{e: e, run: run, each: each}
	if err := v.sort(); err != nil {
		return err
	}
	c, err := newCSVSink(filepath.Join(dir, SurveyCSV), v.columns(false))
	if err != nil {
		return err
	}
	defer c.f.Close()
	if err := v.lines(v.order, func(l *line) error { return c.write(l, func(int, cell) {}) }); err != nil {
		return err
	}
	return c.close()
}

// columns lists the columns of the survey order: ids and words in a file for
// programs and people, words alone for people.
func (v *Visits) columns(people bool) []column {
	strategies, enter := v.e.Strategies(), answers(v.e)
	var out []column
	add := func(c ...column) { out = append(out, c...) }
	ids := func(c column) {
		if !people {
			add(c)
		}
	}
	add(column{name: "visit", label: "Visit", help: "order by what the best single fact is worth, 1 first", kind: Whole, get: func(l *line) cell { return count(l.place) }},
		column{name: "visit_needed", label: "Visit or desk", help: "desk only: all that helps is found in records and on maps", get: func(l *line) cell {
			if v.onSite(l.s) {
				return str("visit")
			}
			return str("desk only")
		}},
		column{name: "building_id", label: "Building", help: "as in the inventory", user: true, get: func(l *line) cell { return str(l.b.ID) }},
		column{name: "group_key", label: "Group", user: true, get: func(l *line) cell { return str(l.b.Text[ingest.GroupKey]) }})
	from := len(out)
	add(column{name: "latitude", label: "Latitude", measure: "°N", kind: Real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Latitude]) }},
		column{name: "longitude", label: "Longitude", measure: "°E", kind: Real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Longitude]) }})
	ids(column{name: "strategy", get: func(l *line) cell { return str(strategies[l.j.Strategy].ID) }})
	add(column{name: "strategy_words", label: "Best strategy now", help: "by what is known", get: func(l *line) cell { return str(strategies[l.j.Strategy].Label) }},
		column{name: "verdict", label: "Verdict", help: "on that strategy", look: VerdictLook, get: func(l *line) cell { return str(l.j.Verdict.String()) }},
		column{name: "wrong_choice_percent", label: "Chance of a wrong choice now", measure: "%", help: "by what is known", kind: Real, decimals: 1,
			get: func(l *line) cell { return num(100 * float64(l.s.Wrong)) }},
		column{name: "after_desk_percent", label: "After the desk", measure: "%", help: "the chance left once the look-up that cuts it most is done; 0.0: no visit is needed then; empty: no look-up helps", kind: Real, decimals: 1,
			get: func(l *line) cell {
				left, ok := v.afterDesk(l.s)
				return cell{f: 100 * left, null: !ok}
			}})
	for k := range screen.MostFacts {
		fact := func(f func(screen.Fact, config.Finding) cell) func(*line) cell {
			return func(l *line) cell {
				if l.s.Facts[k].Field < 0 {
					return cell{null: true}
				}
				return f(l.s.Facts[k], v.e.Finding(l.s.Facts[k]))
			}
		}
		name, label := fmt.Sprintf("fact_%d", k+1), fmt.Sprintf("fact %d", k+1)
		ids(column{name: name, get: fact(func(f screen.Fact, _ config.Finding) cell { return str(f.Name()) })})
		add(column{name: name + "_words", label: "Find out, " + label, user: true, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(by.Label) })},
			column{name: name + "_cuts_percent_points", label: "Cuts the chance by, " + label, measure: "% points", kind: Real, decimals: 1,
				get: fact(func(f screen.Fact, _ config.Finding) cell { return num(100 * float64(f.Gain)) })},
			column{name: name + "_where", label: "Where, " + label, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(FoundOut(&by)) })},
			column{name: name + "_how", label: "How, " + label, user: true, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(by.How) }),
				in: func(u *units, l *line) cell {
					return fact(func(_ screen.Fact, by config.Finding) cell { return str(Units{IP: u.ip, u: u}.Prose(by.How)) })(l)
				}},
			column{name: name + "_enter", label: "Enter in the inventory, " + label, user: true, get: fact(func(f screen.Fact, _ config.Finding) cell { return str(enter[f.Name()]) })})
	}
	out = slices.Insert(out, from, rideThrough(v.run, out)...)
	if people {
		return shownIn(unitsOf(v.e), out)
	}
	return out
}

// rideThrough are the inventory's own columns. One whose name is taken gets
// "_inventory" behind it.
func rideThrough(run *screen.Run, others []column) (out []column) {
	taken := map[string]bool{}
	for _, c := range others {
		taken[c.name] = true
	}
	for i, label := range run.ExtraColumns() {
		name := label
		for taken[name] {
			name += "_inventory"
		}
		taken[name] = true
		out = append(out, column{name: name, label: label, user: true, get: func(l *line) cell {
			if i >= len(l.b.Extra) {
				return cell{null: true}
			}
			return str(l.b.Extra[i])
		}})
	}
	return out
}
