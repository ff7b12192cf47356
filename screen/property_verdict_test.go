//go:build !race

package screen_test

import (
	"slices"
	"testing"

	"pgregory.net/rapid"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// Properties of verdicts in the transient tier, through Worker.Judge alone.

// atUsualThickness are flags for some strategies in the transient tier, each at its
// usual thickness alone, without draws.
func atUsualThickness() map[string]any {
	flags := map[string]any{"run.tier": config.TierTransient, "chance.draws": 0}
	for id, s := range defaultConfig().Strategies {
		switch id {
		case "repairs_only":
		case "interior_wool_retarder", "drained_cavity":
			key := "strategies." + id + ".thickness."
			flags[key+"min"], flags[key+"max"], flags[key+"step"] = s.Thickness.Typical, s.Thickness.Typical, 0.001
		default:
			flags["strategies."+id+".drop"] = true
		}
	}
	return flags
}

// acts says whether a gate acts on a building, from its row in the configuration.
func acts(g *config.Gate, b *ingest.Building) bool {
	if g.Tier == config.TierSteady {
		return false
	}
	for _, c := range g.When {
		if cat, ok := ingest.LookupCategory(c.Field); ok {
			if !slices.Contains(c.In, cat.Levels()[b.Cat[cat]]) {
				return false
			}
			continue
		}
		n, _ := ingest.LookupNumber(c.Field)
		x := b.Num[n]
		if !(c.Above != nil && x > *c.Above || c.Below != nil && x < *c.Below) {
			return false
		}
	}
	return true
}

// onlyGates are the facts that act through gates and steps, not on the physics
// of a strategy that puts them right, from the worst to the best.
var onlyGates = map[ingest.Category][]string{
	ingest.RainwaterGoods: {"defective", "worn", "sound"},
	ingest.GroundMoisture: {"wet", "damp", "dry"},
	ingest.JointCondition: {"open", "weathered", "sound"},
	ingest.InnerCondition: {"loose", "cracked", "sound"},
	ingest.Salts:          {"heavy", "traces", "none"},
	// What a gate asks for rather than holds by.
	ingest.ProtectedFacade: {"yes", "no"},
	ingest.DrainOutlet:     {"no", "yes"},
}

// Bulk water first: what a gate holds or excludes stays so whatever the physics
// say, and the step that lifts a hold is listed. Common practice, no source.
func TestGatesHoldWhateverThePhysics(t *testing.T) {
	e := newEngine(t, atUsualThickness())
	gates := defaultConfig().Gates
	few(t, 2, func(t *rapid.T) {
		b := draw(t)
		for _, words := range []facts{{}, {"rainwater_goods": "defective", "ground_moisture": "wet", "joint_condition": "open"}} {
			a := judge(e, with(b, words))
			for _, st := range e.Strategies() {
				j := a.by[st.ID]
				for _, id := range st.Gates {
					g := gates[id]
					if !acts(&g, b) {
						continue
					}
					switch g.Effect {
					case "exclude":
						if !j.Excluded || j.Verdict != screen.NotSuited {
							t.Errorf("%s, %s: %v, excluded %v", st.ID, id, j.Verdict, j.Excluded)
						}
					case "survey":
						if j.Verdict < screen.SurveyFirst {
							t.Errorf("%s, %s: %v", st.ID, id, j.Verdict)
						}
					case "hold":
						if j.Verdict < screen.SuitedAfterRepairs {
							t.Errorf("%s, %s: %v", st.ID, id, j.Verdict)
						}
						if !slices.Contains(stepIDs(e, j.Do), g.Step) {
							t.Errorf("%s, %s: steps %v lack %s", st.ID, id, stepIDs(e, j.Do), g.Step)
						}
					}
				}
			}
		}
	})
}

// A fact put right, or found to be better, never makes a verdict worse, and not
// to know it is neither better than the best it can be nor worse than the worst.
// More is not promised of an unknown state: it is judged as if looked at and put
// right, so it may be better than the worst known one. The same goes for film
// paint where the strategy takes it off.
func TestBetterFactsNeverWorsenAVerdict(t *testing.T) {
	e := newEngine(t, atUsualThickness())
	few(t, 1, func(t *rapid.T) {
		b := draw(t)
		for c, ladder := range onlyGates {
			worst := judge(e, with(b, facts{c.Name(): ladder[0]}))
			last := worst
			for _, word := range ladder[1:] {
				next := judge(e, with(b, facts{c.Name(): word}))
				noWorse(t, e, last, next, c.Name()+" "+word, nil)
				last = next
			}
			unknown := judge(e, with(b, facts{c.Name(): "unknown"}))
			if c != ingest.DrainOutlet { // not known asks for a survey, none for a sump and a pump
				noWorse(t, e, worst, unknown, c.Name()+" unknown", nil)
			}
			noWorse(t, e, unknown, last, c.Name()+" known as "+ladder[len(ladder)-1], nil)
		}
		film := judge(e, with(b, facts{"outer_finish": "film_paint"}))
		noWorse(t, e, film, judge(e, with(b, facts{"outer_finish": "bare"})), "film paint taken off", func(s *config.Strategy) bool {
			return slices.Contains(s.Steps, "film_paint_remove")
		})
	})
}

func noWorse(t *rapid.T, e *screen.Engine, before, after *answer, what string, only func(*config.Strategy) bool) {
	for _, st := range e.Strategies() {
		x, y := before.by[st.ID], after.by[st.ID]
		if (only == nil || only(&st)) && y.Verdict > x.Verdict {
			t.Errorf("%s, %s: %v (%.4f, %s), then %v (%.4f, %s)", st.ID, what, x.Verdict, x.Typical, x.Governing.Info().Name, y.Verdict, y.Typical, y.Governing.Info().Name)
		}
	}
}

// seemsWorse is how much worse a utilisation may seem by screening numerics
// alone: the most that timber rose among 310 pairs when the joints got better; it
// rose in none at finer numerics.
const seemsWorse = 0.02

// Better joints never worsen what is found without gates and steps either, when they
// reach the physics: what was within its limit stays there.
func TestBetterJointsNeverWorsenAnUngatedVerdict(t *testing.T) {
	e := newEngine(t, atUsualThickness(), userFile(t, ungated))
	few(t, 2, func(t *rapid.T) {
		b := draw(t)
		var last *answer
		for _, word := range onlyGates[ingest.JointCondition] {
			next := judge(e, with(b, facts{"joint_condition": word}))
			for id, j := range next.by {
				for k, y := range j.Utilisation {
					if last == nil || last.by[id].Failed || j.Failed || last.by[id].HeldBack != j.HeldBack {
						continue
					}
					if x := last.by[id].Utilisation[k]; x <= 1 && y > 1 && y > x*(1+seemsWorse) {
						t.Errorf("%s, joints %s: %s goes from %.4f to %.4f of its limit", id, word, indicator.ID(k).Info().Name, x, y)
					}
				}
			}
			last = next
		}
	})
}
