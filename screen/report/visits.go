package report

import (
	"cmp"
	"fmt"
	"path/filepath"
	"slices"
	"strings"

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
	cols   []column
	fields []Field

	needs    map[string]int // how many of them by VisitNeeded
	unhelped int            // others that are survey first though no single fact helps
	named    []string       // ids of the first of those
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

// sort finds the order. Equal worth and equal chance keep the order of place.
func (v *Visits) sort() error {
	type key struct {
		worth    int32
		building uint32
	}
	var keys []key
	v.needs = map[string]int{}
	err := v.each(v.run.Ranks.Overall, func(i uint32, row *screen.Row) error {
		switch s := &row.Survey; {
		case s.Facts[0].Field >= 0:
			keys = append(keys, key{SurveyWorth(s), i})
			v.needs[VisitNeeded(v.e, s)]++
		case s.Wrong >= 0 && row.Judgements[0].Verdict == screen.SurveyFirst: // sampled
			if v.unhelped++; v.unhelped <= namedUnhelped {
				v.named = append(v.named, row.Building.ID)
			}
		}
		return nil
	})
	slices.SortStableFunc(keys, func(a, b key) int { return cmp.Compare(b.worth, a.worth) })
	for _, k := range keys {
		v.order = append(v.order, k.building)
	}
	return err
}

// namedUnhelped is how many buildings the note names that no single fact helps.
const namedUnhelped = 10

// Note says what the order is and is not.
func (v *Visits) Note() string {
	if v.run.Surveyed == 0 {
		return "Not sampled: what a fact is worth is known only after what is unknown was sampled, which this run did not do (run.tier " + config.TierTransient + " and chance.samples above 0 do). " + SurveyCSV + " holds its header only."
	}
	out := "Facts are worth knowing where they change the choice: a fact that is unknown but changes nothing is not listed. What several facts cut does not add up. "
	if len(v.order) > 0 {
		out += fmt.Sprintf("The order holds %s: %s at %d (all that helps is found in records and on maps), %s at %d (one look-up takes the whole chance away, so a visit may be spared), %s at %d. ",
			Counted(len(v.order), "building"), DeskOnly, v.needs[DeskOnly], DeskFirst, v.needs[DeskFirst], GoThere, v.needs[GoThere])
	}
	out += v.unhelpedNote()
	if sampled, all := v.run.Surveyed, v.run.Ranks.Len(); sampled < all {
		out += fmt.Sprintf("Sampled: %d of %s; what was not is not in the order. ", sampled, Counted(all, "building"))
	}
	return out + "The whole list, with what to do on site, is " + SurveyCSV + "."
}

// unhelpedNote says where the verdict asks for a survey and the order has nothing.
func (v *Visits) unhelpedNote() string {
	if v.unhelped == 0 {
		return ""
	}
	who, are, others := fmt.Sprintf("%d more", v.unhelped), "are", ""
	if len(v.order) == 0 {
		who = Counted(v.unhelped, "building")
	}
	if v.unhelped == 1 {
		are = "is"
	}
	if rest := v.unhelped - len(v.named); rest > 0 {
		others = fmt.Sprintf(" and %d more", rest)
	}
	return fmt.Sprintf("%s %s survey first, but no single fact changes the choice; %s says what to find out there: %s%s. ", who, are, WorkListCSV, strings.Join(v.named, ", "), others)
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
	add(column{name: "visit", label: "Visit", help: "order by what the best single fact is worth, then by the chance of a wrong choice now, 1 first", kind: Whole, get: func(l *line) cell { return count(l.place) }},
		column{name: "visit_needed", label: "Visit or desk", help: DeskOnly + ": all that helps is found in records and on maps; " + DeskFirst + ": one look-up takes the whole chance away, so a visit may be spared",
			get: func(l *line) cell { return str(VisitNeeded(v.e, l.s)) }},
		column{name: "building_id", label: "Building", help: "as in the inventory", user: true, get: func(l *line) cell { return str(l.b.ID) }},
		column{name: "group_key", label: "Group", user: true, get: func(l *line) cell { return str(l.b.Text[ingest.GroupKey]) }})
	from := len(out)
	add(column{name: "latitude", label: "Latitude", measure: "°N", kind: Real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Latitude]) }},
		column{name: "longitude", label: "Longitude", measure: "°E", kind: Real, decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Longitude]) }})
	ids(column{name: "strategy", get: func(l *line) cell { return str(strategies[l.j.Strategy].ID) }})
	add(column{name: "strategy_words", label: "Best strategy now", help: "by what is known", get: func(l *line) cell { return str(strategies[l.j.Strategy].Label) }},
		column{name: "verdict", label: "Verdict", help: "on that strategy", look: VerdictLook, get: func(l *line) cell { return str(l.j.Verdict.String()) }},
		column{name: "wrong_choice_percent", label: "Chance of a wrong choice now", measure: "%", help: "by what is known", kind: Real, decimals: 1,
			get: func(l *line) cell { return num(points(l.s.Wrong)) }},
		column{name: "after_desk_percent", label: "After the desk", measure: "%", help: "the chance left once the look-up that cuts it most is done; 0.0: no visit is needed then; empty: no look-up helps", kind: Real, decimals: 1,
			get: func(l *line) cell {
				left, ok := afterDesk(v.e, l.s)
				return cell{f: float64(left) / 10, null: !ok}
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
				get: fact(func(f screen.Fact, _ config.Finding) cell { return num(points(f.Gain)) })},
			column{name: name + "_where", label: "Where, " + label, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(FoundOut(&by)) })},
			column{name: name + "_how", label: "How, " + label, user: true, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(by.How) }),
				in: func(u *units, l *line) cell {
					return fact(func(_ screen.Fact, by config.Finding) cell { return str(u.prose(by.How)) })(l)
				}},
			column{name: name + "_enter", label: "Enter in the inventory, " + label, user: true, get: fact(func(f screen.Fact, _ config.Finding) cell { return str(enter[f.Name()]) })})
	}
	out = slices.Insert(out, from, rideThrough(v.run, out)...)
	if people {
		return shownIn(unitsOf(v.e), out)
	}
	return out
}
