package picks

import (
	"cmp"
	"fmt"
	"io"
	"maps"
	"math"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen"
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

// priced says whether any cost is shown, paid whether money saved is.
func (p *Picks) priced() bool { return len(p.cfg.Costs) > 0 }
func (p *Picks) paid() bool   { return p.cfg.Energy.PricePerKWh != nil }

// sum is one over picks.
type sum struct {
	homes, priced int
	kWh, cost     float64
}

func sumOf(list ...pick) (s sum) {
	for _, x := range list {
		s.homes++
		s.kWh += x.kWh
		if !math.IsNaN(x.cost) {
			s.priced++
			s.cost += x.cost
		}
	}
	return s
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
func (s sum) costs() any {
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
	return append(out, p.reasons(), p.dangers(), p.apart())
}

// column is one of a grid over rows of some kind. It is left out where it has nothing
// to say.
type column[R any] struct {
	report.Head
	cell  func(R) any
	foot  any
	shown bool
}

// over fills a grid.
func over[R any](g report.Grid, rows []R, columns []column[R]) report.Grid {
	g.Rows = make([][]any, len(rows))
	footed := len(rows) > 0 && slices.ContainsFunc(columns, func(c column[R]) bool { return c.foot != nil })
	for _, c := range columns {
		if !c.shown {
			continue
		}
		g.Heads = append(g.Heads, c.Head)
		if footed {
			g.Foot = append(g.Foot, c.foot)
		}
		for i, r := range rows {
			g.Rows[i] = append(g.Rows[i], c.cell(r))
		}
	}
	return g
}

// list shows the programme.
func (p *Picks) list() report.Grid {
	u, all := p.units, sumOf(p.picked...)
	toInvestigate := func(s config.Step) string {
		return report.ToInvestigate(s, func(field string) config.Finding { return p.cfg.Findings[field] })
	}
	anyChance := slices.ContainsFunc(p.picked, func(x pick) bool { return x.chance != "" })
	return over(report.Grid{Name: Programme, Title: "The programme, " + orders[p.goal.By], Note: "The saving is heat through the wall, not a fuel bill, for the insulation shown. " +
		"share of the limit: in the typical case, in brackets its low and high end; chance: that a limit is exceeded in the worst year of ten, where it was drawn. What is to be investigated is judged as if it had been put right, and is not in the cost."}, p.picked, []column[pick]{
		{report.Head{Title: "order", Number: true}, func(x pick) any { return x.order }, nil, true},
		{report.Head{Title: "building", Inventory: true}, func(x pick) any { return ingest.Printable(x.id) }, "in all " + report.Counted(all.homes, "home"), true},
		{report.Head{Title: "address", Inventory: true}, func(x pick) any { return ingest.Printable(x.address) }, nil, p.address != ""},
		{report.Head{Title: "measure"}, func(x pick) any { return p.named(x.measure) }, nil, true},
		{report.Head{Title: "insulation, " + report.Insulation[u].Unit, Number: true, Decimals: report.Insulation[u].Decimals}, func(x pick) any { return report.Insulation[u].Of(x.mm / 1000) }, nil, true},
		{report.Head{Title: "wall, " + report.Area[u].Unit, Number: true}, func(x pick) any { return report.Area[u].Of(x.area) }, nil, true},
		{p.head("saves, "), func(x pick) any { return report.Energy[u].Of(x.kWh) }, report.Energy[u].Of(all.kWh), true},
		{report.Head{Title: "cost, " + p.currency(), Number: all.priced == all.homes}, func(x pick) any { return sumOf(x).costs() }, all.costs(), p.priced()},
		{report.Head{Title: "saves, " + p.currency() + "/a", Number: true}, func(x pick) any { return p.money(x.kWh) }, p.money(all.kWh), p.paid()},
		{report.Head{Title: "verdict", Look: report.VerdictLook}, func(x pick) any { return x.verdict }, nil, true},
		{report.Head{Title: "readiness"}, func(x pick) any { return x.readiness }, nil, true},
		{report.Head{Title: "share of the limit"}, func(x pick) any { return share(x.measure) }, nil, true},
		{report.Head{Title: "chance"}, func(x pick) any { return x.chance }, nil, anyChance},
		{report.Head{Title: "before or with the measure", Long: true}, func(x pick) any { return p.steps(x.do, func(s config.Step) string { return s.Label }) }, nil, true},
		{report.Head{Title: "investigate first", Long: true}, func(x pick) any { return p.steps(x.look, toInvestigate) }, nil, true},
	})
}

// head is that of an amount of energy.
func (p *Picks) head(of string) report.Head {
	return report.Head{Title: of + report.Energy[p.units].Unit, Number: true}
}

var orders = map[string]string{config.BySaving: "most saving first", config.ByCost: "least cost for each kWh first", config.ByRisk: "lowest share of the limit first"}

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

// groups adds up by the key of the inventory, where it gives one.
func (p *Picks) groups() report.Grid {
	by := map[string][]pick{}
	for _, x := range p.picked {
		by[x.group] = append(by[x.group], x)
	}
	keys, all := slices.Sorted(maps.Keys(by)), sumOf(p.picked...)
	if len(keys) == 1 && keys[0] == "" {
		keys = nil
	}
	return over(report.Grid{Name: Groups, Title: "The programme by group"}, keys, []column[string]{
		{report.Head{Title: "group", Inventory: true}, func(key string) any { return cmp.Or(ingest.Printable(key), "(none)") }, "in all", true},
		{report.Head{Title: "homes", Number: true}, func(key string) any { return len(by[key]) }, all.homes, true},
		{p.head("saves, "), func(key string) any { return report.Energy[p.units].Of(sumOf(by[key]...).kWh) }, report.Energy[p.units].Of(all.kWh), true},
		{report.Head{Title: "cost, " + p.currency(), Number: all.priced == all.homes}, func(key string) any { return sumOf(by[key]...).costs() }, all.costs(), p.priced()},
		{report.Head{Title: "saves, " + p.currency() + "/a", Number: true}, func(key string) any { return p.money(sumOf(by[key]...).kWh) }, p.money(all.kWh), p.paid()},
	})
}

// said are the words for a reason, and what brings the home nearer to a programme.
var said = [...]struct{ why, next string }{
	isDone:        {why: "decided or done"},
	costUnknown:   {"cost not known", "add rows to the table costs: "},
	areaUnknown:   {"wall area not given, so neither saving nor cost is known", "add wall_area_m2 to the inventory and screen again"},
	beyond:        {why: "others come first: "},
	savesNothing:  {"repairs alone are suited, which save no heat", "do the repairs; they are due all the same"},
	nothingSuited: {"no strategy is suited or suited after repairs", "see its work list and the survey order"},
}

func (p *Picks) words(r reason) string {
	used := "the number of homes is reached"
	switch {
	case r != beyond:
		used = ""
	case !math.IsNaN(p.goal.Budget) && p.goal.Homes > 0:
		used = "budget or number of homes is used up"
	case !math.IsNaN(p.goal.Budget):
		used = "the budget is used up"
	case !math.IsNaN(p.goal.Target):
		used = "the target is reached"
	}
	return said[r].why + used
}

// reasons counts the homes that are left out.
func (p *Picks) reasons() report.Grid {
	by := map[reason][]*home{}
	for _, h := range p.left {
		by[h.why] = append(by[h.why], h)
	}
	most := func(r reason) (sum float64) {
		for _, h := range by[r] {
			if h.most > 0 { // is known
				sum += h.most
			}
		}
		return sum
	}
	helps := func(r reason) string {
		var missing []string
		for _, h := range by[r] {
			missing = append(missing, h.missing...)
		}
		return said[r].next + strings.Join(inOrder(p.cfg, missing), ", ")
	}
	return over(report.Grid{Name: LeftOut, Title: "Left out, and why"}, slices.Sorted(maps.Keys(by)), []column[reason]{
		{report.Head{Title: "why"}, func(r reason) any { return p.words(r) }, nil, true},
		{report.Head{Title: "homes", Number: true}, func(r reason) any { return len(by[r]) }, nil, true},
		{p.head("would save at most, "), func(r reason) any { return p.energy(most(r)) }, nil, true},
		{report.Head{Title: "what helps"}, func(r reason) any { return helps(r) }, nil, true},
	})
}

// energy is a cell of energy, empty where there is none.
func (p *Picks) energy(kWh float64) any {
	if !(kWh > 0) {
		return nil
	}
	return report.Energy[p.units].Of(kWh)
}

// apart names the homes that are left out.
func (p *Picks) apart() report.Grid {
	return over(report.Grid{Name: Apart, Title: "Homes left out", Folded: true}, p.left, []column[*home]{
		{report.Head{Title: "building", Inventory: true}, func(l *home) any { return ingest.Printable(l.id) }, nil, true},
		{report.Head{Title: "address", Inventory: true}, func(l *home) any { return ingest.Printable(l.address) }, nil, p.address != ""},
		{report.Head{Title: "why"}, func(l *home) any {
			if l.missing != nil {
				return p.words(l.why) + ": no row in costs for " + strings.Join(l.missing, ", ")
			}
			return p.words(l.why)
		}, nil, true},
		{p.head("would save at most, "), func(l *home) any { return p.energy(l.most) }, nil, true},
	})
}

// dangers lists those of the measures of the programme, and of the steps that go
// before or with them or may turn out to be needed.
func (p *Picks) dangers() report.Grid {
	var all []string
	homes, perhaps := map[string]int{}, map[string]int{}
	for _, x := range p.picked {
		all = append(all, slices.Concat(x.built(), x.do, x.look)...)
		for _, id := range slices.Concat(x.built(), x.do) {
			homes[id]++
		}
		for _, id := range x.look {
			perhaps[id]++
		}
	}
	return over(report.Grid{Name: Dangers, Title: "Cautions on the work"}, inOrder(p.cfg, all), []column[string]{
		{report.Head{Title: "work"}, func(id string) any { return cmp.Or(p.cfg.Strategies[id].Label, p.cfg.Steps[id].Label, id) }, nil, true},
		{report.Head{Title: "planned at, homes", Number: true}, func(id string) any { return homes[id] }, nil, true},
		{report.Head{Title: "may be needed at", Number: true}, func(id string) any { return perhaps[id] }, nil, true},
		{report.Head{Title: "caution"}, func(id string) any {
			if s, ok := p.cfg.Strategies[id]; ok {
				return report.StrategyCaution(&s)
			}
			return p.cfg.Steps[id].Caution
		}, nil, true},
	})
}

// Summary says in sentences what the programme comes to, its cautions first.
func (p *Picks) Summary() []string {
	all := sumOf(p.picked...)
	energy := func(kWh float64) string {
		return report.Thousands("%.0f ", report.Energy[p.units].Of(kWh)) + report.Energy[p.units].Unit
	}
	amount := func(money float64) string {
		return strings.TrimSuffix(report.Thousands("%.0f ", money)+p.cfg.Output.Currency, " ")
	}
	text := fmt.Sprintf("To plan first: %s of %d", report.Counted(all.homes, "home"), len(p.all))
	text += ", which would save " + energy(all.kWh) + ", heat through the wall, not a fuel bill"
	if x := p.money(all.kWh); x != nil {
		text += report.Thousands(", or %.0f %s a year", x, p.currency())
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
	for _, x := range p.picked {
		ready[x.readiness]++
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
	if p.weighed {
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
