package picks

import (
	"cmp"
	"fmt"
	"io"
	"maps"
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

// sum is that of the one measure.
func (m *measure) sum() *sum {
	var s sum
	s.add(m)
	return &s
}

// currency heads columns of money.
func (p *Picks) currency() string { return report.Money(&p.cfg.Output) }

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

// row is one of the list.
type row struct {
	order int
	*home
	*measure
}

// list shows the programme. Columns that have nothing to say are left out.
func (p *Picks) list() report.Grid {
	u, all, anyChance := p.units, p.sum(p.chosen.Picks), false
	var rows []row
	for i, x := range p.chosen.Picks {
		h, m := p.at(x)
		rows, anyChance = append(rows, row{i + 1, h, m}), anyChance || m.chance != ""
	}
	g := report.Grid{Name: Programme, Title: "The programme, " + orders[p.goal.By], Rows: make([][]any, len(rows)), Note: "The saving is heat through the wall, not a fuel bill, for the insulation shown. " +
		"share of the limit: in the typical case, in brackets its low and high end; chance: that a limit is exceeded in the worst year of ten, where it was drawn. What is to be investigated is judged as if it had been put right, and is not in the cost."}
	for _, c := range []struct {
		report.Head
		cell  func(x row) any
		foot  any
		shown bool
	}{
		{report.Head{Title: "order", Number: true}, func(x row) any { return x.order }, nil, true},
		{report.Head{Title: "building", Inventory: true}, func(x row) any { return ingest.Printable(x.id) }, "in all " + report.Counted(all.homes, "home"), true},
		{report.Head{Title: "address", Inventory: true}, func(x row) any { return ingest.Printable(x.address) }, nil, p.address != ""},
		{report.Head{Title: "measure"}, func(x row) any { return p.named(x.measure) }, nil, true},
		{report.Head{Title: "insulation, " + u.Insulation.Unit, Number: true, Decimals: u.Insulation.Decimals}, func(x row) any { return u.Insulation.Of(x.mm / 1000) }, nil, true},
		{report.Head{Title: "wall, " + u.Area.Unit, Number: true}, func(x row) any { return u.Area.Of(x.area) }, nil, true},
		{report.Head{Title: "saves, " + u.Energy.Unit, Number: true}, func(x row) any { return u.Energy.Of(x.kWh) }, u.Energy.Of(all.kWh), true},
		{report.Head{Title: "cost, " + p.currency(), Number: all.priced == all.homes}, func(x row) any { return x.sum().costs() }, all.costs(), p.priced()},
		{report.Head{Title: "saves, " + p.currency() + "/a", Number: true}, func(x row) any { return p.money(x.kWh) }, p.money(all.kWh), p.paid()},
		{report.Head{Title: "verdict", Look: report.VerdictLook}, func(x row) any { return x.verdict }, nil, true},
		{report.Head{Title: "readiness"}, func(x row) any { return x.readiness }, nil, true},
		{report.Head{Title: "share of the limit"}, func(x row) any { return share(x.measure) }, nil, true},
		{report.Head{Title: "chance"}, func(x row) any { return x.chance }, nil, anyChance},
		{report.Head{Title: "before or with the measure", Long: true}, func(x row) any { return p.steps(x.do, func(s config.Step) string { return s.Label }) }, nil, true},
		{report.Head{Title: "investigate first", Long: true}, func(x row) any { return p.steps(x.look, p.toInvestigate) }, nil, true},
	} {
		if !c.shown {
			continue
		}
		g.Heads = append(g.Heads, c.Head)
		if len(rows) > 0 {
			g.Foot = append(g.Foot, c.foot)
		}
		for i, x := range rows {
			g.Rows[i] = append(g.Rows[i], c.cell(x))
		}
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

// named is what a measure is called, with those of the walls where each has its own.
func (p *Picks) named(m *measure) string {
	out := p.about(m.strategy).Label
	for i, id := range m.parts {
		out += []string{": ", "; "}[min(i, 1)] + p.about(id).Label
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

// toInvestigate says what has to be known before a step.
func (p *Picks) toInvestigate(s config.Step) string {
	return report.ToInvestigate(s, func(field string) config.Finding { return p.cfg.Findings[field] })
}

// steps are the words for some of them.
func (p *Picks) steps(ids []string, words func(config.Step) string) string {
	var out []string
	for _, id := range ids {
		if s, ok := p.cfg.Steps[id]; ok {
			id = words(s)
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
	heads := []report.Head{{Title: first, Inventory: true}, {Title: "homes", Number: true}, {Title: "saves, " + p.units.Energy.Unit, Number: true}}
	if p.priced() {
		heads = append(heads, report.Head{Title: "cost, " + p.currency(), Number: known})
	}
	if p.paid() {
		heads = append(heads, report.Head{Title: "saves, " + p.currency() + "/a", Number: true})
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
	by := map[string]*sum{}
	for _, x := range p.chosen.Picks {
		h, m := p.at(x)
		if by[h.group] == nil {
			by[h.group] = &sum{}
		}
		by[h.group].add(m)
	}
	g := report.Grid{Name: Groups, Title: "The programme by group"}
	if len(by) == 0 || by[""] != nil && len(by) == 1 {
		return g
	}
	all := p.sum(p.chosen.Picks)
	heads, row := p.sums("group", all.priced == all.homes)
	g.Heads, g.Foot = heads, row("in all", &all)
	for _, key := range slices.Sorted(maps.Keys(by)) {
		g.Rows = append(g.Rows, row(cmp.Or(ingest.Printable(key), "(none)"), by[key]))
	}
	return g
}

// leftHome is one that is not in the programme, with what it would save at most, NaN
// where no measure is suited.
type leftHome struct {
	*home
	why     reason
	missing []string // rows of costs
	most    float64  // kWh/a
}

// left lists the homes that are not in the programme, by reason.
func (p *Picks) left() (out []leftHome) {
	for i, at := range p.chosen.Left {
		h := &p.all[at]
		l := leftHome{home: h, why: h.why, most: math.NaN()}
		var missing []string
		for k := range h.measures {
			if m := &h.measures[k]; !(m.kWh <= l.most) {
				l.most, missing = m.kWh, m.missing
			}
		}
		switch p.chosen.Why[i] {
		case programme.CostUnknown:
			l.why, l.missing = costUnknown, missing
		case programme.Beyond:
			l.why = beyond
		}
		out = append(out, l)
	}
	slices.SortStableFunc(out, func(a, b leftHome) int {
		return cmp.Or(cmp.Compare(a.why, b.why), cmp.Compare(b.most, a.most)) // NaN is last
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
	g := report.Grid{Name: LeftOut, Title: "Left out, and why", Heads: []report.Head{{Title: "why"}, {Title: "homes", Number: true}, {Title: "would save at most, " + p.units.Energy.Unit, Number: true}, {Title: "what helps"}}}
	for r := range numReasons {
		n, kWh, missing := 0, 0.0, map[string]bool{}
		for _, l := range left {
			if l.why != r {
				continue
			}
			if n++; !math.IsNaN(l.most) {
				kWh += l.most
			}
			for _, id := range l.missing {
				missing[id] = true
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
	g.Heads = append(g.Heads, report.Head{Title: "why"}, report.Head{Title: "would save at most, " + p.units.Energy.Unit, Number: true})
	for _, l := range left {
		row := []any{ingest.Printable(l.id)}
		if p.address != "" {
			row = append(row, ingest.Printable(l.address))
		}
		why := p.words(l.why)
		if l.missing != nil {
			why += ": no row in costs for " + strings.Join(l.missing, ", ")
		}
		var saves any
		if !math.IsNaN(l.most) {
			saves = p.units.Energy.Of(l.most)
		}
		g.Rows = append(g.Rows, append(row, why, saves))
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
		return printer.Sprintf("%.0f ", p.units.Energy.Of(kWh)) + p.units.Energy.Unit
	}
	amount := func(money float64) string {
		return strings.TrimSuffix(printer.Sprintf("%.0f ", money)+p.cfg.Output.Currency, " ")
	}
	text := fmt.Sprintf("To plan first: %s of %d", report.Counted(all.homes, "home"), len(p.all))
	text += ", which would save " + energy(all.kWh) + ", heat through the wall, not a fuel bill"
	if x := p.money(all.kWh); x != nil {
		text += printer.Sprintf(", or %.0f %s a year", x, p.currency())
	}
	if all.priced > 0 {
		text += ". At your costs that is at least " + amount(all.cost)
		if all.priced < all.homes {
			text += fmt.Sprintf(" at the %d of %s whose cost is known", all.priced, report.Counted(all.homes, "home"))
		}
		if !math.IsNaN(p.goal.Budget) {
			text += " of a budget of " + amount(p.goal.Budget)
		}
		text += ", without investigations and the repairs that they bring"
	}
	out := []string{report.ShortCaution + " A programme says what to plan first, not what to build.", text + "."}
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
		out = append(out, fmt.Sprintf("The target can be reached for at most %s less.", amount(math.Ceil(short))))
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
	return report.PrintSummed(w, p.Summary(), tables, format, width)
}
