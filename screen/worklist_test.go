package screen_test

import (
	"context"
	"fmt"
	"slices"
	"strings"
	"testing"

	"github.com/google/go-cmp/cmp"

	"wallsift/config"
	"wallsift/ingest"
	"wallsift/model/indicator"
	"wallsift/screen"
)

// workRule is the order work is done on site: keep water out, then the joints,
// then the face, then strip, then build the inside from the masonry inwards.
// Common practice, no source.
var workRule = []string{"before", "water", "face_clearing", "repointing", "face", "stripping", "salts_timber", "parging", "waterproofing", "insulation", "retarder", "lining", "render", "draughts"}

// everyJudgement calls f with every demo building under every strategy, steady tier.
func everyJudgement(t *testing.T, e *screen.Engine, f func(*ingest.Building, *screen.Judgement)) {
	t.Helper()
	src, err := ingest.Open([]string{demoCSV}, e.InputOptions())
	if err != nil {
		t.Fatal(err)
	}
	run, err := e.Run(context.Background(), src, screen.Options{Dir: t.TempDir(), Rejected: func(ingest.Reject) error { return nil }})
	if err != nil {
		t.Fatal(err)
	}
	defer run.Close()
	if err := run.Each(run.Ranks.Overall, func(_ uint32, row *screen.Row) error {
		for i := range row.Judgements {
			f(&row.Building, &row.Judgements[i])
		}
		return nil
	}); err != nil {
		t.Fatal(err)
	}
}

func TestWorkIsListedInTheOrderOfTheSite(t *testing.T) {
	e := defaults()
	everyJudgement(t, e, func(b *ingest.Building, j *screen.Judgement) {
		_, list := e.WorkList(b, j, nil)
		last := 0
		for _, w := range list {
			at := slices.Index(workRule, w.Stage.ID)
			if at < last {
				t.Fatalf("%s, strategy %d: %s comes after %s", b.ID, j.Strategy, w.Stage.ID, workRule[last])
			}
			last = at
		}
	})
}

// A work list leaves nothing out and says nothing twice: each step of Do and
// Check, each gate that acted, and each layer of what may be built.
func TestWorkListsHoldEverythingOnce(t *testing.T) {
	e := defaults()
	strategies := e.Strategies()
	everyJudgement(t, e, func(b *ingest.Building, j *screen.Judgement) {
		fail := func(format string, args ...any) {
			t.Fatalf("%s, %s: %s", b.ID, strategies[j.Strategy].ID, fmt.Sprintf(format, args...))
		}
		ready, list := e.WorkList(b, j, nil)
		steps, gates := map[string][]screen.Action{}, map[string]int{}
		var layers []*screen.BuiltLayer
		stands := screen.StartNow // before the work, by the lines
		if j.Hold {
			stands = screen.RepairFirst
		}
		for _, w := range list {
			switch {
			case w.Action == screen.Stop:
				stands = screen.NoMeasurePasses
			case w.Action == screen.Investigate:
				stands = max(stands, screen.InvestigateFirst)
			case w.Action == screen.Do && w.Step != nil && len(w.Because) > 0 && w.Stage.Repair:
				stands = max(stands, screen.RepairFirst)
			}
			if w.Step != nil {
				steps[w.Step.ID] = append(steps[w.Step.ID], w.Action)
				want := w.Step.When
				if slices.Contains(stepIDs(e, j.Check), w.Step.ID) {
					want = w.Step.Check
				}
				if d := cmp.Diff(want, w.Because); d != "" {
					fail("step %s because of: %s", w.Step.ID, d)
				}
			}
			for _, g := range w.Gates {
				gates[g.ID]++
			}
			if w.Layer != nil && w.Layer.Material != config.FaceTreatment {
				layers = append(layers, w.Layer)
			}
		}
		if ready != stands {
			fail("%v, by the lines of the list %v", ready, stands)
		}
		for _, s := range e.StepsOf(j.Do | j.Check) {
			if n := len(steps[s.ID]); n != 1 {
				fail("step %s has %d lines", s.ID, n)
			}
			stage := s.Stage
			want := screen.Do
			switch repair := slices.Contains([]string{"water", "face_clearing", "repointing", "salts_timber", "parging"}, stage); {
			case j.Verdict >= screen.WarningOnly && !repair && len(s.When) > 0:
				want = screen.NotNow
			case slices.Contains(stepIDs(e, j.Check), s.ID):
				want = screen.Investigate
			case !repair && (j.Verdict == screen.SurveyFirst || slices.ContainsFunc(list, func(w screen.Work) bool { return w.Action == screen.Investigate })):
				want = screen.Afterwards
			}
			if steps[s.ID][0] != want {
				fail("step %s: %v, expected %v", s.ID, steps[s.ID][0], want)
			}
			delete(steps, s.ID)
		}
		if len(steps) > 0 {
			fail("steps that no bit asks for: %v", steps)
		}
		for _, g := range e.GatesOf(j.Gates) {
			if gates[g.ID] != 1 {
				fail("gate %s stands %d times", g.ID, gates[g.ID])
			}
			delete(gates, g.ID)
		}
		if len(gates) > 0 {
			fail("gates that did not act: %v", gates)
		}
		st := strategies[j.Strategy]
		want := len(st.Outside) + len(st.Inside)
		if j.Verdict >= screen.WarningOnly {
			want = 0
		}
		if len(layers) != want {
			fail("%d layers, expected %d", len(layers), want)
		}
		// As built: inwards from the masonry on the inside, outwards on the outside.
		for i, l := range layers {
			index := i + 1
			if l.Side == config.SideExterior {
				index = len(layers) - i
			}
			if l.Index != index {
				fail("layer %s is built as number %d, is %d of %d from outside", l.Material, i+1, l.Index, l.Of)
			}
			if l.Sized && l.Thickness != st.Thickness.Typical {
				fail("insulation of %v m", l.Thickness)
			}
		}
		if (ready == screen.NoMeasurePasses) != (j.Verdict >= screen.WarningOnly) {
			fail("%v, verdict %v", ready, j.Verdict)
		}
		if ready == screen.StartNow && (j.Check != 0 || j.Gates != 0 || j.Verdict != screen.Suited) {
			fail("ready, with checks %b, gates %b, %v", j.Check, j.Gates, j.Verdict)
		}
		if ready != screen.StartNow && list[0].Action == screen.Clear || ready == screen.StartNow && list[0].Action != screen.Clear {
			fail("%v, but the first line says %v", ready, list[0].Action)
		}
	})
}

// sound is a home with nothing to repair and nothing to find out.
func sound() *ingest.Building {
	return with(documented(), facts{"embedded_timber": "none", "inner_finish": "bare"})
}

// listed names the lines of a strategy's list.
func listed(e *screen.Engine, b *ingest.Building, strategy string) (screen.Readiness, []string) {
	j := judge(e, b).by[strategy]
	j.Verdict = max(screen.Suited, min(j.Verdict, screen.SuitedAfterRepairs)) // the limits are not at issue here
	ready, list := e.WorkList(b, &j, nil)
	var out []string
	for _, w := range list {
		name := w.Action.String()
		if w.Step != nil {
			name += " " + w.Step.ID
		}
		if w.Layer != nil {
			name += " +" + w.Layer.Material
		}
		out = append(out, name)
	}
	return ready, out
}

func TestSoundHomeIsReadyAndOnlyBuilds(t *testing.T) {
	e := defaults()
	ready, got := listed(e, sound(), "interior_wool_retarder")
	want := []string{"start now", "do face_treatment +face_treatment", "do waterproofing_coat +vapour_open_coat", "do +mineral_wool", "do +variable_retarder", "do +air_gap", "do +gypsum_board"}
	if ready != screen.StartNow || !slices.Equal(got, want) {
		t.Errorf("%v: %q", ready, got)
	}
	// Outside, insulation is built before the render on it.
	if ready, got = listed(e, sound(), "exterior_rigid"); ready != screen.StartNow || !slices.Equal(got, []string{"start now", "do +exterior_rigid", "do +render_exterior"}) {
		t.Errorf("%v: %q", ready, got)
	}
}

// Each fact brings its line, and the line goes with the fact: nothing is listed
// that is done already.
func TestFactsBringTheirLines(t *testing.T) {
	e := defaults()
	for _, c := range []struct {
		field, word, line string
		ready             screen.Readiness
	}{
		{"rainwater_goods", "worn", "do rainwater_repair", screen.RepairFirst},
		{"rainwater_goods", "defective", "do rainwater_repair", screen.RepairFirst},
		{"rainwater_goods", "unknown", "investigate rainwater_repair", screen.InvestigateFirst},
		{"ground_moisture", "wet", "do ground_drainage", screen.RepairFirst},
		{"joint_condition", "open", "do repoint_lime", screen.RepairFirst},
		{"joint_condition", "unknown", "investigate repoint_lime", screen.InvestigateFirst},
		{"salts", "unknown", "investigate salts_treat", screen.InvestigateFirst},
		{"embedded_timber", "lintels", "investigate timber_inspect", screen.InvestigateFirst},
		{"inner_condition", "cracked", "do parge_lime", screen.RepairFirst},
		{"inner_finish", "gypsum_plaster", "do inner_strip", screen.StartNow}, // stripping is no repair
	} {
		_, before := listed(e, sound(), "interior_wool_retarder")
		ready, after := listed(e, with(sound(), facts{c.field: c.word}), "interior_wool_retarder")
		if slices.Contains(before, c.line) || !slices.Contains(after, c.line) || ready != c.ready {
			t.Errorf("%s %s: %v, %q", c.field, c.word, ready, after)
		}
		after = slices.DeleteFunc(after, func(s string) bool { return s == c.line || s == "start now" })
		before = slices.DeleteFunc(before, func(s string) bool { return s == "start now" })
		for i := range after { // what is to be found out, what is built waits for
			after[i] = strings.Replace(after[i], "after investigation ", "do ", 1)
		}
		if !slices.Equal(before, after) {
			t.Errorf("%s %s changes more than its own line: %q", c.field, c.word, after)
		}
	}
}

// A parge that the wall needs and one that the strategy brings are one coat and
// one line; a wall of which that is not known is looked at, and the coat stays.
func TestPargeIsOneLine(t *testing.T) {
	e := defaults()
	for word, want := range map[string][]string{
		"sound": {"after investigation +lime_parge"}, "cracked": {"do parge_lime +lime_parge"}, "unknown": {"investigate parge_lime", "after investigation +lime_parge"},
	} {
		_, got := listed(e, with(sound(), facts{"inner_condition": word}), "capillary_active_board")
		got = slices.DeleteFunc(got, func(s string) bool { return !strings.Contains(s, "parge") })
		if !slices.Equal(got, want) {
			t.Errorf("%s: %q", word, got)
		}
	}
}

// Paint comes off before the joints are done, and the face is treated though the
// step for it does not see the bare face yet: the wall is judged with it.
func TestFaceIsTreatedOncePaintIsOff(t *testing.T) {
	e := defaults()
	_, got := listed(e, with(sound(), facts{"outer_finish": "film_paint", "joint_condition": "open"}), "interior_wool_retarder")
	if want := []string{"do film_paint_remove", "do repoint_lime", "do +face_treatment"}; !slices.Equal(got[:3], want) {
		t.Errorf("%q", got)
	}
	if _, got = listed(e, with(sound(), facts{"outer_finish": "cement_render"}), "interior_wool_retarder"); slices.ContainsFunc(got, func(s string) bool { return strings.Contains(s, "face") }) {
		t.Errorf("a face that takes no treatment: %q", got)
	}
}

// What a gate asks, what limits leave open, and what is not suited, in both tiers.
func TestVerdictsGiveTheirFirstLine(t *testing.T) {
	e := defaults()
	b := sound()
	base := judge(e, b).by["drained_cavity"]
	hourly := base
	hourly.Tier, hourly.Chance = indicator.Transient, 0
	for _, c := range []struct {
		name   string
		j      screen.Judgement
		change func(*screen.Judgement)
		ready  screen.Readiness
		first  screen.Action
		doubt  bool
	}{
		{"steady, in doubt", base, func(j *screen.Judgement) { j.Verdict, j.High = screen.SurveyFirst, 1.2 }, screen.InvestigateFirst, screen.Investigate, true},
		{"steady, suited", base, func(j *screen.Judgement) { j.Verdict, j.High = screen.Suited, 0.9 }, screen.StartNow, screen.Clear, false},
		{"hourly, by chance", hourly, func(j *screen.Judgement) { j.Verdict, j.Chance = screen.SurveyFirst, 0.3 }, screen.InvestigateFirst, screen.Investigate, true},
		{"hourly, high end above 1 but seldom", hourly, func(j *screen.Judgement) { j.Verdict, j.High, j.Chance = screen.Suited, 1.1, 0.01 }, screen.StartNow, screen.Clear, false},
		{"hourly, chance low, typical case over a limit", hourly, func(j *screen.Judgement) { j.Verdict, j.Typical, j.Chance = screen.SurveyFirst, 1.05, 0.02 }, screen.InvestigateFirst, screen.Investigate, true},
		{"hourly, did not converge", hourly, func(j *screen.Judgement) { j.Verdict, j.Failed = screen.SurveyFirst, true }, screen.InvestigateFirst, screen.Investigate, true},
		{"not suited", hourly, func(j *screen.Judgement) { j.Verdict, j.Chance = screen.NotSuited, 0.9 }, screen.NoMeasurePasses, screen.Stop, false},
		{"kept as a warning", hourly, func(j *screen.Judgement) { j.Verdict, j.Chance = screen.WarningOnly, 0.01 }, screen.NoMeasurePasses, screen.Stop, false},
	} {
		c.change(&c.j)
		ready, list := e.WorkList(b, &c.j, nil)
		if ready != c.ready || list[0].Action != c.first || list[0].Doubt != c.doubt {
			t.Errorf("%s: %v, first line %v, doubt %v", c.name, ready, list[0].Action, list[0].Doubt)
		}
		for _, w := range list {
			if c.ready == screen.NoMeasurePasses && (w.Layer != nil || w.Action == screen.Do && !w.Stage.Repair) {
				t.Errorf("%s: builds %+v", c.name, w)
			}
		}
	}
	// A fact that could change the choice comes first even where all is suited.
	helps := screen.Survey{Wrong: 0.4, Facts: []screen.Fact{{Field: int16(ingest.ProtectedFacade), Gain: 0.3}}}
	suited := hourly
	suited.Verdict = screen.Suited
	if ready, list := e.WorkList(b, &suited, &helps); ready != screen.InvestigateFirst || !list[0].Doubt {
		t.Errorf("%v, first line %+v", ready, list[0])
	}
	// A survey that a gate alone asks for is that gate's line, not a doubt.
	j := judge(e, with(sound(), facts{"drain_outlet": "unknown"})).by["drained_cavity"]
	j.Verdict, j.High = screen.SurveyFirst, 0.5
	_, list := e.WorkList(with(sound(), facts{"drain_outlet": "unknown"}), &j, nil)
	if list[0].Doubt || len(list[0].Gates) != 1 || list[0].Gates[0].ID != "drain_unknown" {
		t.Errorf("%+v", list[0])
	}
}

// A strategy, a material and a stage of the user's own need no code: layers come
// as they are built even where the stages would have it otherwise.
func TestUsersStrategyHasAWorkList(t *testing.T) {
	e := newEngine(t, nil, userFile(t, `
materials:
  reed_mat: {label: Reed mat, kind: insulation, lambda: {low: 0.05, typical: 0.055, high: 0.06}, density: {low: 150, typical: 155, high: 160}, heat_capacity: 1300, mu_dry: 2, mu_wet: 2, source: invented for this test}
stages:
  clay: {label: Clay work, order: 79, source: invented for this test}
steps:
  clay_test: {label: Test the clay, order: 79, reason: clay shrinks, caution: dust, caution_source: invented for this test, source: invented for this test}
strategies:
  reed_between_boards:
    label: Reed between boards
    summary: Invented for this test.
    order: 45
    side: interior
    inside:
      - {material: gypsum_board, thickness: 0.0125}
      - {material: reed_mat, sized: true}
      - {material: lime_plaster, thickness: 0.02, stage: clay}
    thickness: {min: 0.03, typical: 0.05, max: 0.08, step: 0.01}
    gates: []
    steps: [clay_test]
    indicators: [surface_mould]
    caution: invented for this test
    caution_source: invented for this test
    source: invented for this test
`))
	j := judge(e, sound()).by["reed_between_boards"]
	j.Verdict = screen.Suited
	_, list := e.WorkList(sound(), &j, nil)
	var got []string
	for _, w := range list[1:] {
		name := w.Stage.ID
		if w.Layer != nil {
			name += " " + w.Layer.Material
		}
		got = append(got, name)
	}
	if want := []string{"clay", "lining gypsum_board", "insulation reed_mat", "clay lime_plaster"}; !slices.Equal(got, want) {
		t.Errorf("%q", got)
	}
}

// Gates of the user's own: one that holds until work of no repair stage is done,
// one whose step does not see the fact, one that asks for a survey.
func TestUsersGatesHaveTheirLines(t *testing.T) {
	e := newEngine(t, nil, userFile(t, `
gates:
  gypsum_inside: {label: Gypsum inside, when: [{field: inner_finish, in: [gypsum_plaster]}], effect: hold, step: inner_strip, reason: gypsum goes first, source: invented for this test}
  high_wall: {label: High wall, when: [{field: storeys, above: 1}], effect: hold, step: rainwater_repair, reason: mind the gutters, source: invented for this test}
  stone_known: {label: Stone to be looked at, when: [{field: wall_thickness, above: 0.5}], effect: survey, reason: thick walls hide cores, source: invented for this test}
strategies:
  drained_cavity: {gates: [gypsum_inside, high_wall]}
  insulating_lime_plaster: {gates: [stone_known]}
  capillary_active_board: {gates: [gypsum_inside]}
`))
	b := with(sound(), facts{"inner_finish": "gypsum_plaster"})
	ready, got := listed(e, b, "drained_cavity")
	if ready != screen.RepairFirst || !slices.Equal(got[:3], []string{"do rainwater_repair", "do inner_strip", "do drain_connect"}) {
		t.Errorf("%v: %q", ready, got)
	}
	if ready, got = listed(e, b, "capillary_active_board"); ready != screen.RepairFirst || got[0] != "do inner_strip" {
		t.Errorf("%v: %q", ready, got)
	}
	if ready, got = listed(e, b, "insulating_lime_plaster"); ready != screen.InvestigateFirst || got[0] != "investigate" {
		t.Errorf("%v: %q", ready, got)
	}
}

func TestForWorkPassesOverWhatIsExcluded(t *testing.T) {
	list := []screen.Judgement{{Strategy: 4, Excluded: true}, {Strategy: 2}, {Strategy: 1}}
	if j := screen.ForWork(list); j.Strategy != 2 {
		t.Errorf("strategy %d", j.Strategy)
	}
	if j := screen.ForWork(list[:1]); j.Strategy != 4 {
		t.Errorf("strategy %d", j.Strategy)
	}
}
