// Package picks makes the programme of a finished run: it reads the ranking back,
// prices what is suited with the user's own costs, has package programme choose, and
// lays the choice out for people and programs. It judges nothing.
//
// A measure enters with the figures of its row. Its cost is that of the strategy and
// of every step the ranking says is needed; what is to be inspected first is not in
// it. Where one of them has no row in the table costs, the cost is not known, and
// never taken for nothing.
package picks

import (
	"cmp"
	"context"
	"errors"
	"fmt"
	"math"
	"slices"
	"strings"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/screen/programme"
	"wallsift/screen/report"
	"wallsift/screen/results"
)

// ErrCosts marks a goal that asks for costs where none are given.
var ErrCosts = errors.New("no costs are given")

// Picks is the programme of a run.
type Picks struct {
	Manifest *report.Manifest // of the run
	Notes    []string         // on what was read

	cfg     *config.Config
	units   report.Units
	goal    programme.Goal
	all     []home
	weighed bool // costs enter the choice
	chosen  programme.Programme
	picked  []pick
	left    []*home // that are not in it, by reason, those that would save most first
	address string  // the column of addresses, "" without
}

// Make reads the output folder of a run and chooses by cfg.Programme. done are the
// ids of homes that are decided or done. Errors wrap results.ErrFolder where the
// folder is not one of a run, and ErrCosts where costs are asked for and the table costs
// has no row.
func Make(ctx context.Context, dir string, cfg *config.Config, done []string) (*Picks, error) {
	p := &Picks{cfg: cfg, units: report.UnitsNamed(cfg.Output.Units)}
	p.goal = programme.Goal{By: cfg.Programme.By, Budget: orNaN(cfg.Programme.Budget), Target: orNaN(cfg.Programme.Target), Homes: cfg.Programme.Homes}
	f, err := results.Open(dir, "building_id", "strategy", "verdict", "saved_kwh_a")
	if err != nil {
		return nil, err
	}
	defer f.Close()
	p.Manifest = &f.Manifest
	if err := p.read(ctx, f); err != nil {
		return nil, err
	}
	p.leaveOut(done)
	p.strange()
	homes := make([]programme.Home, len(p.all))
	for i, h := range p.all {
		homes[i].ID = h.id
		for _, m := range h.measures {
			homes[i].Measures = append(homes[i].Measures, programme.Measure{Saving: m.kWh, Cost: m.cost, Risk: m.high})
		}
	}
	if p.weighed = p.goal.Priced(homes); p.weighed && !p.priced() {
		return nil, p.costsWanted()
	}
	p.chosen = programme.Choose(homes, p.goal)
	for i, x := range p.chosen.Picks {
		h := &p.all[x.Home]
		p.picked = append(p.picked, pick{i + 1, h, &h.measures[x.Measure]})
		h.why = isPicked
	}
	p.left = p.leftOver()
	return p, nil
}

// leftOver are the homes that are not picked, with the reason and what would help.
func (p *Picks) leftOver() (out []*home) {
	for i := range p.all {
		h := &p.all[i]
		if h.why == isPicked {
			continue
		}
		best := measure{kWh: math.NaN()}
		for _, m := range h.measures {
			if !(m.kWh <= best.kWh) {
				best = m
			}
		}
		h.most = best.kWh
		switch {
		case best.strategy == "":
		case p.weighed && !slices.ContainsFunc(h.measures, func(m measure) bool { return m.missing == nil }):
			h.why, h.missing = costUnknown, best.missing
		default:
			h.why = beyond
		}
		out = append(out, h)
	}
	slices.SortStableFunc(out, func(a, b *home) int {
		return cmp.Or(cmp.Compare(a.why, b.why), cmp.Compare(b.most, a.most)) // NaN is last
	})
	return out
}

func orNaN(x *float64) float64 {
	if x == nil {
		return math.NaN()
	}
	return *x
}

// leaveOut takes out the homes that are decided or done.
func (p *Picks) leaveOut(done []string) {
	all := map[string]*home{}
	for i := range p.all {
		all[ingest.SameID(p.all[i].id)] = &p.all[i]
	}
	var strange []string
	for _, id := range done {
		id = ingest.SameID(strings.TrimSpace(id))
		if h := all[id]; h != nil {
			h.why, h.measures = isDone, nil
		} else if id = ingest.Printable(id); !slices.Contains(strange, id) {
			strange = append(strange, id)
		}
	}
	const shown = 5
	if n := len(strange); n > 0 {
		are, more := "are", ""
		if n == 1 {
			are = "is"
		}
		if n > shown {
			strange, more = strange[:shown], fmt.Sprintf(" and %d more", n-shown)
		}
		p.Notes = append(p.Notes, fmt.Sprintf("%s listed as done %s not in the run: %s%s", report.Counted(n, "home"), are, strings.Join(strange, ", "), more))
	}
}

// strange notes what the run knows and the configuration does not.
func (p *Picks) strange() {
	var ids []string
	for i := range p.all {
		for k := range p.all[i].measures {
			m := &p.all[i].measures[k]
			for _, id := range m.built() {
				if _, ok := p.cfg.Strategies[id]; !ok && !slices.Contains(ids, id) {
					ids = append(ids, id)
				}
			}
		}
	}
	if slices.Sort(ids); ids != nil {
		p.Notes = append(p.Notes, "the configuration has no strategy "+strings.Join(ids, ", ")+": its cautions are missing; give the same --config as the run had")
	}
}

// costsWanted says which lines a price list needs for this run.
func (p *Picks) costsWanted() error {
	var needed []string
	for i := range p.all {
		for _, m := range p.all[i].measures {
			needed = append(needed, m.missing...)
		}
	}
	var b strings.Builder
	for _, id := range inOrder(p.cfg, needed) {
		figures := "per_m2: FIGURE"
		if s, ok := p.cfg.Strategies[id]; ok && s.Thickness.Max > 0 {
			figures = "per_m2: FIGURE, per_m2_mm: FIGURE, per_home: FIGURE"
		}
		fmt.Fprintf(&b, "\n  %s: {%s, source: WHERE FROM}", id, figures)
	}
	return fmt.Errorf("%w, and a budget, or an order by cost, needs them; put your own figures for what you have prices of into a file, and name it with --config (0 where the work is paid for elsewhere; what has no row is listed apart):\ncosts:%s", ErrCosts, b.String())
}

// inOrder lists ids of strategies and then of steps in the order of the
// configuration, each once.
func inOrder(cfg *config.Config, ids []string) []string {
	rank := func(id string) []int {
		if s, ok := cfg.Strategies[id]; ok {
			return []int{0, s.Order}
		}
		return []int{1, cfg.Steps[id].Order}
	}
	slices.SortFunc(ids, func(a, b string) int { return cmp.Or(slices.Compare(rank(a), rank(b)), cmp.Compare(a, b)) })
	return slices.Compact(ids)
}
