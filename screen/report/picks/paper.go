package picks

import (
	"cmp"
	"fmt"
	"io"
	"math"
	"slices"
	"strings"

	"golang.org/x/text/language"
	"golang.org/x/text/message"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
	"wallsift/screen/programme"
	"wallsift/screen/report"
)

// Grids of a programme by name.
const (
	Programme = "programme"
	Groups    = "groups"
	LeftOut   = "left_out"
	Apart     = "homes_left_out"
	Dangers   = "cautions"
)

// at is a pick with its home and measure.
func (p *Picks) at(x programme.Pick) (*home, *measure) {
	h := &p.all[x.Home]
	return h, &h.measures[x.Measure]
}

// priced says whether any cost is shown, paid whether money saved is.
func (p *Picks) priced() bool { return len(p.cfg.Costs) > 0 }
func (p *Picks) paid() bool   { return p.cfg.Energy.PricePerKWh != nil }

// sum is one over picks.
type sum struct {
	homes, priced int
	kWh, cost     float64
}

func (s *sum) add(m *measure) {
	s.homes++
	s.kWh += m.kWh
	if !math.IsNaN(m.cost) {
		s.priced++
		s.cost += m.cost
	}
}

// money is what a saving is worth in a year, nil without a price.
func (p *Picks) money(kWh float64) any {
	if !p.paid() {
		return nil
	}
	return math.Round(kWh * *p.cfg.Energy.PricePerKWh)
}

// costs is a cell of cost: a number, or words where it is not known or only in part.
func (s *sum) costs() any {
	switch s.priced {
	case s.homes:
		return s.cost
	case 0:
		return "not known"
	}
	return fmt.Sprintf("%.0f at %d of %d", s.cost, s.priced, s.homes)
}

// Grids lays the programme out in tables, for people and in the units of the
// configuration.
func (p *Picks) Grids() []report.Grid {
	out := []report.Grid{p.list()}
	if g := p.groups(); len(g.Rows) > 0 {
		out = append(out, g)
	}
	left := p.left()
	return append(out, p.reasons(left), p.dangers(), p.apart(left))
}

// column is one of the list, with its cell.
type column struct {
	report.Head
	cell func(order int, h *home, m *measure) any
	foot any
}

func (p *Picks) list() report.Grid {
	u := p.units
	text := func(title string, f func(h *home, m *measure) string) column {
		return column{Head: report.Head{Title: title}, cell: func(_ int, h *home, m *measure) any { return f(h, m) }}
	}
	number := func(title string, decimals int, f func(m *measure) any) column {
		return column{Head: report.Head{Title: title, Number: true, Decimals: decimals}, cell: func(_ int, _ *home, m *measure) any { return f(m) }}
	}
	all := p.sum(p.chosen.Picks)
	cols := []column{{Head: report.Head{Title: "order", Number: true}, cell: func(order int, _ *home, _ *measure) any { return order }}}
	id := text("building", func(h *home, _ *measure) string { return ingest.Printable(h.id) })
	id.Inventory, id.foot = true, "in all "+report.Counted(all.homes, "home")
	cols = append(cols, id)
	if p.address != "" {
		c := text("address", func(h *home, _ *measure) string { return ingest.Printable(h.address) })
		c.Inventory = true
		cols = append(cols, c)
	}
	energy := number("saves, "+u.Energy.Unit(), 0, func(m *measure) any { return u.Energy.Of(m.kWh) })
	energy.foot = u.Energy.Of(all.kWh)
	verdict := text("verdict", func(_ *home, m *measure) string { return m.verdict })
	verdict.Look = report.VerdictLook
	cols = append(cols,
		text("measure", func(_ *home, m *measure) string { return p.named(m) }),
		number("insulation, "+u.Insulation.Unit(), u.Insulation.Decimals(), func(m *measure) any { return u.Insulation.Of(m.mm / 1000) }),
		number("wall, "+u.Area.Unit(), 0, func(m *measure) any { return u.Area.Of(m.area) }), energy)
	if p.priced() {
		c := number("cost", 0, func(m *measure) any {
			var one sum
			one.add(m)
			return one.costs()
		})
		c.Number, c.foot = c.Number && all.priced == all.homes, all.costs()
		cols = append(cols, c)
	}
	if p.paid() {
		c := number("saves a year, in money", 0, func(m *measure) any { return p.money(m.kWh) })
		c.foot = p.money(all.kWh)
		cols = append(cols, c)
	}
	do := text("before or with the measure", func(_ *home, m *measure) string { return p.steps(m.do, func(s *config.Step) string { return s.Label }) })
	look := text("look at first", func(_ *home, m *measure) string { return p.steps(m.look, report.Inspected) })
	do.Long, look.Long = true, true
	cols = append(cols, verdict, text("readiness", func(_ *home, m *measure) string { return m.readiness }),
		text("share of the limit", func(_ *home, m *measure) string { return share(m) }))
	if slices.ContainsFunc(p.chosen.Picks, func(x programme.Pick) bool { _, m := p.at(x); return m.chance != "" }) {
		cols = append(cols, text("chance", func(_ *home, m *measure) string { return m.chance }))
	}
	cols = append(cols, do, look)
	g := report.Grid{Name: Programme, Title: "The programme, " + orders[p.goal.By], Note: "The saving is heat through the wall, not a fuel bill, for the insulation shown. " +
		"share of the limit: in the typical case, in brackets its low and high end; chance: that a limit is exceeded in the worst year of ten, where it was drawn. What is to be looked at is judged as if it had been put right, and is not in the cost."}
	for _, c := range cols {
		g.Heads, g.Foot = append(g.Heads, c.Head), append(g.Foot, c.foot)
	}
	for i, x := range p.chosen.Picks {
		h, m := p.at(x)
		var row []any
		for _, c := range cols {
			row = append(row, c.cell(i+1, h, m))
		}
		g.Rows = append(g.Rows, row)
	}
	if g.Rows == nil {
		g.Foot = nil
	}
	return g
}

var orders = [...]string{programme.BySaving: "most saving first", programme.ByCost: "least cost for each kWh first", programme.ByRisk: "lowest share of the limit first"}

func share(m *measure) string {
	if math.IsNaN(m.typical) {
		return "no limit applies"
	}
	return report.Spread(&screen.Judgement{HasGovern: true, Typical: m.typical, Low: m.low, High: m.high})
}

// strategy is the label of one, its id where the configuration does not know it.
func (p *Picks) strategy(id string) string { return p.about(id).Label }

// named is what a measure is called, with those of the walls where each has its own.
func (p *Picks) named(m *measure) string {
	out := p.strategy(m.strategy)
	for i, id := range m.parts {
		out += []string{": ", "; "}[min(i, 1)] + p.strategy(id)
		if mm := m.partMM[i]; mm > 0 {
			out += fmt.Sprintf(" %.0f mm", mm)
		}
	}
	return out
}

// about is a strategy by its id, that of homes judged wall by wall among them.
func (p *Picks) about(id string) config.Strategy {
	if id == screen.WallByWall.ID {
		return screen.WallByWall
	}
	s := p.cfg.Strategies[id]
	s.Label = cmp.Or(s.Label, id)
	return s
}

// steps are the words for some of them.
func (p *Picks) steps(ids []string, words func(*config.Step) string) string {
	var out []string
	for _, id := range ids {
		if s, ok := p.cfg.Steps[id]; ok {
			id = words(&s)
		}
		if !slices.Contains(out, id) {
			out = append(out, id)
		}
	}
	return strings.Join(out, "; ")
}

func (p *Picks) sum(list []programme.Pick) (s sum) {
	for _, x := range list {
		_, m := p.at(x)
		s.add(m)
	}
	return s
}

// sums are the heads and cells of a sum, behind a first column. known says whether
// every cost is a number.
func (p *Picks) sums(first string, known bool) ([]report.Head, func(string, *sum) []any) {
	heads := []report.Head{{Title: first, Inventory: true}, {Title: "homes", Number: true}, {Title: "saves, " + p.units.Energy.Unit(), Number: true}}
	if p.priced() {
		heads = append(heads, report.Head{Title: "cost", Number: known})
	}
	if p.paid() {
		heads = append(heads, report.Head{Title: "saves a year, in money", Number: true})
	}
	return heads, func(name string, s *sum) []any {
		row := []any{name, s.homes, p.units.Energy.Of(s.kWh)}
		if p.priced() {
			row = append(row, s.costs())
		}
		if p.paid() {
			row = append(row, p.money(s.kWh))
		}
		return row
	}
}

// groups adds up by the key of the inventory, where it gives one.
func (p *Picks) groups() report.Grid {
	by, keys := map[string]*sum{}, []string(nil)
	for _, x := range p.chosen.Picks {
		h, m := p.at(x)
		if by[h.group] == nil {
			by[h.group], keys = &sum{}, append(keys, h.group)
		}
		by[h.group].add(m)
	}
	g := report.Grid{Name: Groups, Title: "The programme by group"}
	if by[""] != nil && len(keys) == 1 {
		return g
	}
	slices.Sort(keys)
	all := p.sum(p.chosen.Picks)
	heads, row := p.sums("group", all.priced == all.homes)
	g.Heads = heads
	for _, key := range keys {
		g.Rows = append(g.Rows, row(cmp.Or(ingest.Printable(key), "(none)"), by[key]))
	}
	if len(keys) > 0 {
		g.Foot = row("in all", &all)
	}
	return g
}

// leftHome is one that is not in the programme, with its best measure if it has one.
type leftHome struct {
	*home
	why    reason
	detail string
	best   *measure
}

// left lists the homes that are not in the programme, by reason.
func (p *Picks) left() (out []leftHome) {
	for i, at := range p.chosen.Left {
		h := &p.all[at]
		l := leftHome{home: h, why: h.why}
		for k := range h.measures {
			if m := &h.measures[k]; l.best == nil || m.kWh > l.best.kWh {
				l.best = m
			}
		}
		switch p.chosen.Why[i] {
		case programme.CostUnknown:
			l.why, l.detail = costUnknown, ": no row in costs for "+strings.Join(l.best.missing, ", ")
		case programme.Beyond:
			l.why = beyond
		}
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b leftHome) int {
		saves := func(l leftHome) float64 {
			if l.best == nil {
				return 0
			}
			return l.best.kWh
		}
		return cmp.Or(cmp.Compare(a.why, b.why), cmp.Compare(saves(b), saves(a)))
	})
	return out
}

// words for a reason.
func (p *Picks) words(r reason) string {
	used := "the number of homes is reached"
	switch {
	case !math.IsNaN(p.goal.Budget) && p.goal.Homes > 0:
		used = "budget or number of homes is used up"
	case !math.IsNaN(p.goal.Budget):
		used = "the budget is used up"
	case !math.IsNaN(p.goal.Target):
		used = "the target is reached"
	}
	return [numReasons]string{
		isDone:        "decided or done",
		costUnknown:   "cost not known",
		areaUnknown:   "wall area not given, so neither saving nor cost is known",
		beyond:        "others come first: " + used,
		savesNothing:  "repairs alone are suited, which save no heat",
		nothingSuited: "no strategy is suited or suited after repairs",
	}[r]
}

// next says what brings a home that is left out nearer to a programme.
var next = [numReasons]string{
	costUnknown:   "add rows to the table costs: ",
	areaUnknown:   "add wall_area_m2 to the inventory and screen again",
	savesNothing:  "do the repairs; they are due all the same",
	nothingSuited: "see its work list and the survey order",
}

// reasons counts the homes that are left out.
func (p *Picks) reasons(left []leftHome) report.Grid {
	g := report.Grid{Name: LeftOut, Title: "Left out, and why", Heads: []report.Head{{Title: "why"}, {Title: "homes", Number: true}, {Title: "would save at most, " + p.units.Energy.Unit(), Number: true}, {Title: "what helps"}}}
	for r := range numReasons {
		n, kWh, missing := 0, 0.0, map[string]bool{}
		for _, l := range left {
			if l.why != r {
				continue
			}
			if n++; l.best != nil {
				kWh += l.best.kWh
			}
			if r == costUnknown {
				for _, id := range l.best.missing {
					missing[id] = true
				}
			}
		}
		if n > 0 {
			var saves any
			if kWh > 0 {
				saves = p.units.Energy.Of(kWh)
			}
			g.Rows = append(g.Rows, []any{p.words(r), n, saves, next[r] + strings.Join(inOrder(p.cfg, missing), ", ")})
		}
	}
	return g
}

// apart names the homes that are left out.
func (p *Picks) apart(left []leftHome) report.Grid {
	g := report.Grid{Name: Apart, Title: "Homes left out", Folded: true, Heads: []report.Head{{Title: "building", Inventory: true}}}
	if p.address != "" {
		g.Heads = append(g.Heads, report.Head{Title: "address", Inventory: true})
	}
	g.Heads = append(g.Heads, report.Head{Title: "why"}, report.Head{Title: "would save at most, " + p.units.Energy.Unit(), Number: true})
	for _, l := range left {
		row := []any{ingest.Printable(l.id)}
		if p.address != "" {
			row = append(row, ingest.Printable(l.address))
		}
		var saves any
		if l.best != nil {
			saves = p.units.Energy.Of(l.best.kWh)
		}
		g.Rows = append(g.Rows, append(row, p.words(l.why)+l.detail, saves))
	}
	return g
}

// dangers lists those of the measures of the programme, and of the steps that go
// before or with them or may turn out to be needed.
func (p *Picks) dangers() report.Grid {
	g := report.Grid{Name: Dangers, Title: "Cautions on the work", Heads: []report.Head{{Title: "work"}, {Title: "planned at, homes", Number: true}, {Title: "may be needed at", Number: true}, {Title: "caution"}}}
	homes, perhaps, all := map[string]int{}, map[string]int{}, map[string]int{}
	for _, x := range p.chosen.Picks {
		_, m := p.at(x)
		for _, id := range slices.Concat(m.built(), m.do) {
			homes[id]++
			all[id]++
		}
		for _, id := range m.look {
			perhaps[id]++
			all[id]++
		}
	}
	for _, id := range inOrder(p.cfg, all) {
		caution := p.cfg.Steps[id].Caution
		if s, ok := p.cfg.Strategies[id]; ok {
			caution = report.StrategyCaution(&s)
		}
		g.Rows = append(g.Rows, []any{cmp.Or(p.cfg.Strategies[id].Label, p.cfg.Steps[id].Label, id), homes[id], perhaps[id], caution})
	}
	return g
}

// Summary says in sentences what the programme comes to, its cautions first.
func (p *Picks) Summary() []string {
	printer := message.NewPrinter(language.English)
	all := p.sum(p.chosen.Picks)
	energy := func(kWh float64) string {
		return printer.Sprintf("%.0f ", p.units.Energy.Of(kWh)) + p.units.Energy.Unit()
	}
	text := fmt.Sprintf("To look into first: %s of %d", report.Counted(all.homes, "home"), len(p.all))
	text += ", which would save " + energy(all.kWh) + ", heat through the wall, not a fuel bill"
	if x := p.money(all.kWh); x != nil {
		text += printer.Sprintf(", or %.0f a year in money", x)
	}
	if all.priced > 0 {
		text += printer.Sprintf(". At your costs that is at least %.0f", all.cost)
		if all.priced < all.homes {
			text += fmt.Sprintf(" at the %d of %s whose cost is known", all.priced, report.Counted(all.homes, "home"))
		}
		if !math.IsNaN(p.goal.Budget) {
			text += printer.Sprintf(" of a budget of %.0f", p.goal.Budget)
		}
		text += ", without what is found out first and the repairs that this brings"
	}
	out := []string{report.ShortCaution + " A programme says what to look into first, not what to build.", text + "."}
	short := p.chosen.Short
	switch {
	case !p.chosen.Reached:
		out = append(out, fmt.Sprintf("The target of %s is not reached.", energy(p.goal.Target)))
	case math.IsNaN(short):
	case short == 0:
		best := "under this budget saves more"
		if !math.IsNaN(p.goal.Target) {
			best = "reaches the target for less"
		}
		out = append(out, "No other choice "+best+", at these costs.")
	case math.IsNaN(p.goal.Budget):
		out = append(out, printer.Sprintf("The target can be reached for at most %.0f less.", math.Ceil(short)))
	default:
		out = append(out, fmt.Sprintf("At most %s more were possible under this budget.", energy(math.Ceil(short))))
	}
	ready := map[string]int{}
	for _, x := range p.chosen.Picks {
		_, m := p.at(x)
		ready[m.readiness]++
	}
	var parts []string
	for r := range screen.NumReadiness {
		if n := ready[r.String()]; n > 0 {
			parts = append(parts, fmt.Sprintf("%s at %d", r, n))
		}
	}
	if parts != nil {
		text := "Before work: " + strings.Join(parts, ", ") + "."
		if n := ready[screen.InvestigateFirst.String()]; n > 0 {
			text += " What is found may change the measure, its cost and the saving."
		}
		out = append(out, text)
	}
	if p.goal.Priced(p.known) {
		unpriced := 0
		for i := range p.all {
			if slices.ContainsFunc(p.all[i].measures, func(m measure) bool { return m.missing != nil }) {
				unpriced++
			}
		}
		if unpriced > 0 {
			out = append(out, fmt.Sprintf("At %s the cost of some measure or all is not known, so it was not weighed.", report.Counted(unpriced, "home")))
		}
	} else if !p.priced() {
		out = append(out, "No costs are given: add rows to the table costs to see what the programme comes to, and to weigh homes by it.")
	}
	return out
}

// Print writes the programme in a format of config.Formats. Lists of homes are cut to
// top rows, 0 for none; sums are over all. Width is that of the terminal, 0 without.
func (p *Picks) Print(w io.Writer, format string, top, width int) error {
	var tables []report.Table
	for _, g := range p.Grids() {
		if n := len(g.Rows) - top; top > 0 && n > 0 && (g.Name == Programme || g.Name == Apart) {
			g.Rows = g.Rows[:top]
			g.Note = strings.TrimSpace(fmt.Sprintf("%s These are the first %d of %d; --top 0 prints all, --out writes them to files.", g.Note, top, top+n))
		}
		for i := range g.Heads {
			g.Heads[i].Long = false
		}
		tables = append(tables, g.Table())
	}
	switch format {
	case "csv", "json":
		t := report.Table{Name: "summary", Title: "Summary", Columns: []string{"sentence"}}
		for _, s := range p.Summary() {
			t.Rows = append(t.Rows, []string{s})
		}
		tables = slices.Insert(tables, 0, t)
	default:
		for _, s := range p.Summary() {
			if _, err := fmt.Fprint(w, report.Wrap(s, width), "\n\n"); err != nil {
				return err
			}
		}
	}
	return report.Print(w, tables, format, width)
}
