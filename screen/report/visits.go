package report

import (
	"cmp"
	"fmt"
	"math"
	"path/filepath"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
)

// SurveyCSV is the name of the file of the survey order.
const SurveyCSV = "survey.csv"

// Visits is the survey order of a finished run, which must stay open: the buildings at which knowing a fact clears the
// verdict or cuts the chance of a wrong choice, those first where a look at records
// may do, then those where the best single fact is worth most. Memory holds the
// order alone, and what rounds are made by.
type Visits struct {
	e        *screen.Engine
	run      *screen.Run
	each     Each
	order    []uint32       // buildings
	rounds   []int          // of the visits in the order, from 1; 0 for records; nil without rounds
	needs    map[string]int // how many of them by VisitNeeded
	lost     int            // homes of which a wall's row was rejected
	unhelped int            // others that are survey first though no single fact helps
	named    []string       // ids of the first of those
}

// NewVisits finds the survey order.
func NewVisits(e *screen.Engine, run *screen.Run) (*Visits, error) {
	v := &Visits{e: e, run: run, each: run.Each}
	return v, v.sort()
}

// Rows gives the order: for people in words alone, else with ids.
func (v *Visits) Rows(people bool) *Rows {
	return &Rows{Columns: labelled(v.columns(people), SI), Note: v.note(), people: people, lines: func(_ View, f func(*line) error) error { return v.lines(v.order, f) }}
}

// sort finds the order. Equal worth and equal chance keep the order of place.
func (v *Visits) sort() error {
	var keys []stop
	v.needs = map[string]int{}
	err := v.each(v.run.Ranks.Overall, func(i uint32, row *screen.Row) error {
		switch s := &row.Survey; {
		case len(s.Facts) > 0:
			need := VisitNeeded(v.e, s)
			v.needs[need]++
			num := &row.Building.Num
			k := stop{building: i, worth: surveyWorth(s), visit: need == GoThere, group: row.Building.Text[ingest.GroupKey],
				latitude: num[ingest.Latitude], longitude: num[ingest.Longitude]}
			if !k.visit {
				k.worth += 1 << 30 // records come before all visits
			}
			keys = append(keys, k)
		case row.Lost > 0:
			v.lost++
		case s.Wrong >= 0 && row.Judgements[0].Verdict == screen.SurveyFirst: // drawn
			if v.unhelped++; v.unhelped <= namedUnhelped {
				v.named = append(v.named, row.Building.ID)
			}
		}
		return nil
	})
	slices.SortStableFunc(keys, func(a, b stop) int { return cmp.Compare(b.worth, a.worth) })
	if n := v.e.Config().Survey.VisitsPerDay; n > 0 {
		v.rounds = inRounds(keys, n)
	}
	for _, k := range keys {
		v.order = append(v.order, k.building)
	}
	return err
}

// namedUnhelped is how many buildings the note names that no single fact helps.
const namedUnhelped = 10

// note says what the order is and is not.
func (v *Visits) note() string {
	if v.run.Surveyed == 0 {
		return "What a fact is worth is known only after what is not known was drawn, which this run did not do (run.tier " + config.TierTransient + " does). " + SurveyCSV + " holds its header only."
	}
	out := "A fact is worth knowing where it settles a verdict that is survey first, or changes the choice: one that is unknown but does neither is not listed. What several facts do does not add up. What the work list of a building asks to investigate is to be investigated all the same. "
	if len(v.order) > 0 {
		out += fmt.Sprintf("The order holds %s: %s at %d (all that helps can be looked up), %s at %d (one look-up leaves at most %s open, so a visit may be spared), %s at %d. ",
			Counted(len(v.order), "building"), RecordsOnly, v.needs[RecordsOnly], RecordsFirst, v.needs[RecordsFirst], percent(v.e.Config().Survey.SpareBelow), GoThere, v.needs[GoThere])
		if len(v.rounds) > 0 && v.needs[GoThere] > 0 {
			out += fmt.Sprintf("The visits make %s of up to %d near neighbours, each begun where a visit is worth most. ", Counted(slices.Max(v.rounds), "round"), v.e.Config().Survey.VisitsPerDay)
		}
	}
	out += v.unhelpedNote()
	if v.lost > 0 {
		out += fmt.Sprintf("Of %s a wall is missing: correct %s. ", Counted(v.lost, "home"), RejectsCSV)
	}
	if drawn, all := v.run.Surveyed, v.run.Ranks.Len(); drawn < all {
		out += fmt.Sprintf("Drawn for %d of %s; the others are not in the order. ", drawn, Counted(all, "building"))
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
	return fmt.Sprintf("%s %s survey first, but no single fact settles the verdict or changes the choice; %s says what to investigate there: %s%s. ", who, are, Written(v.e, v.run, WorkListCSV), strings.Join(v.named, ", "), others)
}

// lines goes through some of the order from its start; a line's place is the
// number of the visit.
func (v *Visits) lines(order []uint32, f func(*line) error) error {
	number := 0
	return v.each(order, func(_ uint32, row *screen.Row) error {
		s, round := row.Survey, 0
		if v.rounds != nil {
			round = v.rounds[number]
		}
		number++
		if VisitNeeded(v.e, &s) == GoThere { // who goes there reads first what is to be seen there
			onSite := func(f screen.Fact) bool { return v.e.Finding(f.Name()).OnSite() }
			records := slices.DeleteFunc(slices.Clone(s.Facts), onSite)
			s.Facts = append(slices.DeleteFunc(slices.Clone(s.Facts), func(f screen.Fact) bool { return !onSite(f) }), records...)
		}
		return f(&line{round: round, row: row, b: &row.Building, j: &row.Judgements[0], s: &s, ready: Ready(v.e, row), place: number})
	})
}

// Write writes survey.csv to dir, line by line.
func (v *Visits) Write(dir string) error {
	return v.Rows(false).csv(filepath.Join(dir, SurveyCSV))
}

// columns lists the columns of the survey order: ids and words in a file for
// programs and people, words alone for people.
func (v *Visits) columns(people bool) []Column {
	strategies, enter, of := v.e.Choices(), answers(v.e), shared(v.e)
	var out []Column
	add := func(c ...Column) { out = append(out, c...) }
	add(Column{Name: "visit", Brief: true, Label: "Visit", Help: "records before visits, then round by round where survey.visits_per_day makes rounds, else by what the best single fact is worth; 1 first", Kind: Whole, get: func(l *line) cell { return count(l.place) }},
		Column{Name: "round", Label: "Round", Help: "of near neighbours, as many as survey.visits_per_day; empty for records and without that setting", Kind: Whole,
			get: func(l *line) cell { return cell{i: int64(l.round), null: l.round == 0} }},
		Column{Name: "visit_needed", Brief: true, Label: "Visit or records", Help: RecordsOnly + ": all that helps can be looked up; " + RecordsFirst + ": one look-up leaves next to nothing open (survey.spare_below), so a visit may be spared",
			get: func(l *line) cell { return str(VisitNeeded(v.e, l.s)) }},
		of("building_id", "as in the inventory"), of("group_key", ""))
	from := len(out)
	add(Column{Name: "latitude", Label: "Latitude", Unit: "°N", Kind: Real, Decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Latitude]) }},
		Column{Name: "longitude", Label: "Longitude", Unit: "°E", Kind: Real, Decimals: 6, get: func(l *line) cell { return num(l.b.Num[ingest.Longitude]) }})
	add(Column{Name: "strategy", get: func(l *line) cell { return str(strategies[l.j.Strategy].ID) }})
	add(Column{Name: "strategy_words", Brief: true, Label: "Best strategy now", Help: "by what is known", get: func(l *line) cell { return str(strategies[l.j.Strategy].Label) }},
		of("verdict", "on that strategy. "+VerdictRule), of("readiness", ReadyRule),
		Column{Name: "wrong_choice_percent", Brief: true, Label: "Chance of a wrong choice now", Unit: "%", Help: "by what is known", Kind: Real, Decimals: 1,
			get: func(l *line) cell { return num(points(l.s.Wrong)) }},
		Column{Name: "after_records_percent", Brief: true, Label: "Open after the records", Unit: "%", Help: "chance that the verdict stays survey first, or where it is clear that the choice is wrong, once the look-up worth most is done; empty: no look-up helps", Kind: Real, Decimals: 1,
			get: func(l *line) cell {
				left, ok := afterRecords(v.e, l.s)
				return cell{f: float64(left) / 10, null: !ok}
			}})
	for k := range screen.MostFacts {
		fact := func(f func(screen.Fact, config.Finding) cell) func(*line) cell {
			return only(func(l *line) bool { return k < len(l.s.Facts) }, func(l *line) cell { return f(l.s.Facts[k], v.e.Finding(l.s.Facts[k].Name())) })
		}
		name, label := fmt.Sprintf("fact_%d", k+1), fmt.Sprintf("fact %d", k+1)
		add(Column{Name: name, get: fact(func(f screen.Fact, _ config.Finding) cell { return str(f.Name()) })})
		add(Column{Name: name + "_words", Brief: true, Label: "Investigate, " + label, Inventory: true, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(by.Label) })},
			Column{Name: name + "_settles_percent", Brief: k < 2, Label: "Settles the verdict, " + label, Unit: "%", Help: "chance that the verdict is survey first no more", Kind: Real, Decimals: 1,
				get: only(func(l *line) bool { return l.s.Unclear }, fact(func(f screen.Fact, _ config.Finding) cell { return num(points(f.Clears)) }))},
			Column{Name: name + "_cuts_percent_points", Brief: k < 2, Label: "Cuts the chance by, " + label, Unit: "% points", Kind: Real, Decimals: 1,
				get: fact(func(f screen.Fact, _ config.Finding) cell { return num(points(f.Gain)) })},
			Column{Name: name + "_where", Brief: k < 2, Label: "Way, " + label, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(WayWord(by)) })},
			Column{Name: name + "_how", Brief: k < 2, Label: "How, " + label, Inventory: true, get: fact(func(_ screen.Fact, by config.Finding) cell { return str(by.How) })},
			Column{Name: name + "_enter", Brief: k < 2, Label: "Enter in the inventory, " + label, Inventory: true, get: fact(func(f screen.Fact, _ config.Finding) cell { return str(enter[f.Name()]) })})
	}
	add(Column{Name: "caution", Brief: true, Label: "Caution", get: func(l *line) cell { return str(cautioned(surveyDangers(v.e, l.s))) }})
	if people { // ids have no label
		out = slices.DeleteFunc(out, func(c Column) bool { return c.Label == "" })
	}
	n := len(out)
	out = located(v.e, v.run.Source.Names(), out)
	return slices.Insert(out, from+len(out)-n, rideThrough(v.run.Source.Names(), out)...)
}

// stop is a building of the survey order, with what rounds are made by.
type stop struct {
	building            uint32
	worth               int32 // rank of the stop, above every visit where none is needed
	visit               bool  // somebody has to go there
	group               string
	latitude, longitude float64 // degrees, NaN where not known
}

// inRounds puts the visits among the stops, which come in order of worth after all
// that need none, into rounds of at most n, and returns the round of every stop, 0
// without one. A round starts at the stop worth most that is left and goes on to
// the nearest one each time: by distance where both have coordinates, else within
// the same group; a stop with neither goes alone with the next in worth.
func inRounds(stops []stop, n int) []int {
	rounds := make([]int, len(stops))
	from := slices.IndexFunc(stops, func(s stop) bool { return s.visit })
	if from < 0 {
		return rounds
	}
	left := slices.Clone(stops[from:])
	for at, round := from, 1; len(left) > 0; round++ {
		next := 0
		for i := 0; i < n && len(left) > 0; i++ {
			s := left[next]
			stops[at], rounds[at] = s, round
			at++
			left = slices.Delete(left, next, next+1)
			next = nearest(&s, left)
		}
	}
	return rounds
}

// nearest returns the place of the stop nearest to s, the first of equals.
func nearest(s *stop, list []stop) int {
	best, least := 0, math.Inf(1)
	for i := range list {
		if d := apart(s, &list[i]); d < least {
			best, least = i, d
		}
	}
	return best
}

// Where coordinates are missing: a stop of the same group is as near as one in the
// same town, any other as far as none with coordinates is, m: choices of this tool.
const (
	sameGroup = 2e3
	unrelated = 4e7
)

// apart is the distance between two stops in m, on a sphere of the Earth's mean radius.
func apart(a, b *stop) float64 {
	const radius, degree = 6371e3, math.Pi / 180
	dLat, dLon := (b.latitude-a.latitude)*degree, (b.longitude-a.longitude)*degree
	h := math.Pow(math.Sin(dLat/2), 2) + math.Cos(a.latitude*degree)*math.Cos(b.latitude*degree)*math.Pow(math.Sin(dLon/2), 2)
	switch {
	case !math.IsNaN(h):
		return 2 * radius * math.Asin(math.Sqrt(min(h, 1)))
	case a.group != "" && a.group == b.group:
		return sameGroup
	}
	return unrelated
}
